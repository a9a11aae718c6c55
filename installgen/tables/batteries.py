"""Published figures for the ventilation of batteries."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class BatteryGassing(TableRow):
    """What makes gas in a battery on charge, up to a voltage of its charger."""

    chemistry: str
    gassing_a_per_100_ah: float
    highest_cell_v: float


def battery_gassing() -> Table[BatteryGassing]:
    """Gassing current by chemistry."""
    return load_table("battery_gassing", BatteryGassing)
