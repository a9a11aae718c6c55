"""Properties of the fuel, noted in a working with their table."""

from __future__ import annotations

from installgen.analysis.results import TableOrigin, Working
from installgen.tables.fuels import FuelProperties, fuels

FUEL = "diesel"

_SHOWN = {
    "density_kg_per_m3": ("density of the fuel", "kg/m³"),
    "lower_heating_value_mj_per_kg": ("lower heating value of the fuel", "MJ/kg"),
    "heat_capacity_kj_per_kg_k": ("heat capacity of the fuel", "kJ/(kg·K)"),
    "cold_viscosity_mm2_per_s": ("viscosity of cold fuel", "mm²/s"),
}


def fuel_properties(w: Working, *columns: str) -> FuelProperties:
    """The fuel's row of the table; the columns that are used are noted in the working."""
    table = fuels()
    row = table.row(fuel=FUEL)
    origin = TableOrigin(table.name, row.fuel, row.source, row.mark.value)
    for column in columns:
        label, unit = _SHOWN[column]
        w.table(label, f"{getattr(row, column):g} {unit}", origin)
    return row
