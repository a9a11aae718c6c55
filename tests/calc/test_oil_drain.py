"""Oil volumes, and the fall of a turbocharger's drain."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.lubrication import (
    drain,
    gear_oil_charge,
    oil_charge,
    oil_left_in_service_ratio,
    slope_deg,
    tilted,
)
from installgen.calc.volumes import VolumePart
from installgen.errors import OutOfRange

angles = st.floats(-30, 30)
lengths = st.floats(-20, 20)


def test_oil_charge_counts_filter_cooler_and_lines() -> None:
    charge = oil_charge(0.016, 0.0018, 0.0012, [VolumePart("line to remote filter", 0.0005)])
    assert charge.total_m3 == pytest.approx(0.0195)
    assert [part.name for part in charge.parts] == [
        "sump",
        "filter",
        "cooler",
        "line to remote filter",
    ]


def test_gear_oil_is_its_own_system() -> None:
    assert gear_oil_charge(0.0035, 0.0005).total_m3 == pytest.approx(0.004)
    assert [part.name for part in gear_oil_charge(0.0035).parts] == ["gear"]
    with pytest.raises(OutOfRange, match="the gear's own volume"):
        gear_oil_charge(0)


def test_old_oil_left_behind() -> None:
    assert oil_left_in_service_ratio(0.020, 0.017) == pytest.approx(0.15)
    with pytest.raises(OutOfRange):
        oil_left_in_service_ratio(0.020, 0.021)


def test_slope_of_straight_pipes() -> None:
    assert slope_deg((0, 0, 1), (0, 0, 0)) == 90
    assert slope_deg((0, 0, 1), (1, 0, 0)) == pytest.approx(45)
    assert slope_deg((0, 0, 0), (3, 4, 5)) == pytest.approx(-45)
    assert slope_deg((0, 0, 0), (1, 0, 0)) == 0
    with pytest.raises(OutOfRange, match="two different points"):
        slope_deg((1, 2, 3), (1, 2, 3))


def test_the_flattest_leg_decides() -> None:
    result = drain([(0, 0, 0.5), (0, 0, 0.3), (0.3, 0, 0.28), (0.3, 0, 0.1)])
    assert result.falls_all_the_way
    assert result.flattest.start == (0, 0, 0.3)
    assert result.flattest.fall_m == pytest.approx(0.02)


def test_a_leg_that_climbs_is_found() -> None:
    result = drain([(0, 0, 0.5), (0.2, 0, 0.3), (0.4, 0, 0.31)])
    assert not result.falls_all_the_way
    assert result.flattest.slope_deg < 0


def test_bow_up_trim_can_stop_a_drain_that_runs_forward() -> None:
    """A leg that runs forward falling 2 degrees climbs once the bow is 3 degrees up."""
    forward = [(0.0, 0.0, 0.3492), (10.0, 0.0, 0.0)]
    assert drain(forward).flattest.slope_deg == pytest.approx(2, abs=0.01)
    assert drain(forward, trim_deg=3).flattest.slope_deg == pytest.approx(-1, abs=0.01)
    assert drain(forward, trim_deg=-3).flattest.slope_deg == pytest.approx(5, abs=0.01)


def test_heel_lowers_positive_y() -> None:
    # Height at heel is z cos(h) - y sin(h).
    _, _, z = tilted((0, 1.0, 0.5), 10, 0)
    assert z == pytest.approx(0.5 * 0.984808 - 1.0 * 0.173648, abs=1e-6)


@given(st.tuples(lengths, lengths, lengths), angles, angles)
def test_tilting_keeps_lengths(point: tuple[float, float, float], heel: float, trim: float) -> None:
    before = sum(c * c for c in point)
    after = sum(c * c for c in tilted(point, heel, trim))
    assert after == pytest.approx(before, abs=1e-9)


def test_one_joint_is_no_drain() -> None:
    with pytest.raises(OutOfRange, match="2 and more"):
        drain([(0, 0, 0)])
