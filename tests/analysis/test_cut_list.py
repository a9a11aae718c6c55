"""The cut list: by hand from the standard's allowances, and nothing guessed."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.cut_list import allowance_for, cut_list, cut_totals
from installgen.calc.cutting import bought_m, cut_m
from installgen.errors import OutOfRange, SpecErrors
from installgen.units import ConductorSize
from tests.analysis.specs import analysed, edited, field, remove_line

# The standard: hose 2 % and 20 mm at each end; fuel hose 3 % and 15 mm; exhaust hose 2 % and 25 mm;
# conductors 3 %, up to 8 AWG 40 mm at each end, larger ones 60 mm.


@pytest.mark.parametrize(
    ("piece", "finished_m", "cut"),
    [
        ("engine.raw-water.hose-1", 1.2, 1.2 * 1.02 + 0.040),
        ("fuel-line-4", 3.4, 3.4 * 1.03 + 0.030),
        ("engine.exhaust.riser", 0.8, 0.8 * 1.02 + 0.050),
        ("S2", 1.3, 1.3 * 1.03 + 0.120),
        ("L1", 0.15, 0.15 * 1.03 + 0.080),
    ],
)
def test_cut_length_by_hand(tmp_path: Path, piece: str, finished_m: float, cut: float) -> None:
    analysis = analysed(tmp_path, "brannock")
    found = {one.id: one for one in cut_list(analysis.vessel, analysis.book)}[piece]
    assert found.finished is not None
    assert found.cut is not None
    assert found.finished.m == pytest.approx(finished_m)
    assert found.cut.m == pytest.approx(cut)


def test_total_and_what_is_bought(tmp_path: Path) -> None:
    """Three pieces of 5 in exhaust hose, of which a tenth of what is bought is off-cuts."""
    analysis = analysed(tmp_path, "brannock")
    totals = cut_totals(analysis.vessel, cut_list(analysis.vessel, analysis.book))
    exhaust = [total for total in totals if total.of == "exhaust-hose"]
    assert len(exhaust) == 1
    length = (0.8 + 0.8 + 0.9) * 1.02 + 3 * 0.050
    assert exhaust[0].length is not None
    assert exhaust[0].bought is not None
    assert exhaust[0].length.m == pytest.approx(length)
    assert exhaust[0].bought.m == pytest.approx(length / 0.9)
    assert exhaust[0].kept


def test_an_unknown_length_is_not_cut(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "unknown")
    analysis = analysed(tmp_path, "brannock")
    pieces = cut_list(analysis.vessel, analysis.book)
    found = {one.id: one for one in pieces}["S2"]
    assert found.cut is None
    total = next(t for t in cut_totals(analysis.vessel, pieces) if found in t.pieces)
    assert total.length is None
    assert total.bought is None


def test_without_an_allowance_nothing_is_added_silently(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    remove_line(specs, "standards/quenby-slip", "{of: fuel-hose,")
    analysis = analysed(tmp_path, "brannock")
    found = {one.id: one for one in cut_list(analysis.vessel, analysis.book)}["fuel-line-1"]
    assert found.allowance is None
    assert found.cut is None


def test_a_conductor_takes_the_smallest_row_that_holds_it(tmp_path: Path) -> None:
    standard = analysed(tmp_path, "brannock").vessel.standard
    for size, each_end_mm in (("8 AWG", 40), ("6 AWG", 60), ("6 mm²", 40), ("10 mm²", 60)):
        row = allowance_for(standard, "conductor", ConductorSize.parse(size))
        assert row is not None
        assert row.each_end.mm == pytest.approx(each_end_mm), size
    assert allowance_for(standard, "conductor", None) is None


def test_a_proposed_size_is_cut_as_proposed_and_says_so(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: L8,", "size", "choose")
    analysis = analysed(tmp_path, "brannock")
    found = {one.id: one for one in cut_list(analysis.vessel, analysis.book)}["L8"]
    assert found.proposed
    assert isinstance(found.size, ConductorSize)


def test_lengths_are_refused_where_the_sum_means_nothing() -> None:
    assert cut_m(2.0, 0.03, 0.04) == pytest.approx(2.14)
    assert bought_m(9.0, 0.1) == pytest.approx(10.0)
    with pytest.raises(OutOfRange):
        cut_m(0.0, 0.0, 0.0)
    with pytest.raises(OutOfRange):
        bought_m(1.0, 0.95)


def test_a_standard_that_wastes_everything_is_a_mistake(tmp_path: Path) -> None:
    with pytest.raises(SpecErrors, match="at most 90 %"):
        analysed(tmp_path, "brannock", {"standards/quenby-slip": [("waste: 8 %", "waste: 100 %")]})
