"""Heat exchangers, duties and wet exhaust against textbooks and tables."""

import math

import pytest
from CoolProp.HumidAirProp import HAPropsSI

from installgen.calc.exchanger import (
    Arrangement,
    effectiveness_ratio,
    exchange,
    part_load_ua_w_per_k,
    transfer_units,
    ua_from_design_w_per_k,
)
from installgen.calc.exhaust import mix_injection, saturated_humidity_ratio
from installgen.calc.heat import charge_air_duty_w, temperature_rise_k
from installgen.calc.heights import static_head_pa
from installgen.calc.water import seawater


def test_seawater_takes_up_40_kw() -> None:
    # 60 l/min of seawater at 15 C (1025.976 kg/m3, 3993.08 J/(kg K), TEOS-10) and 40 kW: 9.764 K.
    sea = seawater(15.0)
    flow = 1e-3 * sea.density_kg_per_m3
    rise = temperature_rise_k(40e3, flow, sea.specific_heat_j_per_kg_k)
    assert rise == pytest.approx(9.764, rel=1.2e-3)


def test_incropera_exhaust_gas_heats_water() -> None:
    # Incropera and others, Fundamentals of Heat and Mass Transfer, example of the NTU method: water
    # 1 kg/s, 4197 J/(kg K), 35 to 125 C; gas 300 to 100 C in cross flow, unmixed: C_gas 1889 W/K,
    # effectiveness 0.755, NTU about 2.1 by the figure (figures from memory).
    duty = 4197.0 * (125 - 35)
    gas = duty / (300 - 100)
    assert gas == pytest.approx(1889, rel=5e-4)
    ua = ua_from_design_w_per_k(duty, 300.0, 35.0, gas, 4197.0, Arrangement.CROSS)
    assert ua / gas == pytest.approx(2.1, abs=0.1)
    assert duty / (gas * (300 - 35)) == pytest.approx(0.755, abs=5e-4)


def test_holman_example_10_10_counter_flow_off_design() -> None:
    # Holman, Heat Transfer, example 10.10: oil and water in counter flow, U 320, A 15.82 m2, water
    # cut from 68 to 40 kg/min: effectiveness 0.744 by its table; by arithmetic on that the water
    # leaves at 90.8 C with 155.5 kW. Read in a companion of solved examples.
    water = 40 * 4180 / 60
    oil = 68 * 4180 * (75 - 35) / (110 - 75) / 60
    result = exchange(320 * 15.82, 110.0, 35.0, oil, water, Arrangement.COUNTER)
    assert result.effectiveness_ratio == pytest.approx(0.744, abs=1e-3)
    assert result.cold_outlet_c == pytest.approx(90.8, abs=0.1)
    assert result.duty_w == pytest.approx(155.5e3, rel=2e-3)


def test_holman_example_10_14_condenser() -> None:
    # Holman, example 10.14: ammonia condenses at 50 C, water 20 to 40 C, 200 kW, U 1 kW/(m2 K):
    # effectiveness 0.6; by arithmetic on its formula 9.16 m2, and half the water flow loses 37 % of
    # the heat. Read in a companion of solved examples.
    water = 200e3 / 20
    units = transfer_units(0.6, 0.0, Arrangement.SHELL_AND_TUBE)
    assert water * units / 1000.0 == pytest.approx(9.16, abs=0.01)
    half = effectiveness_ratio(2 * units, 0.0, Arrangement.SHELL_AND_TUBE)
    assert half * water / 2 * 30 == pytest.approx(0.63 * 200e3, rel=1e-3)


def test_som_example_10_7_cross_flow() -> None:
    # Som, Introduction to Heat Transfer, example 10.7: water 7 kg/s at 20 C, air 10 kg/s at 125 C,
    # U 220, A 250 m2, cross flow unmixed: the air leaves at about 26 C.
    result = exchange(220.0 * 250.0, 125.0, 20.0, 10 * 1010.0, 7 * 4180.0, Arrangement.CROSS)
    assert result.hot_outlet_c == pytest.approx(26.0, abs=1.5)


def test_counter_and_parallel_flow_of_one_exchanger() -> None:
    # A set problem read from the charts of Kays and London: capacity ratio 0.5, NTU 0.8: parallel
    # flow 48 %.
    assert effectiveness_ratio(0.8, 0.5, Arrangement.PARALLEL) == pytest.approx(0.48, abs=0.015)


@pytest.mark.parametrize(
    ("ntu", "capacity_ratio", "effectiveness"),
    # Arithmetic: balanced counter flow is N / (1 + N).
    [(1.0, 1.0, 0.5), (9.0, 1.0, 0.9), (5.0, 0.0, 0.9932620530009145)],
)
def test_counter_flow_at_its_limits(
    ntu: float, capacity_ratio: float, effectiveness: float
) -> None:
    found = effectiveness_ratio(ntu, capacity_ratio, Arrangement.COUNTER)
    assert found == pytest.approx(effectiveness, rel=1e-9)


