"""Quantities of electricity."""

from dataclasses import dataclass
from typing import ClassVar

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
class Charge(Quantity):
    NAME = "a charge"
    BASE = "ampere * hour"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("120 Ah",)
    UNITS: ClassVar[dict[str, str]] = {"Ah": "ampere * hour", "mAh": "milliampere * hour"}
    ALIASES: ClassVar[dict[str, str]] = {"A h": "Ah", "AH": "Ah"}

    @property
    def ah(self) -> float:
        return self.value
