"""Our conversions against printed factors, and against the registry that comes with pint."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pint
import pytest

from installgen.units import QUANTITIES, Power, Quantity

LINES = Path(__file__).with_name("units.csv").read_text("utf-8").splitlines()
ROWS = list(csv.DictReader(line for line in LINES if not line.startswith("#")))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['written']}")
def test_conversion_as_printed(row: dict[str, str]) -> None:
    value = QUANTITIES[row["quantity"]].parse(row["written"]).value
    expected = float(row["expected"])
    rel_tol = 1e-15 if row["rel_tol"] == "exact" else float(row["rel_tol"])
    assert math.isclose(value, expected, rel_tol=rel_tol)


def test_nameplate_in_metric_horsepower() -> None:
    """450 metric horsepower = 450 * 735.49875 / 1000 kW = 331 kW; / 745.69987 W = 443.8 bhp."""
    assert round(Power.parse("450 PS").w / 1000) == 331
    assert round(Power.parse("450 PS").w / Power.parse("1 bhp").w, 1) == 443.8


# Our unit, and what pint's own registry calls it. Not there, or another definition there: Btu
# (pint rounds it to 1055.056 J), rpm and ratios (ours are no angles), mmHg (pint derives it from a
# density; ours is the printed conventional one).
PINT_NAMES = {
    ("Length", "um"): "micrometer",
    ("Length", "mm"): "millimeter",
    ("Length", "cm"): "centimeter",
    ("Length", "km"): "kilometer",
    ("Length", "in"): "inch",
    ("Length", "ft"): "foot",
    ("Length", "nmi"): "nautical_mile",
    ("Area", "cm2"): "centimeter**2",
    ("Area", "in2"): "inch**2",
    ("Volume", "l"): "liter",
    ("Volume", "cm3"): "centimeter**3",
    ("Volume", "gal US"): "gallon",
    ("Volume", "gal imp"): "imperial_gallon",
    ("Volume", "qt US"): "quart",
    ("Volume", "qt imp"): "imperial_quart",
    ("Volume", "pt US"): "pint",
    ("Volume", "pt imp"): "imperial_pint",
    ("Volume", "fl oz US"): "fluid_ounce",
    ("Volume", "fl oz imp"): "imperial_fluid_ounce",
    ("Mass", "lb"): "pound",
    ("Mass", "oz"): "ounce",
    ("Mass", "t"): "metric_ton",
    ("Time", "d"): "day",
    ("Velocity", "kn"): "knot",
    ("Velocity", "mph"): "mile_per_hour",
    ("VolumeFlow", "gpm US"): "gallon/minute",
    ("VolumeFlow", "gal imp/h"): "imperial_gallon/hour",
    ("VolumeFlow", "m3/h"): "meter**3/hour",
    ("MassFlow", "lb/h"): "pound/hour",
    ("PressureDifference", "psi"): "psi",
    ("PressureDifference", "bar"): "bar",
    ("PressureDifference", "inHg"): "inHg",
    ("PressureDifference", "ftH2O"): "ftH2O",
    ("PressureDifference", "mmH2O"): "0.1*cmH2O",
    ("Torque", "lbf ft"): "lbf*foot",
    ("Torque", "lbf in"): "lbf*inch",
    ("Power", "hp"): "horsepower",
    ("Power", "PS"): "metric_horsepower",
    ("Power", "kcal/h"): "1000*international_calorie/hour",
    ("Energy", "kWh"): "kilowatt_hour",
    ("Resistance", "mohm"): "milliohm",
    ("Density", "lb/ft3"): "pound/foot**3",
}
BASES = {
    "Length": "meter",
    "Area": "meter**2",
    "Volume": "meter**3",
    "Mass": "kilogram",
    "Time": "second",
    "Velocity": "meter/second",
    "VolumeFlow": "meter**3/second",
    "MassFlow": "kilogram/second",
    "PressureDifference": "pascal",
    "Torque": "newton*meter",
    "Power": "watt",
    "Energy": "joule",
    "Resistance": "ohm",
    "Density": "kilogram/meter**3",
}


@pytest.fixture(scope="module")
def pints_own() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("name", "symbol"), PINT_NAMES)
def test_conversion_agrees_with_pints_own_registry(
    pints_own: pint.UnitRegistry[float], name: str, symbol: str
) -> None:
    kind: type[Quantity] = QUANTITIES[name]
    ours = kind.parse(f"7.3 {symbol}").value
    theirs = (7.3 * pints_own(PINT_NAMES[name, symbol])).to(BASES[name]).magnitude
    # 2e-7: the conventional inch of mercury is printed with seven figures
    assert math.isclose(ours, theirs, rel_tol=2e-7)
