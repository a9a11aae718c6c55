"""The demonstration fleet: what each rule has to say of each vessel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml

from installgen.findings.finding import VERDICTS, Findings
from tests.findings.scenario_files import judged

EXPECTED = Path(__file__).parent / "expected"
FLEET = ("brannock", "corrie", "sallow", "pipit")


@cache
def _judged(vessel: str) -> Findings:
    return judged(vessel)


def _worst(findings: Findings) -> dict[str, str]:
    """The worst verdict of each rule over its subjects."""
    worst: dict[str, str] = {}
    for finding in findings.items:
        rule = finding.id.partition("/")[0]
        before = worst.get(rule, "pass")
        worst[rule] = min(before, finding.verdict, key=lambda v: VERDICTS.index(v))
    return worst


@pytest.mark.parametrize("vessel", FLEET)
def test_verdicts_are_the_expected_ones(vessel: str) -> None:
    """A rule that the file does not name has to pass, or to have no subject."""
    expected = yaml.safe_load((EXPECTED / f"{vessel}.yaml").read_text("utf-8"))
    told = {rule: verdict for rule, verdict in _worst(_judged(vessel)).items() if verdict != "pass"}
    assert told == expected["verdicts"]
    assert _judged(vessel).draft is expected["draft"]
    assert _judged(vessel).clean is expected["clean"]


def test_the_standard_has_many_rules_over_every_system() -> None:
    found = {f.id.partition("/")[0]: f.system for v in FLEET for f in _judged(v).items}
    assert len(found) >= 60
    assert set(found.values()) == {
        "identity",
        "rating",
        "raw-water",
        "exhaust",
        "coolant",
        "oil",
        "fuel",
        "air",
        "dc-power",
        "start-run-stop",
        "driveline",
        "controls",
        "connections",
        "readings",
    }


@pytest.mark.parametrize("vessel", FLEET)
def test_every_finding_says_where_and_why(vessel: str) -> None:
    for finding in _judged(vessel).items:
        assert finding.rule.because
        assert finding.rule.place.position is not None
        assert finding.name
        if finding.verdict in ("fail", "caution") and finding.check != "unknown-count":
            assert finding.place is not None, finding.id
            assert finding.place.position is not None, finding.id
        if finding.verdict == "not assessed":
            assert finding.reason, finding.id


@pytest.mark.parametrize("vessel", FLEET)
def test_findings_are_in_order_of_work(vessel: str) -> None:
    weights = {"must": 0, "should": 1, "advice": 2}
    severities = [weights[finding.severity] for finding in _judged(vessel).items]
    assert severities == sorted(severities)
    ids = [finding.id for finding in _judged(vessel).items]
    assert len(ids) == len(set(ids))


def test_one_cause_is_listed_once_with_all_that_goes_with_it() -> None:
    causes = {cause.place.path: cause for cause in _judged("pipit").causes if cause.place}
    cable = causes["electrical.conductors[2].size"]
    assert {finding.check for finding in cable.findings} >= {
        "starter-circuit",
        "cranking-voltage",
        "cranking-speed",
    }
    hin = [c for c in _judged("pipit").causes if c.place and c.place.path == "vessel.hin"]
    assert len(hin) == 1
