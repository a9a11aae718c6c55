"""Tables as HTML: empty columns left out, grouped headings, what is said once said below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Literal

from installgen.manual import blocks as b
from installgen.manual.html_lines import LineWriter, TableTalk, escaped
from installgen.units import Quantity

FEW = 3
MOST_UPRIGHT = 8
"""A sheet to fill in with more columns than this is printed on paper turned sideways."""


MOST_ROOMY = 9
"""A table with more columns than this stands closer, so that it fits a desktop's page."""


def table_html(writer: LineWriter, table: b.Table) -> str:
    """The table in a box that pans, and below it what its cells have in common."""
    kept = [
        number
        for number in range(len(table.columns))
        if table.columns[number].blank
        or any(not b.is_empty(row.cells[number]) for row in table.rows)
    ]
    columns = [table.columns[number] for number in kept]
    talk = TableTalk(_how_assumed(table))
    inner = replace(writer, talk=talk)
    body = "".join(
        _row(inner, row, columns, [row.cells[number] for number in kept]) for row in table.rows
    )
    classes = "data stack" if table.stack else "data"
    if len(columns) > MOST_UPRIGHT and any(column.blank for column in columns):
        classes += " wide"
    if len(columns) > MOST_ROOMY:
        classes += " close"
    return (
        f'<div class="table-scroll" tabindex="0"><table class="{classes}">'
        f"<caption>{escaped(table.caption)}</caption>"
        f"<thead>{_head(columns)}</thead><tbody>{body}</tbody></table></div>{_foot(writer, talk)}"
    )


def _head(columns: Sequence[b.Column]) -> str:
    if not any(column.group for column in columns):
        return f"<tr>{''.join(_column_head(column) for column in columns)}</tr>"
    top, below = "", ""
    for group, run in groupby(columns, key=lambda column: column.group):
        members = list(run)
        if group:
            top += (
                f'<th scope="colgroup" colspan="{len(members)}" class="group">{escaped(group)}</th>'
            )
            below += "".join(_column_head(member) for member in members)
        else:
            top += "".join(_column_head(member, rows=2) for member in members)
    return f"<tr>{top}</tr><tr>{below}</tr>"


def _column_head(column: b.Column, rows: int = 1) -> str:
    figure = ' class="number"' if column.figure else ' class="blank"' if column.blank else ""
    span = f' rowspan="{rows}"' if rows > 1 else ""
    return f'<th scope="col"{span}{figure}>{escaped(column.title)}</th>'


def _row(
    writer: LineWriter, row: b.Row, columns: Sequence[b.Column], cells: Sequence[b.Line]
) -> str:
    anchor = f' id="{escaped(writer.links.anchor(row.anchor))}"' if row.anchor else ""
    made = []
    sizes = _sizes(cells, columns)
    for place, (cell, column) in enumerate(zip(cells, columns, strict=True)):
        own = sizes.get(column.series)
        text = (replace(writer, sizes=own) if own else writer).line(cell)
        figure = ' class="number"' if column.figure else ' class="blank"' if column.blank else ""
        if place == 0:
            made.append(f'<th scope="row"{figure}>{text}</th>')
        else:
            label = f"{column.group}, {column.title}" if column.group else column.title
            made.append(f'<td{figure} data-label="{escaped(label)}">{text}</td>')
    return f"<tr{anchor}>{''.join(made)}</tr>"


def _foot(writer: LineWriter, talk: TableTalk) -> str:
    notes = []
    if talk.assumed == "all":
        notes.append(writer.line(writer.words.say("marks.all_assumed")))
    elif talk.assumed == "dagger":
        notes.append(f"{writer.dagger()} {writer.line(writer.words.say('marks.dagger'))}")
    notes += [
        f"{writer.verdict('not-assessed')} {writer.reason(result)}" for result in talk.gaps.values()
    ]
    return "".join(f'<p class="table-note">{note}</p>' for note in notes)


def _sizes(cells: Sequence[b.Line], columns: Sequence[b.Column]) -> dict[str, dict[type, float]]:
    """For each series of columns, the largest quantity of each kind in this row."""
    sizes: dict[str, dict[type, float]] = {}
    for cell, column in zip(cells, columns, strict=True):
        for outcome in _outcomes(cell) if column.series else ():
            value = outcome.result.value
            if isinstance(value, Quantity):
                kinds = sizes.setdefault(column.series, {})
                kinds[type(value)] = max(kinds.get(type(value), 0.0), abs(value.value))
    return sizes


def _how_assumed(table: b.Table) -> Literal["words", "dagger", "all"]:
    """How the cells say that a result is assumed: in words where only a few are."""
    results = [
        outcome.result
        for row in table.rows
        for cell in row.cells
        for outcome in _outcomes(cell)
        if outcome.result.value is not None
    ]
    assumed = sum(result.assumed for result in results)
    if assumed < FEW:
        return "words"
    return "all" if assumed == len(results) else "dagger"


def _outcomes(line: b.Line) -> Iterator[b.Outcome]:
    if isinstance(line, b.Outcome):
        yield line
    elif isinstance(line, tuple):
        for part in line:
            yield from _outcomes(part)
    elif isinstance(line, b.Stack):
        yield from _outcomes(line.items)
    elif isinstance(line, b.Strong | b.Link):
        yield from _outcomes(line.text)
