"""Published hose sizes and how loosely a hose may sit on its spigot."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table

MM_PER_IN = 25.4


@dataclass(frozen=True, kw_only=True)
class MetricHose(TableRow):
    """One metric hose size and what its bore may measure."""

    size_mm: float
    bore_min_mm: float
    bore_max_mm: float


@dataclass(frozen=True, kw_only=True)
class InchHose(TableRow):
    """One inch hose size of the trade."""

    size: str
    bore_in: float

    @property
    def bore_mm(self) -> float:
        """Nominal bore [mm]."""
        return self.bore_in * MM_PER_IN


@dataclass(frozen=True, kw_only=True)
class DashHose(TableRow):
    """Bore by dash number, in the general series and in the series numbered by its tube."""

    dash: int
    general_bore_in: float
    tube_series_bore_in: float | None


@dataclass(frozen=True, kw_only=True)
class HoseClearance(TableRow):
    """How much a hose's bore may exceed its spigot; no upper end means and more."""

    spigot_from_in: float
    spigot_up_to_in: float | None
    clearance_max_in: float

    @property
    def spigot_up_to_mm(self) -> float | None:
        """Largest spigot of this band [mm]; none in the last."""
        return None if self.spigot_up_to_in is None else self.spigot_up_to_in * MM_PER_IN

    @property
    def clearance_max_mm(self) -> float:
        """Largest allowed difference of bore and spigot [mm]."""
        return self.clearance_max_in * MM_PER_IN


def metric_hoses() -> Table[MetricHose]:
    """Metric hose sizes with the limits of their bores (ISO 1307)."""
    return load_table("hose_bores_metric", MetricHose)


def inch_hoses() -> Table[InchHose]:
    """Inch hose sizes of the trade."""
    return load_table("hose_bores_inch", InchHose)


def dash_hoses() -> Table[DashHose]:
    """Hose bores by dash number (SAE J517)."""
    return load_table("hose_bores_dash", DashHose)


def hose_clearances() -> Table[HoseClearance]:
    """Largest difference of a fuel hose's bore and its spigot (33 CFR 183.558)."""
    return load_table("hose_clearance", HoseClearance)
