"""Properties of seawater, fresh water, glycol mixtures and air, from the generated tables.

Between the rows of a table a property lies on a straight line, viscosity and vapour pressure on a
straight line of their logarithm. That keeps within 0.05 % of the source, within 1 % for glycol.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from installgen.calc.constants import (
    DRY_AIR_GAS_CONSTANT_J_PER_KG_K,
    STANDARD_ATMOSPHERE_PA,
    ZERO_CELSIUS_K,
)
from installgen.calc.ranges import within
from installgen.errors import OutOfTable
from installgen.tables import fluids

STANDARD_SALINITY_RATIO = 0.035
"""Salt in seawater by mass, kg/kg, close to the TEOS-10 reference of 0.03516504."""


class Glycol(StrEnum):
    """The glycol of an antifreeze."""

    ETHYLENE = "ethylene"
    PROPYLENE = "propylene"


@dataclass(frozen=True, slots=True)
class Liquid:
    """What a calculation needs to know of a liquid.

    density_kg_per_m3: [kg/m3]
    viscosity_pa_s: dynamic viscosity [Pa s]
    specific_heat_j_per_kg_k: at constant pressure [J/(kg K)]
    conductivity_w_per_m_k: thermal [W/(m K)]
    vapour_pressure_pa: absolute [Pa]; None where not known
    """

    density_kg_per_m3: float
    viscosity_pa_s: float
    specific_heat_j_per_kg_k: float
    conductivity_w_per_m_k: float
    vapour_pressure_pa: float | None = None


@dataclass(frozen=True, slots=True)
class Gas:
    """What a calculation needs to know of a gas.

    density_kg_per_m3: [kg/m3]
    viscosity_pa_s: dynamic viscosity [Pa s]
    specific_heat_j_per_kg_k: at constant pressure [J/(kg K)]
    conductivity_w_per_m_k: thermal [W/(m K)]
    """

    density_kg_per_m3: float
    viscosity_pa_s: float
    specific_heat_j_per_kg_k: float
    conductivity_w_per_m_k: float


def seawater(temperature_c: float, salinity_ratio: float = STANDARD_SALINITY_RATIO) -> Liquid:
    """Properties of seawater at atmospheric pressure.

    temperature_c: 0 to 100 [C]
    salinity_ratio: kg of salt per kg of seawater, 0.01 to 0.04 [-]
    Returns the properties. Raises OutOfTable outside; note that the sea can be as cold as -1.9 C.
    Source: Sharqawy, Lienhard and Zubair 2010, through CoolProp; table `seawater`.
    """
    table = fluids.seawater()
    by_salinity = _seawater_grids()
    salinities = sorted(by_salinity)
    low, share = _place(salinities, salinity_ratio, table.title, "salinity_ratio")
    below = by_salinity[salinities[low]].at(temperature_c)
    above = by_salinity[salinities[low + 1]].at(temperature_c)
    return Liquid(*(a + (b - a) * share for a, b in zip(below, above, strict=True)))


def fresh_water(temperature_c: float) -> Liquid:
    """Properties of fresh water at atmospheric pressure.

    temperature_c: 0.01 to 99 [C]
    Returns the properties. Raises OutOfTable outside.
    Source: IAPWS-95 through CoolProp; table `fresh_water`.
    """
    values = _fresh_water_grid().at(temperature_c)
    return Liquid(*values[:5])


def latent_heat_j_per_kg(temperature_c: float) -> float:
    """Heat to evaporate water at a temperature.

    temperature_c: 0.01 to 99 [C]
    Returns the latent heat [J/kg]. Raises OutOfTable outside.
    Source: IAPWS-95 through CoolProp; table `fresh_water`.
    """
    return _fresh_water_grid().at(temperature_c)[5]


def air(temperature_c: float, pressure_pa: float = STANDARD_ATMOSPHERE_PA) -> Gas:
    """Properties of dry air; the density is that of an ideal gas, true to 0.15 %.

    rho = p / (R T)

    temperature_c: -40 to 1000 [C]
    pressure_pa: absolute, near atmospheric to a few bar [Pa]
    Returns the properties. Raises OutOfTable outside.
    Source: Lemmon and others 2000, 2004, through CoolProp; table `dry_air`; R of ISO 2533.
    """
    viscosity, specific_heat, conductivity = _dry_air_grid().at(temperature_c)
    kelvin = temperature_c + ZERO_CELSIUS_K
    density = pressure_pa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * kelvin)
    return Gas(density, viscosity, specific_heat, conductivity)


def glycol_mixture(glycol: Glycol, mass_ratio: float, temperature_c: float) -> Liquid:
    """Properties of glycol and water; a bought antifreeze with inhibitors differs by about 1 %.

    glycol: which one
    mass_ratio: kg of glycol per kg of mixture, 0 to 0.6 [-]; see `glycol_mass_ratio`
    temperature_c: from the freezing points of the neighbouring rows to 100 [C]
    Returns the properties. Raises OutOfTable outside.
    Source: Melinder 2010 through CoolProp; table `glycol_solution`.
    """
    table = fluids.glycol_solution()
    by_strength = _glycol_grids()[glycol]
    strengths = sorted(by_strength)
    low, share = _place(strengths, mass_ratio, table.title, "mass_ratio")
    below = by_strength[strengths[low]].at(temperature_c)
    above = by_strength[strengths[low + 1]].at(temperature_c)
    density, _, heat, conductivity = (
        a + (b - a) * share for a, b in zip(below, above, strict=True)
    )
    viscosity = math.exp(math.log(below[1]) * (1 - share) + math.log(above[1]) * share)
    return Liquid(density, viscosity, heat, conductivity)


def glycol_freezing_c(glycol: Glycol, mass_ratio: float) -> float:
    """Temperature at which the first ice forms in glycol and water.

    glycol: which one
    mass_ratio: kg of glycol per kg of mixture, 0 to 0.6 [-]; by volume it would be misread by 2-4 K
    Returns the freezing point [C] of pure glycol in water, optimistic for a bought antifreeze.
    Raises OutOfTable outside.
    Source: Melinder 2010 through CoolProp; table `glycol_solution_freezing`.
    """
    return fluids.glycol_solution_freezing().interpolate(
        "mass_ratio", mass_ratio, "freezing_c", glycol=str(glycol)
    )


def glycol_mass_ratio(glycol: Glycol, volume_ratio: float) -> float:
    """Share by mass of a glycol that was measured by volume.

    w = v rho_g / (v rho_g + (1 - v) rho_w), volumes of the parts before mixing, at 20 C

    glycol: which one
    volume_ratio: litres of glycol per litre of both parts, 0 to 1 [-]
    Returns kg of glycol per kg of mixture [-]. Raises OutOfRange outside 0 to 1.
    Source: definition; densities of table `glycol_pure` and of IAPWS-95.
    """
    within("the share of glycol by volume", volume_ratio, 0.0, 1.0, "")
    heavy = volume_ratio * fluids.pure_glycol().row(glycol=str(glycol)).density_kg_per_m3
    light = (1.0 - volume_ratio) * fresh_water(20.0).density_kg_per_m3
    return heavy / (heavy + light)


def glycol_volume_ratio(glycol: Glycol, mass_ratio: float) -> float:
    """Share by volume of a glycol that was weighed; the inverse of `glycol_mass_ratio`.

    v = (w / rho_g) / (w / rho_g + (1 - w) / rho_w), volumes of the parts before mixing, at 20 C

    glycol: which one
    mass_ratio: kg of glycol per kg of mixture, 0 to 1 [-]
    Returns litres of glycol per litre of both parts [-]. Raises OutOfRange outside 0 to 1.
    Source: definition; densities of table `glycol_pure` and of IAPWS-95.
    """
    within("the share of glycol by mass", mass_ratio, 0.0, 1.0, "")
    part = mass_ratio / fluids.pure_glycol().row(glycol=str(glycol)).density_kg_per_m3
    rest = (1.0 - mass_ratio) / fresh_water(20.0).density_kg_per_m3
    return part / (part + rest)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Columns over temperature; those in `logarithmic` lie on a line of their logarithm."""

    title: str
    temperatures_c: Sequence[float]
    columns: Sequence[Sequence[float]]
    logarithmic: frozenset[int]

    def at(self, temperature_c: float) -> tuple[float, ...]:
        """Every column at a temperature."""
        low, share = _place(self.temperatures_c, temperature_c, self.title, "temperature_c")
        out = []
        for number, column in enumerate(self.columns):
            a, b = column[low], column[low + 1]
            if number in self.logarithmic:
                out.append(a * (b / a) ** share)
            else:
                out.append(a + (b - a) * share)
        return tuple(out)


