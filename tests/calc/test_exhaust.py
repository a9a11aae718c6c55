"""Wet exhaust, part by part."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installgen.calc.exhaust import (
    WetGas,
    back_pressure,
    dry_run_loss_pa,
    exhaust_heat_w,
    exhaust_mass_flow_kg_per_s,
    mix_injection,
    saturated_humidity_ratio,
    water_area_ratio,
    water_lost_margin_k,
    wet_run_loss_pa,
    wet_run_most_loss_pa,
)
from installgen.calc.heights import static_head_pa
from installgen.calc.water import air
from installgen.errors import OutOfRange, OutOfTable

CP = 4000.0


def usual() -> WetGas:
    return mix_injection(0.4, 420.0, 5.0, 40.0, CP)


def test_gas_is_air_and_fuel() -> None:
    assert exhaust_mass_flow_kg_per_s(0.40, 0.014) == pytest.approx(0.414)
    with pytest.raises(OutOfRange, match="fuel"):
        exhaust_mass_flow_kg_per_s(0.4, -0.01)


def test_hot_gas_is_thin_and_loses_more() -> None:
    losses = [dry_run_loss_pa(0.3, t, 0.1, 1.5, 5e-5, 1.2) for t in (100.0, 300.0, 500.0)]
    assert losses == sorted(losses)
    # At constant mass flow the loss goes about with 1/density.
    ratio = air(100.0).density_kg_per_m3 / air(500.0).density_kg_per_m3
    assert losses[2] / losses[0] == pytest.approx(ratio, rel=0.05)


def test_half_the_bore_loses_about_32_times_as_much() -> None:
    wide, narrow = (dry_run_loss_pa(0.03, 300.0, d, 2.0, 0.0, 0.0) for d in (0.10, 0.05))
    assert 25.0 < narrow / wide < 32.0


def test_a_run_that_loses_a_tenth_of_its_pressure_is_refused() -> None:
    with pytest.raises(OutOfRange, match="exhaust run"):
        dry_run_loss_pa(0.5, 500.0, 0.05, 3.0, 5e-5, 2.0)


@settings(deadline=None)
@given(
    st.floats(0.02, 1.0), st.floats(120.0, 600.0), st.floats(8.0, 30.0), st.floats(5.0, 60.0),
    st.floats(95e3, 115e3),
)  # fmt: skip
def test_injection_keeps_mass_and_energy(
    gas: float, gas_c: float, water_per_gas: float, water_c: float, pressure_pa: float
) -> None:
    water = gas * water_per_gas
    mixed = mix_injection(gas, gas_c, water, water_c, CP, pressure_pa)
    assert water_c < mixed.temperature_c < gas_c
    assert mixed.evaporated_kg_per_s + mixed.liquid_kg_per_s == pytest.approx(water)
    assert mixed.gas_kg_per_s == pytest.approx(gas + mixed.evaporated_kg_per_s)
    dry = exhaust_heat_w(gas, gas_c, mixed.temperature_c)
    assert water * CP * (mixed.temperature_c - water_c) < dry  # the rest went into vapour


def test_more_water_cools_more() -> None:
    less, more = (mix_injection(0.4, 420.0, w, 40.0, CP).temperature_c for w in (3.0, 6.0))
    assert more < less
    assert usual().temperature_c < 55.0


def test_water_already_in_the_gas_saves_evaporation() -> None:
    wet = mix_injection(0.4, 420.0, 5.0, 40.0, CP, gas_humidity_ratio=0.04)
    assert wet.evaporated_kg_per_s < usual().evaporated_kg_per_s
    assert wet.temperature_c > usual().temperature_c


def test_gas_that_is_wetter_than_saturated_evaporates_nothing() -> None:
    assert (
        mix_injection(0.4, 420.0, 40.0, 10.0, CP, gas_humidity_ratio=0.2).evaporated_kg_per_s == 0
    )


def test_too_little_water_is_the_water_lost_case() -> None:
    with pytest.raises(OutOfRange, match="injected water"):
        mix_injection(0.4, 500.0, 0.02, 40.0, CP)
    with pytest.raises(OutOfRange, match="injected water"):
        mix_injection(0.4, 420.0, 0.0, 40.0, CP)
    assert water_lost_margin_k(450.0, 120.0) == -330.0


def test_moist_gas_is_lighter_than_dry() -> None:
    mixed = usual()
    assert mixed.gas_density_kg_per_m3 < air(mixed.temperature_c).density_kg_per_m3


def test_water_takes_area() -> None:
    spray, slow = (water_area_ratio(usual(), 1020.0, s) for s in (1.0, 10.0))
    assert 0.0 < spray < slow < 0.2


def test_wet_run_lies_between_its_bounds() -> None:
    least = wet_run_loss_pa(usual(), 1020.0, 1.0, 0.152, 3.0, 3e-5, 2.0)
    some = wet_run_loss_pa(usual(), 1020.0, 8.0, 0.152, 3.0, 3e-5, 2.0)
    most = wet_run_most_loss_pa(usual(), 1020.0, 0.152, 3.0, 3e-5, 2.0)
    assert least < some < most


def test_static_column_apart() -> None:
    # 0.6 m of water at start 6.03 kPa; aerated to 400 kg/m3 2.35 kPa.
    start, rated = static_head_pa(1025.0, 0.6), static_head_pa(400.0, 0.6)
    total = back_pressure(900.0, 600.0, rated, 10e3)
    assert (start, rated) == (pytest.approx(6031, abs=1), pytest.approx(2354, abs=1))
    assert total.total_pa == pytest.approx(900.0 + 600.0 + rated)
    assert total.margin_pa == pytest.approx(10e3 - total.total_pa)


def test_humidity_refuses_boiling() -> None:
    with pytest.raises(OutOfRange, match="vapour pressure"):
        saturated_humidity_ratio(95.0, 80e3)
    with pytest.raises(OutOfTable):
        saturated_humidity_ratio(100.0)


@pytest.mark.parametrize("velocity_ratio", [0.5, 0.0, -1.0])
def test_water_does_not_outrun_the_gas(velocity_ratio: float) -> None:
    with pytest.raises(OutOfRange, match="gas over water"):
        water_area_ratio(usual(), 1020.0, velocity_ratio)
