"""Quantities of size and amount of matter."""

from dataclasses import dataclass
from typing import ClassVar

from installgen.units.quantity import Quantity

_QUOTE_MARKS = {"inch": "in", "inches": "in", '"': "in", "feet": "ft", "foot": "ft", "'": "ft"}


@dataclass(frozen=True, order=True)
class Length(Quantity):
    NAME = "a length"
    BASE = "meter"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("1.8 m", "1-3/4 in", "450 mm", "5 ft 11 in")
    UNITS: ClassVar[dict[str, str]] = {
        "m": "meter",
        "mm": "millimeter",
        "cm": "centimeter",
        "in": "inch",
        "ft": "foot",
        "um": "micrometer",
        "km": "kilometer",
        "nmi": "nautical_mile",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        **_QUOTE_MARKS,
        "metre": "m",
        "metres": "m",
        "meter": "m",
        "meters": "m",
    }
    PAIRS = (("ft", "in"), ("'", '"'))

    @property
    def m(self) -> float:
        return self.value

    @property
    def mm(self) -> float:
        return self.value * 1e3


@dataclass(frozen=True, order=True)
class Distance(Length):
    """A distance sailed: printed in kilometres and nautical miles."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("120 nmi", "220 km")


@dataclass(frozen=True, order=True)
class Area(Quantity):
    NAME = "an area"
    BASE = "meter ** 2"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("0.35 m²", "250 cm²", "54 in²")
    UNITS: ClassVar[dict[str, str]] = {
        "m2": "meter ** 2",
        "mm2": "millimeter ** 2",
        "cm2": "centimeter ** 2",
        "in2": "inch ** 2",
        "ft2": "foot ** 2",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        "sq m": "m2",
        "sq mm": "mm2",
        "sq cm": "cm2",
        "sq in": "in2",
        "sq ft": "ft2",
    }

    @property
    def m2(self) -> float:
        return self.value

    @property
    def mm2(self) -> float:
        return self.value * 1e6


_OUNCE, _PINT, _QUART, _GALLON = (
    (f"{name} US", f"{name} imp") for name in ("fl oz", "pt", "qt", "gal")
)


def with_side(names: dict[str, str], suffix: str = "") -> dict[str, str]:
    """Other spellings of units that say US or imperial: `US gal`, `gallon US`, `gal imperial`."""
    found = {}
    for symbol, others in names.items():
        for other in others.split(","):
            for side in ("US", "imp", "imperial"):
                short = "US" if side == "US" else "imp"
                target = f"{symbol} {short}{suffix}"
                found[f"{other} {side}{suffix}"] = found[f"{side} {other}{suffix}"] = target
                found[f"{other} ({side}){suffix}"] = target
    return found


@dataclass(frozen=True, order=True)
class Volume(Quantity):
    """Also the displacement of a pump per turn."""

    NAME = "a volume"
    BASE = "meter ** 3"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("24 l", "6.5 gal US", "320 cm³", "2 qt US")
    UNITS: ClassVar[dict[str, str]] = {
        "l": "liter",
        "ml": "milliliter",
        "m3": "meter ** 3",
        "cm3": "milliliter",
        "in3": "inch ** 3",
        "ft3": "foot ** 3",
        "gal US": "us_gallon",
        "gal imp": "imperial_gallon",
        "qt US": "us_quart",
        "qt imp": "imperial_quart",
        "pt US": "us_pint",
        "pt imp": "imperial_pint",
        "fl oz US": "us_fluid_ounce",
        "fl oz imp": "imperial_fluid_ounce",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        **with_side({"gal": "gal,gallon,gallons", "qt": "qt,quart,quarts", "pt": "pt,pint,pints"}),
        **with_side({"fl oz": "fl oz"}),
        "L": "l",
        "litre": "l",
        "litres": "l",
        "liter": "l",
        "liters": "l",
        "mL": "ml",
        "cc": "cm3",
        "cu in": "in3",
        "cu ft": "ft3",
    }
    ASK: ClassVar[dict[str, tuple[str, ...]]] = {
        "gal": _GALLON,
        "gallon": _GALLON,
        "gallons": _GALLON,
        "qt": _QUART,
        "quart": _QUART,
        "quarts": _QUART,
        "pt": _PINT,
        "pint": _PINT,
        "pints": _PINT,
        "fl oz": _OUNCE,
    }

    @property
    def m3(self) -> float:
        return self.value

    @property
    def l(self) -> float:  # noqa: E743 (the symbol of the litre)
        return self.value * 1e3


@dataclass(frozen=True, order=True)
class Displacement(Volume):
    """The swept volume of an engine: printed in litres and cubic inches."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("6.8 l", "415 in³")


@dataclass(frozen=True, order=True)
class Mass(Quantity):
    NAME = "a mass"
    BASE = "kilogram"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("850 kg", "1870 lb")
    UNITS: ClassVar[dict[str, str]] = {
        "kg": "kilogram",
        "g": "gram",
        "t": "tonne",
        "lb": "pound",
        "oz": "ounce",
    }
    ALIASES: ClassVar[dict[str, str]] = {"lbs": "lb"}

    @property
    def kg(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Angle(Quantity):
    NAME = "an angle"
    BASE = "degree"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("12°", "12 deg")
    UNITS: ClassVar[dict[str, str]] = {"°": "degree"}
    ALIASES: ClassVar[dict[str, str]] = {"deg": "°", "degree": "°", "degrees": "°"}

    @property
    def deg(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Viscosity(Quantity):
    """Kinematic viscosity: printed in mm²/s, which are centistokes, in either system."""

    NAME = "a kinematic viscosity"
    BASE = "meter ** 2 / second"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("4.5 mm²/s", "4.5 cSt")
    UNITS: ClassVar[dict[str, str]] = {
        "mm2/s": "millimeter ** 2 / second",
        "cSt": "millimeter ** 2 / second",
        "m2/s": "meter ** 2 / second",
    }
    ALIASES: ClassVar[dict[str, str]] = {"cst": "cSt"}

    @property
    def m2_per_s(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Density(Quantity):
    NAME = "a density"
    BASE = "kilogram / meter ** 3"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("840 kg/m³", "0.84 kg/l")
    UNITS: ClassVar[dict[str, str]] = {
        "kg/m3": "kilogram / meter ** 3",
        "kg/l": "kilogram / liter",
        "g/cm3": "gram / milliliter",
        "lb/ft3": "pound / foot ** 3",
        "lb/gal US": "pound / us_gallon",
    }
    ALIASES: ClassVar[dict[str, str]] = {"kg/L": "kg/l", "g/ml": "g/cm3", "g/mL": "g/cm3"}
    ASK: ClassVar[dict[str, tuple[str, ...]]] = {"lb/gal": ("lb/gal US",)}

    @property
    def kg_per_m3(self) -> float:
        return self.value
