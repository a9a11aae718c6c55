"""Fuel: burn, supply, endurance with reserve, suction."""

import pytest

from installgen.calc.curve import Curve
from installgen.calc.fuel import (
    burn_at_speed_m3_per_s,
    burn_from_power_m3_per_s,
    endurance,
    return_heat_w,
    static_lift_m,
    suction_pa,
    supply_m3_per_s,
    total_flow_m3_per_s,
    transfer_m3_per_s,
    usable_volume_m3,
)
from installgen.errors import OutOfRange, OutOfTable

LITRE_PER_HOUR = 1e-3 / 3600


def test_burn_from_the_sheets_curve() -> None:
    points = tuple((n, q * LITRE_PER_HOUR) for n, q in ((700.0, 3.0), (1800.0, 36.0), (2600.0, 84)))
    curve = Curve("the fuel curve", "speed", points)
    assert burn_at_speed_m3_per_s(curve, 2200) / LITRE_PER_HOUR == pytest.approx(60)
    with pytest.raises(OutOfTable, match="700 to 2600"):
        burn_at_speed_m3_per_s(curve, 2700)


def test_burn_from_power() -> None:
    # By hand: 331 kW x 215 g/kWh = 71.165 kg/h; / 0.84 kg/l = 84.72 l/h.
    burn = burn_from_power_m3_per_s(331e3, 215, 840)
    assert burn / LITRE_PER_HOUR == pytest.approx(84.72, abs=0.005)


def test_supply_is_burn_and_return() -> None:
    assert supply_m3_per_s(80, 120) == 200
    assert total_flow_m3_per_s([40, 40]) == 80
    with pytest.raises(OutOfRange, match="the fuel returned"):
        supply_m3_per_s(80, -1)


def test_usable_volume() -> None:
    # By hand: 500 l, 5 % ullage, 15 l not drawn: 475 - 15 = 460 l.
    assert usable_volume_m3(0.5, 0.05, 0.015) == pytest.approx(0.46)
    with pytest.raises(OutOfRange, match="the usable fuel"):
        usable_volume_m3(0.5, 0.05, 0.475)


def test_endurance_and_range_with_reserve() -> None:
    # By hand: 460 l less 20 % is 368 l; at 46 l/h 8 h; at 9 kn (4.63 m/s) 72 nautical miles.
    result = endurance(0.46, 46 * LITRE_PER_HOUR, 0.2, 9 * 1852 / 3600)
    assert result.fuel_m3 == pytest.approx(0.368)
    assert result.endurance_s / 3600 == pytest.approx(8)
    assert result.range_m is not None
    assert result.range_m / 1852 == pytest.approx(72)


def test_what_returns_is_not_burnt_so_it_does_not_shorten_the_passage() -> None:
    assert endurance(0.46, 1e-5, 0.2).range_m is None
    with pytest.raises(OutOfRange, match="the fuel burnt"):
        endurance(0.46, 0, 0.2)


def test_transfer_by_the_return_line() -> None:
    assert transfer_m3_per_s(120, 1) == 0
    assert transfer_m3_per_s(120, 0) == 120


def test_suction_adds_lift_and_dirty_filter() -> None:
    # By hand: 840 kg/m3 x 9.80665 x 0.9 m = 7413.8 Pa, and 6 + 3 kPa of losses.
    lift = static_lift_m(0.4, -0.5)
    assert lift == pytest.approx(0.9)
    assert suction_pa(lift, 840, [6000, 3000]) == pytest.approx(16_413.8, abs=0.05)


def test_a_tank_above_the_pump_gives_head() -> None:
    assert suction_pa(static_lift_m(0.2, 1.2), 840, []) < 0


def test_losses_do_not_help() -> None:
    with pytest.raises(OutOfRange, match="a loss on the suction side"):
        suction_pa(0.5, 840, [-1])


def test_heat_carried_back() -> None:
    # By hand: 100 l/h x 0.84 kg/l = 0.023333 kg/s; x 2000 J/(kg K) x 30 K = 1400 W.
    assert return_heat_w(100 * LITRE_PER_HOUR, 840, 2000, 30) == pytest.approx(1400, abs=0.01)
