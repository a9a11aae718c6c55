"""Heights against the waterline, upright, heeled and trimmed, and the pressure they make.

Axes: x forward, y to starboard, z up from the static waterline at a stated loading, all from a
point on the centreline in the waterline about which the vessel is taken to turn.
"""

from __future__ import annotations

import math

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import OutOfRange


def static_head_pa(density_kg_per_m3: float, height_m: float) -> float:
    """Pressure of a standing column.

    p = rho g h

    density_kg_per_m3: of the column; of the mixture where it is aerated [kg/m3]
    height_m: of the column, negative for a suction lift [m]
    Returns the pressure [Pa].
    Source: hydrostatics.
    """
    return density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 * height_m


def immersion_pressure_pa(density_kg_per_m3: float, elevation_m: float) -> float:
    """Gauge pressure of the sea at an opening.

    p = -rho g z below the waterline, 0 above it

    density_kg_per_m3: of the sea [kg/m3]
    elevation_m: of the opening, up from the waterline [m]
    Returns the gauge pressure [Pa].
    Source: hydrostatics.
    """
    return static_head_pa(density_kg_per_m3, max(0.0, -elevation_m))


def scoop_pressure_pa(
    density_kg_per_m3: float, vessel_speed_m_per_s: float, recovery_ratio: float
) -> float:
    """Pressure that a scoop adds at an intake under way.

    p = c rho v^2 / 2

    density_kg_per_m3: of the sea [kg/m3]
    vessel_speed_m_per_s: through the water, 0 or more [m/s]
    recovery_ratio: share of the stagnation pressure that arrives, 0 to 1 [-]
    Returns the pressure [Pa]. Raises OutOfRange outside.
    Source: Bernoulli; the share is the caller's to state.
    """
    zero_or_more("the speed of the vessel", vessel_speed_m_per_s, "m/s")
    within("the share that a scoop recovers", recovery_ratio, 0.0, 1.0, "")
    return recovery_ratio * density_kg_per_m3 * vessel_speed_m_per_s**2 / 2.0


def flooding_headway_m_per_s(height_m: float, recovery_ratio: float) -> float:
    """Slowest headway at which a scoop lifts standing water to a height.

    v = sqrt(2 g h / c)

    height_m: over the waterline; at or below it no headway is needed [m]
    recovery_ratio: share of the stagnation pressure that arrives, above 0 to 1 [-]
    Returns the speed through the water [m/s]. Raises OutOfRange outside.
    Source: Bernoulli; with c = 1 no scoop lifts it at a lower speed.
    """
    more_than_zero("the share that a scoop recovers", recovery_ratio, "")
    within("the share that a scoop recovers", recovery_ratio, 0.0, 1.0, "")
    return math.sqrt(2.0 * STANDARD_GRAVITY_M_PER_S2 * max(0.0, height_m) / recovery_ratio)


def heeled_height_m(z_m: float, y_m: float, heel_deg: float) -> float:
    """Height above the waterline of a point when the vessel heels.

    z' = z cos(phi) - y sin(phi)

    z_m: height upright [m]
    y_m: off the centreline, to starboard positive [m]
    heel_deg: to starboard positive, less than 90 [deg]
    Returns the height [m]. Raises OutOfRange at 90 degrees or more.
    Source: rotation about the centreline in the waterline.
    """
    _check_angle("heel", heel_deg)
    phi = math.radians(heel_deg)
    return z_m * math.cos(phi) - y_m * math.sin(phi)


def trimmed_height_m(z_m: float, x_m: float, trim_deg: float) -> float:
    """Height above the waterline of a point when the vessel trims.

    z' = z cos(theta) - x sin(theta)

    z_m: height at even keel [m]
    x_m: forward of the point of turning positive [m]
    trim_deg: bow down positive, less than 90 [deg]
    Returns the height [m]. Raises OutOfRange at 90 degrees or more.
    Source: rotation about a thwartships axis in the waterline.
    """
    _check_angle("trim", trim_deg)
    theta = math.radians(trim_deg)
    return z_m * math.cos(theta) - x_m * math.sin(theta)


def lowest_height_m(
    x_m: float, y_m: float, z_m: float, heel_limit_deg: float, trim_limit_deg: float
) -> float:
    """Least height above the waterline over every heel and trim within limits.

    z'' = (z cos(phi) - y sin(phi)) cos(theta) - x sin(theta), least over |phi| and |theta|

    x_m, y_m, z_m: position [m]
    heel_limit_deg, trim_limit_deg: greatest angle to either side, less than 90 [deg]
    Returns the least height [m]. Raises OutOfRange outside.
    Source: rotations as above; least value by the ends of the range and the turning point in it.
    """
    heeled = _least(z_m, y_m, heel_limit_deg, "heel")
    return _least(heeled, x_m, trim_limit_deg, "trim")


def highest_height_m(
    x_m: float, y_m: float, z_m: float, heel_limit_deg: float, trim_limit_deg: float
) -> float:
    """Greatest height above the waterline over every heel and trim within limits.

    x_m, y_m, z_m: position [m]
    heel_limit_deg, trim_limit_deg: greatest angle to either side, less than 90 [deg]
    Returns the greatest height [m]. Raises OutOfRange outside.
    Source: as `lowest_height_m`, of the mirrored point.
    """
    return -lowest_height_m(-x_m, -y_m, -z_m, heel_limit_deg, trim_limit_deg)


def _check_angle(what: str, angle_deg: float) -> None:
    if not -90.0 < angle_deg < 90.0:
        raise OutOfRange(what, f"{angle_deg:g} deg", "between -90 and 90 deg")


def _least(up: float, aside: float, limit_deg: float, what: str) -> float:
    """Least of up cos(a) - aside sin(a) over |a| <= limit."""
    if not 0.0 <= limit_deg < 90.0:
        raise OutOfRange(f"limit of {what}", f"{limit_deg:g} deg", "0 to below 90 deg")
    limit = math.radians(limit_deg)
    angles = [-limit, limit]
    if up < 0.0:  # a point below the water is deepest when straight under the point of turning
        turning = math.atan(-aside / up)
        if abs(turning) <= limit:
            angles.append(turning)
    return min(up * math.cos(a) - aside * math.sin(a) for a in angles)
