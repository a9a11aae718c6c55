"""Powers stated beside each other: reported, explained where possible, never averaged."""

import math

import pytest

from installgen.calc.curve import Curve
from installgen.calc.rating import (
    Agreement,
    Explanation,
    PowerBasis,
    PowerUnit,
    StatedPower,
    compare_stated_powers,
    displacement_m3,
    mean_effective_pressure_pa,
    mean_piston_speed_m_per_s,
    power_margin_w,
    power_w,
    propeller_power_w,
    torque_n_m,
)
from installgen.errors import OutOfRange, OutOfTable

BHP, METRIC, KW = PowerUnit.BRAKE_HORSEPOWER, PowerUnit.METRIC_HORSEPOWER, PowerUnit.KILOWATT


def compare(*stated: StatedPower) -> tuple[tuple[Agreement, tuple[Explanation, ...]], ...]:
    pairs = compare_stated_powers(stated, 1, 2, 4)
    return tuple((pair.agreement, pair.explanations) for pair in pairs)


def test_metric_plate_beside_430_bhp_is_a_disagreement() -> None:
    plate, sheet = StatedPower("plate", 450, METRIC), StatedPower("sheet", 430, BHP)
    (pair,) = compare_stated_powers((plate, sheet), 1, 2, 4)
    assert pair.agreement is Agreement.DISAGREE
    # By hand: 450 metric are 443.84 bhp; 13.84 / 443.84 = 3.12 %.
    assert pair.difference_percent == pytest.approx(3.12, abs=0.005)
    assert pair.explanations == (Explanation.SECOND_AFTER_GEAR,)
    assert (pair.first, pair.second) == (plate, sheet)


def test_same_power_in_three_units_agrees() -> None:
    stated = (
        StatedPower("plate", 450, METRIC),
        StatedPower("sheet", 331, KW),
        StatedPower("brochure", 444, BHP),
    )
    assert [agreement for agreement, _ in compare(*stated)] == [Agreement.AGREE] * 3


def test_a_sales_name_that_is_metric() -> None:
    """450 bhp against 331 kW: off by 1.4 %, and it agrees when 450 is read as metric."""
    name, sheet = StatedPower("name", 450, BHP), StatedPower("sheet", 331, KW)
    assert compare(name, sheet) == ((Agreement.DISAGREE, (Explanation.FIRST_IS_METRIC,)),)
    assert compare(sheet, name) == ((Agreement.DISAGREE, (Explanation.SECOND_IS_METRIC,)),)


def test_shaft_power_behind_the_gear_is_explained_when_both_say_where() -> None:
    crank = StatedPower("crank", 300, KW, PowerBasis.CRANKSHAFT)
    shaft = StatedPower("shaft", 291, KW, PowerBasis.PROPELLER_SHAFT)
    assert compare(crank, shaft)[0][0] is Agreement.EXPLAINED_BY_BASIS
    too_low = StatedPower("shaft", 270, KW, PowerBasis.PROPELLER_SHAFT)
    assert compare(crank, too_low) == ((Agreement.DISAGREE, ()),)


def test_more_power_behind_the_gear_than_before_it_is_not_explained() -> None:
    crank = StatedPower("crank", 291, KW, PowerBasis.CRANKSHAFT)
    shaft = StatedPower("shaft", 300, KW, PowerBasis.PROPELLER_SHAFT)
    assert compare(crank, shaft) == ((Agreement.DISAGREE, ()),)


def test_other_class_and_speed_are_named() -> None:
    duty = StatedPower("duty", 250, KW, speed_rpm=2300, rating_class="continuous")
    light = StatedPower("light", 331, KW, speed_rpm=2600, rating_class="light duty")
    expected = (Explanation.OTHER_CLASS, Explanation.OTHER_SPEED)
    assert compare(duty, light) == ((Agreement.DISAGREE, expected),)


def test_the_limit_itself_still_agrees() -> None:
    assert compare(StatedPower("a", 100, KW), StatedPower("b", 99, KW))[0][0] is Agreement.AGREE


def test_one_figure_has_nothing_beside_it() -> None:
    assert compare(StatedPower("a", 100, KW)) == ()


@pytest.mark.parametrize("value", [0, -5, math.nan, math.inf])
def test_refuses_no_power(value: float) -> None:
    with pytest.raises(OutOfRange, match="the power is"):
        power_w(value, BHP)


def test_piston_speed() -> None:
    # By hand: 2 x 0.120 m x 2600 / 60 = 10.4 m/s.
    assert mean_piston_speed_m_per_s(0.120, 2600) == pytest.approx(10.4)


def test_half_the_strokes_at_equal_power_is_half_the_pressure() -> None:
    volume = displacement_m3(0.1, 0.12, 6)
    four, two = (mean_effective_pressure_pa(2e5, 2500, volume, strokes) for strokes in (4, 2))
    assert four == 2 * two


@pytest.mark.parametrize("strokes", [0, 1, 3])
def test_refuses_other_cycles(strokes: int) -> None:
    with pytest.raises(OutOfRange, match="2 or 4"):
        mean_effective_pressure_pa(1e5, 2000, 0.005, strokes)


def test_propeller_curve_passes_through_the_rated_point() -> None:
    assert propeller_power_w(331e3, 2600, 2600, 3) == 331e3
    assert propeller_power_w(331e3, 2600, 1300, 3) == pytest.approx(331e3 / 8)
    assert propeller_power_w(331e3, 2600, 1300, 2) == pytest.approx(331e3 / 4)
    assert propeller_power_w(331e3, 2600, 0, 3) == 0


def test_propeller_curve_is_not_read_beyond_the_rated_speed() -> None:
    with pytest.raises(OutOfRange, match="0 to 2600 rpm"):
        propeller_power_w(331e3, 2600, 2601, 3)


def test_margin_over_the_propeller() -> None:
    full = Curve("full load", "speed", ((1000.0, 100e3), (2000.0, 200e3)))
    assert power_margin_w(full, 1500, 120e3) == 30e3
    assert power_margin_w(full, 2000, 210e3) == -10e3
    with pytest.raises(OutOfTable):
        power_margin_w(full, 2100, 1)


def test_no_torque_at_standstill() -> None:
    with pytest.raises(OutOfRange, match="the speed is 0 rpm"):
        torque_n_m(1000, 0)
