"""Published properties of marine fuels."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class FuelProperties(TableRow):
    """What a fuel is like; the viscosity is that of cold fuel, to judge suction lines."""

    fuel: str
    density_kg_per_m3: float
    lower_heating_value_mj_per_kg: float
    heat_capacity_kj_per_kg_k: float
    cold_viscosity_mm2_per_s: float
    cold_c: float


def fuels() -> Table[FuelProperties]:
    """Density, heating value and cold viscosity by fuel."""
    return load_table("fuels", FuelProperties)
