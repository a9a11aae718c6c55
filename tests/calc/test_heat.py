"""Duties, the engine's balance and the temperature staircase."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.heat import (
    Stream,
    charge_air_duty_w,
    energy_balance,
    flow_for_outlet_m3_per_s,
    route_temperatures,
    scale_margin_k,
    scaled_duty_w,
    temperature_rise_k,
)
from installgen.errors import NotSolved, OutOfRange, OutOfTable

CP = 4000.0


def test_charge_air_can_be_nil_or_reversed() -> None:
    assert charge_air_duty_w(0.3, 150.0, 50.0) > 0.0
    assert charge_air_duty_w(0.05, 60.0, 60.0) == 0.0
    assert charge_air_duty_w(0.05, 45.0, 75.0) < 0.0  # a jacket-cooled cooler at idle warms the air


def test_a_halved_driver_halves_the_duty() -> None:
    assert scaled_duty_w(120e3, 40.0, 20.0) == 60e3
    assert scaled_duty_w(120e3, 40.0, 0.0) == 0.0


def test_flow_for_a_scale_limit_is_the_flow_that_just_keeps_it() -> None:
    flow = flow_for_outlet_m3_per_s(200e3, 32.0, 55.0, 1021.0, 4002.0)
    outlet = 32.0 + temperature_rise_k(200e3, flow * 1021.0, 4002.0)
    assert scale_margin_k(outlet, 55.0) == pytest.approx(0.0, abs=1e-9)
    assert scale_margin_k(50.0, 55.0) == 5.0


def test_energy_balance_closes() -> None:
    # 10 g/s of 42.8 MJ/kg is 428 kW; 160 + 100 + 60 + 90 leave 18 kW, 4.2 %.
    balance = energy_balance(0.010, 42.8e6, 160e3, [100e3, 60e3, 90e3])
    assert balance.fuel_w == pytest.approx(428e3)
    assert balance.unaccounted_w == pytest.approx(18e3)
    assert balance.unaccounted_ratio == pytest.approx(0.04206, abs=1e-5)


def test_staircase_of_a_series_route() -> None:
    # 5 kg/s at 4000 J/(kg K): 20 kW/K. 40, 20 and 100 kW make 2, 1 and 5 K.
    route = [
        Stream("aftercooler", "pump", "a", 5.0, CP, 40e3),
        Stream("hose", "a", "b", 5.0, CP),
        Stream("gear-oil cooler", "b", "c", 5.0, CP, 20e3),
        Stream("heat exchanger", "c", "d", 5.0, CP, 100e3),
    ]
    temperatures = route_temperatures(route, {"pump": 30.0})
    assert temperatures.nodes_c == pytest.approx(
        {"pump": 30.0, "a": 32.0, "b": 32.0, "c": 33.0, "d": 38.0}
    )
    assert temperatures.outlets_c["heat exchanger"] == pytest.approx(38.0)


def test_branches_mix() -> None:
    # 1 kg/s goes round the cooler: 4 kg/s warmed by 10 K and 1 kg/s not make 8 K together.
    route = [
        Stream("cooler", "in", "joint", 4.0, CP, 160e3),
        Stream("bypass", "in", "joint", 1.0, CP),
        Stream("out", "joint", "end", 5.0, CP),
    ]
    temperatures = route_temperatures(route, {"in": 20.0})
    assert temperatures.outlets_c["cooler"] == pytest.approx(30.0)
    assert temperatures.outlets_c["bypass"] == pytest.approx(20.0)
    assert temperatures.nodes_c["end"] == pytest.approx(28.0)


def test_water_that_runs_backwards_is_followed() -> None:
    route = [
        Stream("one", "in", "a", 2.0, CP, 16e3),
        Stream("other way", "b", "a", -2.0, CP, 8e3),
    ]
    assert route_temperatures(route, {"in": 10.0}).nodes_c["b"] == pytest.approx(13.0)


def test_a_loop_that_goes_round_is_solved() -> None:
    # 1 kg/s of the outlet is led back to the inlet: outlet 40 kW / (4 kg/s) above, as without it.
    route = [
        Stream("in", "sea", "pump", 4.0, CP),
        Stream("cooler", "pump", "out", 5.0, CP, 160e3),
        Stream("back", "out", "pump", 1.0, CP),
        Stream("overboard", "out", "end", 4.0, CP),
    ]
    temperatures = route_temperatures(route, {"sea": 20.0})
    assert temperatures.nodes_c["end"] == pytest.approx(30.0)
    assert temperatures.nodes_c["pump"] == pytest.approx(22.0)


@given(st.integers(0, 10_000))
def test_energy_is_kept_over_any_branched_route(seed: int) -> None:
    rng = random.Random(seed)
    route, flow = [], rng.uniform(1.0, 10.0)
    total = 0.0
    for step in range(rng.randint(1, 6)):
        share = rng.uniform(0.1, 0.9)
        for branch, part in (("main", share), ("side", 1.0 - share)):
            duty = rng.uniform(-10e3, 80e3)
            total += duty
            route.append(
                Stream(f"{branch}{step}", f"n{step}", f"n{step + 1}", flow * part, CP, duty)
            )
    last = route[-1].end
    temperatures = route_temperatures(route, {"n0": 15.0})
    assert flow * CP * (temperatures.nodes_c[last] - 15.0) == pytest.approx(total, abs=1e-3)


@pytest.mark.parametrize(
    ("route", "message"),
    [
        ([Stream("a", "x", "y", 1.0, CP), Stream("a", "y", "z", 1.0, CP)], "used twice"),
        ([Stream("a", "x", "y", 0.0, CP, 5e3)], "flow through a"),
        ([Stream("a", "elsewhere", "y", 1.0, CP)], "elsewhere"),
    ],
)
def test_refuses_routes(route: list[Stream], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        route_temperatures(route, {"x": 10.0})


def test_a_ring_that_nothing_feeds() -> None:
    ring = [Stream("a", "y", "z", 1.0, CP, 1e3), Stream("b", "z", "y", 1.0, CP)]
    with pytest.raises(NotSolved):
        route_temperatures(ring, {"x": 10.0})


def test_refuses_numbers() -> None:
    with pytest.raises(OutOfRange, match="air"):
        charge_air_duty_w(-0.1, 100.0, 50.0)
    with pytest.raises(OutOfTable):
        charge_air_duty_w(0.1, 2500.0, 50.0)
    with pytest.raises(OutOfRange, match="reference"):
        scaled_duty_w(1e3, 0.0, 1.0)
    with pytest.raises(OutOfRange, match="mass flow"):
        temperature_rise_k(1e3, 0.0, CP)
    with pytest.raises(OutOfRange, match="inlet"):
        flow_for_outlet_m3_per_s(1e3, 56.0, 55.0, 1000.0, CP)
    with pytest.raises(OutOfRange, match="fuel"):
        energy_balance(0.0, 42.8e6, 1.0, [])
