"""Tables as CSV that a spreadsheet opens and cannot be tricked by.

A cell that begins with a sign that starts a formula gets an apostrophe before it, so that every
spreadsheet takes it as text; so does one in which such a sign follows a separator that a
spreadsheet of another country would split at. Every cell is quoted; the file is UTF-8 with a mark,
because spreadsheets guess otherwise.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from installgen.manual import blocks as b
from installgen.manual.html_lines import clean
from installgen.units import ConductorSize, Quantity, System, ThreadSize, rounded, show

MARK = "\ufeff"
TRIGGERS = "=+\\-@\uff1d\uff0b\uff0d\uff20"
STARTS = re.compile(rf"^[\s'\"\u200b]*[{TRIGGERS}]")
INSIDE = re.compile(rf"([;\t])([\s'\"]*)(?=[{TRIGGERS}])")
UNITS = {"meter": "m", "newton * meter": "N m", "ampere": "A", "volt": "V", "degree_celsius": "°C"}
"""Base units as a heading says them."""
NUMBER = re.compile(r"-?\d+(\.\d+)?")


def csv_text(columns: Sequence[b.Column], rows: Iterable[Sequence[b.Line]], first: System) -> str:
    """The table as CSV, with a column of plain numbers beside each column of figures of one kind.

    first: the system of units that leads in texts; numbers are in the base unit of their heading
    """
    table = [list(cells) for cells in rows]
    heads: list[str] = []
    made: list[list[str]] = [[] for _ in table]
    for place, column in enumerate(columns):
        title = f"{column.group}, {column.title}" if column.group else column.title
        heads.append(title)
        for cells, out in zip(table, made, strict=True):
            out.append(plain(cells[place], first))
        unit = _one_unit([cells[place] for cells in table]) if column.figure else ""
        if unit:
            heads.append(f"{title} [{unit}]")
            for cells, out in zip(table, made, strict=True):
                quantity = _quantity(cells[place])
                out.append("" if quantity is None else f"{quantity.value:.6g}")
    stream = io.StringIO()
    writer = csv.writer(stream, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    for line in (heads, *made):
        writer.writerow([harmless(cell) for cell in line])
    return MARK + stream.getvalue()


def harmless(cell: str) -> str:
    """A cell's text on one line that no spreadsheet takes for a formula; plain numbers stay."""
    text = " ".join(clean(cell).split())
    if NUMBER.fullmatch(text):
        return text
    text = INSIDE.sub(r"\1\2'", text)
    return f"'{text}" if STARTS.match(text) else text


def plain(line: b.Line, first: System) -> str:
    """A line as text alone."""
    if isinstance(line, str):
        return line
    if isinstance(line, tuple):
        return "".join(plain(part, first) for part in line)
    if isinstance(line, b.Stack | b.Folded):
        return "; ".join(plain(item, first) for item in line.items if not b.is_empty(item))
    if isinstance(line, b.Strong | b.Link):
        return plain(line.text, first)
    if isinstance(line, b.Code | b.AsTyped):
        return line.text
    if isinstance(line, b.Verdict | b.Mark):
        return line.kind.replace("-", " ")
    if isinstance(line, b.Amount):
        text = show(line.quantity, first)
        return text if line.mark is None else f"{text} ({line.mark})"
    return _outcome(line, first)


def _outcome(outcome: b.Outcome, first: System) -> str:
    value = outcome.result.value
    if value is None:
        return f"not assessed: {outcome.result.not_assessed}"
    if isinstance(value, Quantity | ConductorSize | ThreadSize):
        text = show(value, first)
    else:
        text = outcome.text or (rounded(value) if isinstance(value, float) else str(value))
    return f"{text} (assumed)" if outcome.result.assumed else text


def _quantity(line: b.Line) -> Quantity | None:
    """The one quantity of a cell, if it is nothing else."""
    if isinstance(line, b.Amount) and isinstance(line.quantity, Quantity):
        return line.quantity
    if isinstance(line, b.Outcome) and isinstance(line.result.value, Quantity):
        return line.result.value
    return None


def _one_unit(cells: Iterable[b.Line]) -> str:
    """The base unit of a column whose figures are all of one kind; else empty."""
    kinds = {type(q) for cell in cells if (q := _quantity(cell)) is not None}
    base = kinds.pop().BASE if len(kinds) == 1 else ""
    return UNITS.get(base, base)
