"""Findings: every rule of the standard, what does not hold by cause, what holds by rule."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.finding import SEVERITIES, Cause, Finding, Place
from installgen.findings.words import shown, told_apart
from installgen.manual import links
from installgen.manual.blocks import (
    Amount,
    AsTyped,
    Block,
    Folded,
    Line,
    Link,
    Outcome,
    Row,
    Stack,
    Verdict,
    VerdictKind,
    joined,
)
from installgen.manual.pages.common import columns, table, typed
from installgen.manual.vessel_manual import VesselManual, full_stop, sentence
from installgen.spec.standard_spec import Severity
from installgen.spec.vessel_spec import Exemption
from installgen.units import Quantity, rounded

VERDICTS: dict[str, VerdictKind] = {
    "pass": "pass",
    "caution": "caution",
    "fail": "fail",
    "not assessed": "not-assessed",
}


def findings_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where the standard has no rule that applies."""
    if not m.findings.items:
        return
    standard = m.vessel.standard.standard
    yield m.paragraph("findings.intro", standard=standard.name, edition=standard.edition)
    if not m.thorough and m.findings.causes:
        command = AsTyped(f"installgen check {m.vessel.id}")
        yield m.paragraph("findings.cures_left_out", command=command)
    for severity in SEVERITIES:
        causes = open_causes(m, severity)
        if causes:
            yield m.heading(f"findings.{severity}_heading", severity)
            yield from table(
                m.text("findings.caption"),
                columns(m, "verdict what found asked cure because"),
                (_cause(m, cause) for cause in causes),
            )
    yield from _exemptions(m)
    holding = m.findings.of("pass")
    if holding:
        yield m.heading("findings.holding_heading", "holding")
        yield from table(
            m.text("findings.holding_caption"),
            columns(m, "rule severity holds# tightest asked because"),
            _holding(m, holding),
        )


def open_causes(m: VesselManual, severity: Severity) -> list[Cause]:
    """What stands behind the findings of one severity that are no pass."""
    causes = m.findings.causes
    return [c for c in causes if c.first.verdict != "pass" and c.first.severity == severity]


def finding_anchor(finding: Finding) -> str:
    """Where a finding stands on its page."""
    return f"finding.{finding.id}"


def _cause(m: VesselManual, cause: Cause) -> Row:
    """One cause with the weightiest of its findings, and all that goes with it."""
    finding = cause.first
    others: tuple[Line, ...] = tuple(_with_it(m, other, finding) for other in cause.findings[1:])
    with_it = Folded(m.text("findings.with_it", count=str(len(others))), others) if others else ""
    reason = typed(full_stop(finding.reason)) if finding.reason else ""
    case = m.say("findings.in_case", case=finding.case_name) if finding.case_name else ""
    return Row(
        (
            Verdict(VERDICTS[finding.verdict]),
            Stack((named_finding(m, finding), case, reason, _place(finding.place), with_it)),
            found(m, finding),
            Stack((plain_limit(m, finding), _margin(m, finding))),
            Stack((*_cure(m, finding), _exempted(m, finding))),
            sentence(finding.rule.because),
        ),
        finding_anchor(finding),
    )


def _holding(m: VesselManual, items: list[Finding]) -> Iterator[Row]:
    """One row for each rule: how many things it holds for, the one nearest to its limit, all."""
    rules: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in items:
        rules.setdefault((finding.check, finding.circuit, finding.severity), []).append(finding)
    for (check, circuit, severity), members in rules.items():
        first = min(members, key=lambda f: (f.margin_share is None, f.margin_share or 0.0))
        margin = first.margin_share is not None
        figure = joined([found(m, first), f"({first.reason})" if first.reason else ""], " ")
        tightest = joined([sentence(first.name), figure], ": ") if margin else ""
        names: tuple[Line, ...] = tuple(sentence(member.name) for member in members)
        every: Line = Folded(m.text("findings.every"), names)
        if len(names) == 1:
            every = "" if margin else names[0]
        yield Row(
            (
                (sentence(check.replace("-", " ")), f", {circuit}" if circuit else ""),
                m.choice("severities", severity),
                str(len(members)),
                Stack((tightest, every)),
                plain_limit(m, first),
                sentence(first.rule.because),
            )
        )


def named_finding(m: VesselManual, finding: Finding) -> Line:
    """What was judged, and by which check."""
    check = m.say("findings.check", check=finding.check.replace("-", " "))
    return joined([sentence(finding.name), check], " ")


def _with_it(m: VesselManual, finding: Finding, first: Finding) -> Line:
    """A finding of the same cause: its name, its severity if another, found and asked."""
    figures = joined([found(m, finding), plain_limit(m, finding)], ", ")
    name = named_finding(m, finding)
    if finding.severity != first.severity:
        severity = m.choice("severities", finding.severity)
        name = joined([name, m.say("findings.of_severity", severity=severity)], " ")
    return joined([name, figures], ": ")


