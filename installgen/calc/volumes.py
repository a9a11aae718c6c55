"""Volumes of liquid in a system: hoses, vessels and their sum."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from installgen.calc.ranges import more_than_zero, zero_or_more


@dataclass(frozen=True)
class VolumePart:
    """One part of a system and the liquid it holds.

    name: of the part
    volume_m3: liquid in it [m3]
    """

    name: str
    volume_m3: float


@dataclass(frozen=True)
class SystemVolume:
    """The liquid in a system, part by part, in the order given."""

    parts: tuple[VolumePart, ...]

    @property
    def total_m3(self) -> float:
        """Sum of the parts [m3]."""
        return math.fsum(part.volume_m3 for part in self.parts)


def hose_volume_m3(bore_m: float, length_m: float) -> float:
    """Liquid in a hose or pipe.

    V = pi/4 d^2 L

    bore_m: inside diameter, not a nominal thread size [m]
    length_m: between its ends [m]
    Returns the volume [m3]. Raises OutOfRange.
    Source: geometry.
    """
    more_than_zero("the bore", bore_m, "m")
    zero_or_more("the length", length_m, "m")
    return math.pi / 4 * bore_m**2 * length_m


def system_volume(parts: Iterable[VolumePart]) -> SystemVolume:
    """The parts of a system with their sum.

    parts: in the order in which they are to be listed
    Returns them as one. Raises OutOfRange for a negative volume.
    """
    listed = tuple(parts)
    for part in listed:
        zero_or_more(f"the volume of {part.name}", part.volume_m3, "m³")
    return SystemVolume(listed)
