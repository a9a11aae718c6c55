"""Published design figures for the air of an engine space."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class ShipAir(TableRow):
    """Design figures of the ship method for one engine cycle."""

    cycle: str
    combustion_air_kg_per_kw_s: float
    air_density_kg_per_m3: float
    air_heat_capacity_kj_per_kg_k: float
    temperature_rise_k: float
    outside_temperature_c: float
    heat_carried_ratio: float
    least_multiple_ratio: float


def ship_air() -> Table[ShipAir]:
    """Design figures for engine-room air by engine cycle (ISO 8861; recalled)."""
    return load_table("ship_air", ShipAir)
