"""Tables of fluid properties, roughness and fitting losses."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class SeawaterRow(TableRow):
    """Seawater of one salinity at one temperature."""

    salinity_ratio: float
    temperature_c: float
    density_kg_per_m3: float
    specific_heat_j_per_kg_k: float
    viscosity_pa_s: float
    conductivity_w_per_m_k: float
    vapour_pressure_pa: float


@dataclass(frozen=True, kw_only=True)
class FreshWaterRow(TableRow):
    """Fresh water at one temperature; the latent heat is that of boiling there."""

    temperature_c: float
    density_kg_per_m3: float
    specific_heat_j_per_kg_k: float
    viscosity_pa_s: float
    conductivity_w_per_m_k: float
    vapour_pressure_pa: float
    latent_heat_j_per_kg: float


@dataclass(frozen=True, kw_only=True)
class DryAirRow(TableRow):
    """Dry air at one temperature."""

    temperature_c: float
    specific_heat_j_per_kg_k: float
    viscosity_pa_s: float
    conductivity_w_per_m_k: float


@dataclass(frozen=True, kw_only=True)
class GlycolSolutionRow(TableRow):
    """Glycol and water of one strength at one temperature."""

    glycol: str
    mass_ratio: float
    temperature_c: float
    density_kg_per_m3: float
    specific_heat_j_per_kg_k: float
    viscosity_pa_s: float
    conductivity_w_per_m_k: float


@dataclass(frozen=True, kw_only=True)
class GlycolSolutionFreezingRow(TableRow):
    """Freezing point of glycol and water of one strength."""

    glycol: str
    mass_ratio: float
    freezing_c: float


@dataclass(frozen=True, kw_only=True)
class PureGlycolRow(TableRow):
    """Density of one glycol without water."""

    glycol: str
    density_kg_per_m3: float


@dataclass(frozen=True, kw_only=True)
class RoughnessRow(TableRow):
    """Absolute roughness of one kind of pipe or hose."""

    kind: str
    roughness_mm: float


@dataclass(frozen=True, kw_only=True)
class FittingLossRow(TableRow):
    """Loss of one kind of fitting: a fixed K, or a multiple of fully rough friction."""

    kind: str
    loss_coefficient: float | None
    friction_multiple: float | None


def seawater() -> Table[SeawaterRow]:
    """Seawater by salinity and temperature."""
    return load_table("seawater", SeawaterRow)


def fresh_water() -> Table[FreshWaterRow]:
    """Fresh water by temperature."""
    return load_table("fresh_water", FreshWaterRow)


def dry_air() -> Table[DryAirRow]:
    """Dry air by temperature."""
    return load_table("dry_air", DryAirRow)


def glycol_solution() -> Table[GlycolSolutionRow]:
    """Glycol and water by mass of glycol and temperature."""
    return load_table("glycol_solution", GlycolSolutionRow)


def glycol_solution_freezing() -> Table[GlycolSolutionFreezingRow]:
    """Freezing point of glycol and water by mass of glycol."""
    return load_table("glycol_solution_freezing", GlycolSolutionFreezingRow)


def pure_glycol() -> Table[PureGlycolRow]:
    """Density of pure glycols."""
    return load_table("glycol_pure", PureGlycolRow)


def roughness() -> Table[RoughnessRow]:
    """Absolute roughness by kind of pipe or hose."""
    return load_table("pipe_roughness", RoughnessRow)


def fitting_loss() -> Table[FittingLossRow]:
    """Loss of fittings by kind."""
    return load_table("fitting_loss", FittingLossRow)
