"""Flexible-impeller pump."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.pump import (
    ImpellerPump,
    displacement_m3_per_rev,
    hydraulic_power_w,
    pump_flow_m3_per_s,
    pump_shaft_power_w,
    pump_speed_rpm,
    slip_ratio,
    swept_flow_m3_per_s,
    vacuum_flow_ratio,
)
from installgen.errors import OutOfRange

PUMP = ImpellerPump(0.2e-3, 0.04, 0.12, 100e3, 2400.0, 20e3, 60e3)


def test_flow_at_its_two_stated_points() -> None:
    # 0.2 l/rev at 2400 rpm sweeps 480 l/min; 4 % slips free, 12 % at 100 kPa.
    assert swept_flow_m3_per_s(PUMP, 2400.0) * 6e4 == pytest.approx(480.0)
    assert pump_flow_m3_per_s(PUMP, 2400.0, 0.0, 0.0) * 6e4 == pytest.approx(460.8)
    assert pump_flow_m3_per_s(PUMP, 2400.0, 0.0, 100e3) * 6e4 == pytest.approx(422.4)


def test_slip_grows_linearly_with_pressure() -> None:
    slips = [
        slip_ratio(PUMP, 2400.0, pump_flow_m3_per_s(PUMP, 2400.0, 0.0, p))
        for p in (0.0, 50e3, 100e3, 150e3)
    ]
    assert slips == pytest.approx([0.04, 0.08, 0.12, 0.16])


def test_half_the_speed_is_half_the_free_flow() -> None:
    fast, slow = (pump_flow_m3_per_s(PUMP, rpm, 0.0, 0.0) for rpm in (2000.0, 1000.0))
    assert slow == pytest.approx(fast / 2)


def test_a_stopped_impeller_is_no_check_valve() -> None:
    assert pump_flow_m3_per_s(PUMP, 0.0, 5e3, 0.0) > 0.0
    assert pump_flow_m3_per_s(PUMP, 0.0, 0.0, 5e3) < 0.0


@pytest.mark.parametrize(
    ("inlet_pa", "share"),
    [(5e3, 1.0), (0.0, 1.0), (-20e3, 1.0), (-30e3, 0.75), (-50e3, 0.25), (-60e3, 0.0), (-8e4, 0.0)],
)
def test_inlet_vacuum_takes_flow(inlet_pa: float, share: float) -> None:
    assert vacuum_flow_ratio(PUMP, inlet_pa) == pytest.approx(share)


def test_unknown_vacuum_takes_nothing() -> None:
    pump = replace(PUMP, full_flow_vacuum_pa=None, no_flow_vacuum_pa=None)
    assert vacuum_flow_ratio(pump, -90e3) == 1.0


@given(st.floats(1.0, 4000.0), st.floats(-90e3, 20e3), st.floats(-20e3, 200e3))
def test_flow_never_exceeds_what_is_swept_against_a_pressure(
    speed_rpm: float, inlet_pa: float, rise_pa: float
) -> None:
    flow = pump_flow_m3_per_s(PUMP, speed_rpm, inlet_pa, inlet_pa + rise_pa)
    if rise_pa >= 0.0:
        assert flow <= swept_flow_m3_per_s(PUMP, speed_rpm)
    more = pump_flow_m3_per_s(PUMP, speed_rpm, inlet_pa, inlet_pa + rise_pa + 1e3)
    assert more < flow


def test_displacement_from_one_measured_flow() -> None:
    # 422.4 l/min at 2400 rpm with 12 % slip was made by 0.2 l/rev.
    assert displacement_m3_per_rev(422.4 / 6e4, 2400.0, 0.12) == pytest.approx(0.2e-3)


def test_power_and_speed() -> None:
    # 7 l/s against 100 kPa is 700 W; at 50 % that takes 1400 W.
    assert hydraulic_power_w(7e-3, 100e3) == pytest.approx(700.0)
    assert pump_shaft_power_w(700.0, 0.5) == 1400.0
    assert pump_speed_rpm(2600.0, 1.1) == pytest.approx(2860.0)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"displacement_m3_per_rev": 0.0}, "displacement"),
        ({"slip_ratio": 1.0}, "slip of the pump"),
        ({"slip_ratio": 0.2}, "loaded slip"),
        ({"loaded_slip_pressure_pa": -1.0}, "pressure of the loaded slip"),
        ({"loaded_slip_speed_rpm": 0.0}, "speed of the loaded slip"),
        ({"full_flow_vacuum_pa": None}, "whole and no flow"),
        ({"full_flow_vacuum_pa": 70e3}, "vacuum for whole flow"),
        ({"no_flow_vacuum_pa": 110e3}, "vacuum for no flow"),
    ],
)
def test_refuses_a_sheet_that_cannot_be(change: dict[str, float | None], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        replace(PUMP, **change)  # type: ignore[arg-type]


def test_refuses_bad_questions() -> None:
    with pytest.raises(OutOfRange, match="speed"):
        pump_flow_m3_per_s(PUMP, -1.0, 0.0, 0.0)
    with pytest.raises(OutOfRange, match="speed"):
        slip_ratio(PUMP, 0.0, 0.0)
    with pytest.raises(OutOfRange, match="speed"):
        displacement_m3_per_rev(1e-3, 0.0, 0.1)
    with pytest.raises(OutOfRange, match="slip"):
        displacement_m3_per_rev(1e-3, 1000.0, 1.0)
    with pytest.raises(OutOfRange, match="efficiency"):
        pump_shaft_power_w(100.0, 0.0)
