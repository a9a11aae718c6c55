"""What needs attention: why the manual is a draft, and every rule that does not hold, by cause."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.finding import Cause, Finding, Place
from installgen.manual.blocks import (
    Amount,
    AsTyped,
    Block,
    Bullets,
    Fold,
    Folded,
    Line,
    Link,
    Outcome,
    Row,
    Stack,
    Target,
    Verdict,
    VerdictKind,
    joined,
)
from installgen.manual.links import NOT_ASSESSED
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual, full_stop, sentence
from installgen.units import Quantity, rounded

ATTENTION = "attention"
"""Anchor of what needs attention, on the first page."""

VERDICTS: dict[str, VerdictKind] = {
    "pass": "pass",
    "caution": "caution",
    "fail": "fail",
    "not assessed": "not-assessed",
}


def attention(m: VesselManual) -> Iterator[Block]:
    """Why she is a draft, what does not hold, what cannot be judged; what holds is folded."""
    yield m.heading("attention.heading", ATTENTION)
    lines = [*_draft(m), *_gaps(m)]
    causes = [cause for cause in m.findings.causes if cause.kind != "pass"]
    if not lines and not causes:
        yield m.paragraph("attention.nothing")
    if lines:
        yield Bullets(tuple(lines))
    yield from table(
        m.text("attention.findings_caption"),
        columns(m, "verdict what value# limit# margin# cure because"),
        (_cause(m, cause) for cause in causes),
    )
    holding = m.findings.of("pass")
    rows = table(
        m.text("attention.holding_caption"),
        columns(m, "what value# limit# margin# because"),
        (_holding(m, finding) for finding in holding),
    )
    if holding:
        standard = m.vessel.standard.standard
        count = str(len(holding))
        yield Fold(m.text("attention.holding", count=count, standard=standard.name), tuple(rows))
    yield from _exemptions(m)


def _draft(m: VesselManual) -> Iterator[Line]:
    """Each kind of reason why the manual is a draft; fields and sizes each with its place."""
    for kind in ("finding", "unknown field", "proposed size"):
        reasons = [reason for reason in m.findings.draft_reasons if reason.kind == kind]
        if not reasons:
            continue
        line = m.text(f"draft.{kind.replace(' ', '_')}", count=str(len(reasons)))
        places = tuple(_path_and_place(reason.place) for reason in reasons)
        yield line if kind == "finding" else (line, Folded(m.text("draft.which"), places))


def _gaps(m: VesselManual) -> Iterator[Line]:
    gaps = sum(not result.assessed for result in m.book.values())
    if gaps:
        link = Link(m.text("attention.gaps_link", count=str(gaps)), Target(NOT_ASSESSED))
        yield m.say("attention.gaps", link=link)


def _cause(m: VesselManual, cause: Cause) -> Row:
    """One cause with the weightiest of its findings, and what it drags along."""
    finding = cause.first
    others: list[Line] = [_named(m, other) for other in cause.findings[1:]]
    dragged: Line = ""
    if others:
        dragged = Folded(m.text("attention.dragged", count=str(len(others))), tuple(others))
    verdict = (Verdict(VERDICTS[finding.verdict]), " ", m.choice("severities", finding.severity))
    return Row(
        (
            verdict,
            Stack(
                (_named(m, finding), full_stop(finding.reason) if finding.reason else "", dragged)
            ),
            _figure(m, finding),
            _limit(m, finding),
            _margin(finding),
            Stack((_cure(finding), _place(finding.place), _exempted(m, finding))),
            finding.rule.because,
        ),
        f"finding.{finding.id}",
    )


def _holding(m: VesselManual, finding: Finding) -> Row:
    return Row(
        (
            _named(m, finding),
            _figure(m, finding),
            _limit(m, finding),
            _margin(finding),
            finding.rule.because,
        ),
        f"finding.{finding.id}",
    )


def _named(m: VesselManual, finding: Finding) -> Line:
    """What was judged, by which check, in which case."""
    check = m.say("attention.check", check=finding.check.replace("-", " "))
    return joined([sentence(finding.name), check], " ")


def _figure(m: VesselManual, finding: Finding) -> Line:
    """What was found, linked to its working where a result says just that."""
    for result_id in finding.results:
        if m.book[result_id].value == finding.figure and finding.figure is not None:
            return Outcome(m.book[result_id])
    return _value(finding.figure)


def _limit(m: VesselManual, finding: Finding) -> Line:
    if finding.limit is None:
        return ""
    if finding.sense == "is":
        return _value(finding.limit)
    key = "phrases.at_most" if finding.sense == "at most" else "phrases.at_least"
    return m.say(key, limit=_value(finding.limit))


def _margin(finding: Finding) -> Line:
    return "" if finding.margin is None else Amount(finding.margin)


def _value(value: object) -> Line:
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return Amount(value)
    return rounded(value) if isinstance(value, float) else str(value)


def _cure(finding: Finding) -> Line:
    return "" if finding.cure is None else full_stop(finding.cure.text)


def _place(place: Place | None) -> Line:
    if place is None:
        return ""
    where = "" if place.position is None else AsTyped(str(place.position))
    return Stack((AsTyped(place.path), where))


def _path_and_place(place: Place | None) -> Line:
    if place is None:
        return ""
    return joined([AsTyped(place.path), AsTyped(str(place.position)) if place.position else ""])


def _exempted(m: VesselManual, finding: Finding) -> Line:
    claim = finding.exemption
    if claim is None:
        return ""
    if claim.valid:
        return m.say("attention.exempt", reason=claim.reason, role=claim.role)
    return m.say("attention.exempt_not", why=claim.why_not)


def _exemptions(m: VesselManual) -> Iterator[Block]:
    yield from table(
        m.text("attention.exemptions_caption"),
        columns(m, "rule of because role until"),
        (
            Row((AsTyped(e.check), e.of, e.reason, e.role, e.until))
            for e in m.vessel.spec.exemptions
        ),
    )
