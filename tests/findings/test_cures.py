"""Cures: computed, tried before they are offered, and no worse than the illness."""

from __future__ import annotations

import pytest

from installgen.findings.finding import Cure, Finding
from installgen.findings.judgement import About, Judgement, at_least, at_most
from installgen.spec.edits import edited_library, read_edit
from installgen.spec.load import SpecLibrary
from installgen.units import Fraction, Length, Temperature, TemperatureDifference
from tests.findings.scenario_files import SPECS, judged


def _finding(check: str, subject: str, *changes: str, vessel: str = "brannock") -> Finding:
    found = judged(vessel, *changes, cures=True)
    return next(f for f in found.items if f.check == check and f.subject == subject)


def _offered(finding: Finding) -> Cure:
    assert finding.verdict == "fail"
    assert finding.cure is not None
    return finding.cure


def _written(size: object) -> str:
    return str(size).replace("\N{NO-BREAK SPACE}", " ")


def _as_changes(cure: Cure) -> list[str]:
    """A cure's changes as the lines that `try` takes."""
    return [f"{change.path} = {change.value}" for change in cure.changes]


THIN = ("electrical.conductors[L2].size = 16 AWG", "electrical.conductors[L3].size = 16 AWG")


def test_a_thin_cable_is_cured_by_the_next_stocked_sizes() -> None:
    finding = _finding("circuit-drop", "nav-lights", *THIN)
    cure = _offered(finding)
    assert cure.checked
    assert {change.path for change in cure.changes} == {
        "electrical.conductors[27].size",
        "electrical.conductors[28].size",
    }
    stock = {
        _written(row.size) for row in SpecLibrary.at(SPECS).standard("quenby-slip").stock.cables
    }
    assert {change.value for change in cure.changes} <= stock
    again = _finding("circuit-drop", "nav-lights", *THIN, *_as_changes(cure))
    assert again.verdict in ("pass", "caution")


def test_no_smaller_stocked_size_would_do() -> None:
    """Both conductors one stocked size below what is offered: the rule still fails."""
    cure = _offered(_finding("circuit-drop", "nav-lights", *THIN))
    sizes = ["16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"]
    offered = sizes.index(cure.changes[0].value)
    below = [f"{change.path} = {sizes[offered - 1]}" for change in cure.changes]
    assert _finding("circuit-drop", "nav-lights", *THIN, *below).verdict == "fail"


def test_the_lug_has_to_fit_the_stud() -> None:
    """The yard keeps lugs for a 6 mm stud up to 6 AWG only."""
    studs = [f"electrical.conductors[{label}].stud = 6 mm" for label in ("L2", "L3")]
    cure = _offered(_finding("circuit-drop", "nav-lights", *THIN, *studs))
    assert "6\N{NO-BREAK SPACE}mm" in cure.text or "6 mm" in cure.text
    stock = SpecLibrary.at(SPECS).standard("quenby-slip").stock.cables
    for change in cure.changes:
        rows = [row for row in stock if _written(row.size) == change.value]
        assert any(abs(stud.mm - 6) < 0.01 for row in rows for stud in row.studs)


def test_where_no_size_does_it_that_is_the_answer() -> None:
    finding = _finding("cranking-voltage", "engine.starter", vessel="pipit")
    cure = _offered(finding)
    assert not cure.checked
    assert not cure.changes
    assert "no stocked size does it" in cure.text


def test_a_starter_cable_is_cured_with_all_that_goes_with_it() -> None:
    thin = "electrical.conductors[S2].size = 4 AWG"
    found = judged("brannock", thin, cures=True)
    failing = [f for f in found.items if f.verdict == "fail" and f.severity == "must"]
    cures = {f.cure for f in failing}
    assert len(cures) == 1
    cure = cures.pop()
    assert cure is not None
    assert cure.checked
    again = judged("brannock", thin, *_as_changes(cure))
    assert not [f for f in again.items if f.verdict == "fail" and f.severity == "must"]


def test_weak_coolant_is_cured_by_the_least_whole_percent() -> None:
    """The product freezes at -24 °C at 40 % and -36 °C at 50 %; -25 °C is asked for.

    40 + 10 · (25 - 24) / (36 - 24) = 40.83 %, so 41 %.
    """
    cure = _offered(
        _finding("freezing-margin", "coolant", "coolant.antifreeze.volume_share = 35 %")
    )
    assert cure.checked
    assert [change.value for change in cure.changes] == ["41 %"]


