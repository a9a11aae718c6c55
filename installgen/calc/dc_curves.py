"""Current of the branches whose current is not proportional to their voltage: loads, batteries on
charge, diodes. All points at once.
"""

from __future__ import annotations

import numpy as np

from installgen.calc.dc_assembly import Curved
from installgen.calc.dc_inputs import Inputs
from installgen.calc.star_mesh import Bools, Floats, Ints

_TINY = 1e-300
_LARGEST_EXPONENT = 600.0  # only met on the way; no solution carries exp(600) amperes


def first_guess_v(curved: Curved, highest_v: float, count: int) -> Floats:
    diode_v = curved.slope_v * np.log(curved.slope_v / curved.saturation_a)
    loads = np.full(curved.kink_v.size + curved.power_w.size, highest_v)
    return np.tile(np.concatenate([loads, diode_v])[:, np.newaxis], (1, count))


def slopes(
    curved: Curved, inputs: Inputs, points: Ints, voltage_v: Floats
) -> tuple[Floats, Floats]:
    """Slope and current of every curved branch at a voltage.

    A flat load leans by a millionth of its resistance's slope, so that its ends stay joined.
    Returns slopes [S] and currents [A]; the tangent is v * slope + (current - slope * v).
    """
    kinks, powers = curved.kink_v.size, curved.power_w.size
    every = points.size == inputs.curved_intact.shape[1]
    slope_s = np.empty_like(voltage_v)
    current_a = np.empty_like(voltage_v)
    if kinks:
        part = slice(0, kinks)
        below_s = inputs.below_s if every else inputs.below_s[:, points]
        from_kink_v = voltage_v[part] - curved.kink_v[:, np.newaxis]
        true_s = np.where(from_kink_v < 0.0, below_s, curved.above_s[:, np.newaxis])
        current_a[part] = curved.kink_a[:, np.newaxis] + true_s * from_kink_v
        slope_s[part] = np.maximum(true_s, curved.least_s[:, np.newaxis])
    if powers:
        part = slice(kinks, kinks + powers)
        power_w = curved.power_w[:, np.newaxis]
        min_v = curved.min_voltage_v[:, np.newaxis]
        working = voltage_v[part] >= min_v
        bounded_v = np.where(working, voltage_v[part], min_v)
        chord_s = power_w / (bounded_v * bounded_v)
        current_a[part] = np.where(working, power_w / bounded_v, chord_s * voltage_v[part])
        slope_s[part] = np.where(working, -chord_s, chord_s)
    if curved.slope_v.size:
        part = slice(kinks + powers, None)
        slope_v = curved.slope_v[:, np.newaxis]
        leakage_s = curved.leakage_s[:, np.newaxis]
        saturation_a = curved.saturation_a[:, np.newaxis]
        grown_a = saturation_a * np.exp(np.minimum(voltage_v[part] / slope_v, _LARGEST_EXPONENT))
        current_a[part] = grown_a - saturation_a + leakage_s * voltage_v[part]
        slope_s[part] = grown_a / slope_v + leakage_s
    if not inputs.all_intact:
        intact = inputs.curved_intact[:, points]
        slope_s *= intact
        current_a *= intact
    return slope_s, current_a


def use_chords(
    curved: Curved, voltage_v: Floats, slope_s: Floats, current_a: Floats, points: Bools
) -> None:
    """Replace the tangents of loads by the resistances they are at that voltage, in place."""
    powers = curved.power_w.size
    loads = np.concatenate([curved.kink_a > 0.0, np.ones(powers, dtype=np.bool_)])
    part = slice(0, loads.size)
    use = points & loads[:, np.newaxis] & (voltage_v[part] > 0.0)
    np.divide(current_a[part], voltage_v[part], out=slope_s[part], where=use)


def limit_steps(curved: Curved, old_v: Floats, new_v: Floats, damped: bool) -> Floats:
    """Keep a diode's step within what its exponential bears, and damp a search that circles.

    A diode's step is taken in its current instead of its voltage where that is far ahead:
    the voltage that carries the current foreseen by the tangent,
    V + S * ln(1 + dV / S) with S = n*k*T/q.
    Returns new_v itself where there is nothing to limit.
    Source: junction limiting, L. W. Nagel, SPICE2, memorandum ERL-M520, 1975, from memory.
    """
    loads = curved.kink_v.size + curved.power_w.size
    next_v = new_v
    if damped:
        next_v = new_v.copy()
        next_v[:loads] = 0.5 * (old_v[:loads] + new_v[:loads])
    slope_v = curved.slope_v[:, np.newaxis]
    critical_v = slope_v * np.log(slope_v / (np.sqrt(2.0) * curved.saturation_a[:, np.newaxis]))
    old, new = old_v[loads:], new_v[loads:]
    growth = 1.0 + (new - old) / slope_v
    rising = (new > critical_v) & (growth > 3.0)
    falling = (old > 0.0) & (growth > 0.0) & (growth < 0.5)
    if not (rising.any() or falling.any()):
        return next_v
    by_current_v = old + slope_v * np.log(np.maximum(growth, _TINY))
    from_blocking_v = slope_v * np.log(np.maximum(new / slope_v, _TINY))
    next_v = next_v.copy()
    next_v[loads:] = np.select(
        [rising & (old > 0.0), rising, falling],
        [by_current_v, from_blocking_v, np.maximum(by_current_v, 0.0)],
        new,
    )
    return next_v
