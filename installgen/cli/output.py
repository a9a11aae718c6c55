"""What the commands print: as lines for a person, as JSON for a program."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Mapping
from typing import Any

import click

from installgen.analysis.results import (
    Input,
    InputOrigin,
    MethodOrigin,
    Result,
    ResultOrigin,
    SpecOrigin,
    TableOrigin,
    Value,
)
from installgen.errors import Position
from installgen.units import Quantity, System, show

FORMAT = 1
WIDTH = 80


def shown(value: Value | None, first: System) -> str:
    """A value as a person reads it."""
    if value is None:
        return "not assessed"
    return show(value, first) if isinstance(value, Quantity) else str(value)


def print_json(content: Mapping[str, Any]) -> None:
    """Print one JSON object, keys in order, with the number of this format."""
    click.echo(
        json.dumps({"format": FORMAT, **content}, ensure_ascii=False, indent=2, sort_keys=True)
    )


def place(position: Position | None) -> str | None:
    """A place as `file:line:column`."""
    return None if position is None else str(position)


def value_json(value: Value | None, first: System) -> dict[str, Any] | None:
    """A value: its kind and base-unit figure where it is a quantity, and as printed."""
    if value is None:
        return None
    if isinstance(value, Quantity):
        return {
            "base_unit": value.BASE,
            "kind": type(value).__name__,
            "shown": show(value, first),
            "value": value.value,
        }
    return {"kind": type(value).__name__, "shown": str(value), "value": value}


def origin_json(origin: InputOrigin) -> dict[str, Any]:
    """Where an input comes from."""
    match origin:
        case SpecOrigin(path=path, position=position):
            return {"from": "spec", "path": path, "place": place(position)}
        case TableOrigin(table=table, row=row, source=source, mark=mark):
            return {"from": "table", "mark": mark, "row": row, "source": source, "table": table}
        case ResultOrigin(result=result):
            return {"from": "result", "result": result}
        case MethodOrigin(source=source):
            return {"from": "method", "source": source}


def result_json(result: Result, first: System) -> dict[str, Any]:
    """A result with its whole working."""
    return {
        "assumed": result.assumed,
        "case": result.case,
        "engine": result.engine,
        "formula": result.formula,
        "id": result.id,
        "inputs": [
            {
                "assumed": item.assumed,
                "name": item.name,
                "origin": origin_json(item.origin),
                "value": value_json(item.value, first),
            }
            for item in result.inputs
        ],
        "missing": [{"path": m.path, "place": place(m.position)} for m in result.missing],
        "name": result.name,
        "not_assessed": result.not_assessed,
        "notes": list(result.notes),
        "source": result.source,
        "subject": result.subject,
        "system": result.system,
        "value": value_json(result.value, first),
    }


def print_results(results: Iterable[Result], first: System) -> None:
    """One result a line, under its system; what is assumed or not assessed says so."""
    system = ""
    for result in results:
        if result.system != system:
            system = result.system
            click.echo(click.style(f"\n{system}", bold=True))
        value = shown(result.value, first)
        if result.value is None:
            value = f"{value}: {result.not_assessed}"
        elif result.assumed:
            value = f"{value}  (assumed)"
        click.echo(f"  {result.id}")
        click.echo(f"      {result.name}: {value}")


def print_working(result: Result, used_by: Iterable[str], first: System) -> None:
    """How one result came about."""
    click.echo(click.style(result.name, bold=True))
    rows = [("result", result.id)]
    value = shown(result.value, first)
    if result.value is None:
        value = f"{value}: {result.not_assessed}"
    rows += [("value", value), ("formula", result.formula), ("source", result.source)]
    if result.assumed:
        rows.append(("mark", "assumed: a figure of the standard stands in for a missing one"))
    for label, text in rows:
        click.echo(textwrap.fill(f"{label + ':':9}{text}", WIDTH, subsequent_indent=" " * 9))
    if result.inputs:
        click.echo("from:")
    for item in result.inputs:
        _print_input(item, first)
    for missing in result.missing:
        at = f" at {missing.position}" if missing.position else ""
        click.echo(f"missing: {missing.path}{at}")
    for note in result.notes:
        click.echo(textwrap.fill(f"note:    {note}", WIDTH, subsequent_indent=" " * 9))
    users = sorted(used_by)
    if users:
        click.echo("used by:")
        for user in users:
            click.echo(f"  {user}")


def _print_input(item: Input, first: System) -> None:
    mark = "  (assumed)" if item.assumed else ""
    click.echo(f"  {item.name}: {shown(item.value, first)}{mark}")
    match item.origin:
        case SpecOrigin(path=path, position=position):
            click.echo(f"      {position} {path}")
        case TableOrigin(table=table, row=row, source=source, mark=certainty):
            text = f"table {table}, {row}; {source}" + (f" [{certainty}]" if certainty else "")
            click.echo(
                textwrap.fill(text, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
            )
        case ResultOrigin(result=result):
            click.echo(f"      result {result}")
        case MethodOrigin(source=source):
            click.echo(
                textwrap.fill(source, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
            )


def _indented(text: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
