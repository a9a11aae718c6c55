"""What needs attention, on the first page: why she is a draft, and the must-rules in short."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.finding import SEVERITIES, Cause, DraftReason
from installgen.findings.owner_headings import owner_headings
from installgen.manual.blocks import (
    AsTyped,
    Block,
    Bullets,
    Folded,
    Line,
    Link,
    Row,
    Target,
    Verdict,
    joined,
)
from installgen.manual.links import FINDINGS, NOT_ASSESSED
from installgen.manual.pages.common import columns, table, typed
from installgen.manual.pages.findings import (
    VERDICTS,
    finding_anchor,
    found,
    named_finding,
    open_causes,
    plain_limit,
)
from installgen.manual.vessel_manual import VesselManual

ATTENTION = "attention"
"""Anchor of what needs attention, on the first page."""

MOST_LISTED = 12
"""So many causes stand on the first page; the rest are a link away."""


def attention(m: VesselManual) -> Iterator[Block]:
    """Why the manual is a draft, the must-rules that do not hold, how many others there are."""
    yield m.heading("attention.heading", ATTENTION)
    lines = [*_draft(m), *_gaps(m), *_others(m)]
    must = open_causes(m, "must")
    if not lines and not must:
        yield m.paragraph("attention.nothing")
    if lines:
        yield Bullets(tuple(lines))
    yield from table(
        m.text("attention.must_caption"),
        columns(m, "verdict what found asked"),
        (_short(m, cause) for cause in must[:MOST_LISTED]),
    )
    if len(must) > MOST_LISTED:
        count = str(len(must) - MOST_LISTED)
        text = m.text("attention.more", count=count, page=m.text("titles.findings"))
        yield m.paragraph("attention.more_line", link=Link(text, Target(FINDINGS, "must")))


def _short(m: VesselManual, cause: Cause) -> Row:
    finding = cause.first
    name = Link(named_finding(m, finding), Target(FINDINGS, finding_anchor(finding)))
    figure = found(m, finding) or typed(finding.reason)
    return Row((Verdict(VERDICTS[finding.verdict]), name, figure, plain_limit(m, finding)))


def _draft(m: VesselManual) -> Iterator[Line]:
    """Each kind of reason why the manual is a draft; fields and sizes each with its place."""
    for kind in ("finding", "unknown field", "proposed size", "missing heading"):
        reasons = [reason for reason in m.findings.draft_reasons if reason.kind == kind]
        if not reasons:
            continue
        line = m.text(f"draft.{kind.replace(' ', '_')}", count=str(len(reasons)))
        places: tuple[Line, ...] = tuple(_reason(reason) for reason in reasons)
        if kind == "missing heading":
            states = owner_headings(m.vessel)
            places = tuple(state.name.replace("-", " ") for state in states if state.missing)
        yield line if kind == "finding" else (line, Folded(m.text("draft.which"), places))


def _reason(reason: DraftReason) -> Line:
    place = reason.place
    if place is None:
        return typed(reason.text)
    return joined([AsTyped(place.path), AsTyped(str(place.position)) if place.position else ""])


def _gaps(m: VesselManual) -> Iterator[Line]:
    gaps = sum(not result.assessed for result in m.book.values())
    if gaps:
        link = Link(m.text("attention.gaps_link", count=str(gaps)), Target(NOT_ASSESSED))
        yield m.say("attention.gaps", link=link)


def _others(m: VesselManual) -> Iterator[Line]:
    """How many should-rules and how much advice stand open."""
    for severity in SEVERITIES[1:]:
        count = len(open_causes(m, severity))
        if count:
            text = m.text(f"attention.{severity}_link", count=str(count))
            yield Link(text, Target(FINDINGS, severity))
