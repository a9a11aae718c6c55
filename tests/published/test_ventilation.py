"""Air of engine and battery spaces against published examples and tables."""

import pytest

from installgen.calc.air import cooling_air_m3_per_s
from installgen.calc.battery_gas import hydrogen_airflow_m3_per_s, vent_area_m2
from installgen.calc.water import air
from installgen.tables.batteries import battery_gassing


@pytest.mark.parametrize(
    ("cells", "gassing_a", "capacity_ah", "flow_m3_h"),
    [
        # EN 50272-3 as quoted by a battery maker: Q = 24 · 0.00042 · 5 · n · I · C / 100 = 0.05…
        (6, 2.0, 100.0, 24 * 0.00042 * 5 * 6 * 2.0),
        (12, 1.0, 180.0, 24 * 0.00042 * 5 * 12 * 1.0 * 1.8),
        (24, 2.0, 400.0, 24 * 0.00042 * 5 * 24 * 2.0 * 4.0),
    ],
)
def test_hydrogen_as_the_standard_puts_it_together(
    cells: int, gassing_a: float, capacity_ah: float, flow_m3_h: float
) -> None:
    found = hydrogen_airflow_m3_per_s(cells, gassing_a, capacity_ah) * 3600.0
    assert found == pytest.approx(flow_m3_h, rel=0.01)  # the maker rounds 0.0504 to 0.05
    assert vent_area_m2(found / 3600.0) * 1e4 == pytest.approx(28.0 * found)


@pytest.mark.parametrize(("chemistry", "amperes"), [("flooded", 2.0), ("agm", 1.0), ("gel", 1.0)])
def test_gassing_current_of_a_limited_charger(chemistry: str, amperes: float) -> None:
    """Table 1 of EN 50272-3, IU charger at 2.4 V a cell: 2 A vented, 1 A valve regulated."""
    assert battery_gassing().row(chemistry=chemistry).gassing_a_per_100_ah == amperes


@pytest.mark.parametrize(
    ("kw", "rise_k", "m3_s"),
    # A thesis that quotes an engine guide: Qv = heat / (rho c dT) with 1.13 kg/m3, 1.01 kJ/kg K.
    [(10.0, 11.0, 0.79654), (20.0, 11.0, 1.59308), (10.0, 12.5, 0.70095)],
)
def test_heat_removal(kw: float, rise_k: float, m3_s: float) -> None:
    assert cooling_air_m3_per_s(kw * 1e3, 1.13, 1010.0, rise_k) == pytest.approx(m3_s, rel=1e-4)


@pytest.mark.parametrize(
    ("celsius", "kg_per_m3"),
    # Fishenden and Saunders, An introduction to heat transfer, appendix: density of air.
    [(0.0, 1.29), (38.0, 1.14), (93.0, 0.96), (149.0, 0.83), (204.0, 0.74)],
)
def test_density_of_air(celsius: float, kg_per_m3: float) -> None:
    assert air(celsius).density_kg_per_m3 == pytest.approx(kg_per_m3, abs=0.0075)


@pytest.mark.parametrize(
    ("celsius", "kj_per_kg_k"),
    # The same table: specific heat of air.
    [(0.0, 1.005), (38.0, 1.005), (93.0, 1.009), (149.0, 1.017), (204.0, 1.026)],
)
def test_heat_capacity_of_air(celsius: float, kj_per_kg_k: float) -> None:
    found = air(celsius).specific_heat_j_per_kg_k / 1e3
    assert found == pytest.approx(kj_per_kg_k, rel=3e-3)


@pytest.mark.parametrize(
    ("celsius", "micro_pa_s"),
    # The same table: viscosity of air.
    [(0.0, 17.3), (38.0, 19.1), (93.0, 21.5), (149.0, 24.0), (204.0, 26.0)],
)
def test_viscosity_of_air(celsius: float, micro_pa_s: float) -> None:
    assert air(celsius).viscosity_pa_s * 1e6 == pytest.approx(micro_pa_s, rel=0.02)
