"""Findings in SARIF, the static-analysis interchange format of OASIS, version 2.1.0.

A finding that fails has a level by its severity. What cannot be assessed is of the kind `open`, a
caution of the kind `review`: the format gives neither a level. An exemption is a suppression.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from installgen import __version__
from installgen.cli.fleet import Judged
from installgen.findings.exemptions import UNUSED_EXEMPTION
from installgen.findings.finding import Finding, Findings
from installgen.findings.registry import checks
from installgen.findings.rules import REQUIRED_ITEM
from installgen.findings.words import sentence
from installgen.units import System

_LEVELS = {"must": "error", "should": "warning", "advice": "note"}
_OWN_RULES = {
    REQUIRED_ITEM: "A field that the standard requires is given.",
    UNUSED_EXEMPTION: "An exemption covers a finding.",
}
_KINDS = {"fail": "fail", "not assessed": "open", "caution": "review", "pass": "pass"}


def sarif(fleet: Iterable[Judged]) -> dict[str, Any]:
    """One run over all the vessels; what passes is left out."""
    judged = list(fleet)
    results = [
        _result(finding, one.findings, one.first)
        for one in judged
        for finding in one.findings.items
        if finding.verdict != "pass"
    ]
    names = sorted({result["ruleId"] for result in results})
    driver = {
        "name": "installgen",
        "rules": [_rule(name) for name in names],
        "semanticVersion": __version__,
    }
    run = {"columnKind": "unicodeCodePoints", "results": results, "tool": {"driver": driver}}
    return {"runs": [run], "version": "2.1.0"}


def _rule(name: str) -> dict[str, Any]:
    check = checks().get(name)
    text = check.summary if check is not None else _OWN_RULES[name]
    return {"id": name, "shortDescription": {"text": text}}


def _result(finding: Finding, findings: Findings, first: System) -> dict[str, Any]:
    text = f"{findings.vessel}: {finding.name}: {sentence(finding, first)}"
    if finding.cure is not None:
        text += f". To clear it: {finding.cure.text}"
    result: dict[str, Any] = {
        "kind": _KINDS[finding.verdict],
        "level": _LEVELS[finding.severity] if finding.verdict == "fail" else "none",
        "locations": _locations(finding),
        "message": {"text": f"{text}."},
        "partialFingerprints": {"finding/v1": f"{findings.vessel}/{finding.id}"},
        "ruleId": finding.check,
    }
    if finding.exempt and finding.exemption is not None:
        result["suppressions"] = [{"justification": finding.exemption.reason, "kind": "inSource"}]
    return result


def _locations(finding: Finding) -> list[dict[str, Any]]:
    return [
        {
            "physicalLocation": {
                "artifactLocation": {"uri": place.position.file},
                "region": {
                    "startColumn": place.position.column,
                    "startLine": place.position.line,
                },
            }
        }
        for place in finding.places[:1]
        if place.position is not None
    ]
