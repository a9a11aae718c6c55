"""How much current regulated alternators deliver into one network."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np

from installgen.calc.star_mesh import Bools, Floats, Ints

Mode = Literal["regulating", "at its limit", "idle", "at its ceiling"]
MODES: tuple[Mode, ...] = ("regulating", "at its limit", "idle", "at its ceiling")

_NEAR = 1e-9


@dataclass(frozen=True)
class Outlook:
    """What alternators see of the network, linear in their currents.

    Arrays are (alternators, points), effects (seen by, caused by, points).

    limit_a: most current of each [A]
    set_v: voltage each holds at its sense point [V]
    ceiling_v: highest voltage at each stud [V]
    droop_ohm: fall of the set voltage with the current [ohm]
    sense_v, stud_v: with all alternators at nil [V]
    sense_ohm, stud_ohm: rise for each ampere of each alternator [ohm]
    """

    limit_a: Floats
    set_v: Floats
    ceiling_v: Floats
    droop_ohm: Floats
    sense_v: Floats
    stud_v: Floats
    sense_ohm: Floats
    stud_ohm: Floats


def share_output(outlook: Outlook) -> tuple[Floats, Ints, Bools]:
    """Output of each alternator: the most that keeps its sense point and stud within bounds.

    Every combination of modes is tried, regulating first, until one contradicts none of the
    bounds. Where the sharing is undetermined (two regulators with the very same set voltage at
    the very same point) the earlier alternator carries the load.

    outlook: what they see
    Returns currents [A] and modes (indices into MODES), each (alternators, points), and for which
    points a consistent combination was found.
    """
    count, points = outlook.limit_a.shape
    current_a = np.zeros((count, points))
    modes = np.zeros((count, points), dtype=np.intp)
    waiting = np.arange(points)
    for combination in product(range(len(MODES)), repeat=count):
        if not waiting.size:
            break
        chosen = np.array(combination)
        trial_a = _currents_a(outlook, chosen, waiting)
        good = _consistent(outlook, chosen, trial_a, waiting)
        found = waiting[good]
        current_a[:, found] = trial_a[:, good]
        modes[:, found] = chosen[:, np.newaxis]
        waiting = waiting[~good]
    solved = np.ones(points, dtype=np.bool_)
    solved[waiting] = False
    return current_a, modes, solved


def _currents_a(outlook: Outlook, chosen: Ints, points: Ints) -> Floats:
    """Currents that meet the equations of the chosen modes; nan where they do not determine it."""
    count = len(chosen)
    matrix = np.zeros((points.size, count, count))
    wanted = np.zeros((points.size, count))
    for row, mode in enumerate(chosen):
        match MODES[mode]:
            case "regulating":
                matrix[:, row, :] = outlook.sense_ohm[row][:, points].T
                matrix[:, row, row] += outlook.droop_ohm[row, points]
                wanted[:, row] = outlook.set_v[row, points] - outlook.sense_v[row, points]
            case "at its ceiling":
                matrix[:, row, :] = outlook.stud_ohm[row][:, points].T
                wanted[:, row] = outlook.ceiling_v[row, points] - outlook.stud_v[row, points]
            case "at its limit":
                matrix[:, row, row] = 1.0
                wanted[:, row] = outlook.limit_a[row, points]
            case "idle":
                matrix[:, row, row] = 1.0
    scale = np.abs(matrix).max(axis=2, keepdims=True)
    usable = (scale > 0.0).all(axis=(1, 2)) & np.isfinite(wanted).all(axis=1)
    scale[scale == 0.0] = 1.0
    usable &= np.abs(np.linalg.det(matrix / scale)) > _NEAR
    current_a = np.full((count, points.size), np.nan)
    if usable.any():
        solution = np.linalg.solve(matrix[usable], wanted[usable][:, :, np.newaxis])
        current_a[:, usable] = solution[:, :, 0].T
    return current_a


def _consistent(outlook: Outlook, chosen: Ints, current_a: Floats, points: Ints) -> Bools:
    """For which points the trial currents contradict no bound."""
    sense_v = outlook.sense_v[:, points] + np.einsum(
        "abp,bp->ap", outlook.sense_ohm[:, :, points], current_a
    )
    stud_v = outlook.stud_v[:, points] + np.einsum(
        "abp,bp->ap", outlook.stud_ohm[:, :, points], current_a
    )
    set_v = outlook.set_v[:, points] - outlook.droop_ohm[:, points] * current_a
    ceiling_v = outlook.ceiling_v[:, points]
    limit_a = outlook.limit_a[:, points]
    inside = (current_a >= -_NEAR) & (current_a <= limit_a + _NEAR)
    bounded = (sense_v <= set_v + _NEAR) & (stud_v <= ceiling_v + _NEAR)
    satisfied = (sense_v >= set_v - _NEAR) | (stud_v >= ceiling_v - _NEAR) | (limit_a <= _NEAR)
    idle = np.array([MODES[mode] == "idle" for mode in chosen])[:, np.newaxis]
    good: Bools = np.where(idle, satisfied, inside & bounded & (limit_a > _NEAR)).all(axis=0)
    return good
