"""Axes and values of a vessel's plots, the leading system of units first."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.drawings.plots import Axis
from installgen.units import System


@dataclass(frozen=True)
class Scale:
    """One kind of quantity on an axis: its unit in each system, and what a base unit is there.

    value = base * per_base + offset
    """

    metric: str
    metric_per_base: float
    us: str
    us_per_base: float
    metric_offset: float = 0.0
    us_offset: float = 0.0
    decimals: int = 0
    whole: bool = False

    def value(self, base: float, first: System) -> float:
        """A value in the leading unit, from its base unit."""
        if first == "metric":
            return base * self.metric_per_base + self.metric_offset
        return base * self.us_per_base + self.us_offset

    def axis(
        self, label: str, first: System, low: float | None = None, high: float | None = None
    ) -> Axis:
        """An axis with the other system opposite; its ends in the base unit."""
        one = (self.metric, self.metric_per_base, self.metric_offset)
        other = (self.us, self.us_per_base, self.us_offset)
        if first == "us":
            one, other = other, one
        per = other[1] / one[1]
        return Axis(
            label,
            one[0],
            other[0] if other[0] != one[0] else "",
            per,
            other[2] - one[2] * per,
            None if low is None else self.value(low, first),
            None if high is None else self.value(high, first),
            self.decimals,
            self.whole,
        )


FLOW = Scale("l/min", 60_000.0, "gpm US", 60.0 / 3.785411784e-3)
PRESSURE = Scale("kPa", 1e-3, "psi", 1.0 / 6894.757293168, decimals=1)
CELSIUS = Scale("°C", 1.0, "°F", 1.8, us_offset=32.0)
METRES = Scale("m", 1.0, "ft", 1.0 / 0.3048, decimals=2)
POWER = Scale("kW", 1e-3, "hp", 1.0 / 745.69987158227022)
SPEED = Scale("rpm", 1.0, "rpm", 1.0)
NUMBER = Scale("", 1.0, "", 1.0, whole=True)
