"""Properties of the fuel, noted in a working with their table."""

from __future__ import annotations

from installgen.analysis.results import Missing, MissingInput, TableOrigin, Working
from installgen.spec.vessel import Vessel
from installgen.tables.fuels import FuelProperties, fuels

FUEL = "diesel"

_SHOWN = {
    "density_kg_per_m3": ("density of the fuel", "kg/m³"),
    "lower_heating_value_mj_per_kg": ("lower heating value of the fuel", "MJ/kg"),
    "heat_capacity_kj_per_kg_k": ("heat capacity of the fuel", "kJ/(kg·K)"),
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


def cold_viscosity_pa_s(w: Working, vessel: Vessel, density_kg_per_m3: float) -> float:
    """Dynamic viscosity of the fuel at its thickest [Pa s], as the standard assumes it.

    w: raises MissingInput where the standard assumes nothing, or the sea gets colder than that
    """
    assumed = w.book.assumptions.cold_fuel
    if assumed is None:
        path = "assume.cold_fuel"
        raise MissingInput(
            f"the standard's `{path}` is not given",
            (Missing(path, w.book.assumptions.where(), "viscosity of cold fuel"),),
        )
    at = w.spec(assumed, "at", "coldest fuel")
    sea = w.spec(vessel.spec.sea, "coldest", "coldest sea")
    if sea.c < at.c:
        raise MissingInput(
            f"the standard knows the fuel's viscosity down to {at}, and the sea gets down to {sea}",
            (Missing(assumed.path_to("at"), assumed.where("at"), "viscosity of colder fuel"),),
        )
    viscosity = w.assumed(assumed, "viscosity", f"viscosity of the fuel at {at}")
    w.note("Fuel in a tank is taken to get no colder than the sea.")
    return float(viscosity.m2_per_s * density_kg_per_m3)
