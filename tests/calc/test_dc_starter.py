"""Constants of a starter; the arithmetic is beside each."""

import math

import pytest

from installgen.calc.dc_elements import TurningStarter
from installgen.calc.starter import (
    back_emf_from_torque_constant_v_per_rpm,
    back_emf_v_per_rpm,
    stalled_resistance_ohm,
    turning_current_a,
    winding_resistance_ohm,
)
from installgen.errors import OutOfRange


def test_stall_test() -> None:
    """6 V at 600 A: 10 mohm; 1.5 V of it over the brushes leaves 7.5 mohm."""
    assert stalled_resistance_ohm(6.0, 600.0) == pytest.approx(0.010, rel=1e-12)
    assert winding_resistance_ohm(6.0, 600.0, 1.5) == pytest.approx(0.0075, rel=1e-12)
    with pytest.raises(OutOfRange, match=r"above 6\.5 V"):
        winding_resistance_ohm(6.0, 600.0, 6.5)


def test_a_cranking_test_gives_back_its_own_speed() -> None:
    """10 V, 250 A, 220 rpm: (10 - 1.5 - 1.875) / 220 V/rpm."""
    k = back_emf_v_per_rpm(10.0, 250.0, 220.0, 0.0075, 1.5)
    assert k == pytest.approx(6.625 / 220.0, rel=1e-12)
    starter = TurningStarter("starter", "M", "block", 0.0075, 1.5, k, 250.0)
    assert starter.speed_rpm(10.0) == pytest.approx(220.0, rel=1e-12)
    # Half a volt lost on the way is 0.5 / k = 16.6 rpm.
    assert starter.speed_rpm(9.5) == pytest.approx(220.0 - 0.5 * 220.0 / 6.625, rel=1e-12)
    with pytest.raises(OutOfRange, match="left for the back-EMF"):
        back_emf_v_per_rpm(3.0, 250.0, 220.0, 0.0075, 1.5)


def test_torque_and_back_emf_are_one_constant() -> None:
    """k_t 0.02 N.m/A at 30:1: 90 N.m / (30 * 0.9 * 0.02) + 15 A; k = 0.02 * 30 * 2 pi / 60."""
    current_a = turning_current_a(90.0, 0.02, 30.0, 0.9, 15.0)
    assert current_a == pytest.approx(90.0 / 0.54 + 15.0, rel=1e-12)
    k = back_emf_from_torque_constant_v_per_rpm(0.02, 30.0)
    assert k == pytest.approx(0.02 * math.pi, rel=1e-12)
    # Electrical power behind the back-EMF is mechanical power at the motor's shaft.
    speed_rpm, motor_a = 200.0, 150.0
    motor_rad_per_s = speed_rpm * 30.0 * 2 * math.pi / 60
    assert k * speed_rpm * motor_a == pytest.approx(0.02 * motor_a * motor_rad_per_s, rel=1e-12)
    with pytest.raises(OutOfRange, match="efficiency of the gear"):
        turning_current_a(90.0, 0.02, 30.0, 1.1, 0.0)
