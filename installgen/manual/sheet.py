"""Sheets to work from: rows that a page shows by system and by place, and a file holds at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from installgen.manual.blocks import Block, Column, Heading, Line, Row, Table
from installgen.manual.vessel_manual import VesselManual


@dataclass(frozen=True)
class SheetRow:
    """One row of a sheet.

    cells: one for each column
    groups: what it belongs to, by the name of the grouping, such as `system`
    anchor: where a link leads to it
    """

    cells: tuple[Line, ...]
    groups: dict[str, str]
    anchor: str = ""


@dataclass(frozen=True)
class Sheet:
    """A sheet of the installer's set.

    name: of its file, without the ending
    columns: what each row says; blanks to be filled in by hand come after them
    ticks: whether each row is ticked, initialled and dated
    said_by: for each grouping, the column that says the same and that its tables leave out
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[SheetRow, ...]
    ticks: bool = True
    said_by: Mapping[str, int] = field(default_factory=dict)

    def heads(self, m: VesselManual) -> tuple[Column, ...]:
        """Every column, blanks included."""
        return (*self.columns, *(tick_columns(m) if self.ticks else ()))


def tick_columns(m: VesselManual) -> tuple[Column, ...]:
    """Columns that somebody fills in on paper: done, initials, date."""
    return tuple(Column(m.text(f"ticks.{key}"), blank=True) for key in ("done", "initials", "date"))


def grouped(m: VesselManual, sheet: Sheet, group: str, *, anchors: bool) -> Iterator[Block]:
    """The rows by one of their groupings: a table for each, under one heading.

    anchors: whether links to a row lead to this grouping of it
    """
    found: dict[str, list[SheetRow]] = {}
    for row in sheet.rows:
        found.setdefault(row.groups.get(group, ""), []).append(row)
    if found:
        yield Heading(m.text(f"groups.{group}"), f"by-{group}")
    left_out = sheet.said_by.get(group)
    for name, rows in found.items():
        caption = name or m.text("groups.nowhere")
        yield table_of(m, sheet, rows, caption, anchors=anchors, left_out=left_out)


def table_of(
    m: VesselManual,
    sheet: Sheet,
    rows: Sequence[SheetRow],
    caption: str,
    *,
    anchors: bool = True,
    left_out: int | None = None,
) -> Table:
    """Some rows of a sheet as a table.

    left_out: the column that the caption says already
    """
    kept = [place for place in range(len(sheet.columns)) if place != left_out]
    ticks = sheet.heads(m)[len(sheet.columns) :]
    blanks = ("",) * len(ticks)
    return Table(
        caption,
        (*(sheet.columns[place] for place in kept), *ticks),
        tuple(
            Row((*(row.cells[place] for place in kept), *blanks), row.anchor if anchors else "")
            for row in rows
        ),
    )
