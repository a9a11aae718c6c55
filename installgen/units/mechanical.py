"""Quantities of shape, motion, force, flow and heat."""

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


def _sided(names: dict[str, str], suffix: str = "") -> dict[str, str]:
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
    """Also the displacement of a pump per turn and the swept volume of an engine."""

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
        **_sided({"gal": "gal,gallon,gallons", "qt": "qt,quart,quarts", "pt": "pt,pint,pints"}),
        **_sided({"fl oz": "fl oz"}),
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
class Time(Quantity):
    NAME = "a time"
    BASE = "second"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("15 s", "250 h", "90 min")
    UNITS: ClassVar[dict[str, str]] = {
        "s": "second",
        "min": "minute",
        "h": "hour",
        "d": "day",
        "ms": "millisecond",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        "sec": "s",
        "second": "s",
        "seconds": "s",
        "minute": "min",
        "minutes": "min",
        "hr": "h",
        "hrs": "h",
        "hour": "h",
        "hours": "h",
        "day": "d",
        "days": "d",
    }
    PAIRS = (("h", "min"), ("min", "s"))

    @property
    def s(self) -> float:
        return self.value

    @property
    def h(self) -> float:
        return self.value / 3600


@dataclass(frozen=True, order=True)
class RotationalSpeed(Quantity):
    NAME = "a rotational speed"
    BASE = "rpm"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("2600 rpm",)
    UNITS: ClassVar[dict[str, str]] = {"rpm": "rpm"}
    ALIASES: ClassVar[dict[str, str]] = {
        "RPM": "rpm",
        "r/min": "rpm",
        "rev/min": "rpm",
        "min-1": "rpm",
        "1/min": "rpm",
    }

    @property
    def rpm(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Velocity(Quantity):
    NAME = "a speed"
    BASE = "meter / second"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("2.5 m/s", "8 kn", "8 ft/s")
    UNITS: ClassVar[dict[str, str]] = {
        "m/s": "meter / second",
        "ft/s": "foot / second",
        "kn": "knot",
        "km/h": "kilometer / hour",
        "mph": "mile_per_hour",
    }
    ALIASES: ClassVar[dict[str, str]] = {"kt": "kn", "kts": "kn", "knot": "kn", "knots": "kn"}

    @property
    def m_per_s(self) -> float:
        return self.value

    @property
    def knots(self) -> float:
        return self.value * 3600 / 1852


@dataclass(frozen=True, order=True)
class BoatSpeed(Velocity):
    """A speed of the boat: printed in knots."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("8 kn", "22.5 kn")


@dataclass(frozen=True, order=True)
class VolumeFlow(Quantity):
    NAME = "a flow"
    BASE = "meter ** 3 / second"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("180 l/min", "47 gpm US", "60 l/h", "0.9 m³/h")
    UNITS: ClassVar[dict[str, str]] = {
        "l/min": "liter / minute",
        "l/h": "liter / hour",
        "l/s": "liter / second",
        "ml/min": "milliliter / minute",
        "m3/h": "meter ** 3 / hour",
        "m3/min": "meter ** 3 / minute",
        "m3/s": "meter ** 3 / second",
        "gpm US": "us_gallon / minute",
        "gpm imp": "imperial_gallon / minute",
        "gal US/h": "us_gallon / hour",
        "gal imp/h": "imperial_gallon / hour",
        "ft3/min": "foot ** 3 / minute",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        **_sided({"gpm": "gpm"}),
        **_sided({"gal": "gal"}, "/h"),
        "US gal/min": "gpm US",
        "gal US/min": "gpm US",
        "imp gal/min": "gpm imp",
        "gal imp/min": "gpm imp",
        "gph US": "gal US/h",
        "US gph": "gal US/h",
        "gph imp": "gal imp/h",
        "imp gph": "gal imp/h",
        "L/min": "l/min",
        "L/h": "l/h",
        "L/s": "l/s",
        "lpm": "l/min",
        "mL/min": "ml/min",
        "cfm": "ft3/min",
    }
    ASK: ClassVar[dict[str, tuple[str, ...]]] = {
        "gpm": ("gpm US", "gpm imp"),
        "gal/min": ("gpm US", "gpm imp"),
        "gph": ("gal US/h", "gal imp/h"),
        "gal/h": ("gal US/h", "gal imp/h"),
    }

    @property
    def m3_per_s(self) -> float:
        return self.value

    @property
    def l_per_min(self) -> float:
        return self.value * 6e4

    @property
    def l_per_h(self) -> float:
        return self.value * 3.6e6


@dataclass(frozen=True, order=True)
class FuelFlow(VolumeFlow):
    """A flow of fuel: printed by the hour."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("85 l/h", "22 gal US/h")


@dataclass(frozen=True, order=True)
class AirFlow(VolumeFlow):
    """A flow of air or gas: printed in cubic metres a minute."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("30 m³/min", "1060 ft³/min")


@dataclass(frozen=True, order=True)
class MassFlow(Quantity):
    NAME = "a mass flow"
    BASE = "kilogram / second"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("0.62 kg/s", "82 lb/min")
    UNITS: ClassVar[dict[str, str]] = {
        "kg/s": "kilogram / second",
        "g/s": "gram / second",
        "kg/min": "kilogram / minute",
        "kg/h": "kilogram / hour",
        "lb/min": "pound / minute",
        "lb/h": "pound / hour",
    }

    @property
    def kg_per_s(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Torque(Quantity):
    NAME = "a torque"
    BASE = "newton * meter"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("42 N·m", "31 lbf·ft")
    UNITS: ClassVar[dict[str, str]] = {
        "N m": "newton * meter",
        "lbf ft": "pound_force * foot",
        "lbf in": "pound_force * inch",
        "kgf m": "kilogram_force * meter",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        "Nm": "N m",
        "N-m": "N m",
        "ft lbf": "lbf ft",
        "ft lb": "lbf ft",
        "ft-lb": "lbf ft",
        "lb ft": "lbf ft",
        "lb-ft": "lbf ft",
        "lbf-ft": "lbf ft",
        "in lbf": "lbf in",
        "in lb": "lbf in",
        "in-lb": "lbf in",
        "lb in": "lbf in",
        "lb-in": "lbf in",
        "lbf-in": "lbf in",
    }

    @property
    def n_m(self) -> float:
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
