"""Register of hull openings, part of the page on raw water."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Line, Row
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual, coded

PREFIX = "opening."


def opening_blocks(m: VesselManual) -> Iterator[Block]:
    """Every opening of the hull that has a height: where it lies, whether the sea can come in."""
    subjects = dict.fromkeys(
        result.subject for result in m.book.values() if result.subject.startswith(PREFIX)
    )
    if not subjects:
        return
    yield m.heading("openings.heading", "openings")
    yield m.caution("warning", "openings.caution")
    yield from table(
        m.text("openings.caption"),
        columns(m, "opening lowest_height# against_waterline siphon find plug"),
        (_row(m, subject) for subject in subjects),
    )


def _row(m: VesselManual, subject: str) -> Row:
    results = m.book.about(subject)
    name: Line = results[0].name.rpartition(": ")[0]
    find, plug = "", ""
    for opening in m.vessel.spec.openings:
        if subject == f"{PREFIX}{opening.id}":
            name = coded(opening.name or opening.use, opening.code)
            find, plug = opening.find, opening.plug
    cells = [
        m.outcome(f"{subject}.{what}") for what in ("lowest-height", "against-waterline", "siphon")
    ]
    return Row((name, *cells, find, plug), subject)
