"""Battery models; the arithmetic is beside each."""

import pytest

from installgen.calc.battery import (
    SAE_J537,
    BatteryModel,
    CrankingTest,
    bank,
    charge_resistance_ohm,
    emf_v,
    full_acceptance_a,
    resistance_from_cca_ohm,
    state_of_charge_percent,
    strongest_bound,
    strongest_model,
    weakest_by_short_circuit,
    weakest_model,
)
from installgen.calc.curve import Curve
from installgen.calc.dc_elements import Battery, Source
from installgen.calc.dc_network import Network
from installgen.calc.dc_solver import solve
from installgen.errors import OutOfRange, OutOfTable

CELL = Curve("cell at rest", "state of charge", ((0.0, 1.97), (50.0, 2.04), (100.0, 2.12)))


def test_emf_by_charge_and_temperature() -> None:
    """6 * (2.08 + 0.0002 * -20) = 12.456 V at 75 % and 5 C."""
    at_75 = emf_v(CELL, 75.0, 6, 5.0, curve_temperature_c=25.0, cell_coefficient_v_per_k=0.0002)
    assert at_75 == pytest.approx(12.456, rel=1e-12)
    with pytest.raises(OutOfTable):
        emf_v(CELL, 101.0, 6, 5.0, curve_temperature_c=25.0, cell_coefficient_v_per_k=0.0)


def test_state_of_charge_by_rested_voltage() -> None:
    """12.24 V / 6 = 2.04 V is the curve's middle."""
    assert state_of_charge_percent(CELL, 12.24, 6) == pytest.approx(50.0, rel=1e-9)
    with pytest.raises(OutOfRange, match=r"rested voltage of a cell is 2\.2 V"):
        state_of_charge_percent(CELL, 13.2, 6)


def test_resistance_from_the_cold_cranking_current() -> None:
    """SAE J537, 7.2 V: (12.6 - 7.2) / 800 = 6.75 mohm; shorted, 12.6 V give 1867 A."""
    ohm = resistance_from_cca_ohm(12.6, 800.0, 6)
    assert ohm == pytest.approx(6.75e-3, rel=1e-12)
    assert BatteryModel(12.6, ohm, "").short_circuit_current_a == pytest.approx(1867, abs=0.5)


def test_by_another_test_the_same_current_is_another_resistance() -> None:
    """7.5 V instead of 7.2 V: 5.1 / 800."""
    other = CrankingTest("a test to 1.25 V", 1.25, 10.0, -18.0)
    assert resistance_from_cca_ohm(12.6, 800.0, 6, other) == pytest.approx(5.1 / 800, rel=1e-12)
    with pytest.raises(OutOfRange, match=r"above 7\.2 V"):
        resistance_from_cca_ohm(7.0, 800.0, 6)


def test_weakest_model_in_the_network_of_its_own_test() -> None:
    """As tested and full, the model holds 7.2 V at its cold cranking current."""
    model = weakest_model(12.6, 12.6, 800.0, 6, SAE_J537.temperature_c, 1.0)
    source = Source("bank", "+", "-", model.emf_v, model.resistance_ohm)
    load = Source("load", "+", "-", 7.2, 0.0)
    point = solve(Network((source, load), "-"))
    assert point.current_a["bank"] == pytest.approx(800.0, rel=1e-9)


def test_a_battery_without_cold_cranking_current_by_hand() -> None:
    # 12.72 V / 4000 A = 3.18 mohm warm and full; 2.5 times that cold, 1.4 times that discharged.
    model = weakest_by_short_circuit(12.72, 12.2, 4000.0, -5.0, 2.5, 1.4)
    assert model.emf_v == 12.2
    assert model.resistance_ohm == pytest.approx(12.72 / 4000.0 * 2.5 * 1.4)
    with pytest.raises(OutOfRange, match="counts from"):
        weakest_by_short_circuit(12.72, 12.2, 4000.0, -25.0, 2.5, 1.4)
    with pytest.raises(OutOfRange, match="1 and more"):
        weakest_by_short_circuit(12.72, 12.2, 4000.0, -5.0, 0.8, 1.4)


def test_weakest_model_discharged_and_where_it_stops() -> None:
    model = weakest_model(12.6, 12.2, 800.0, 6, -5.0, 1.4)
    assert model.emf_v == 12.2
    assert model.resistance_ohm == pytest.approx(1.4 * 6.75e-3, rel=1e-12)
    with pytest.raises(OutOfRange, match="-18 C and more"):
        weakest_model(12.6, 12.2, 800.0, 6, -25.0, 1.0)
    with pytest.raises(OutOfRange, match=r"ratio of a discharged battery is 0\.9"):
        weakest_model(12.6, 12.2, 800.0, 6, 0.0, 0.9)


def test_strongest_models() -> None:
    """12.8 / 4000 = 3.2 mohm by the maker; else twice 800 * 12.6 / 5.4 A."""
    assert strongest_model(12.8, 4000.0).resistance_ohm == pytest.approx(3.2e-3, rel=1e-12)
    bound = strongest_bound(12.6, 800.0, 6, 2.0)
    assert bound.short_circuit_current_a == pytest.approx(2 * 800 * 12.6 / 5.4, rel=1e-12)
    assert "upper bound" in bound.basis
    with pytest.raises(OutOfRange):
        strongest_bound(12.6, 800.0, 6, 0.5)


def test_parallel_batteries_add_their_short_circuit_currents_and_series_ones_do_not() -> None:
    """Six 6 V batteries of 2400 A as three strings of two: 7200 A at 12 V."""
    unit = BatteryModel(6.0, 6.0 / 2400.0, "the maker's")
    joined = bank(unit, in_series=2, in_parallel=3)
    assert joined.emf_v == 12.0
    assert joined.short_circuit_current_a == pytest.approx(7200.0, rel=1e-12)


def test_acceptance() -> None:
    """1.5 % of 200 Ah is 3 A; over 14.4 - 12.75 V that is 0.55 ohm, and 3 A again at 14.4 V."""
    accepted_a = full_acceptance_a(200.0, 1.5)
    assert accepted_a == 3.0
    ohm = charge_resistance_ohm(12.75, 14.4, accepted_a)
    assert ohm == pytest.approx(0.55, rel=1e-12)
    battery = Battery("house", "+", "-", 12.75, 0.004, ohm)
    point = solve(Network((battery, Source("charger", "+", "-", 14.4, 0.0)), "-"))
    assert point.current_a["house"] == pytest.approx(-3.0, rel=1e-12)
    with pytest.raises(OutOfRange, match=r"charging voltage is 12\.5 V"):
        charge_resistance_ohm(12.75, 12.5, 3.0)
