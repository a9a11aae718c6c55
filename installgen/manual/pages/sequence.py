"""The sequence: what every device does from key off to stop; part of the start-stop page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_sequence import Seen
from installgen.analysis.dc_stability import chatter_id, rests_id
from installgen.manual.blocks import Block, Column, Line, Outcome, Row, Stack, joined
from installgen.manual.pages.common import columns, facts, table
from installgen.manual.pages.electrical import case_groups, device_line
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.spec.electrical import (
    Alternator,
    Gauge,
    Heater,
    Load,
    Relay,
    Selector,
    SeriesResistor,
    Starter,
    StopSolenoid,
)

ORDER = (Selector, Relay, Starter, StopSolenoid, Heater, Alternator, SeriesResistor, Gauge, Load)
"""Devices in the order in which the current and the eye go; all others come after the switches."""


def sequence_blocks(m: VesselManual) -> Iterator[Block]:
    """What is seen at each step, the currents, how surely it rests, and the other stations."""
    dc = m.analysis.dc
    if dc is None or not dc.sequence:
        return
    yield m.heading("start-run-stop.sequence_heading", "sequence")
    yield m.paragraph("start-run-stop.sequence_intro")
    caption = m.text("start-run-stop.sequence_caption")
    for group in case_groups(m):
        named = f"{caption} · {group.name}" if group.name else caption
        rows = [*_rows(m, group.cases), *_circuit_rows(m, group.cases)]
        yield from _steps(m, named, group.titles, rows)
    yield from _stations(m)
    yield from _currents(m)
    for engine in m.vessel.engines:
        yield from facts(
            m,
            ("engine", m.engine_name(engine) if m.several else ""),
            ("chatter_battery", m.outcome(chatter_id(engine.name, "battery"))),
            ("chatter_joint", _with_notes(m, chatter_id(engine.name, "joint"))),
        )


def _steps(
    m: VesselManual, caption: str, titles: Sequence[str], rows: Sequence[Row]
) -> Iterator[Block]:
    heads = (*columns(m, "device"), *(Column(title, False, "", "cases") for title in titles))
    yield from table(caption, heads, rows)


def _rows(m: VesselManual, cases: Sequence[DcCase]) -> Iterator[Row]:
    """A row for each device of the engines that do something in these cases."""
    dc = m.analysis.dc
    assert dc is not None
    busy = {name for case in cases for name, state in case.states if state.state != "off"}
    for device_id in _ordered(m):
        device, engine = m.devices[device_id]
        serves = engine.name if engine is not None else getattr(device, "engine", None)
        if serves is not None and serves not in busy:
            continue
        seen = [dc.sequence.get((case.id, device_id)) for case in cases]
        words = {one.words for one in seen if one is not None}
        if len(words) > 1 or any(one.voltages for one in seen if one is not None):
            cells = [_cell(m, case, one) for case, one in zip(cases, seen, strict=True)]
            yield Row((device_line(m, device_id), *cells))


def _ordered(m: VesselManual) -> list[str]:
    def rank(device_id: str) -> int:
        device, _ = m.devices[device_id]
        found = [index for index, kind in enumerate(ORDER) if isinstance(device, kind)]
        return found[0] if found else 0

    return sorted(m.devices, key=rank)


def _cell(m: VesselManual, case: DcCase, seen: Seen | None) -> Line:
    """What a device does, which opens the working of its case, and the voltages on it."""
    if seen is None:
        return ""
    words = Outcome(m.book[f"dc.{case.id}.solved"], text=seen.words)
    voltages = [joined([name, m.outcome(result)], " ") for name, result in seen.voltages]
    return Stack((words, *voltages))


def _circuit_rows(m: VesselManual, cases: Sequence[DcCase]) -> Iterator[Row]:
    """Whether relays and plungers rest, and how they could rest otherwise."""
    solved = [m.outcome(f"dc.{case.id}.solved") for case in cases]
    if any(solved):
        yield Row((m.text("start-run-stop.circuit"), *solved))
    rests = [m.outcome(rests_id(case.id)) for case in cases]
    if any(rests):
        yield Row((m.text("start-run-stop.rests"), *rests))


def _stations(m: VesselManual) -> Iterator[Block]:
    """Starting and stopping from each station that has no command in the tables above."""
    dc = m.analysis.dc
    assert dc is not None
    stations = dict.fromkeys(found.case.works_from for found in dc.stations)
    for station in stations:
        cases = [found.case for found in dc.stations if found.case.works_from == station]
        # What a stop at a station does shows beside the running that it ends.
        before = dict.fromkeys(case.after for case in cases if case.pressed_at is not None)
        rows = []
        for row_device in _ordered(m):
            device, _ = m.devices[row_device]
            if isinstance(device, Selector | Relay | Starter | StopSolenoid):
                seen = [dc.sequence.get((case.id, row_device)) for case in cases]
                ran = [dc.sequence.get((case_id, row_device)) for case_id in before if case_id]
                if len({one.words for one in (*seen, *ran) if one is not None}) > 1:
                    cells = [_cell(m, case, one) for case, one in zip(cases, seen, strict=True)]
                    rows.append(Row((device_line(m, row_device), *cells)))
        caption = m.text("start-run-stop.station_caption", station=station or "")
        yield from _steps(m, caption, [sentence(case.name) for case in cases], rows)


def _currents(m: VesselManual) -> Iterator[Block]:
    """The currents of what starts, runs or stops an engine."""
    for group in case_groups(m):
        rows = []
        for device_id, (device, _) in m.devices.items():
            if not isinstance(device, Relay | Starter | StopSolenoid | Heater | Alternator):
                continue
            endings: dict[str, None] = {}
            for case in group.cases:
                prefix = f"dc.{case.id}.{device_id}."
                for result in m.book.about(device_id, case.id):
                    if result.id.startswith(prefix) and result.id.endswith(("current", "drop")):
                        endings.setdefault(result.id.removeprefix(prefix))
            for ending in endings:
                cells = [m.outcome(f"dc.{case.id}.{device_id}.{ending}") for case in group.cases]
                rows.append(
                    Row(((device_line(m, device_id), ", ", _figure_name(m, ending)), *cells))
                )
        caption = m.text("start-run-stop.currents_caption")
        heads = (*columns(m, "device"), *(Column(t, True, "", "cases") for t in group.titles))
        named = f"{caption} · {group.name}" if group.name else caption
        yield from table(named, heads, rows)


def _figure_name(m: VesselManual, ending: str) -> str:
    key = f"case-figures.{ending.replace('.', '-')}"
    return m.text(key) if m.words.knows(key) else ending.replace("-", " ").replace(".", ", ")


def _with_notes(m: VesselManual, result_id: str) -> Line:
    """A result, and under it what has to be known of it."""
    result = m.book.get(result_id)
    if result is None:
        return ""
    return Stack((Outcome(result), *(result.notes if result.assessed else ())))