@pytest.mark.parametrize(
    ("upright", "heeled", "changed"),
    [("38 l", "22 l", {"volume_heeled"}), ("22 l", "22 l", {"volume", "volume_heeled"})],
)
def test_a_muffler_is_cured_by_the_volume_that_the_cranking_fills(
    upright: str, heeled: str, changed: set[str]
) -> None:
    muffler = "exhaust[engine].pieces[muffler]"
    small = (f"{muffler}.volume = {upright}", f"{muffler}.volume_heeled = {heeled}")
    finding = _finding("cranking-flood", "engine.exhaust", *small)
    assert finding.verdict == "fail"
    assert finding.place is not None
    assert finding.place.path.rpartition(".")[2] in changed
    cure = _offered(finding)
    assert cure.checked
    assert {change.path.rpartition(".")[2] for change in cure.changes} == changed
    again = _finding("cranking-flood", "engine.exhaust", *small, *_as_changes(cure))
    assert again.verdict in ("pass", "caution")
    (litres,) = {int(change.value.removesuffix(" l")) for change in cure.changes}
    less = [f"{muffler}.{name} = {litres - 2} l" for name in changed]
    smaller = _finding("cranking-flood", "engine.exhaust", *small, *less)
    assert smaller.verdict == "fail"


def test_a_fuse_that_cannot_break_is_cured_by_another_family() -> None:
    cure = _offered(_finding("fuse-interrupting", "panel-fuse", vessel="pipit"))
    assert cure.checked
    assert {c.path.rpartition(".")[2] for c in cure.changes} == {"type", "interrupting"}


def test_a_family_that_would_break_it_but_opens_too_late_is_not_denied() -> None:
    """At 5 m of 1 mm² a dead short spares the conductor behind a blade only; others are slower."""
    longer = "electrical.conductors[L1].length = 5 m"
    finding = _finding("fuse-interrupting", "panel-fuse", longer, vessel="pipit")
    cure = _offered(finding)
    assert not cure.checked
    assert not cure.changes
    assert "a cartridge of 20 A, which can break 10000 A, would do it, but then fails" in _written(
        cure.text
    )
    assert "L1 (fault-clears)" in cure.text


def test_single_clamps_are_cured_by_double_ones() -> None:
    single = "raw_water[engine].route[hose-2].clamps = single"
    cure = _offered(_finding("double-clamps", "engine.raw-water.hose-2", single))
    assert cure.checked
    assert _as_changes(cure) == ["raw_water[1].route[4].hose.clamps = double"]


def test_a_cure_that_harms_elsewhere_is_not_offered_as_one() -> None:
    """The instrument negative carries starting current: a heavier one only takes more of it."""
    cure = _offered(_finding("ampacity", "E10", vessel="pipit"))
    assert not cure.checked
    assert "but then fails" in cure.text


def test_nothing_on_disk_changes() -> None:
    path = SPECS / "vessels/brannock.yaml"
    before = path.read_bytes()
    _finding("circuit-drop", "nav-lights", *THIN)
    edited_library(SpecLibrary.at(SPECS), [read_edit("lay_up.coldest = -5 °C")]).vessel("brannock")
    assert path.read_bytes() == before


ABOUT = About("it", "it")


@pytest.mark.parametrize(
    ("judged_as", "verdict", "margin", "share"),
    [
        (at_most(Fraction(0.034), Fraction(0.03), ABOUT), "fail", Fraction(-0.004), -0.4 / 3),
        (at_most(Fraction(0.03), Fraction(0.03), ABOUT), "pass", Fraction(0.0), 0.0),
        (at_most(Fraction(0.03 + 1e-15), Fraction(0.03), ABOUT), "pass", None, None),
        (at_least(Length(0.2), Length(0.3), ABOUT), "fail", Length(-0.1), -1 / 3),
        (
            at_most(Temperature(50.0), Temperature(55.0), ABOUT),
            "pass",
            TemperatureDifference(5.0),
            None,
        ),
        (at_least(4, 2, ABOUT), "pass", None, 1.0),
    ],
)
def test_margins_by_hand(
    judged_as: Judgement, verdict: str, margin: object, share: float | None
) -> None:
    assert judged_as.verdict == verdict
    if margin is not None:
        assert type(judged_as.margin) is type(margin)
        assert judged_as.margin is not None
        assert judged_as.margin.value == pytest.approx(getattr(margin, "value"))  # noqa: B009
    if share is not None:
        assert judged_as.margin_share == pytest.approx(share)
