"""Quantities of power, energy and temperature."""

from dataclasses import dataclass
from typing import ClassVar

from installgen.units.quantity import Quantity


@dataclass(frozen=True, order=True)
class Power(Quantity):
    NAME = "a power"
    BASE = "watt"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("331 kW", "444 bhp", "450 PS")
    UNITS: ClassVar[dict[str, str]] = {
        "kW": "kilowatt",
        "W": "watt",
        "mW": "milliwatt",
        "MW": "megawatt",
        "hp": "mechanical_horsepower",
        "bhp": "mechanical_horsepower",
        "shp": "mechanical_horsepower",
        "PS": "metric_horsepower",
        "CV": "metric_horsepower",
        "metric hp": "metric_horsepower",
        "Btu/h": "btu / hour",
        "Btu/min": "btu / minute",
        "kcal/h": "kilocalorie / hour",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        "HP": "hp",
        "BHP": "bhp",
        "SHP": "shp",
        "hp metric": "metric hp",
        "hp (metric)": "metric hp",
        "BTU/h": "Btu/h",
        "BTU/hr": "Btu/h",
        "Btu/hr": "Btu/h",
        "BTU/min": "Btu/min",
    }

    @property
    def w(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class ElectricPower(Power):
    """The power of an electrical device: printed in watts only."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("60 W", "1.2 kW")


@dataclass(frozen=True, order=True)
class HeatFlow(Power):
    """A flow of heat: printed in kW and Btu."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("95 kW", "5400 Btu/min")


@dataclass(frozen=True, order=True)
class Energy(Quantity):
    NAME = "an energy"
    BASE = "joule"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("1.4 kWh", "900 kJ")
    UNITS: ClassVar[dict[str, str]] = {
        "J": "joule",
        "kJ": "kilojoule",
        "MJ": "megajoule",
        "Wh": "watt * hour",
        "kWh": "kilowatt * hour",
        "Btu": "btu",
    }
    ALIASES: ClassVar[dict[str, str]] = {"W h": "Wh", "kW h": "kWh", "BTU": "Btu"}

    @property
    def j(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class SpecificFuel(Quantity):
    """Fuel burnt for the work done."""

    NAME = "a specific fuel consumption"
    BASE = "gram / kilowatt / hour"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("215 g/kWh", "0.353 lb/hp·h")
    UNITS: ClassVar[dict[str, str]] = {
        "g/kWh": "gram / kilowatt / hour",
        "lb/hp h": "pound / mechanical_horsepower / hour",
        "g/PSh": "gram / metric_horsepower / hour",
    }
    ALIASES: ClassVar[dict[str, str]] = {
        "g/kW h": "g/kWh",
        "g/(kW h)": "g/kWh",
        "lb/hph": "lb/hp h",
        "lb/bhp h": "lb/hp h",
        "lb/(hp h)": "lb/hp h",
        "lb/bhp-h": "lb/hp h",
        "lb/hp-h": "lb/hp h",
    }

    @property
    def g_per_kwh(self) -> float:
        return self.value


_DEGREE_ALIASES = {
    "C": "°C",
    "degC": "°C",
    "deg C": "°C",
    "F": "°F",
    "degF": "°F",
    "deg F": "°F",
}


@dataclass(frozen=True, order=True)
class Temperature(Quantity):
    NAME = "a temperature"
    BASE = "degree_celsius"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("71 °C", "160 °F", "-18 °C")
    UNITS: ClassVar[dict[str, str]] = {
        "°C": "degree_celsius",
        "°F": "degree_fahrenheit",
        "K": "kelvin",
    }
    ALIASES: ClassVar[dict[str, str]] = _DEGREE_ALIASES

    @property
    def c(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class TemperatureDifference(Quantity):
    NAME = "a temperature difference"
    BASE = "kelvin"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("5 K", "5 °C", "9 °F")
    UNITS: ClassVar[dict[str, str]] = {"K": "kelvin", "°C": "celsius_step", "°F": "fahrenheit_step"}
    ALIASES: ClassVar[dict[str, str]] = _DEGREE_ALIASES

    @property
    def k(self) -> float:
        return self.value
