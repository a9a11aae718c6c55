"""Air for the engine space."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.air import (
    AirGoverns,
    air_demand,
    alternator_heat_w,
    combustion_air_from_power_kg_per_s,
    combustion_air_kg_per_s,
    cooling_air_m3_per_s,
    louvre_area_m2,
    net_area_for_pressure_m2,
    net_area_m2,
    proportional_airflow_m3_per_s,
    temperature_rise_k,
    textbook_airflow_m3_per_s,
    textbook_vent_area_mm2,
    volume_flow_m3_per_s,
)
from installgen.calc.rating import WATT_PER_BRAKE_HORSEPOWER
from installgen.errors import OutOfRange

flows = st.floats(0, 10)
ratios = st.floats(0, 1)


def test_two_strokes_draw_twice_as_often() -> None:
    four, two = (combustion_air_kg_per_s(0.006, 2400, n, 0.9, 1.15) for n in (4, 2))
    assert two == 2 * four
    # By hand: 0.006 x 40 / 2 x 0.9 x 1.15 = 0.1242 kg/s.
    assert four == pytest.approx(0.1242)


def test_boost_counts_through_the_manifold_density() -> None:
    assert combustion_air_kg_per_s(0.006, 2400, 4, 0.9, 2.3) == pytest.approx(2 * 0.1242)


def test_air_from_power() -> None:
    assert combustion_air_from_power_kg_per_s(200e3, 0.0018) == pytest.approx(0.36)
    assert volume_flow_m3_per_s(0.36, 1.2) == pytest.approx(0.3)


def test_cooling_and_its_inverse() -> None:
    flow = cooling_air_m3_per_s(12e3, 1.15, 1006, 15)
    assert temperature_rise_k(12e3, flow, 1.15, 1006) == pytest.approx(15)
    with pytest.raises(OutOfRange, match="the temperature rise"):
        cooling_air_m3_per_s(12e3, 1.15, 1006, 0)


def test_combustion_and_cooling_add_less_the_part_counted_twice() -> None:
    demand = air_demand(0.4, 0.6, 0.5)
    assert demand.total_m3_per_s == pytest.approx(0.8)
    assert demand.credited_m3_per_s == pytest.approx(0.2)
    assert demand.governs is AirGoverns.COMBUSTION_AND_COOLING


def test_the_engine_breathes_whatever_the_heat() -> None:
    demand = air_demand(0.4, 0.1, 0.5)
    assert demand.total_m3_per_s == 0.4
    assert demand.governs is AirGoverns.COMBUSTION_ALONE


def test_a_least_multiple_can_govern() -> None:
    demand = air_demand(0.4, 0.1, 0.5, 1.5)
    assert demand.total_m3_per_s == pytest.approx(0.6)
    assert demand.governs is AirGoverns.LEAST_MULTIPLE
    with pytest.raises(OutOfRange, match="1 and more"):
        air_demand(0.4, 0.1, 0.5, 0.9)


@given(flows, flows, ratios)
def test_never_less_than_combustion_nor_more_than_both(
    combustion: float, cooling: float, carried: float
) -> None:
    total = air_demand(combustion, cooling, carried).total_m3_per_s
    assert combustion <= total <= combustion + cooling + 1e-12


def test_alternator_loss() -> None:
    # By hand: 14.2 V x 100 A = 1420 W out; half of the input lost means 1420 W of heat.
    assert alternator_heat_w(1420, 0.5) == pytest.approx(1420)
    assert alternator_heat_w(1420, 0.45) == pytest.approx(1420 * 45 / 55)
    with pytest.raises(OutOfRange):
        alternator_heat_w(1420, 1)


def test_openings() -> None:
    assert net_area_m2(0.6, 3) == pytest.approx(0.2)
    assert louvre_area_m2(0.2, 0.5) == pytest.approx(0.4)
    # By hand: sqrt(2 x 50 / 1.15) = 9.3250 m/s; 0.6 / (0.6 x 9.3250) = 0.10724 m2.
    assert net_area_for_pressure_m2(0.6, 50, 0.6, 1.15) == pytest.approx(0.10724, abs=1e-5)
    with pytest.raises(OutOfRange, match="the free part"):
        louvre_area_m2(0.2, 1.2)


def test_textbook_rule_is_refused_where_it_asks_for_too_little() -> None:
    """Under 33 hp the rule asks for nothing, and under 360 hp for less than 2.5 cfm per hp."""
    for power_hp in (20, 33, 359):
        with pytest.raises(OutOfRange, match="360 hp and more"):
            textbook_airflow_m3_per_s(power_hp * WATT_PER_BRAKE_HORSEPOWER)
    edge = 360.001 * WATT_PER_BRAKE_HORSEPOWER
    assert textbook_airflow_m3_per_s(edge) == pytest.approx(
        proportional_airflow_m3_per_s(edge, 2.5), rel=1e-5
    )


def test_half_the_power_takes_half_the_vent() -> None:
    assert textbook_vent_area_mm2(100e3) == pytest.approx(textbook_vent_area_mm2(200e3) / 2)