@pytest.mark.parametrize("ntu", [0.5, 1.0, 2.0, 4.0])
@pytest.mark.parametrize("capacity_ratio", [0.1, 0.5, 0.9])
def test_effectiveness_is_that_of_the_differential_equation(
    ntu: float, capacity_ratio: float
) -> None:
    # Both streams followed along a counter-flow and a parallel-flow exchanger, in small steps.
    steps = 20_000
    hot, cold = 1.0, 0.0
    for _ in range(steps):
        heat = ntu / steps * (hot - cold)
        hot, cold = hot - heat, cold + heat * capacity_ratio
    parallel = effectiveness_ratio(ntu, capacity_ratio, Arrangement.PARALLEL)
    assert parallel == pytest.approx(1.0 - hot, rel=1e-3)
    # Counter flow, with the hot stream as the smaller: guess what the cold stream leaves with.
    low, high = 0.0, 1.0
    for _ in range(40):
        leaving = (low + high) / 2.0
        hot, cold = 1.0, leaving
        for _ in range(500):
            heat = ntu / 500 * (hot - cold)
            hot, cold = hot - heat, cold - heat * capacity_ratio
        low, high = (leaving, high) if cold < 0.0 else (low, leaving)
    counter = effectiveness_ratio(ntu, capacity_ratio, Arrangement.COUNTER)
    assert counter == pytest.approx(leaving / capacity_ratio, rel=1e-2)


def test_dittus_boelter_part_load() -> None:
    # One film that is the whole resistance, at half flow: UA falls to 0.5^0.8 = 0.5743.
    ua = part_load_ua_w_per_k(1000.0, 0.5, 1.0, 1.0, 0.0, 0.8)
    assert ua == pytest.approx(574.3, abs=0.1)


def test_charge_air_from_300_to_160_fahrenheit() -> None:
    # Facts of the trade: charge air enters its cooler at 300-400 F and leaves at 160-165 F. With
    # 0.4 kg/s and cp 1.013 kJ/(kg K) (Cengel, table A-15, 140 C) 350 to 162.5 F is 42.2 kW.
    inlet_c, outlet_c = (350 - 32) / 1.8, (162.5 - 32) / 1.8
    assert charge_air_duty_w(0.4, inlet_c, outlet_c) == pytest.approx(42.2e3, rel=5e-3)


@pytest.mark.parametrize(
    ("temperature_c", "humidity"),
    # Moist air table of an engineering reference site, kg/kg of dry air at saturation.
    [(20.0, 0.015), (30.0, 0.027), (40.0, 0.049), (50.0, 0.087), (60.0, 0.15), (70.0, 0.28)],
)
def test_saturated_air_of_the_table(temperature_c: float, humidity: float) -> None:
    assert saturated_humidity_ratio(temperature_c) == pytest.approx(humidity, rel=0.025)


@pytest.mark.parametrize("temperature_c", [25.0, 45.0, 65.0, 85.0])
def test_saturated_air_agrees_with_ashrae_rp_1485(temperature_c: float) -> None:
    # HumidAirProp of CoolProp, after ASHRAE RP-1485; it has the enhancement factor of about 0.5 %.
    kelvin = temperature_c + 273.15
    reference = HAPropsSI("W", "T", kelvin, "P", 101325, "R", 1.0)
    assert saturated_humidity_ratio(temperature_c) == pytest.approx(reference, rel=0.025)


def test_injection_agrees_with_the_enthalpy_of_humid_air() -> None:
    # Hot dry air 200 C, 1 kg/s, and 2 kg/s of water at 20 C: the end state must have the enthalpy
    # of the beginning, all taken from HumidAirProp and from IAPWS water (cp 4.184 kJ/(kg K)).
    mixed = mix_injection(1.0, 200.0, 2.0, 20.0, 4184.0)
    kelvin = mixed.temperature_c + 273.15
    before = HAPropsSI("H", "T", 473.15, "P", 101325, "W", 0.0) + 2.0 * 4184.0 * 20.0
    after = (
        HAPropsSI("H", "T", kelvin, "P", 101325, "R", 1.0)
        + mixed.liquid_kg_per_s * 4184.0 * mixed.temperature_c
    )
    assert after == pytest.approx(before, rel=0.02)
    volume = HAPropsSI("Vha", "T", kelvin, "P", 101325, "R", 1.0)
    assert mixed.gas_density_kg_per_m3 == pytest.approx(1.0 / volume, rel=0.01)


def test_back_pressure_limits_in_inches_of_water() -> None:
    # Makers' limits: 39 in of water is 9.714 kPa at 0.249089 kPa an inch: a column of 0.9906 m.
    assert static_head_pa(1000.0, 39 * 0.0254) == pytest.approx(9714, rel=1e-3)


def test_lift_of_a_metre_of_seawater() -> None:
    # 1 m of water is 9.80665 kPa by definition; seawater of 1025.976 kg/m3: 10.0614 kPa.
    assert static_head_pa(1000.0, 1.0) == pytest.approx(9806.65)
    assert static_head_pa(1025.976, 1.0) == pytest.approx(10061.4, abs=0.1)


def test_latent_and_sensible_heat_of_injection_by_hand() -> None:
    # 0.1 kg/s of gas at 400 C, 1 kg/s of water at 20 C: about 0.1 x 1.03 x 372 = 38.3 kW against
    # 4184 W/K; to 27 C: 29.3 kW of warming and 0.00225 kg/s x 2436 kJ/kg = 5.5 kW of vapour leave
    # 3.5 kW; so it settles between 27 and 28 C.
    mixed = mix_injection(0.1, 400.0, 1.0, 20.0, 4184.0)
    assert 27.0 < mixed.temperature_c < 28.5
    assert mixed.evaporated_kg_per_s == pytest.approx(0.0023, rel=0.06)
    assert math.isclose(mixed.evaporated_kg_per_s + mixed.liquid_kg_per_s, 1.0)
