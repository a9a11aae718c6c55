"""Published housings and flywheels by which an engine and a gearbox bolt together."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class FlywheelHousing(TableRow):
    """One size of flywheel housing; `crank_face_depth_mm` is from crank flange to housing face."""

    sae_no: str
    pilot_bore_mm: float
    pilot_bore_in: float
    outside_diameter_in: float
    bolt_circle_mm: float
    bolt_circle_in: float
    hole_count: int
    inch_thread: str
    metric_thread: str  # of the variant with the letter M; empty where not confirmed
    crank_face_depth_mm: float


@dataclass(frozen=True, kw_only=True)
class Flywheel(TableRow):
    """One size of flywheel, for the driven ring or coupling plate that bolts to it."""

    size: str
    clutch_size_mm: float
    ring_bore_mm: float
    pilot_bore_mm: float
    pilot_bore_in: float
    bolt_circle_mm: float
    bolt_circle_in: float
    hole_count: int
    inch_thread: str
    crank_face_depth_mm: float
    ring_face_depth_mm: float


def flywheel_housings() -> Table[FlywheelHousing]:
    """Flywheel housings by SAE number (SAE J617)."""
    return load_table("flywheel_housings", FlywheelHousing)


def flywheels() -> Table[Flywheel]:
    """Flywheels by size in inches (SAE J620)."""
    return load_table("flywheels", Flywheel)
