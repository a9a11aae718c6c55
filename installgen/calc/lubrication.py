"""Oil: what engine and gear hold, and whether a turbocharger's drain falls all the way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.calc.volumes import SystemVolume, VolumePart, system_volume
from installgen.errors import OutOfRange

PositionM: TypeAlias = tuple[float, float, float]
"""x forward, y to the side that a positive heel puts down, z up, in metres."""


@dataclass(frozen=True)
class DrainLeg:
    """One straight part of a drain.

    start, end: its joints, in the direction of flow [m]
    fall_m: how much lower its end is, negative where it climbs [m]
    slope_deg: below the horizontal, negative where it climbs [deg]
    """

    start: PositionM
    end: PositionM
    fall_m: float
    slope_deg: float


@dataclass(frozen=True)
class Drain:
    """A drain from a turbocharger to the sump, leg by leg, at one attitude of the vessel."""

    legs: tuple[DrainLeg, ...]

    @property
    def flattest(self) -> DrainLeg:
        """The leg that falls least; it decides."""
        return min(self.legs, key=lambda leg: leg.slope_deg)

    @property
    def falls_all_the_way(self) -> bool:
        """Whether every leg falls."""
        return self.flattest.fall_m > 0


def oil_charge(
    sump_m3: float,
    filter_m3: float,
    cooler_m3: float = 0.0,
    lines: Iterable[VolumePart] = (),
) -> SystemVolume:
    """What a dry engine takes up to the full mark: sump, filter, cooler and lines.

    sump_m3: sump to the full mark [m3]
    filter_m3: all filters [m3]
    cooler_m3: a cooler outside the engine [m3]
    lines: further parts, such as lines to a remote filter
    Returns the parts with their sum. Raises OutOfRange.
    """
    more_than_zero("the sump", sump_m3, "m³")
    fixed = [VolumePart("sump", sump_m3), VolumePart("filter", filter_m3)]
    if cooler_m3:
        fixed.append(VolumePart("cooler", cooler_m3))
    return system_volume([*fixed, *lines])


def gear_oil_charge(
    gear_m3: float, cooler_m3: float = 0.0, lines: Iterable[VolumePart] = ()
) -> SystemVolume:
    """What a dry gear takes, its own system: housing, cooler and lines.

    gear_m3: housing to the full mark [m3]
    cooler_m3: gear-oil cooler [m3]
    lines: hoses to the cooler and back
    Returns the parts with their sum. Raises OutOfRange.
    """
    more_than_zero("the gear's own volume", gear_m3, "m³")
    fixed = [VolumePart("gear", gear_m3)]
    if cooler_m3:
        fixed.append(VolumePart("cooler", cooler_m3))
    return system_volume([*fixed, *lines])


def oil_left_in_service_ratio(charge_m3: float, drained_m3: float) -> float:
    """Part of the old oil that stays behind at a change.

    (V - V_d) / V

    charge_m3: whole system [m3]
    drained_m3: what comes out, filter included [m3]
    Returns the part left [-]. Raises OutOfRange.
    """
    more_than_zero("the oil charge", charge_m3, "m³")
    zero_or_more("the oil drained", drained_m3, "m³")
    within("the oil drained", drained_m3, 0, charge_m3, "m³")
    return (charge_m3 - drained_m3) / charge_m3


def tilted(position: PositionM, heel_deg: float, trim_deg: float) -> PositionM:
    """Where a point comes to stand when the vessel heels, then trims, about the origin.

    y' = y cos(h) + z sin(h), z' = z cos(h) - y sin(h); x'' = x cos(t) - z' sin(t),
    z'' = z' cos(t) + x sin(t)

    position: x forward, y to the side, z up [m]
    heel_deg: positive where positive y goes down [deg]
    trim_deg: positive with the bow up [deg]
    Returns the position in level axes [m].
    Source: geometry.
    """
    x_m, y_m, z_m = position
    heel, trim = math.radians(heel_deg), math.radians(trim_deg)
    y_heeled = y_m * math.cos(heel) + z_m * math.sin(heel)
    z_heeled = z_m * math.cos(heel) - y_m * math.sin(heel)
    x_trimmed = x_m * math.cos(trim) - z_heeled * math.sin(trim)
    z_trimmed = z_heeled * math.cos(trim) + x_m * math.sin(trim)
    return x_trimmed, y_heeled, z_trimmed


def slope_deg(start: PositionM, end: PositionM) -> float:
    """How steeply a straight pipe falls from one end to the other.

    atan2(z_1 - z_2, horizontal distance)

    start: upstream end [m]
    end: downstream end [m]
    Returns the angle below the horizontal, 90 straight down, negative where it climbs [deg].
    Raises OutOfRange when both ends are one point.
    Source: geometry.
    """
    run_m = math.hypot(end[0] - start[0], end[1] - start[1])
    fall_m = start[2] - end[2]
    if run_m == 0 and fall_m == 0:
        raise OutOfRange("the length of a drain leg", "0 m", "two different points")
    return math.degrees(math.atan2(fall_m, run_m))


def drain(joints: Sequence[PositionM], heel_deg: float = 0.0, trim_deg: float = 0.0) -> Drain:
    """The legs of a drain, from the turbocharger to the sump.

    joints: positions in the direction of flow, two or more; x forward, y aside, z up [m]
    heel_deg: of the vessel, positive where positive y goes down [deg]
    trim_deg: of the vessel, positive with the bow up [deg]
    Returns every leg with its fall and slope at that attitude. Raises OutOfRange.
    Source: geometry.
    """
    if len(joints) < 2:
        raise OutOfRange("the joints of a drain", str(len(joints)), "2 and more")
    level = [tilted(joint, heel_deg, trim_deg) for joint in joints]
    legs = [
        DrainLeg(joints[i], joints[i + 1], start[2] - end[2], slope_deg(start, end))
        for i, (start, end) in enumerate(pairwise(level))
    ]
    return Drain(tuple(legs))
