"""Exemptions: which of those that the vessel claims covers a finding, and whether it counts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from installgen.findings.dates import last_day
from installgen.findings.finding import Claim, Finding, Place
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.spec.vessel_spec import Exemption


def claim_for(survey: Survey, rule: BoundRule, finding: Finding) -> Claim | None:
    """The exemption that the vessel claims for a finding; a valid one before one that is not."""
    claims = [
        _claim(survey, rule, entry)
        for entry in survey.vessel.spec.exemptions
        if entry.check == finding.check and _covers(entry, finding)
    ]
    return min(claims, key=lambda claim: not claim.valid, default=None)


def _covers(entry: Exemption, finding: Finding) -> bool:
    return not entry.of or entry.of in _names(finding)


def _names(finding: Finding) -> Iterable[str]:
    """What an exemption may call a finding by: its subject, a result, a path, its class."""
    yield finding.subject
    yield from finding.results
    yield from (place.path for place in finding.places)
    if finding.circuit:
        yield finding.circuit


def _claim(survey: Survey, rule: BoundRule, entry: Exemption) -> Claim:
    why_not = _why_not(survey, rule, entry)
    place = Place(entry.path_to(), entry.where())
    return Claim(entry.reason, entry.role, entry.until, place, not why_not, why_not)


def _why_not(survey: Survey, rule: BoundRule, entry: Exemption) -> str:
    roles = survey.standard.exemption_roles
    if not rule.exemptible:
        return "the standard allows no exemption from this rule"
    if roles and entry.role not in roles:
        return f"the standard lets only {' or '.join(roles)} claim one, not `{entry.role}`"
    if not entry.reason.strip():
        return "it gives no reason"
    return _ended(entry, survey.as_of)


def _ended(entry: Exemption, as_of: date | None) -> str:
    if not entry.until:
        return ""
    if as_of is None:
        return "her spec gives no date to judge its end by"
    return "" if as_of <= last_day(entry.until) else f"it ended on {last_day(entry.until)}"
