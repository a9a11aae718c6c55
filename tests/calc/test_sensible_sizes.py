"""Sizes that leave a loss to the piece in which it arises."""

from __future__ import annotations

from dataclasses import replace

import pytest

from installgen.calc.conductor_selection import FixedPiece
from installgen.calc.conductors import area_mm2, awg, conductor_resistance_ohm
from installgen.calc.sensible_sizes import Sensible, choose_sensibly
from installgen.calc.size_criteria import Criterion
from tests.calc.test_conductor_selection import AWG_STOCK, path, piece

PAIR = (
    piece("out", length_m=5.0, current_a={"run": 8.0}, group="pump"),
    piece("back", length_m=5.0, current_a={"run": 8.0}, group="pump"),
)
MEMBERS = ("feed", "out", "back")


def _feed(lost_v: float, length_m: float = 5.0, area: float = 33.6) -> FixedPiece:
    return FixedPiece("feed", lost_v / 8.0, {"run": 8.0}, length_m, area)


def _sizes(found: Sensible) -> list[str]:
    return [str(o.chosen.size) for o in found.pieces.values() if o.chosen is not None]


def test_what_the_feed_leaves_is_used_up() -> None:
    """0.36 V, 3 % of 12 V, less 0.02 V: 0.34 V / (8 A · 10 m) = 4.25 mΩ/m at 50 °C."""
    found = choose_sensibly(PAIR, [_feed(0.02)], [path(0.36, *MEMBERS)])
    fits = [s for s in AWG_STOCK if conductor_resistance_ohm(s, 1.0, 50.0) <= 0.34 / 80.0]
    assert _sizes(found) == [str(min(fits, key=area_mm2))] * 2
    assert not found.elsewhere


def test_a_feed_that_takes_it_all_grows_no_branch() -> None:
    """The pair keeps its share by length, 10 m of 15 m: 0.24 V."""
    found = choose_sensibly(PAIR, [_feed(0.5)], [path(0.36, *MEMBERS)])
    fits = [s for s in AWG_STOCK if conductor_resistance_ohm(s, 1.0, 50.0) <= 0.24 / 80.0]
    assert _sizes(found) == [str(min(fits, key=area_mm2))] * 2
    assert [outcome.path.name for outcome in found.elsewhere] == ["feed"]
    assert not found.unresolved


def test_one_stocked_size_more_makes_up_for_a_little() -> None:
    own = choose_sensibly(PAIR, [_feed(0.5)], [path(0.36, *MEMBERS)])
    more = choose_sensibly(PAIR, [_feed(0.19)], [path(0.36, *MEMBERS)])
    places = [[str(s) for s in AWG_STOCK].index(_sizes(one)[0]) for one in (own, more)]
    assert places[1] == places[0] + 1
    assert not more.elsewhere


@pytest.mark.parametrize(("feed_v", "sizes"), [(0.26, 2), (0.30, 3)])
def test_a_few_stocked_sizes_more_make_up_for_more(feed_v: float, sizes: int) -> None:
    own = choose_sensibly(PAIR, [_feed(0.5)], [path(0.36, *MEMBERS)])
    more = choose_sensibly(PAIR, [_feed(feed_v, area=60.0)], [path(0.36, *MEMBERS)])
    places = [[str(s) for s in AWG_STOCK].index(_sizes(one)[0]) for one in (own, more)]
    assert places[1] == places[0] + sizes
    assert not more.elsewhere


def test_what_a_few_sizes_do_not_make_up_for_is_left_to_the_feed() -> None:
    own = choose_sensibly(PAIR, [_feed(0.5)], [path(0.36, *MEMBERS)])
    found = choose_sensibly(PAIR, [_feed(0.34, area=120.0)], [path(0.36, *MEMBERS)])
    assert _sizes(found) == _sizes(own)
    assert found.elsewhere


@pytest.mark.parametrize("area", [0.0, 2.0])
def test_no_branch_outgrows_the_thin_feed_or_the_diode(area: float) -> None:
    own = choose_sensibly(PAIR, [_feed(0.5)], [path(0.36, *MEMBERS)])
    found = choose_sensibly(PAIR, [_feed(0.19, area=area)], [path(0.36, *MEMBERS)])
    assert _sizes(found) == _sizes(own)
    assert found.elsewhere


def test_a_diode_takes_its_own_drop() -> None:
    diode = FixedPiece("feed", 0.0, {"run": 8.0}, drop_v={"run": 0.7})
    assert diode.lost_v("run") == 0.7
    found = choose_sensibly(PAIR, [diode], [path(0.36, *MEMBERS)])
    assert [outcome.fixed_v for outcome in found.elsewhere] == [0.7]


def test_where_the_largest_does_not_do_it_the_rest_still_has_sizes() -> None:
    far = tuple(replace(one, length_m=2000.0) for one in PAIR)
    near = piece("lamp", length_m=2.0, current_a={"run": 2.0})
    found = choose_sensibly(
        [*far, near],
        [_feed(0.02)],
        [path(0.36, *MEMBERS), path(0.36, "feed", "lamp", name="light")],
    )
    assert found.unresolved == {"out": "voltage drop of feed", "back": "voltage drop of feed"}
    assert {str(size) for size in found.stand_in.values()} == {str(awg("4/0"))}
    assert list(found.pieces) == ["lamp"]


def test_a_piece_that_nothing_in_stock_fits_says_what_none_keeps() -> None:
    found = choose_sensibly([piece(carries_a=2000.0)], [], [])
    assert found.unresolved == {"P1": str(Criterion.AMPACITY)}
