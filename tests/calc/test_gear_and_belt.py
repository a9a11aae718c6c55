"""Gear, shaft, belts and mounting faces."""

import pytest

from installgen.calc.driveline import (
    FlywheelEnd,
    FlywheelRoom,
    GearSense,
    Hand,
    MountingFit,
    Rotation,
    TwinTurning,
    belt_ratio,
    belt_speed_m_per_s,
    driven_speed_rpm,
    mounting_match,
    propeller_hand,
    seen_from_aft,
    shaft_power_w,
    shaft_rotation,
    shaft_speed_rpm,
    shaft_torque_n_m,
    twin_turning,
)
from installgen.calc.rating import torque_n_m
from installgen.errors import OutOfRange, OutOfTable

CW, CCW = Rotation.CLOCKWISE, Rotation.COUNTERCLOCKWISE


def test_power_is_speed_times_torque_before_and_behind_the_gear() -> None:
    power, speed, ratio, efficiency = 331e3, 2600, 2.04, 0.97
    torque = shaft_torque_n_m(torque_n_m(power, speed), ratio, efficiency)
    behind = torque_n_m(shaft_power_w(power, efficiency), shaft_speed_rpm(speed, ratio))
    assert torque == pytest.approx(behind)


def test_common_case_engine_left_handed_gear_reversing_ahead() -> None:
    """Counterclockwise facing the flywheel, gear opposite ahead: a right-hand propeller."""
    engine = seen_from_aft(CCW, FlywheelEnd.AFT)
    shaft = shaft_rotation(engine, GearSense.OPPOSITE)
    assert (shaft.ahead, shaft.astern) == (CW, CCW)
    assert propeller_hand(shaft.ahead) is Hand.RIGHT


def test_same_engine_turned_round_for_a_v_drive() -> None:
    engine = seen_from_aft(CCW, FlywheelEnd.FORWARD)
    assert engine is CW
    assert shaft_rotation(engine, GearSense.SAME).ahead is CW


def test_twins() -> None:
    assert twin_turning(port=Hand.LEFT, starboard=Hand.RIGHT) is TwinTurning.OUTWARD
    assert twin_turning(port=Hand.RIGHT, starboard=Hand.LEFT) is TwinTurning.INWARD
    assert twin_turning(port=Hand.RIGHT, starboard=Hand.RIGHT) is TwinTurning.SAME_WAY


def test_belt() -> None:
    # By hand: 190 mm drives 70 mm: 2.7143; at 2600 rpm 7057 rpm; belt at 25.87 m/s.
    ratio = belt_ratio(0.190, 0.070)
    assert ratio == pytest.approx(2.7143, abs=5e-5)
    assert driven_speed_rpm(2600, ratio) == pytest.approx(7057.1, abs=0.05)
    speed = belt_speed_m_per_s(0.190, 2600)
    assert speed == pytest.approx(25.866, abs=0.001)
    assert belt_speed_m_per_s(0.070, driven_speed_rpm(2600, ratio)) == pytest.approx(speed)


def test_matching_mounting() -> None:
    match = mounting_match("3", "11-1/2", "3", "11-1/2")
    assert match.housing is MountingFit.SAME
    assert match.flywheel is MountingFit.SAME
    assert match.flywheel_room is FlywheelRoom.FITS


def test_metric_holes_are_told_apart() -> None:
    assert mounting_match("3M", "11-1/2", "3", "11-1/2").housing is MountingFit.SAME_BUT_HOLES
    assert mounting_match("3M", "11-1/2", "3M", "11-1/2").housing is MountingFit.SAME


def test_other_housing_other_flywheel() -> None:
    match = mounting_match("3", "11-1/2", "4", "10")
    assert match.housing is MountingFit.DIFFERENT
    assert match.flywheel is MountingFit.DIFFERENT


def test_a_coupling_too_large_for_the_housing() -> None:
    """A 14 in coupling is 466.7 mm; the bore of housing 2 is 447.7 mm, of housing 1 511.2 mm."""
    assert mounting_match("2", "14", "2", "14").flywheel_room is FlywheelRoom.TOO_LARGE
    assert mounting_match("1", "14", "1", "14").flywheel_room is FlywheelRoom.FITS


def test_a_small_flywheel_in_a_deep_housing_is_a_question() -> None:
    assert mounting_match("4", "7-1/2", "4", "7-1/2").flywheel_room is FlywheelRoom.DEPTH_DIFFERS


def test_unknown_sizes_are_refused() -> None:
    with pytest.raises(OutOfTable, match="sae_no 7"):
        mounting_match("7", "10", "3", "10")
    with pytest.raises(OutOfTable, match="size 12"):
        mounting_match("3", "12", "3", "10")


def test_refuses_a_gear_that_makes_power() -> None:
    with pytest.raises(OutOfRange, match="the gear's efficiency"):
        shaft_power_w(1000, 1.01)
    with pytest.raises(OutOfRange, match="the reduction ratio"):
        shaft_speed_rpm(2600, 0)
