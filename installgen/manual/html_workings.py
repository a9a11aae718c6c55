"""A result's working as HTML: formula, inputs with where each comes from, what uses the result."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.results import (
    Input,
    MethodOrigin,
    Result,
    ResultOrigin,
    SpecOrigin,
    TableOrigin,
)
from installgen.manual.blocks import WorkingEntry
from installgen.manual.html_lines import LineWriter, escaped


def working_html(writer: LineWriter, entry: WorkingEntry) -> str:
    """The working, folded under its name and value."""
    result = entry.result
    if result.value is None:
        head, body = writer.verdict("not-assessed"), f"<p>{writer.reason(result)}</p>"
    else:
        head, body = f"<strong>{writer.value(result.value)}</strong>", ""
        head += f" {writer.mark('assumed')}" if result.assumed else ""
    body += _formula(writer, result)
    body += _inputs(writer, result.inputs)
    body += "".join(f"<p>{escaped(note)}</p>" for note in result.notes)
    body += _used_by(writer, entry.used_by)
    return (
        f'<details class="working" id="{escaped(writer.links.anchor(result.id))}">'
        f"<summary>{escaped(result.name)}: {head}</summary>{body}</details>"
    )


def _formula(writer: LineWriter, result: Result) -> str:
    formula = f"<code>{escaped(result.formula)}</code>"
    label = escaped(writer.words.text("working.source"))
    return f"<p>{formula}<br>{label} {escaped(result.source)}</p>"


def _inputs(writer: LineWriter, inputs: Sequence[Input]) -> str:
    if not inputs:
        return ""
    rows = "".join(
        f'<tr><th scope="row">{escaped(item.name)}</th><td>{_input_value(writer, item)}</td>'
        f"<td>{_origin(writer, item)}</td></tr>"
        for item in inputs
    )
    return f'<div class="table-scroll" tabindex="0"><table class="data">{rows}</table></div>'


def _input_value(writer: LineWriter, item: Input) -> str:
    text = writer.value(item.value)
    return f"{text} {writer.mark('assumed')}" if item.assumed else text


def _origin(writer: LineWriter, item: Input) -> str:
    origin = item.origin
    if isinstance(origin, SpecOrigin):
        path, place = escaped(origin.path), escaped(str(origin.position))
        return f"<code>{path}</code><br><code>{place}</code>"
    if isinstance(origin, ResultOrigin):
        result = writer.results[origin.result]
        return writer.result_link(result, result.name)
    if isinstance(origin, TableOrigin):
        mark = writer.words.text(f"table-marks.{origin.mark}") if origin.mark else ""
        parts = (origin.table, origin.row, origin.source, mark)
        return escaped("; ".join(part for part in parts if part))
    assert isinstance(origin, MethodOrigin)
    return escaped(origin.source)


def _used_by(writer: LineWriter, results: Sequence[Result]) -> str:
    if not results:
        return ""
    links = ", ".join(writer.result_link(result, result.name) for result in results)
    return f"<p>{escaped(writer.words.text('working.used_by'))} {links}</p>"
