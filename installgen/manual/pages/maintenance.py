"""Maintenance by hours and months, and the spares with the pattern that is fitted."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Column, Heading, Line, Row, Stack, Step, Steps, Table
from installgen.manual.links import PARTS
from installgen.manual.maintenance import Due, dues, interval_known
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.electrical import device_place
from installgen.manual.pages.makers_papers import makers_pages
from installgen.manual.pages.parts import changed_parts
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.spec.electrical import Fuse

LOG_LINES = 12
"""Lines of the log that a page of paper has room for."""


def maintenance_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where nothing is said to be done at intervals."""
    every = dues(m)
    if not every:
        return
    yield m.paragraph("maintenance.intro")
    yield m.caution("warning", "safety.general")
    for engine in m.vessel.engines:
        yield from makers_pages(m, engine, "maintenance")
    first = [due for due in every if due.first]
    if first:
        yield m.heading("maintenance.first_heading", "first")
        yield from _steps(m, [Due(due.first, due.on, due.task, due.caution) for due in first], True)
    intervals = dict.fromkeys(due.every for due in every)
    for number, interval in enumerate(intervals, start=1):
        known = interval_known(interval)
        title = _title(m, interval) if known else sentence(interval)
        yield Heading(title, f"every.{number}")
        yield from _steps(m, [due for due in every if due.every == interval], False)
    yield from _spares(m)
    yield from _log(m)


def _title(m: VesselManual, interval: str) -> str:
    """An interval as a heading: every 250 h or 12 months."""
    if interval == "daily":
        return m.text("maintenance.daily")
    return m.text("maintenance.every", interval=interval)


def _steps(m: VesselManual, group: list[Due], when: bool) -> Iterator[Steps]:
    """The tasks of one interval, each with its caution before it."""
    items = []
    last = None
    for due in group:
        caution = due.caution if due.caution != last else None
        last = due.caution
        at = (m.say("maintenance.once_at", interval=due.every), " ") if when else ""
        items.append(Step((due.on, ": ", at, due.task), caution))
    yield Steps(tuple(items))


# ---- spares -------------------------------------------------------------------------------------


def _spares(m: VesselManual) -> Iterator[Block]:
    """What to carry: parts that wear, of the pattern that is fitted, and fuses."""
    rows = [*_patterned(m), *_wearing(m), *_fuses(m)]
    if not rows:
        return
    yield m.heading("maintenance.spares_heading", "spares")
    if any(engine.sheet.parts for engine in m.vessel.engines):
        yield m.paragraph("maintenance.spares_intro", link=m.link("titles.parts", PARTS))
    yield from table(
        m.text("maintenance.spares_caption"),
        columns(m, "part for_what part_number count pattern seals"),
        rows,
    )


def _patterned(m: VesselManual) -> Iterator[Row]:
    """Parts with patterns: the one that is fitted, and how to tell it."""
    for engine in m.vessel.engines:
        for part in engine.sheet.parts:
            for pattern in part.patterns:
                tell = Stack((pattern.name, pattern.tell_by))
                yield Row(
                    (part.name, m.engine_name(engine), pattern.part_number, "1", tell,
                     Stack(tuple(pattern.seals)))
                )  # fmt: skip


def _wearing(m: VesselManual) -> Iterator[Row]:
    """Filters, belts and impellers that no pattern names already."""
    named = {
        pattern.part_number
        for engine in m.vessel.engines
        for part in engine.sheet.parts
        for pattern in part.patterns
    }
    for part, where, number, _ in changed_parts(m):
        if number and number not in named:
            yield Row((part, where, number, "1", "", ""))


def _fuses(m: VesselManual) -> Iterator[Row]:
    """Fuses by type and rating, and where each of them sits."""
    found: dict[tuple[str, str], list[tuple[Line, Line]]] = {}
    shown: dict[tuple[str, str], Line] = {}
    for device, engine in m.devices.values():
        if isinstance(device, Fuse) and device.kind == "fuse":
            key = (device.type, str(device.rating))
            shown[key] = (m.field(device.rating), " ", device.type)
            where = (device.code or device.title, device_place(m, device, engine))
            found.setdefault(key, []).append(where)
    for key, places in found.items():
        lines = tuple((code, ", ", place) for code, place in places)
        text = (m.text("maintenance.fuse"), " ", shown[key])
        yield Row((text, Stack(lines), "", str(len(places)), "", ""))


def _log(m: VesselManual) -> Iterator[Block]:
    """Lines to keep the log on."""
    yield m.heading("maintenance.log_heading", "log")
    heads = [
        Column(m.text("columns.line_number")),
        *(
            Column(m.text(f"ticks.{key}"), blank=True)
            for key in ("date", "hours", "what", "initials")
        ),
    ]
    rows = tuple(Row((str(number), "", "", "", "")) for number in range(1, LOG_LINES + 1))
    yield Table(m.text("maintenance.log_caption"), tuple(heads), rows, stack=False)
