"""Pulse signals, sender tables, the load table and a bank's hours."""

import math

import pytest

from installgen.calc.charging import (
    EnduranceMethod,
    LoadEntry,
    bank_endurance,
    load_sum,
    recharge_hours,
    surplus_a,
)
from installgen.calc.signals import (
    SenderPoint,
    SenderTable,
    alternator_signal_hz,
    flywheel_signal_hz,
    indicated_speed_rpm,
    sender_reading,
    sender_resistance_ohm,
)
from installgen.errors import OutOfRange

TEMPERATURE = SenderTable(
    "temperature sender",
    (SenderPoint(40, 290), SenderPoint(60, 134), SenderPoint(90, 51), SenderPoint(120, 22)),
)


def test_a_gauge_with_the_wrong_setting() -> None:
    """127 teeth at 2600 rpm counted as 116 pulses a revolution show 2847 rpm (by hand)."""
    signal_hz = flywheel_signal_hz(127, 2600)
    assert indicated_speed_rpm(signal_hz, 127) == pytest.approx(2600)
    assert indicated_speed_rpm(signal_hz, 116) == pytest.approx(2846.6, abs=0.05)


def test_alternator_with_a_pulley() -> None:
    """6 pole pairs, pulleys of 160 and 70 mm, 750 rpm: 6 · 160/70 · 750 / 60 = 171.4 Hz."""
    assert alternator_signal_hz(6, 160 / 70, 750) == pytest.approx(171.43, abs=0.005)


def test_signal_refusals() -> None:
    with pytest.raises(OutOfRange, match="teeth"):
        flywheel_signal_hz(0, 2600)
    with pytest.raises(OutOfRange, match="speed"):
        flywheel_signal_hz(127, -1)
    with pytest.raises(OutOfRange, match="pulley"):
        alternator_signal_hz(6, 0, 750)
    with pytest.raises(OutOfRange, match="setting"):
        indicated_speed_rpm(100, 0)


def test_sender_between_points_and_back() -> None:
    assert sender_resistance_ohm(TEMPERATURE, 75) == pytest.approx((134 + 51) / 2)
    assert sender_reading(TEMPERATURE, (134 + 51) / 2) == pytest.approx(75)
    for point in TEMPERATURE.points:
        assert sender_resistance_ohm(TEMPERATURE, point.reading) == point.resistance_ohm
        assert sender_reading(TEMPERATURE, point.resistance_ohm) == point.reading


def test_sender_stays_inside_its_table() -> None:
    for reading in (39.9, 120.1, math.nan):
        with pytest.raises(OutOfRange, match="40 to 120"):
            sender_resistance_ohm(TEMPERATURE, reading)
    for resistance_ohm in (21.9, 290.1):
        with pytest.raises(OutOfRange, match="22 to 290 Ω"):
            sender_reading(TEMPERATURE, resistance_ohm)


@pytest.mark.parametrize(
    "points",
    [
        (),
        (SenderPoint(0, 10),),
        (SenderPoint(0, 10), SenderPoint(0, 20)),
        (SenderPoint(0, 10), SenderPoint(1, 10)),
        (SenderPoint(0, 10), SenderPoint(1, 20), SenderPoint(2, 15)),
        (SenderPoint(0, -1), SenderPoint(1, 10)),
        (SenderPoint(0, 10), SenderPoint(1, math.nan)),
    ],
)
def test_sender_tables_that_are_refused(points: tuple[SenderPoint, ...]) -> None:
    with pytest.raises(OutOfRange, match="table of sender"):
        SenderTable("sender", points)


LOADS = (
    LoadEntry("plotter", {"cruise": 3.0, "anchor": 3.0}, essential=True),
    LoadEntry("bilge pump", {"cruise": 6.0, "anchor": 6.0}, duty_ratio=0.1, essential=True),
    LoadEntry("refrigerator", {"cruise": 5.0, "anchor": 5.0}, duty_ratio=0.4),
    LoadEntry("navigation lights", {"cruise": 2.5}, essential=True),
)


def test_load_table() -> None:
    cruise = load_sum(LOADS, "cruise")
    assert cruise.peak_a == pytest.approx(16.5)
    assert cruise.mean_a == pytest.approx(3 + 0.6 + 2 + 2.5)
    assert cruise.essential_mean_a == pytest.approx(6.1)
    assert load_sum(LOADS, "anchor").essential_mean_a == pytest.approx(3.6)
    assert load_sum(LOADS, "lay-up").peak_a == 0
    assert surplus_a(55, cruise.mean_a) == pytest.approx(46.9)
    assert surplus_a(5, cruise.mean_a) < 0


def test_load_refusals() -> None:
    with pytest.raises(OutOfRange, match="duty of pump"):
        LoadEntry("pump", {}, duty_ratio=1.1)
    with pytest.raises(OutOfRange, match="current of pump in run"):
        LoadEntry("pump", {"run": -1.0})


def test_bank_without_an_exponent_is_linear_and_says_so() -> None:
    """Half of 200 Ah at 5 A: 20 h."""
    endurance = bank_endurance(5, 200, 20, 0.5)
    assert (endurance.hours, endurance.method) == (20, EnduranceMethod.LINEAR)


def test_peukert_at_the_rated_current_is_the_rated_time() -> None:
    assert bank_endurance(10, 200, 20, 1.0, 1.25).hours == pytest.approx(20)
    # Twice the current: 20 · (1/2)^1.25 = 8.41 h, against 10 h linear.
    assert bank_endurance(20, 200, 20, 1.0, 1.25).hours == pytest.approx(8.409, abs=5e-4)
    assert bank_endurance(20, 200, 20, 1.0).hours == pytest.approx(10)


def test_bank_limits() -> None:
    assert bank_endurance(0, 200, 20, 0.5).hours == math.inf
    for bad in (
        (5, 0, 20, 0.5, None),
        (5, 200, 0, 0.5, None),
        (5, 200, 20, 0, None),
        (5, 200, 20, 1.1, None),
        (-5, 200, 20, 0.5, None),
        (5, 200, 20, 0.5, 0.9),
        (5, 200, 20, 0.5, 1.6),
    ):
        with pytest.raises(OutOfRange):
            bank_endurance(*bad)


def test_recharge() -> None:
    """50 Ah taken, 1.15 put back for each: 57.5 Ah at the lesser of 46 and 23 A, 2.5 h."""
    assert recharge_hours(50, 46, 23, 1.15) == pytest.approx(2.5)
    assert recharge_hours(50, -1, 23, 1.15) == math.inf
    assert recharge_hours(0, -1, 23, 1.15) == 0
    with pytest.raises(OutOfRange):
        recharge_hours(50, 46, 23, 0.9)
