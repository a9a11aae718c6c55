"""Published flanges: round ones by pattern and size, four-bolt ports by size."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class RoundFlange(TableRow):
    """One size of a round flange; `pattern` is its pressure class, such as `PN 16`."""

    pattern: str
    nominal: str
    outside_diameter_mm: float
    bolt_circle_mm: float
    hole_count: int
    hole_diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class FourBoltFlange(TableRow):
    """One size of a four-bolt flange port."""

    nominal_mm: float
    bore_mm: float
    bolt_spacing_long_mm: float
    bolt_spacing_short_mm: float


def round_flanges() -> Table[RoundFlange]:
    """Round flanges (ASME B16.5 class 150, EN 1092-1 PN 16)."""
    return load_table("flanges", RoundFlange)


def four_bolt_flanges() -> Table[FourBoltFlange]:
    """Four-bolt flange ports (ISO 6162-1)."""
    return load_table("flanges_four_bolt", FourBoltFlange)
