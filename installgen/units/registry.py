"""The one pint registry: exact conversion between the units of `definitions.txt`."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from importlib.resources import files

import pint


@cache
def registry() -> pint.UnitRegistry[Fraction]:
    """The registry of our own definitions, in exact fractions, made at first use."""
    made: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    lines = files("installgen.units").joinpath("definitions.txt").read_text("utf-8").splitlines()
    made.load_definitions([line for line in lines if line and not line.startswith("#")])
    return made


@cache
def _line(unit: str, base: str) -> tuple[Fraction, Fraction]:
    """Slope and offset of the straight line that leads from `unit` to `base`."""
    of = registry().Quantity
    zero = Fraction(of(Fraction(0), unit).to(base).magnitude)
    one = Fraction(of(Fraction(1), unit).to(base).magnitude)
    return one - zero, zero


def to_base(number: Fraction, unit: str, base: str) -> Fraction:
    """A number of `unit` as a number of `base`, exactly.

    Raises pint.DimensionalityError where the two differ in kind.
    """
    slope, offset = _line(unit, base)
    return number * slope + offset


def from_base(value: float, unit: str, base: str) -> float:
    """The way back: a number of `base` as a number of `unit`."""
    slope, offset = _line(unit, base)
    return float((Fraction(value) - offset) / slope)
