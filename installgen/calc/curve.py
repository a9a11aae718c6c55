"""A curve given by points, such as a sheet's fuel curve; read between them, never beyond."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from installgen.errors import OutOfRange, OutOfTable


@dataclass(frozen=True)
class Curve:
    """Points in rising order of their argument, joined by straight lines.

    name: what the curve shows, for messages
    argument: what it is read at, with its unit, for messages
    points: (argument, value) pairs, each in the unit the caller uses throughout
    Raises OutOfRange when there is no point, one is not finite, or the order does not rise.
    """

    name: str
    argument: str
    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        flat = [number for point in self.points for number in point]
        if not flat or not all(math.isfinite(number) for number in flat):
            raise OutOfRange(self.name, f"{self.points}", "one finite point or more")
        for (x0, _), (x1, _) in pairwise(self.points):
            if x1 <= x0:
                raise OutOfRange(
                    f"{self.name}: {self.argument}", f"{x1:g} after {x0:g}", "values that rise"
                )

    @property
    def span(self) -> tuple[float, float]:
        """First and last argument."""
        return self.points[0][0], self.points[-1][0]

    def at(self, argument: float) -> float:
        """The value on the line between the two points around `argument`.

        argument: in the curve's own unit
        Returns the value in the curve's own unit.
        Raises OutOfTable outside the first and last point: nothing is extrapolated.
        """
        for (x0, y0), (x1, y1) in pairwise(self.points):
            if x0 <= argument <= x1:
                return y0 + (y1 - y0) * (argument - x0) / (x1 - x0)
        if argument == self.points[0][0]:
            return self.points[0][1]
        first, last = self.span
        raise OutOfTable(
            self.name, f"{self.argument} {argument:g}", f"{self.argument} {first:g} to {last:g}"
        )

    def first_reaching(self, value: float) -> float:
        """The smallest argument at which the curve comes down to `value`.

        value: in the curve's own unit
        Returns the argument in the curve's own unit; the first one where the curve begins lower.
        Raises OutOfTable when no point is as low.
        """
        if self.points[0][1] <= value:
            return self.points[0][0]
        for (x0, y0), (x1, y1) in pairwise(self.points):
            if y1 <= value:
                return x0 + (x1 - x0) * (y0 - value) / (y0 - y1)
        lowest = min(y for _, y in self.points)
        raise OutOfTable(self.name, f"{value:g}", f"down to {lowest:g}")
