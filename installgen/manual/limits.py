"""Limits that a sheet says in words, such as `below 60 kPa gauge`, in both systems of units."""

from __future__ import annotations

import re

from installgen.manual.blocks import Amount, Line
from installgen.units import (
    Pressure,
    Quantity,
    RotationalSpeed,
    Temperature,
    UnitProblem,
    Voltage,
)

_SAID = re.compile(r"(below|above|at|under|over)\s+(.+)", re.IGNORECASE | re.DOTALL)
_KINDS: tuple[type[Quantity], ...] = (Pressure, Temperature, RotationalSpeed, Voltage)


def limit_line(text: str) -> Line:
    """A limit as its sheet says it, its quantity in both systems; left as it is in other words."""
    found = _SAID.fullmatch(text.strip())
    if found is None:
        return text
    for kind in _KINDS:
        try:
            return (f"{found[1]} ", Amount(kind.parse(found[2])))
        except UnitProblem:
            continue
    return text