def _apart(m: VesselManual, finding: Finding) -> tuple[str, str] | None:
    """Figure and limit with more figures than usual, where they would else be printed alike."""
    if finding.figure == finding.limit or not isinstance(finding.figure, Quantity):
        return None
    first = m.vessel.spec.units.first
    alike = shown(finding.figure, first) == shown(finding.limit, first)
    return told_apart(finding.figure, finding.limit, first) if alike else None


def found(m: VesselManual, finding: Finding) -> Line:
    """What was found, linked to its working: of the result that says it, or that it is from."""
    apart = _apart(m, finding)
    for result_id in finding.results:
        if finding.figure is not None and m.book[result_id].value == finding.figure:
            outcome = Outcome(m.book[result_id])
            return outcome if apart is None else _linked(m, finding, apart[0])
    if apart is not None:
        return _linked(m, finding, apart[0])
    value = _value(finding.figure)
    return _linked(m, finding, value) if isinstance(finding.figure, Quantity) else value


def _linked(m: VesselManual, finding: Finding, value: Line) -> Line:
    """A figure, linked to the first result that it rests on."""
    behind = next((m.book[result] for result in finding.results if result in m.book), None)
    return value if behind is None else Link(value, links.working_of(behind))


def plain_limit(m: VesselManual, finding: Finding) -> Line:
    """What the rule asks; a limit that was computed opens its working."""
    if finding.limit is None:
        return ""
    if finding.sense == "is":
        return _value(finding.limit)
    key = "phrases.at_most" if finding.sense == "at most" else "phrases.at_least"
    apart = _apart(m, finding)
    limit = _value(finding.limit) if apart is None else apart[1]
    for result_id in finding.results:
        if m.book[result_id].value == finding.limit != finding.figure:
            limit = Link(limit, links.working_of(m.book[result_id]))
            break
    return m.say(key, limit=limit)


def _margin(m: VesselManual, finding: Finding) -> Line:
    if finding.margin is None:
        return ""
    return m.say("findings.margin", margin=Amount(finding.margin))


def _value(value: object) -> Line:
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return Amount(value)
    return rounded(value) if isinstance(value, float) else str(value)


def _cure(m: VesselManual, finding: Finding) -> tuple[Line, ...]:
    """What would clear it; where it was tried, how to open the workings of its figures."""
    cure = finding.cure
    if cure is None:
        return ()
    if not (cure.checked and cure.changes):
        return (typed(full_stop(cure.text)),)
    tries = " ".join(f'--try "{change.path} = {change.value}"' for change in cure.changes)
    command = f"installgen working {m.vessel.id} {finding.id} {tries}"
    how = Folded(m.text("findings.cure_working"), (AsTyped(command),))
    return (typed(full_stop(cure.text)), how)


def _place(place: Place | None) -> Line:
    """The path of the text that decides, and where it stands."""
    if place is None:
        return ""
    where = "" if place.position is None else AsTyped(str(place.position))
    return joined([AsTyped(place.path), where], " ")


def _exempted(m: VesselManual, finding: Finding) -> Line:
    claim = finding.exemption
    if claim is None:
        return ""
    if claim.valid:
        if claim.until:
            return m.say(
                "findings.exempt_until", reason=claim.reason, role=claim.role, until=claim.until
            )
        return m.say("findings.exempt", reason=claim.reason, role=claim.role)
    return m.say("findings.exempt_not", why=claim.why_not)


def _exemptions(m: VesselManual) -> Iterator[Block]:
    exemptions = m.vessel.spec.exemptions
    if exemptions:
        yield m.heading("findings.exemptions_heading", "exemptions")
        if m.findings.as_of is not None:
            yield m.paragraph("findings.judged_on", date=m.findings.as_of.isoformat())
    yield from table(
        m.text("findings.exemptions_caption"),
        columns(m, "rule of because role until state"),
        (
            Row((AsTyped(e.check), e.of, e.reason, e.role, e.until, _state(m, e)))
            for e in exemptions
        ),
    )


def _state(m: VesselManual, exemption: Exemption) -> Line:
    """Whether an exemption counts, and for how many findings; else why it does not."""
    path = exemption.path_to()
    claims = [
        f.exemption for f in m.findings.items if f.exemption and f.exemption.place.path == path
    ]
    valid = sum(claim.valid for claim in claims)
    if valid:
        return m.text("findings.counts_for", count=str(valid))
    if claims:
        return m.say("findings.exempt_not", why=claims[0].why_not)
    return m.text("findings.covers_nothing")
