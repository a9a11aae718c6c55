"""Pressures, which say what they are counted from, and differences, which need not."""

import re
from dataclasses import dataclass
from typing import ClassVar, Literal, Self

from installgen.units import grammar
from installgen.units.problem import UnitProblem, either, quoted
from installgen.units.quantity import Quantity

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

    NAME = "a pressure"
    BASE = "pascal"
    EXAMPLES: ClassVar[tuple[str, ...]] = (
        "110 kPa gauge",
        "2 bar absolute",
        "15 psi gauge",
        "8 inHg vacuum",
    )
    UNITS: ClassVar[dict[str, str]] = _PRESSURE_UNITS
    ALIASES: ClassVar[dict[str, str]] = _PRESSURE_ALIASES

    @classmethod
    def expected(cls) -> str:
        units = ", ".join(cls.UNITS)
        examples = " or ".join(cls.EXAMPLES[:2])
        return f"a pressure, gauge or absolute, such as {examples} (units: {units})"

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
