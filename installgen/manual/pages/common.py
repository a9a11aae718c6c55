"""What several pages say in the same way: columns by key, ends of pipes, panels, case columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from installgen.analysis.results import Result
from installgen.analysis.speeds import SPEEDS
from installgen.manual.blocks import (
    AsTyped,
    Column,
    Facts,
    Fold,
    Line,
    Outcome,
    Row,
    Table,
    is_empty,
    joined,
)
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.entry import Entry, known
from installgen.spec.piping import End

FIGURE = "#"
RANGE = "-rpm"
"""Ending of the cases that go through the speeds of the engine sheet's table."""


def columns(m: VesselManual, keys: str, group: str = "") -> tuple[Column, ...]:
    """Columns by the keys of their titles; `length#` is a column of figures."""
    return tuple(
        Column(m.text(f"columns.{key.removesuffix(FIGURE)}"), key.endswith(FIGURE), group)
        for key in keys.split()
    )


def blank_column(m: VesselManual) -> Column:
    """A column to write readings in."""
    return Column(m.text("columns.read"), blank=True)


def table(
    caption: str, heads: Sequence[Column], rows: Iterable[Row], *, stack: bool = True
) -> Iterator[Table]:
    """A table, if it has rows."""
    made = tuple(rows)
    if made:
        yield Table(caption, tuple(heads), made, stack)


def facts(m: VesselManual, *items: tuple[str, Line]) -> Iterator[Facts]:
    """A list of facts by the keys of their terms, if any of them says something."""
    kept = tuple((m.text(f"facts.{key}"), line) for key, line in items if not is_empty(line))
    if kept:
        yield Facts(kept)


def typed(text: str) -> Line:
    """A text in which what stands between backticks is as somebody types it in a spec."""
    parts = text.split("`")
    if len(parts) % 2 == 0:
        return text
    return tuple(AsTyped(part) if index % 2 else part for index, part in enumerate(parts))


def end_line(m: VesselManual, end: End | None) -> Line:
    """The kind and size of an end: `hose spigot 2 in (50.8 mm), bore 44 mm (1-3/4 in)`."""
    if end is None:
        return ""
    size = end.thread if end.kind.startswith("thread") else end.size
    said = m.as_written(size) if end.kind == "flat-face" else m.field(size)
    parts: list[Line] = [(m.choice("ends", end.kind), " ", said)]
    if known(end.bore) is not None and known(end.bore) != known(end.size):
        parts.append(m.say("phrases.bore", size=m.field(end.bore)))
    if end.flange:
        parts.append(end.flange)
    return joined(parts)


def height(m: VesselManual, entry: Entry) -> Line:
    """The height of a piece's outlet over the waterline, as written."""
    at = getattr(entry, "at", None)
    return "" if at is None else m.field(at.z)


def speed_columns(m: VesselManual, group: str = "") -> tuple[Column, ...]:
    """Columns of figures for idle, cruise and rated."""
    series = group or "speeds"
    return tuple(Column(m.text(f"columns.{speed}"), True, group, series) for speed in SPEEDS)


def figures(
    m: VesselManual, results: Iterable[Result], caption: str, *, bare: bool = False
) -> Iterator[Table]:
    """Results that hold whatever the engine does, as a table of names and values."""
    rows = [Row((result.name, Outcome(result, bare))) for result in results if not result.case]
    yield from table(caption, columns(m, "what value#"), rows)


def figures_by_speed(
    m: VesselManual, results: Sequence[Result], caption: str, *, bare: bool = False
) -> Iterator[Table]:
    """Results that differ by speed only, one row for what they have in common."""
    rows: dict[str, dict[str, Result]] = {}
    names: dict[str, str] = {}
    for result in results:
        if result.case in SPEEDS:
            key = result.id.replace(f".{result.case}.", ".", 1)
            rows.setdefault(key, {})[result.case] = result
            names.setdefault(key, without_case(result.name, result.case))
    yield from table(
        caption,
        (*columns(m, "what"), *speed_columns(m)),
        (
            Row((names[key], *(cell(row.get(speed), bare=bare) for speed in SPEEDS)))
            for key, row in rows.items()
        ),
    )


def over_range(
    m: VesselManual, results: Iterable[Result], caption: str, summary: str
) -> Iterator[Fold]:
    """Results at every speed of the engine sheet's table, folded: one row a speed."""
    rows: dict[str, dict[str, Result]] = {}
    names: dict[str, str] = {}
    for result in results:
        if result.case.endswith(RANGE):
            key = result.id.replace(f".{result.case}.", ".", 1)
            rows.setdefault(result.case, {})[key] = result
            names.setdefault(key, without_case(result.name, case_words(result.case)))
    heads = (*columns(m, "speed"), *(Column(name, figure=True) for name in names.values()))
    made = table(
        caption,
        heads,
        (
            Row((case_words(case), *(cell(row.get(key)) for key in names)))
            for case, row in rows.items()
        ),
        stack=False,
    )
    if rows:
        yield Fold(summary, tuple(made))


def case_words(case: str) -> str:
    """A speed of the engine as a person says it: `1200 rpm`."""
    return case.replace(RANGE, " rpm")


def cell(result: Result | None, *, bare: bool = False) -> Line:
    """A result as a cell; nothing where there is none."""
    return "" if result is None else Outcome(result, bare)


def without_case(name: str, case: str) -> str:
    """A result's name without the case that its column's heading says."""
    for ending in (f" at {case}", f", {case}", f": {case}"):
        if name.endswith(ending):
            return name.removesuffix(ending).rstrip(",")
        name = name.replace(f"{ending}, ", ", ")
    return name
