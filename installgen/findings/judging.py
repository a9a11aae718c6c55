"""One rule over one vessel: what its check says, with the rule's side added."""

from __future__ import annotations

import re
from dataclasses import replace

from installgen.findings.exemptions import claim_for
from installgen.findings.finding import Finding, Place
from installgen.findings.judgement import About, Judgement
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey


def judge(survey: Survey, rule: BoundRule) -> list[Finding]:
    """Every finding of one rule."""
    return [_finding(survey, rule, judgement) for judgement in rule.judge(survey)]


def _finding(survey: Survey, rule: BoundRule, judged: Judgement) -> Finding:
    about = judged.about
    verdict = judged.verdict
    share = judged.margin_share
    if verdict == "pass" and rule.near is not None and share is not None:
        verdict = "caution" if share < rule.near.ratio else "pass"
    missing = tuple(Place(m.path, m.position) for m in judged.missing)
    places = tuple(dict.fromkeys((*missing, *about.places)))
    finding = Finding(
        check=rule.check,
        circuit=rule.circuit,
        system=rule.system,
        severity=rule.severity,
        verdict=verdict,
        subject=about.subject,
        name=_name(survey, about),
        figure=judged.figure,
        limit=judged.limit,
        sense=judged.sense,
        margin=judged.margin,
        margin_share=share,
        places=places,
        reason=judged.reason,
        rule=rule.origin,
        missing=judged.missing,
        results=judged.results,
        case=about.case,
        case_name=next(
            (c.case.name for c in survey.cases_and_stations if c.case.id == about.case), ""
        ),
        engine=about.engine,
        assumed=judged.assumed,
    )
    if verdict == "pass":
        return finding
    return replace(finding, exemption=claim_for(survey, rule, finding))


def _name(survey: Survey, about: About) -> str:
    """What a person calls it; where there are several engines, with the one that it is of."""
    engine = about.engine or about.subject.partition(".")[0]
    others = [e.name for e in survey.engines if e.name != engine]
    aboard = len(others) == len(survey.engines) - 1
    if not aboard or not others or re.search(rf"\b{re.escape(engine)}\b", about.name, re.I):
        return about.name
    return f"{engine}: {about.name}"
