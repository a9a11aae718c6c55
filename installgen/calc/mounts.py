"""Loads on engine mounts from mass, centre of gravity and torque, and coupling alignment."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.errors import OutOfRange


def mount_loads_kg(
    mass_kg: float,
    centre_m: tuple[float, float],
    mounts_m: Sequence[tuple[float, float]],
    torque_n_m: float = 0.0,
) -> tuple[float, ...]:
    """What each of several equally stiff mounts carries, as a mass.

    N_i = a + b x_i + c y_i with sum N = m, sum N x = m x_c, sum N y = m y_c + T / g

    mass_kg: of engine and gear as installed, more than 0 [kg]
    centre_m: x ahead and y to port of their common centre of gravity [m]
    mounts_m: the same of each mount, three or more that do not stand in one line [m]
    torque_n_m: that the propeller shaft takes, positive when it loads the port side [N m]
    Returns the load of each mount, negative where it is lifted [kg]. Raises OutOfRange.
    Source: statics of a rigid body on springs of one stiffness.
    """
    more_than_zero("the installed mass", mass_kg, "kg")
    points = np.array(mounts_m, dtype=float).reshape(-1, 2)
    shape = np.column_stack([np.ones(len(points)), points])
    matrix = shape.T @ shape
    if len(points) < 3 or np.linalg.matrix_rank(matrix, tol=1e-9) < 3:
        raise OutOfRange("mounts", f"{len(points)}", "three or more that are not in one line")
    moments = mass_kg * np.array([1.0, *centre_m])
    moments[2] += torque_n_m / STANDARD_GRAVITY_M_PER_S2
    loads = shape @ np.linalg.solve(matrix, moments)
    return tuple(float(load) for load in loads)


def face_misalignment_ratio(gaps_m: Sequence[float], coupling_diameter_m: float) -> float:
    """How far two coupling faces are from parallel.

    ratio = max(|top - bottom|, |port - starboard|) / d

    gaps_m: between the faces at the top, the bottom, port and starboard [m]
    coupling_diameter_m: where the gaps are read [m]
    Returns the ratio: 0.001 is a thousandth of an inch for each inch [-]. Raises OutOfRange.
    Source: geometry.
    """
    top, bottom, port, starboard = gaps_m
    for gap in gaps_m:
        zero_or_more("the gap between the coupling faces", gap, "m")
    more_than_zero("the diameter of the coupling", coupling_diameter_m, "m")
    return max(abs(top - bottom), abs(port - starboard)) / coupling_diameter_m
