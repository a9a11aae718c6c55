"""Faults that fuses must end, and what stands between two sources, on demonstration vessels."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.findings.check import check
from installgen.findings.finding import Finding
from installgen.units import Current
from tests.analysis.specs import analysed_in, change_line, field

BRANNOCK, SALLOW, YARD = "vessels/brannock", "vessels/sallow", "standards/quenby-slip"


def _finding(analysis: Analysis, finding: str) -> Finding:
    return {item.id: item for item in check(analysis).items}[finding]


def _amperes(analysis: Analysis, result: str) -> float:
    value = analysis.book[result].value
    assert isinstance(value, Current), analysis.book[result].not_assessed
    return value.a


def test_a_dead_short_at_the_end_of_the_house_feed_by_hand(specs: Path) -> None:
    book = analysed_in(specs).book

    def plain(result: str) -> float:
        return float(getattr(book[result].value, "value", 0.0))

    # Battery, S1, isolator (0.1 mohm), D1, main fuse (1 mohm), D2; two joints of 0.1 mohm in each
    # conductor; and as much again on the way back.
    copper = sum(plain(f"conductor.{label}.resistance") for label in ("S1", "D1", "D2"))
    there = copper + 1e-4 + 1e-3 + 3 * 2 * 1e-4
    emf, inside = (plain(f"battery.start-bank.weakest.{what}") for what in ("emf", "resistance"))
    found = _amperes(analysed_in(specs), "conductor.D2.fault-current")
    assert found == pytest.approx(emf / (inside + 2 * there), rel=1e-6)


def test_a_wire_behind_a_lamp_carries_what_the_lamp_lets_through(specs: Path) -> None:
    # 68 ohm at 12 V and more: next to nothing, for ever.
    book = analysed_in(specs).book
    assert _amperes(analysed_in(specs), "conductor.E5.fault-current") < 13 / 68
    assert book["conductor.E5.fault"].value == "carried without harm"


def test_too_large_a_device_behind_a_thin_conductor_is_a_finding(specs: Path) -> None:
    assert _finding(analysed_in(specs), "fault-clears/L8").verdict == "pass"
    # The breaker of 50 A opens a short of 5 times its rating after seconds, and 12 AWG stands that
    # current for about one: (87.6 · 3.31 / 250)² = 1.3 s.
    field(specs, BRANNOCK, "{id: panel-breaker,", "rating", "50 A")
    found = _finding(analysed_in(specs), "fault-clears/L8")
    assert (found.verdict, found.figure) == ("fail", "clears slowly, too late")
    assert "L8 stands it" in found.reason


def test_an_overload_that_nothing_opens_is_a_finding(specs: Path) -> None:
    # 12 AWG of 105 °C carries 45 A; the breaker of 50 A may hold 55 A for ever.
    field(specs, BRANNOCK, "{id: panel-breaker,", "rating", "50 A")
    book = analysed_in(specs).book
    assert book["fuse.panel-breaker.overload-110"].value == "never clears"
    assert _finding(analysed_in(specs), "overload-clears/panel-breaker").verdict == "fail"
    field(specs, BRANNOCK, "{id: panel-breaker,", "rating", "15 A")
    book = analysed_in(specs).book
    assert book["fuse.panel-breaker.overload-110"].value == "carried without harm"


def test_a_family_without_a_curve_is_not_assessed_and_names_the_field(specs: Path) -> None:
    path = specs / f"{YARD}.yaml"
    text = path.read_text("utf-8")
    start = text.index("    - type: breaker")
    curve = text.index("      curve:", start)
    end = text.index("  hoses:", curve)
    path.write_text(text[:curve] + text[end:], "utf-8")
    result = analysed_in(specs).book["conductor.L8.fault"]
    assert result.value is None
    assert [item.path.rpartition(".")[2] for item in result.missing] == ["curve"]


def test_what_a_device_may_have_to_break_counts_every_bank_that_a_switch_can_join(
    specs: Path,
) -> None:
    analysis = analysed_in(specs, "sallow")
    # The makers state 2600 A and 3400 A; the house fuse can meet both, a paralleling fuse the one
    # bank on either side of it.
    house = _amperes(analysis, "fuse.house-fuse.prospective-current")
    assert 3400 < house < 2600 + 3400
    for fuse in ("parallel-fuse-port", "parallel-fuse-starboard"):
        assert _amperes(analysis, f"fuse.{fuse}.prospective-current") < 3400


def test_a_link_between_two_banks_needs_a_device_at_each_end(specs: Path) -> None:
    name = "link-protected/link.port-bank-starboard-bank"
    assert _finding(analysed_in(specs, "sallow"), name).verdict == "pass"
    change_line(
        specs, SALLOW, "{id: parallel-fuse-port,",
        'kind: fuse, name: "Paralleling fuse, port end", code: F10, rating: 250 A, '
        "type: class-t, interrupting: 20000 A, from_source: 150 mm, enclosed: open,",
        "kind: isolator, name: Second switch, code: F10, rating: 250 A, cranking_rating: 1200 A,",
    )  # fmt: skip
    found = _finding(analysed_in(specs, "sallow"), name)
    assert (found.verdict, found.figure) == ("fail", "only Paralleling fuse, starboard end")


def test_an_alternators_lead_has_its_device_at_the_battery(specs: Path) -> None:
    name = "link-protected/link.engine.alternator-start-bank"
    assert _finding(analysed_in(specs), name).verdict == "pass"
    # Taken from the fuse's other side the lead reaches the battery without one.
    change_line(
        specs, "engines/tolvane-six", "{label: W12,", "alternator-fuse.out", "alternator-fuse.in"
    )
    found = _finding(analysed_in(specs), name)
    assert (found.verdict, found.figure) == ("fail", "none")


def test_cranking_conductors_are_said_to_be_exempt_from_the_fuse_only(specs: Path) -> None:
    book = analysed_in(specs).book
    assert book["conductor.S2.protected-by"].value == (
        "cranking conductor: nothing but its isolator clears a fault on it"
    )
    assert "conductor.S2.fault" not in book


def test_of_two_devices_on_a_link_between_two_banks_the_worse_one_counts(specs: Path) -> None:
    """Each bank feeds a short on PX2 through its own device, so each has to clear its part."""
    assert _finding(analysed_in(specs, "sallow"), "fault-clears/PX2").verdict == "pass"
    for fuse, title in (
        ("parallel-fuse-port", "Paralleling fuse, port end"),
        ("parallel-fuse-starboard", "Paralleling fuse, starboard end"),
    ):
        change_line(specs, SALLOW, f"{{id: {fuse},", "rating: 250 A", "rating: 2000 A")
        analysis = analysed_in(specs, "sallow")
        result = analysis.book["conductor.PX2.fault"]
        # A bank gives hardly more than 1000 A to it: half the rating of a device of 2000 A.
        assert _amperes(analysis, f"conductor.PX2.fault-current.{fuse}") < 2000
        assert result.value == "never clears"
        assert title in result.notes[-1]
        found = _finding(analysis, "fault-clears/PX2")
        assert found.verdict == "fail"
        assert title in found.reason
        change_line(specs, SALLOW, f"{{id: {fuse},", "rating: 2000 A", "rating: 250 A")


def test_a_stated_distance_shorter_than_its_conductors_is_never_believed(specs: Path) -> None:
    name = "fuse-position/main-fuse"
    assert _finding(analysed_in(specs), name).verdict == "pass"
    # 0.3 m of D1 behind the isolator's stud, where the starter's conductor ends; 170 mm is stated.
    field(specs, BRANNOCK, "{label: D1,", "length", "0.3 m")
    found = _finding(analysed_in(specs), name)
    assert (found.verdict, found.figure) == (
        "fail",
        "too far: 170 mm is stated, but D1 from isolator.out to it are 0.3 m; the larger counts; "
        "the rule allows 0.178 m",
    )
    inputs = [item.name for item in analysed_in(specs).book["fuse.main-fuse.position"].inputs]
    assert "length of D1" in inputs
    # Within the rule even so: a caution, for one of the two figures is wrong.
    field(specs, BRANNOCK, "{label: D1,", "length", "0.15 m")
    field(specs, BRANNOCK, "{id: main-fuse,", "from_source", "100 mm")
    found = _finding(analysed_in(specs), name)
    assert found.verdict == "caution"
    assert "100 mm is stated, but D1 from isolator.out to it are 0.15 m" in str(found.figure)
    # The other way round the stated one is the larger.
    field(specs, BRANNOCK, "{id: main-fuse,", "from_source", "300 mm")
    assert _finding(analysed_in(specs), name).figure == "too far: the rule allows 0.178 m"


def test_a_device_of_a_link_too_far_from_its_bank_is_named_with_its_distance(specs: Path) -> None:
    field(specs, SALLOW, "{label: PX4,", "length", "0.4 m")
    found = _finding(analysed_in(specs, "sallow"), "link-protected/link.port-bank-starboard-bank")
    assert (found.verdict, found.figure) == (
        "fail",
        "only Paralleling fuse, port end; Paralleling fuse, starboard end is too far: 0.4 m from "
        "the cranking conductors, the rule allows 0.178 m, or 1.02 m where it is sheathed all the "
        "way",
    )
