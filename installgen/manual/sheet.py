"""Sheets to work from: rows that a page shows by system and by place, and a file holds at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from installgen.manual.blocks import Block, Column, Heading, Line, Row, Table, is_empty
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
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[SheetRow, ...]
    ticks: bool = True

    def heads(self, m: VesselManual) -> tuple[Column, ...]:
        """Every column, blanks included."""
        return (*self.columns, *(tick_columns(m) if self.ticks else ()))


def tick_columns(m: VesselManual) -> tuple[Column, ...]:
    """Columns that somebody fills in on paper: done, initials, date."""
    return tuple(Column(m.text(f"ticks.{key}"), blank=True) for key in ("done", "initials", "date"))


def grouped(
    m: VesselManual, sheet: Sheet, group: str, *, anchors: bool = False, level: bool = True
) -> Iterator[Block]:
    """The rows by one of their groupings: a table for each, under a heading.

    anchors: whether links to a row lead to this grouping of it
    level: whether a heading stands over each table; else its caption says it
    """
    found: dict[str, list[SheetRow]] = {}
    for row in sheet.rows:
        found.setdefault(row.groups.get(group, ""), []).append(row)
    if level and found:
        yield Heading(m.text(f"groups.{group}"), f"by-{group}")
    for name, rows in found.items():
        yield table_of(m, sheet, rows, name or m.text("groups.nowhere"), anchors=anchors)


def table_of(
    m: VesselManual, sheet: Sheet, rows: Sequence[SheetRow], caption: str, *, anchors: bool = True
) -> Table:
    """Some rows of a sheet as a table."""
    blanks = ("",) * (len(sheet.heads(m)) - len(sheet.columns))
    return Table(
        caption,
        sheet.heads(m),
        tuple(Row((*row.cells, *blanks), row.anchor if anchors else "") for row in rows),
    )


def whole(m: VesselManual, sheet: Sheet, caption: str) -> Iterator[Table]:
    """All rows in one table, if there are any."""
    if sheet.rows:
        yield table_of(m, sheet, sheet.rows, caption)


def has_something(rows: Iterable[SheetRow]) -> bool:
    """Whether a row says anything."""
    return any(not is_empty(cell) for row in rows for cell in row.cells)
