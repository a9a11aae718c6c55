"""Ratings, interrupting capacity, place along the conductor and clearing of faults."""

import math

import pytest

from installgen.calc.clearing import (
    Clearing,
    Cooling,
    CurvePoint,
    TimeCurrentCurve,
    adiabatic_area_mm2,
    adiabatic_factor,
    cooled_withstand_time_s,
    fault_clearing,
    opening_time,
    overload_clearing,
    withstand_time_s,
)
from installgen.calc.protection import (
    DevicePlace,
    RatingRule,
    RatingVerdict,
    choose_rating,
    device_position,
    interrupting_capacity_by_cca,
    judge_rating,
    prospective_current_a,
    published_position_rules,
    rating_window,
)
from installgen.errors import OutOfRange, OutOfTable
from installgen.tables.loader import Mark

STOCK_A = (5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0)


def test_window_and_choice() -> None:
    """20 A over a 35 A conductor: 25 to 35 A, so 30 A; the law would stop at 52.5 A."""
    window = rating_window(20, 35, RatingRule())
    assert (window.least_a, window.largest_a, window.legal_a) == (25, 35, 52.5)
    assert choose_rating(window, STOCK_A) == 30
    assert choose_rating(window, (20.0, 40.0)) is None


def test_an_exact_bound_counts() -> None:
    assert choose_rating(rating_window(16, 20, RatingRule()), STOCK_A) == 20


def test_a_closed_window() -> None:
    window = rating_window(30, 35, RatingRule())
    assert not window.open
    assert choose_rating(window, STOCK_A) is None


@pytest.mark.parametrize(
    ("rating_a", "verdict"),
    [
        (15, RatingVerdict.BELOW_LOAD),
        (20, RatingVerdict.BELOW_MARGIN),
        (24.9, RatingVerdict.BELOW_MARGIN),
        (25, RatingVerdict.FITS),
        (35, RatingVerdict.FITS),
        (40, RatingVerdict.ABOVE_CONDUCTOR),
        (52.5, RatingVerdict.ABOVE_CONDUCTOR),
        (60, RatingVerdict.ABOVE_LEGAL),
    ],
)
def test_judgement_of_a_fitted_rating(rating_a: float, verdict: RatingVerdict) -> None:
    assert judge_rating(rating_a, 20, rating_window(20, 35, RatingRule())) is verdict


def test_a_yard_may_ask_otherwise() -> None:
    window = rating_window(20, 35, RatingRule(load_ratio=1.1, ampacity_ratio=0.8, legal_ratio=1.0))
    assert (window.least_a, window.largest_a, window.legal_a) == pytest.approx((22, 28, 35))
    with pytest.raises(OutOfRange):
        rating_window(-1, 35, RatingRule())


def test_prospective_current() -> None:
    """12.8 V over 4 mΩ and a path of 1 mΩ: 2560 A."""
    assert prospective_current_a(12.8, 0.004 + 0.001) == pytest.approx(2560)
    with pytest.raises(OutOfRange, match="short-circuit resistance"):
        prospective_current_a(12.8, 0)


def test_large_banks_are_not_in_the_table() -> None:
    for cca_a in (0.0, 2201.0):
        with pytest.raises(OutOfTable):
            interrupting_capacity_by_cca(cca_a, DevicePlace.MAIN)


# 33 CFR 183.455 (b): 7 in, 40 in if sheathed all the way; 72 in straight from the battery recalled.
@pytest.mark.parametrize(
    ("distance_in", "sheathed", "from_battery", "limit_in", "met"),
    [
        (7, False, False, 7, True),
        (7.1, False, True, 7, False),
        (40, True, False, 40, True),
        (40.1, True, False, 40, False),
        (72, True, True, 72, True),
        (72.1, True, True, 72, False),
    ],
)
def test_place_of_a_device(
    distance_in: float, sheathed: bool, from_battery: bool, limit_in: float, met: bool
) -> None:
    position = device_position(
        distance_in * 0.0254,
        sheathed_all_the_way=sheathed,
        straight_from_battery=from_battery,
        rules=published_position_rules(),
    )
    assert position.rule.limit_m == pytest.approx(limit_in * 0.0254)
    assert position.met is met


def test_the_recalled_rule_says_so() -> None:
    recalled = [rule for rule in published_position_rules() if rule.mark is Mark.MEMORY]
    assert [rule.limit_m for rule in recalled] == [pytest.approx(72 * 0.0254)]


def test_place_refusals() -> None:
    far_only = tuple(r for r in published_position_rules() if r.straight_from_battery)
    with pytest.raises(OutOfTable):
        device_position(
            0.1, sheathed_all_the_way=False, straight_from_battery=False, rules=far_only
        )
    with pytest.raises(OutOfRange):
        device_position(
            -0.1,
            sheathed_all_the_way=False,
            straight_from_battery=False,
            rules=published_position_rules(),
        )


# An invented 30 A fuse: holds 33 A; at 1.35 times 30 to 600 s, at 2 times 1 to 10 s, at 6 times
# 0.05 to 0.2 s.
FUSE = TimeCurrentCurve(
    33,
    (CurvePoint(40.5, 30, 600), CurvePoint(60, 1, 10), CurvePoint(180, 0.05, 0.2)),
)


