"""Refusing inputs for which a formula does not hold, in one wording."""

from __future__ import annotations

import math

from installgen.errors import OutOfRange


def more_than_zero(what: str, value: float, unit: str) -> None:
    """Raise OutOfRange unless `value` is finite and above zero.

    what: the input, as a person would name it
    value: in `unit`
    unit: as printed
    """
    if not (math.isfinite(value) and value > 0):
        raise OutOfRange(what, f"{value:g} {unit}".strip(), f"more than 0 {unit}".strip())


def zero_or_more(what: str, value: float, unit: str) -> None:
    """Raise OutOfRange unless `value` is finite and not below zero.

    what: the input, as a person would name it
    value: in `unit`
    unit: as printed
    """
    if not (math.isfinite(value) and value >= 0):
        raise OutOfRange(what, f"{value:g} {unit}".strip(), f"0 {unit} and more".replace("  ", " "))


def within(what: str, value: float, low: float, high: float, unit: str) -> None:
    """Raise OutOfRange unless `low` <= `value` <= `high`.

    what: the input, as a person would name it
    value, low, high: in `unit`
    unit: as printed
    """
    if not low <= value <= high:
        raise OutOfRange(what, f"{value:g} {unit}".strip(), f"{low:g} to {high:g} {unit}".strip())
