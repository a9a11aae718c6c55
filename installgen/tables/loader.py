"""Published tables: one CSV file and one row type each, with the source and its mark on top.

To add a table, put `NAME.csv` beside this module. Comment lines come first, then the header, whose
names are the field names of the row type and carry the unit, then the rows as they are published:

    # title: Density of example fluid
    # source: Handbook of examples, 3rd edition, table 7
    # mark: SEEN
    # key: temperature_c
    # note: at 101 325 Pa
    temperature_c,density_kg_per_m3
    0,1000.5
    20,998.2

and declare the row where the topic's tables live (`electrical.py` and its neighbours):

    @dataclass(frozen=True, kw_only=True)
    class ExampleDensity(TableRow):
        temperature_c: float
        density_kg_per_m3: float

    def example_density() -> Table[ExampleDensity]:
        return load_table("NAME", ExampleDensity)

`key` names the columns that together tell rows apart. Where rows differ in source or certainty the
CSV has columns `source` or `mark`; a row without its own takes the table's. A field typed
`float | None` may be left empty: the source prints nothing there. Then

    example_density().row(temperature_c=20.0)                # exactly that row, or OutOfTable
    example_density().interpolate("temperature_c", 12.5, "density_kg_per_m3")
    example_density().at_least("temperature_c", 12.5)        # the row next above
    example_density().at_most("temperature_c", 12.5)         # the row next below

None of them goes outside the table: they raise `installgen.errors.OutOfTable`.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import Any, Generic, TypeVar, get_args, get_type_hints

from installgen.errors import InstallgenError, OutOfTable


class Mark(StrEnum):
    """How sure a published figure is."""

    SEEN = "SEEN"  # read in a copy of the source itself
    SEEN_2ND = "SEEN-2nd"  # read only where another page quotes the source
    RUN = "RUN"  # printed by a named library or tool
    DERIVED = "DERIVED"  # computed from a stated definition
    PRACTICE = "PRACTICE"  # common practice of the trade, no source
    MEMORY = "MEMORY"  # recalled, not confirmed: never the only support of a safety figure

    @property
    def confirmed(self) -> bool:
        """Whether somebody has read, derived or printed the figure rather than recalled it."""
        return self not in (Mark.MEMORY, Mark.PRACTICE)


# Worst last; a figure made of several takes the worst of their marks.
_BY_CERTAINTY = (
    Mark.SEEN, Mark.DERIVED, Mark.RUN, Mark.SEEN_2ND, Mark.PRACTICE, Mark.MEMORY,
)  # fmt: skip


def weakest(*marks: Mark) -> Mark:
    """The least certain of the marks, for a figure that is made of several."""
    return max(marks, key=_BY_CERTAINTY.index)


class BadTable(InstallgenError):
    """A table file does not have the form its row type asks for."""

    def __init__(self, table: str, line: int, what: str) -> None:
        self.table, self.line, self.what = table, line, what
        super().__init__(table, line, what)

    def __str__(self) -> str:
        return f"table {self.table}, line {self.line}: {self.what}"


@dataclass(frozen=True, kw_only=True)
class TableRow:
    """What every row of every table has: where it comes from and how sure that is."""

    source: str
    mark: Mark


RowT = TypeVar("RowT", bound=TableRow)


@dataclass(frozen=True)
class Table(Generic[RowT]):
    """One published table.

    name: file name without its ending
    title, source: in words, as printed on the methods page
    mark: of the table as a whole; a row may say otherwise
    key: the fields that tell rows apart
    notes: conditions under which the figures hold
    """

    name: str
    title: str
    source: str
    mark: Mark
    key: tuple[str, ...]
    notes: tuple[str, ...]
    rows: tuple[RowT, ...]

    def row(self, **wanted: object) -> RowT:
        """The one row whose named fields have exactly these values.

        Raises OutOfTable when there is none, ValueError when the fields do not single one out.
        """
        found = self.where(**wanted)
        if not found:
            raise OutOfTable(self.title, _words(wanted), self._covers(wanted))
        if len(found) > 1:
            raise ValueError(f"{self.name}: {len(found)} rows have {_words(wanted)}")
        return found[0]

    def where(self, **wanted: object) -> tuple[RowT, ...]:
        """Every row whose named fields have exactly these values; perhaps none."""
        return tuple(
            row
            for row in self.rows
            if all(_same(getattr(row, name), value) for name, value in wanted.items())
        )

    def at_least(self, column: str, value: float, **where: object) -> RowT:
        """The row with the smallest figure in `column` that is not below `value`.

        column: a numeric column, in its own unit; where: exact values of other fields
        Raises OutOfTable when every row is below.
        """
        rows = [r for r in self._sorted(column, where) if _number(r, column) >= value]
        if not rows:
            raise self._outside(f"{column} of at least {value:g}", column, where)
        return rows[0]

    def at_most(self, column: str, value: float, **where: object) -> RowT:
        """The row with the largest figure in `column` that is not above `value`.

        column: a numeric column, in its own unit; where: exact values of other fields
        Raises OutOfTable when every row is above.
        """
        rows = [r for r in self._sorted(column, where) if _number(r, column) <= value]
        if not rows:
            raise self._outside(f"{column} of at most {value:g}", column, where)
        return rows[-1]

    def interpolate(self, column: str, value: float, result: str, **where: object) -> float:
        """The figure of column `result` at `value` of `column`, on the line between two rows.

        column, result: numeric columns, in their own units; where: exact values of other fields
        Raises OutOfTable outside the first and last row: nothing is extrapolated.
        """
        rows = self._sorted(column, where, result)
        for low, high in pairwise(rows):
            x0, x1 = _number(low, column), _number(high, column)
            if x0 <= value <= x1:
                y0, y1 = _number(low, result), _number(high, result)
                return y0 + (y1 - y0) * (value - x0) / (x1 - x0)
        if len(rows) == 1 and _same(_number(rows[0], column), value):
            return _number(rows[0], result)
        raise self._outside(f"{column} = {value:g}", column, where, result)

    def _sorted(self, column: str, where: Mapping[str, object], result: str = "") -> list[RowT]:
        needed = [column, result] if result else [column]
        rows = [r for r in self.where(**where) if all(getattr(r, n) is not None for n in needed)]
        return sorted(rows, key=lambda r: _number(r, column))

    def _outside(
        self, asked: str, column: str, where: Mapping[str, object], result: str = ""
    ) -> OutOfTable:
        asked = f"{_words(where)}, {asked}" if where else asked
        rows = self._sorted(column, where, result)
        if not rows:
            return OutOfTable(self.title, asked, self._covers(where) or "nothing of the kind")
        covers = f"{column} {_number(rows[0], column):g} to {_number(rows[-1], column):g}"
        return OutOfTable(self.title, asked, covers)

    def _covers(self, wanted: Mapping[str, object]) -> str:
        return "; ".join(
            f"{name} {', '.join(dict.fromkeys(_text(getattr(row, name)) for row in self.rows))}"
            for name in wanted
        )


@cache
def load_table(name: str, row_type: type[RowT]) -> Table[RowT]:
    """Read one of the tables that are installed with this package.

    name: file name without `.csv`; row_type: the dataclass of its rows
    Raises BadTable when the file does not have the form described above.
    """
    text = (files("installgen.tables") / f"{name}.csv").read_text(encoding="utf-8")
    return parse_table(name, text, row_type)


def parse_table(name: str, text: str, row_type: type[RowT]) -> Table[RowT]:
    """Read a table from the text of a CSV file; see the top of this module for its form."""
    lines = text.splitlines()
    top = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    head = _head(name, lines[:top])
    types = get_type_hints(row_type)
    reader = csv.reader(io.StringIO("\n".join(lines[top:])))
    header = next(reader, [])
    expected = {field.name for field in fields(row_type)} - {"source", "mark"}
    if set(header) - {"source", "mark"} != expected or len(set(header)) != len(header):
        raise BadTable(name, top + 1, f"has the columns {header}; expected {sorted(expected)}")
    rows: list[RowT] = []
    for cells in reader:
        line = top + reader.line_num
        if not cells:
            continue
        if len(cells) != len(header):
            raise BadTable(name, line, f"has {len(cells)} cells; expected {len(header)}")
        named = dict(zip(header, (cell.strip() for cell in cells), strict=True))
        for shared in ("source", "mark"):
            named[shared] = named.get(shared) or head[shared][0]
        try:
            values = {column: _cell(types[column], cell) for column, cell in named.items()}
            rows.append(row_type(**values))
        except ValueError as problem:
            raise BadTable(name, line, str(problem)) from problem
    key = tuple(part.strip() for part in ",".join(head["key"]).split(",") if part.strip())
    _check_key(name, key, rows, expected)
    return Table(
        name, head["title"][0], head["source"][0], Mark(head["mark"][0]), key,
        tuple(head["note"]), tuple(rows),
    )  # fmt: skip


def _head(name: str, lines: Sequence[str]) -> dict[str, list[str]]:
    head: dict[str, list[str]] = {"title": [], "source": [], "mark": [], "key": [], "note": []}
    for number, line in enumerate(lines, start=1):
        word, colon, rest = line.lstrip("# ").partition(":")
        if not colon or word not in head:
            raise BadTable(name, number, f"starts no known comment; expected one of {list(head)}")
        head[word].append(rest.strip())
    for word in ("title", "source", "mark", "key"):
        if not head[word] or not head[word][0]:
            raise BadTable(name, 1, f"has no line '# {word}: …'")
    if head["mark"][0] not in list(Mark):
        raise BadTable(name, 1, f"has the mark {head['mark'][0]!r}; expected {list(Mark)}")
    return head


def _check_key(
    name: str, key: tuple[str, ...], rows: Sequence[TableRow], columns: set[str]
) -> None:
    if not key or not set(key) <= columns:
        raise BadTable(name, 1, f"has the key {list(key)}; expected some of {sorted(columns)}")
    if not rows:
        raise BadTable(name, 1, "has no rows")
    seen: set[tuple[object, ...]] = set()
    for row in rows:
        value = tuple(getattr(row, column) for column in key)
        if value in seen:
            raise BadTable(name, 1, f"has two rows with {list(key)} = {list(value)}")
        seen.add(value)


def _cell(kind: object, text: str) -> Any:
    options = get_args(kind)
    if type(None) in options:
        if not text:
            return None
        kind = next(option for option in options if option is not type(None))
    if not text and kind is not str:
        raise ValueError("has an empty cell where a value is needed")
    if kind is bool:
        if text not in ("yes", "no"):
            raise ValueError(f"has {text!r}; expected yes or no")
        return text == "yes"
    if isinstance(kind, type) and issubclass(kind, (str, int, float)):
        value = kind(text)
        if isinstance(value, float) and not math.isfinite(value):
            raise ValueError(f"has {text!r}; expected a finite number")
        return value
    raise TypeError(f"no rule to read a cell as {kind!r}")


def _number(row: TableRow, column: str) -> float:
    return float(getattr(row, column))


def _same(found: object, wanted: object) -> bool:
    if isinstance(found, float) and isinstance(wanted, (int, float)):
        return math.isclose(found, wanted, rel_tol=1e-9)
    return found == wanted


def _text(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _words(wanted: Mapping[str, object]) -> str:
    return ", ".join(f"{name} {_text(value)}" for name, value in wanted.items())
