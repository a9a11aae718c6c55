"""Published properties of marine fuels."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class FuelProperties(TableRow):
    """What a fuel is like; how thick it is in the cold is not among what is published."""

    fuel: str
    density_kg_per_m3: float
    lower_heating_value_mj_per_kg: float
    heat_capacity_kj_per_kg_k: float


def fuels() -> Table[FuelProperties]:
    """Density, heating value and heat capacity by fuel."""
    return load_table("fuels", FuelProperties)
