"""Plain numbers that are written in one way only."""

import re
from dataclasses import dataclass
from fractions import Fraction as ExactFraction
from typing import ClassVar

from installgen.units import grammar
from installgen.units.problem import UnitProblem, either, quoted
from installgen.units.quantity import Quantity


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


_RATIO = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*:\s*([0-9]+(?:\.[0-9]+)?)")


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
        alone = re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", plain)
        found = (
            f"{quoted(text)}, a number that is not written as a ratio" if alone else quoted(text)
        )
        raise UnitProblem(found, cls.expected(), either(f"{plain}:1") if alone else "")
