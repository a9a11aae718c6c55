"""Not assessed: every result without a value, by the field that would have to be filled in."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.results import Missing, Result
from installgen.findings.required import unknown_fields
from installgen.manual.blocks import AsTyped, Block, Folded, Line, Link, Row, Stack
from installgen.manual.links import working_of
from installgen.manual.pages.common import columns, table, typed
from installgen.manual.vessel_manual import VesselManual

MOST_LISTED = 3


def not_assessed_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where every result has a value and no field is unknown."""
    gaps = [result for result in m.book.values() if not result.assessed]
    fields = waiting_by_field(m, gaps)
    if not gaps and not fields:
        return
    yield m.paragraph("not-assessed.intro")
    if fields:
        yield m.heading("not-assessed.fields_heading", "fields")
        yield from table(
            m.text("not-assessed.fields_caption"),
            columns(m, "field where_written waiting"),
            (_field(m, missing, results) for missing, results in fields.items()),
        )
    others: dict[str, list[Result]] = {}
    for result in gaps:
        if not result.missing:
            others.setdefault(result.not_assessed, []).append(result)
    if others:
        yield m.heading("not-assessed.results_heading", "results")
        yield from table(
            m.text("not-assessed.results_caption"),
            columns(m, "why waiting"),
            (Row((typed(reason), _waiting(m, results))) for reason, results in others.items()),
        )


def waiting_by_field(m: VesselManual, gaps: list[Result]) -> dict[Missing, list[Result]]:
    """For each field to be filled in, the results that wait for it; unknown fields among them."""
    found: dict[tuple[str, str], tuple[Missing, list[Result]]] = {}
    for missing in unknown_fields(m.vessel):
        found[(missing.path, str(missing.position))] = (missing, [])
    for result in gaps:
        for missing in result.missing:
            key = (missing.path, str(missing.position))
            found.setdefault(key, (missing, []))[1].append(result)
    return dict(found.values())


def _field(m: VesselManual, missing: Missing, results: list[Result]) -> Row:
    where = AsTyped(str(missing.position)) if missing.position else m.text("phrases.nowhere")
    return Row((AsTyped(missing.path), where, _waiting(m, results)))


def _waiting(m: VesselManual, results: list[Result]) -> Line:
    """Every result that waits; where there are many, most of them folded."""
    listed = [Link(result.name, working_of(result)) for result in results]
    if len(listed) <= MOST_LISTED + 1:
        return Stack(tuple(listed))
    rest = m.text("not-assessed.more", count=str(len(listed) - MOST_LISTED))
    return Stack((*listed[:MOST_LISTED], Folded(rest, tuple(listed[MOST_LISTED:]))))
