"""Exemptions: which of those that the vessel claims covers a finding, and whether it counts.

One that names a check or a thing that does not exist is a mistake of the spec; one that covers
nothing is a finding.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from installgen.errors import Problem
from installgen.findings.dates import last_day
from installgen.findings.finding import Claim, Finding, Place, RuleOrigin
from installgen.findings.registry import checks
from installgen.findings.rules import REQUIRED_ITEM, BoundRule
from installgen.findings.survey import Survey
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest
from installgen.spec.problems import one_of, problem_at
from installgen.spec.vessel import entries
from installgen.spec.vessel_spec import Exemption
from installgen.units import quoted

UNUSED_EXEMPTION = "exemption-unused"
"""What the finding of an exemption that covers nothing is called."""


def claim_for(survey: Survey, rule: BoundRule, finding: Finding) -> Claim | None:
    """The exemption that the vessel claims for a finding; a valid one before one that is not."""
    claims = [
        _claim(survey, rule, entry)
        for entry in survey.vessel.spec.exemptions
        if _is_from(entry, finding) and _covers(entry, finding)
    ]
    return min(claims, key=lambda claim: not claim.valid, default=None)


def _is_from(entry: Exemption, finding: Finding) -> bool:
    """Whether an exemption is from the check of a finding, and from its class if it says one."""
    check, _, circuit = entry.check.partition(".")
    return check == finding.check and circuit in ("", finding.circuit)


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


def exemption_problems(survey: Survey, found: Iterable[Finding]) -> list[Problem]:
    """Exemptions from a check that there is not, or of a thing that nothing is called."""
    items = list(found)
    problems = []
    for entry in survey.vessel.spec.exemptions:
        problem = _check_problem(entry) or _of_problem(survey, entry, items)
        if problem is not None:
            problems.append(problem)
    return problems


def _check_problem(entry: Exemption) -> Problem | None:
    known = checks()
    name, dot, circuit = entry.check.partition(".")
    if name not in known and name != REQUIRED_ITEM:
        guess = nearest(name, known)
        instead = f"{guess}{dot}{circuit}" if guess else None
        expected = "the name of a check; `installgen check --list` tells them"
        return problem_at(entry, "check", f"the check {quoted(name)}", expected, instead)
    circuits = known[name].circuits if name in known else ()
    if not dot or circuit in circuits:
        return None
    names = [f"{name}.{each}" for each in circuits]
    expected = f"`{name}`, or one of {', '.join(names)}" if names else f"`{name}`, without a class"
    return problem_at(entry, "check", quoted(entry.check), expected, nearest(entry.check, names))


def _of_problem(survey: Survey, entry: Exemption, items: list[Finding]) -> Problem | None:
    """A name that no finding, result or entry of the vessel has."""
    if not entry.of:
        return None
    if any(entry.of in _names(finding) for finding in items) or entry.of in survey.book:
        return None
    subjects = {finding.subject for finding in items if _is_from(entry, finding)}
    named = {name for each in entries(survey.vessel.spec) for name in _called(each) if name}
    if entry.of in named:
        return None
    subjects = subjects or {finding.subject for finding in items} | named
    return problem_at(
        entry,
        "of",
        f"{quoted(entry.of)}, which nothing is called that `{entry.check}` judges",
        one_of(subjects),
        nearest(entry.of, subjects),
    )


def _called(entry: Entry) -> tuple[str | None, str | None]:
    return getattr(entry, "id", None), getattr(entry, "label", None)


def unused_exemptions(survey: Survey, found: Iterable[Finding]) -> list[Finding]:
    """A finding for each exemption that covers nothing which fails or is not assessed."""
    items = [finding for finding in found if finding.verdict in ("fail", "not assessed")]
    return [
        _unused(survey, number, entry)
        for number, entry in enumerate(survey.vessel.spec.exemptions, start=1)
        if not any(_is_from(entry, finding) and _covers(entry, finding) for finding in items)
    ]


def _unused(survey: Survey, number: int, entry: Exemption) -> Finding:
    place = Place(entry.path_to("check"), entry.where("check"))
    return Finding(
        check=UNUSED_EXEMPTION,
        circuit="",
        system="identity",
        severity="should",
        verdict="fail",
        subject=f"exemption.{number}",
        name=f"exemption from {entry.check}" + (f" of {entry.of}" if entry.of else ""),
        figure="covers nothing",
        limit="covers a finding that fails or is not assessed",
        sense="is",
        margin=None,
        margin_share=None,
        places=(place,),
        reason="take it out: what it covered holds now, or is not judged by her standard",
        rule=RuleOrigin(
            survey.standard.standard.id,
            "an exemption that nobody needs hides what fails next",
            place,
        ),
    )
