"""Quantities of electricity, power, energy, pressure and temperature, and plain ratios."""

import re
from dataclasses import dataclass
from fractions import Fraction as ExactFraction
from typing import ClassVar, Literal, Self

from installgen.units import grammar
from installgen.units.problem import UnitProblem, either, quoted
from installgen.units.quantity import Quantity


@dataclass(frozen=True, order=True)
class Voltage(Quantity):
    NAME = "a voltage"
    BASE = "volt"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("12 V", "350 mV")
    UNITS: ClassVar[dict[str, str]] = {"V": "volt", "mV": "millivolt", "kV": "kilovolt"}
    ALIASES: ClassVar[dict[str, str]] = {"volt": "V", "volts": "V", "V DC": "V", "VDC": "V"}

    @property
    def v(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Current(Quantity):
    NAME = "a current"
    BASE = "ampere"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("35 A", "20 mA")
    UNITS: ClassVar[dict[str, str]] = {"A": "ampere", "mA": "milliampere", "kA": "kiloampere"}
    ALIASES: ClassVar[dict[str, str]] = {"amp": "A", "amps": "A", "ampere": "A", "amperes": "A"}

    @property
    def a(self) -> float:
        return self.value


@dataclass(frozen=True, order=True)
class Resistance(Quantity):
    NAME = "a resistance"
    BASE = "ohm"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("1.2 ohm", "45 mohm", "0.15 mΩ")
    UNITS: ClassVar[dict[str, str]] = {
        "ohm": "ohm",
        "mohm": "milliohm",
        "uohm": "microohm",
        "kohm": "kiloohm",
        "Mohm": "megaohm",
    }
    ALIASES: ClassVar[dict[str, str]] = {"ohms": "ohm"}

    @property
    def ohm(self) -> float:
        return self.value


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
class HeatFlow(Power):
    """A flow of heat: printed in kW and Btu."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ("95 kW", "5400 Btu/min")


@dataclass(frozen=True, order=True)
class Charge(Quantity):
    NAME = "a charge"
    BASE = "ampere * hour"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("120 Ah",)
    UNITS: ClassVar[dict[str, str]] = {"Ah": "ampere * hour", "mAh": "milliampere * hour"}
    ALIASES: ClassVar[dict[str, str]] = {"A h": "Ah", "AH": "Ah"}

    @property
    def ah(self) -> float:
        return self.value


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


_PRESSURE_UNITS = {
    "kPa": "kilopascal",
    "bar": "bar",
    "mbar": "millibar",
    "psi": "psi",
    "inHg": "inch_of_mercury",
    "mmHg": "millimeter_of_mercury",
    "inH2O": "inch_of_water",
    "mmH2O": "millimeter_of_water",
    "mH2O": "meter_of_water",
    "ftH2O": "foot_of_water",
    "Pa": "pascal",
    "hPa": "hectopascal",
    "MPa": "megapascal",
}
_PRESSURE_ALIASES = {
    "PSI": "psi",
    "kpa": "kPa",
    "KPa": "kPa",
    "in Hg": "inHg",
    "mm Hg": "mmHg",
    "in H2O": "inH2O",
    "mm H2O": "mmH2O",
    "m H2O": "mH2O",
    "ft H2O": "ftH2O",
}
_REFERENCE = re.compile(
    r"(?P<before>.*?(?P<unit>[A-Za-z0-9]))\s*"
    r"(?:(?<=psi)(?P<g1>g|a)|(?<=bar)(?P<g2>g|a)|\((?P<g3>g|a)\)"
    r"|(?<!\S)(?P<word>gauge|gage|absolute|abs|vacuum|vac))\.?"
)
_WORDS = {
    "g": "gauge",
    "gauge": "gauge",
    "gage": "gauge",
    "a": "absolute",
    "abs": "absolute",
    "absolute": "absolute",
    "vac": "vacuum",
    "vacuum": "vacuum",
}


def split_reference(text: str) -> tuple[str, str]:
    """`4 psi gauge` as `4 psi` and `gauge`; the second is empty where nothing is said."""
    match = (
        _REFERENCE.fullmatch(grammar.normal_text(text)) if len(text) <= grammar.LONGEST else None
    )
    if match is None:
        return text, ""
    word = match["g1"] or match["g2"] or match["g3"] or match["word"]
    return match["before"], _WORDS[word]


@dataclass(frozen=True, order=True)
class Pressure(Quantity):
    """A pressure that says what it is counted from.

    reference: `gauge` is above the surrounding air; a vacuum is a negative gauge pressure
    """

    reference: Literal["gauge", "absolute"] = "gauge"

    NAME = "a pressure, gauge or absolute,"
    BASE = "pascal"
    EXAMPLES: ClassVar[tuple[str, ...]] = (
        "110 kPa gauge",
        "2 bar absolute",
        "15 psi gauge",
        "8 inHg vacuum",
    )
    UNITS: ClassVar[dict[str, str]] = _PRESSURE_UNITS
    ALIASES: ClassVar[dict[str, str]] = _PRESSURE_ALIASES

    @property
    def pa(self) -> float:
        return self.value

    def gauge_pa(self, atmospheric_pa: float) -> float:
        """Pressure above the surrounding air [Pa]; atmospheric_pa: absolute, of that air [Pa]."""
        return self.value - (atmospheric_pa if self.reference == "absolute" else 0.0)

    def absolute_pa(self, atmospheric_pa: float) -> float:
        """Pressure above nothing [Pa]; atmospheric_pa: absolute, of the surrounding air [Pa]."""
        return self.value + (atmospheric_pa if self.reference == "gauge" else 0.0)

    @classmethod
    def owns(cls, symbol: str) -> bool:
        return super().owns(split_reference(symbol)[0])

    @classmethod
    def parse(cls, text: str) -> Self:
        plain, word = split_reference(text)
        value = cls.read_number(plain)
        if not word:
            stem = text.strip()
            raise UnitProblem(
                f"{quoted(text)}, a pressure that says neither gauge nor absolute",
                cls.expected(),
                either(f"{stem} gauge", f"{stem} absolute"),
            )
        if word == "vacuum":
            return cls(-value, "gauge", text=text.strip())
        reference: Literal["gauge", "absolute"] = "gauge" if word == "gauge" else "absolute"
        return cls(value, reference, text=text.strip())


@dataclass(frozen=True, order=True)
class PressureDifference(Quantity):
    """A difference between two pressures, which needs no reference."""

    NAME = "a pressure difference"
    BASE = "pascal"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("6 kPa", "1.5 psi", "75 mmH2O")
    UNITS: ClassVar[dict[str, str]] = _PRESSURE_UNITS
    ALIASES: ClassVar[dict[str, str]] = _PRESSURE_ALIASES

    @property
    def pa(self) -> float:
        return self.value

    @property
    def reference(self) -> Literal["difference"]:
        return "difference"

    @classmethod
    def parse(cls, text: str) -> Self:
        plain, word = split_reference(text)
        if word:
            found = f"{quoted(text)}, which says {word}"
            raise UnitProblem(found, cls.expected(), either(plain))
        return super().parse(text)


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


@dataclass(frozen=True, order=True)
class Fraction(Quantity):
    """A share of a whole, written in percent so that 0.8 is never taken for 0.8 %."""

    NAME = "a share"
    BASE = "1"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("80 %", "2.5 %")
    UNITS: ClassVar[dict[str, str]] = {"%": "percent"}
    ALIASES: ClassVar[dict[str, str]] = {"percent": "%", "per cent": "%"}

    @property
    def ratio(self) -> float:
        return self.value

    @property
    def percent(self) -> float:
        return self.value * 100


_RATIO = re.compile(r"(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)")


@dataclass(frozen=True, order=True)
class GearRatio(Quantity):
    """Turns in for turns out; the clock-like `1:30` stays a ratio."""

    NAME = "a ratio"
    BASE = ""
    EXAMPLES: ClassVar[tuple[str, ...]] = ("2.53:1", "1:1")

    @property
    def ratio(self) -> float:
        return self.value

    @classmethod
    def expected(cls) -> str:
        return f"{cls.NAME} such as {' or '.join(cls.EXAMPLES)}"

    @classmethod
    def read_number(cls, text: str) -> float:
        plain = grammar.normal_text(text) if len(text) <= grammar.LONGEST else ""
        match = _RATIO.fullmatch(plain)
        if match and ExactFraction(match[2]):
            return float(ExactFraction(match[1]) / ExactFraction(match[2]))
        alone = re.fullmatch(r"\d+(?:\.\d+)?", plain)
        found = (
            f"{quoted(text)}, a number that is not written as a ratio" if alone else quoted(text)
        )
        raise UnitProblem(found, cls.expected(), either(f"{plain}:1") if alone else "")
