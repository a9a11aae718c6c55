"""Exemptions: what they cover, on which day, and when they do not count."""

from __future__ import annotations

from datetime import date

import pytest

from installgen.errors import SpecErrors
from installgen.findings.check import check
from installgen.findings.finding import Finding
from tests.findings.scenario_files import analysed, judged

SINGLE = "exhaust[engine].pieces[exhaust-hose-1].clamps = single"
"""The reference build with single clamps on an exhaust hose: her only must-rule that fails."""


def _clamps(*changes: str) -> Finding:
    found = judged("brannock", SINGLE, *changes)
    return next(
        f
        for f in found.items
        if f.subject == "engine.exhaust.exhaust-hose-1" and f.check == "exhaust-clamps"
    )


def _exemption(**fields: str) -> str:
    given = {"check": "exhaust-clamps", "reason": "no room for a second one", "role": "builder"}
    pairs = ", ".join(f"{key}: {value}" for key, value in {**given, **fields}.items())
    return f"exemptions = [{{{pairs}}}]"


def test_a_must_rule_that_fails_makes_a_draft() -> None:
    found = judged("brannock", SINGLE)
    failing = [f for f in found.items if f.holds_back]
    assert [f.check for f in failing] == ["exhaust-clamps"]
    assert found.draft
    assert not found.clean
    assert [reason.kind for reason in found.draft_reasons] == ["finding"]


def test_a_valid_exemption_lets_her_go() -> None:
    found = judged("brannock", SINGLE, _exemption())
    assert not found.draft
    assert found.clean
    assert _clamps(_exemption()).verdict == "fail"
    assert _clamps(_exemption()).exempt
    assert not [cause for cause in found.causes if cause.first.check == "exhaust-clamps"]


@pytest.mark.parametrize(
    ("of", "covers"),
    [
        ("engine.exhaust.exhaust-hose-1", True),
        ('"exhaust[1].pieces[1].clamps"', True),
        ("engine.exhaust.riser", False),
    ],
)
def test_it_covers_what_it_names(of: str, covers: bool) -> None:
    assert _clamps(_exemption(of=of)).exempt is covers


@pytest.mark.parametrize(
    ("fields", "why_not"),
    [
        ({"until": "2026-06-17"}, "it ended on 2026-06-17"),
        ({"until": "2026-05"}, "it ended on 2026-05-31"),
        ({"role": "owner"}, "lets only builder or checker or surveyor claim one"),
        ({"reason": '" "'}, "it gives no reason"),
    ],
)
def test_one_that_does_not_count_says_why(fields: dict[str, str], why_not: str) -> None:
    claim = _clamps(_exemption(**fields)).exemption
    assert claim is not None
    assert not claim.valid
    assert why_not in claim.why_not


def test_it_counts_through_its_last_day() -> None:
    """The spec is of 2026-06-18."""
    assert _clamps(_exemption(until="2026-06-18")).exempt
    assert _clamps(_exemption(until="2026-06")).exempt


def test_another_day_is_another_verdict() -> None:
    vessel = analysed("brannock", SINGLE, _exemption(until="2026-12-31"))
    assert not check(vessel, cures=False).draft
    assert not check(vessel, as_of=date(2026, 12, 31), cures=False).draft
    assert check(vessel, as_of=date(2027, 1, 1), cures=False).draft


def test_without_a_date_an_end_cannot_be_judged() -> None:
    claim = _clamps(_exemption(until="2027-12-31"), "vessel.date = unknown").exemption
    assert claim is not None
    assert "no date" in claim.why_not


def test_from_some_rules_there_is_none() -> None:
    missing = "controls[stop engine] ="
    claimed = _exemption(check="emergency-stop")
    found = judged("pipit", missing.replace("stop engine", "stop"), claimed)
    finding = next(f for f in found.items if f.check == "emergency-stop")
    assert finding.verdict == "fail"
    assert finding.exemption is not None
    assert finding.exemption.why_not == "the standard allows no exemption from this rule"
    assert finding.holds_back


def test_what_is_not_assessed_holds_back_too() -> None:
    unknown = "exhaust[engine].pieces[exhaust-hose-1].clamps ="
    assert judged("brannock", unknown).draft
    assert not judged("brannock", unknown, _exemption()).draft


def test_unknown_required_fields_and_proposed_sizes_make_a_draft() -> None:
    unknown = judged("brannock", "vessel.yard = unknown")
    assert [(r.kind, r.place.path) for r in unknown.draft_reasons if r.place] == [
        ("unknown field", "vessel.yard")
    ]
    proposed = judged("brannock", "electrical.conductors[L8].size = choose")
    assert [(r.kind, r.place.path) for r in proposed.draft_reasons if r.place] == [
        ("proposed size", "electrical.conductors[33].size")
    ]


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"check": "exhaust-clamp"}, "found the check `exhaust-clamp`; expected"),
        ({"check": "exhaust-clamp"}, "write `exhaust-clamps`"),
        ({"check": "circuit-drop.lights"}, "expected `circuit-drop`, or one of circuit-drop.crit"),
        ({"check": "exhaust-clamps.other"}, "expected `exhaust-clamps`, without a class"),
        ({"of": "engine.exhaust.exhaust-hose"}, "expected one of engine.exhaust."),
        ({"of": "engine.exhaust.risser"}, "write `engine.exhaust.riser`"),
    ],
)
def test_a_mistyped_one_is_a_mistake(fields: dict[str, str], told: str) -> None:
    with pytest.raises(SpecErrors) as raised:
        judged("brannock", SINGLE, _exemption(**fields))
    assert told in str(raised.value)
    (problem,) = raised.value.problems
    assert problem.path in ("exemptions[1].check", "exemptions[1].of")


@pytest.mark.parametrize(
    ("named", "exempt"),
    [("circuit-drop", True), ("circuit-drop.other", True), ("circuit-drop.critical", False)],
)
def test_a_class_of_a_check_is_named_behind_a_full_stop(named: str, exempt: bool) -> None:
    long = [f"electrical.conductors[{label}].length = 40 m" for label in ("L8", "L9")]
    found = judged("brannock", *long, _exemption(check=named))
    failing = [f for f in found.items if f.id.startswith("circuit-drop.other/")]
    failing = [f for f in failing if f.verdict == "fail"]
    assert failing
    assert {f.exempt for f in failing} == {exempt}


def test_one_that_covers_nothing_is_a_finding() -> None:
    found = judged("brannock", _exemption(of="engine.exhaust.riser"))
    (unused,) = [f for f in found.items if f.check == "exemption-unused"]
    assert (unused.severity, unused.verdict) == ("should", "fail")
    assert unused.place is not None
    assert unused.place.path == "exemptions[1].check"
    assert not found.strictly_clean
    assert not [
        f for f in judged("brannock", SINGLE, _exemption()).items if f.check == unused.check
    ]