def test_opening_at_and_between_points() -> None:
    assert opening_time(FUSE, 60).longest_s == pytest.approx(10)
    # Halfway between 60 and 180 A in logarithm is 60 · √3 A; the times' geometric means there.
    between = opening_time(FUSE, 60 * math.sqrt(3))
    assert between.shortest_s == pytest.approx(math.sqrt(1 * 0.05))
    assert between.longest_s == pytest.approx(math.sqrt(10 * 0.2))


def test_opening_outside_the_points() -> None:
    never = opening_time(FUSE, 33)
    assert (never.shortest_s, never.longest_s) == (math.inf, math.inf)
    perhaps = opening_time(FUSE, 36)
    assert (perhaps.shortest_s, perhaps.longest_s) == (30, math.inf)
    beyond = opening_time(FUSE, 1000)
    assert (beyond.shortest_s, beyond.longest_s) == (0, 0.2)
    assert opening_time(FUSE, 180).shortest_s == 0.05


@pytest.mark.parametrize(
    ("holds_a", "points"),
    [
        (33, ()),
        (0, (CurvePoint(60, 1, 10),)),
        (70, (CurvePoint(60, 1, 10),)),
        (33, (CurvePoint(60, 10, 1),)),
        (33, (CurvePoint(60, 0, 1),)),
        (33, (CurvePoint(60, 1, math.inf),)),
        (33, (CurvePoint(60, 1, 10), CurvePoint(60, 1, 10))),
        (33, (CurvePoint(60, 1, 10), CurvePoint(180, 1, 11))),
    ],
)
def test_curves_that_are_refused(holds_a: float, points: tuple[CurvePoint, ...]) -> None:
    with pytest.raises(OutOfRange, match="time–current curve"):
        TimeCurrentCurve(holds_a, points)


def test_clearing_fast_slowly_never() -> None:
    """14 AWG (2.08 mm²) with k = 115 behind the invented fuse, 5 s is fast."""

    def meet(current_a: float, ampacity_a: float = 0.0) -> tuple[Clearing, bool]:
        found = fault_clearing(
            FUSE,
            current_a,
            area_mm2=2.08,
            k_a_sqrt_s_per_mm2=115,
            fast_s=5,
            ampacity_a=ampacity_a,
        )
        return found.clearing, found.conductor_survives

    # (115 · 2.08 / 500)² = 0.229 s withstood, 0.2 s at the latest to open.
    assert meet(500) == (Clearing.FAST, True)
    # (115 · 2.08 / 1000)² = 0.057 s: the slowest fuse is too late.
    assert meet(1000) == (Clearing.FAST, False)
    # (115 · 2.08 / 60)² = 15.9 s against 10 s.
    assert meet(60) == (Clearing.SLOWLY, True)
    assert meet(36) == (Clearing.NEVER, False)
    # Within its ampacity a conductor stands it for ever, though nothing ever opens.
    assert meet(33, ampacity_a=35) == (Clearing.NEVER, True)


def test_without_a_device_a_fault_never_clears() -> None:
    cranking = fault_clearing(None, 2000, area_mm2=67.4, k_a_sqrt_s_per_mm2=115, fast_s=5)
    assert cranking.clearing is Clearing.NEVER
    assert not cranking.conductor_survives
    assert cranking.withstand_s == pytest.approx((115 * 67.4 / 2000) ** 2)


def test_heat_that_leaves_a_conductor() -> None:
    """16.77 mm², k = 115, carrying 100 A for ever: τ = (115·16.77/100)² · 60/30 = 744 s."""
    cooling = Cooling(100, 60, 30)
    # At √1.5 times its ampacity it settles at the most it stands, and below that for ever.
    assert math.isinf(cooled_withstand_time_s(16.77, 122, 115, cooling))
    # At twice, θ∞ = 240 K: 744 · ln(180 / 150) = 135.6 s; adiabatic 93 s, no heat leaving.
    assert cooled_withstand_time_s(16.77, 200, 115, cooling) == pytest.approx(135.6, abs=0.2)
    # A short is over before heat leaves: the adiabatic formula within a percent.
    short = cooled_withstand_time_s(16.77, 3000, 115, cooling)
    assert short == pytest.approx(withstand_time_s(16.77, 3000, 115), rel=0.01)


def test_cooling_helps_only_what_opens() -> None:
    def meet(current_a: float) -> bool:
        return fault_clearing(
            FUSE,
            current_a,
            area_mm2=2.08,
            k_a_sqrt_s_per_mm2=115,
            fast_s=5,
            ampacity_a=35,
            cooling=Cooling(35, 75, 55),
        ).conductor_survives

    # At 42 A it settles 108 K over the air, under 130 K: the fuse opens in minutes, in time.
    assert meet(42)
    # At 36 A the fuse may never open, and 36 A is more than it carries for ever.
    assert not meet(36)


def test_overloads_just_above_the_rating() -> None:
    found = overload_clearing(FUSE, 30, area_mm2=2.08, k_a_sqrt_s_per_mm2=115, fast_s=5)
    assert [one.current_a for one in found] == pytest.approx([33, 40.5, 45, 60])
    assert [one.clearing for one in found] == [
        Clearing.NEVER,
        Clearing.SLOWLY,
        Clearing.SLOWLY,
        Clearing.SLOWLY,
    ]


def test_adiabatic_refusals() -> None:
    with pytest.raises(OutOfRange, match="duration"):
        adiabatic_area_mm2(1000, 5.1, 115)
    with pytest.raises(OutOfRange, match="more than 0"):
        withstand_time_s(0, 1000, 115)
    with pytest.raises(OutOfRange, match="rising"):
        adiabatic_factor(160, 160)
