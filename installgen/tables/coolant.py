"""Published properties of glycol and water for an engine's coolant."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.errors import OutOfTable
from installgen.tables.loader import Table, TableRow, load_table

KG_PER_M3_PER_LB_PER_FT3 = 0.45359237 / 0.3048**3


@dataclass(frozen=True, kw_only=True)
class GlycolFreezing(TableRow):
    """Where pure ethylene glycol in water begins to freeze, by mass percent."""

    mass_percent: float
    freezing_c: float


@dataclass(frozen=True, kw_only=True)
class GlycolDensity(TableRow):
    """Density of an inhibited ethylene glycol in water."""

    volume_percent: float
    temperature_f: float
    density_lb_per_ft3: float


def glycol_freezing() -> Table[GlycolFreezing]:
    """Freezing point of pure ethylene glycol in water, by mass."""
    return load_table("glycol_freezing", GlycolFreezing)


def glycol_densities() -> Table[GlycolDensity]:
    """Density of ethylene glycol in water, by volume percent and temperature (ASHRAE)."""
    return load_table("glycol_density", GlycolDensity)


def glycol_density_kg_per_m3(volume_percent: float, temperature_c: float) -> float:
    """Density of an ethylene glycol coolant between the published strengths and temperatures.

    volume_percent: glycol by volume [%]
    temperature_c: of the coolant [degC]
    Returns the density [kg/m3].
    Valid: inside the published table; outside raises OutOfTable.
    Source: ASHRAE Handbook Fundamentals, interpolated on straight lines.
    """
    table = glycol_densities()
    temperature_f = temperature_c * 1.8 + 32
    strengths = sorted({row.volume_percent for row in table.rows})
    below = max((s for s in strengths if s <= volume_percent), default=None)
    above = min((s for s in strengths if s >= volume_percent), default=None)
    if below is None or above is None:
        covers = f"{strengths[0]:g} to {strengths[-1]:g} %"
        raise OutOfTable(table.title, f"{volume_percent:g} % by volume", covers)
    low, high = (
        table.interpolate("temperature_f", temperature_f, "density_lb_per_ft3", volume_percent=s)
        for s in (below, above)
    )
    share = 0.0 if above == below else (volume_percent - below) / (above - below)
    return (low + (high - low) * share) * KG_PER_M3_PER_LB_PER_FT3