_LIQUID = (
    "density_kg_per_m3",
    "viscosity_pa_s",
    "specific_heat_j_per_kg_k",
    "conductivity_w_per_m_k",
)
_LOGARITHMIC = ("viscosity_pa_s", "vapour_pressure_pa")


def _grid(title: str, rows: Iterable[object], *columns: str) -> _Grid:
    rows = tuple(rows)

    def column(name: str) -> tuple[float, ...]:
        return tuple(float(getattr(row, name)) for row in rows)

    return _Grid(
        title,
        column("temperature_c"),
        tuple(column(name) for name in columns),
        frozenset(number for number, name in enumerate(columns) if name in _LOGARITHMIC),
    )


@cache
def _seawater_grids() -> dict[float, _Grid]:
    table = fluids.seawater()
    return {
        salinity: _grid(
            table.title,
            table.where(salinity_ratio=salinity),
            *_LIQUID,
            "vapour_pressure_pa",
        )
        for salinity in sorted({row.salinity_ratio for row in table.rows})
    }


@cache
def _fresh_water_grid() -> _Grid:
    table = fluids.fresh_water()
    return _grid(table.title, table.rows, *_LIQUID, "vapour_pressure_pa", "latent_heat_j_per_kg")


@cache
def _dry_air_grid() -> _Grid:
    table = fluids.dry_air()
    return _grid(table.title, table.rows, *_LIQUID[1:])


@cache
def _glycol_grids() -> dict[Glycol, dict[float, _Grid]]:
    table = fluids.glycol_solution()
    return {
        glycol: {
            strength: _grid(
                f"{table.title} ({glycol}, {strength:g} by mass)",
                table.where(glycol=str(glycol), mass_ratio=strength),
                *_LIQUID,
            )
            for strength in sorted({row.mass_ratio for row in table.where(glycol=str(glycol))})
        }
        for glycol in Glycol
    }


def _place(grid: Sequence[float], value: float, table: str, column: str) -> tuple[int, float]:
    """The row below a value, and how far the value is on the way to the next row."""
    if not grid[0] <= value <= grid[-1]:
        raise OutOfTable(table, f"{column} = {value:g}", f"{column} {grid[0]:g} to {grid[-1]:g}")
    low = min(bisect_right(grid, value), len(grid) - 1) - 1
    return low, (value - grid[low]) / (grid[low + 1] - grid[low])
