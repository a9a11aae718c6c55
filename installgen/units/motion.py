"""Quantities of time, turning, flow and torque."""

from dataclasses import dataclass
from typing import ClassVar

from installgen.units.quantity import Quantity
from installgen.units.shape import with_side


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
    }

    @property
    def rpm(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Frequency(Quantity):
    NAME = "a frequency"
    BASE = "hertz"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("5503 Hz", "5.5 kHz")
    UNITS: ClassVar[dict[str, str]] = {"Hz": "hertz", "kHz": "kilohertz"}

    @property
    def hz(self) -> float:
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
        **with_side({"gpm": "gpm"}),
        **with_side({"gal": "gal"}, "/h"),
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
        "lph": "l/h",
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
