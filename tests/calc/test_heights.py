"""Heights of a heeled and trimmed vessel, and the pressure they make."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.heights import (
    flooding_headway_m_per_s,
    heeled_height_m,
    highest_height_m,
    immersion_pressure_pa,
    lowest_height_m,
    scoop_pressure_pa,
    static_head_pa,
    trimmed_height_m,
)
from installgen.errors import OutOfRange

METRES = st.floats(-3.0, 3.0)


def test_heel_lowers_the_side_it_goes_to() -> None:
    # 0.3 m up and 1 m to starboard, heeled 20 degrees to starboard: 0.2819 - 0.3420 = -0.0601 m.
    assert heeled_height_m(0.3, 1.0, 20.0) == pytest.approx(-0.0601, abs=5e-5)
    assert heeled_height_m(0.3, -1.0, 20.0) == pytest.approx(0.6239, abs=5e-5)
    assert heeled_height_m(0.3, 1.0, 0.0) == 0.3


def test_trim_lowers_the_bow() -> None:
    # 0.3 m up and 2 m aft, 3 degrees bow down: 0.29959 + 0.10467.
    assert trimmed_height_m(0.3, -2.0, 3.0) == pytest.approx(0.40426, abs=5e-5)
    assert trimmed_height_m(0.3, 2.0, 3.0) < 0.3


@given(METRES, METRES, METRES, st.floats(0.0, 45.0), st.floats(0.0, 15.0))
def test_lowest_and_highest_bound_every_attitude(
    x_m: float, y_m: float, z_m: float, heel: float, trim: float
) -> None:
    low = lowest_height_m(x_m, y_m, z_m, heel, trim)
    high = highest_height_m(x_m, y_m, z_m, heel, trim)
    found = [
        trimmed_height_m(heeled_height_m(z_m, y_m, heel * i / 20), x_m, trim * j / 5)
        for i in range(-20, 21)
        for j in range(-5, 6)
    ]
    assert low <= min(found) + 1e-12
    assert high >= max(found) - 1e-12
    assert low == pytest.approx(min(found), abs=0.01)
    assert high == pytest.approx(max(found), abs=0.01)


@pytest.mark.parametrize("angle", [90.0, -90.0, 120.0])
def test_refuses_a_capsized_vessel(angle: float) -> None:
    with pytest.raises(OutOfRange, match="heel"):
        heeled_height_m(1.0, 0.0, angle)
    with pytest.raises(OutOfRange, match="trim"):
        trimmed_height_m(1.0, 0.0, angle)
    with pytest.raises(OutOfRange, match="limit of heel"):
        lowest_height_m(0.0, 0.0, 1.0, angle, 0.0)


def test_immersion() -> None:
    assert immersion_pressure_pa(1025.0, -0.45) == pytest.approx(static_head_pa(1025.0, 0.45))
    assert immersion_pressure_pa(1025.0, 0.2) == 0.0


def test_headway_that_lifts_water() -> None:
    # Torricelli: water falls 1 m to 4.4287 m/s, and as fast a scoop lifts it 1 m.
    assert flooding_headway_m_per_s(1.0, 1.0) == pytest.approx(4.4287, abs=1e-4)
    speed = flooding_headway_m_per_s(0.5, 0.6)
    assert scoop_pressure_pa(1025.0, speed, 0.6) == pytest.approx(1025.0 * 9.80665 * 0.5)
    assert flooding_headway_m_per_s(-0.1, 1.0) == 0.0
    for share in (0.0, 1.2):
        with pytest.raises(OutOfRange, match="scoop"):
            flooding_headway_m_per_s(1.0, share)


def test_scoop() -> None:
    # Half of 1025 x 5^2 / 2 = 12 812 Pa.
    assert scoop_pressure_pa(1025.0, 5.0, 0.5) == pytest.approx(6406.25)
    assert scoop_pressure_pa(1025.0, 0.0, 0.5) == 0.0
    with pytest.raises(OutOfRange, match="scoop"):
        scoop_pressure_pa(1025.0, 5.0, 1.5)


def test_a_point_below_is_deepest_straight_under_the_point_of_turning() -> None:
    assert lowest_height_m(0.0, 0.5, -1.0, 40.0, 0.0) == pytest.approx(-math.hypot(0.5, 1.0))
