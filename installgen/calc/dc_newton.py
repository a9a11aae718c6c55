"""Newton's method over an assembled network, for many operating points side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_core import Core, CorePass, across, rows
from installgen.calc.dc_curves import first_guess_v, limit_steps, slopes, use_chords
from installgen.calc.dc_inputs import Inputs
from installgen.calc.star_mesh import Bools, Factors, Floats, Ints, Values

MOST_ITERATIONS = 200
_DAMPED_FROM = 30
_CHORDS_FROM = 80
_RELATIVE_ERROR = 1e-10
_ROUNDING = 8e-16
_LEAST_CURRENT_A = 1e-12


@dataclass(frozen=True)
class Outputs:
    """Solved points; arrays are (rows, points), values floats where alike at every point.

    bus_v: of each bus; in an island without the reference against a node of that island [V]
    island: of each bus; 0 is the reference's
    linear_a, curved_a, alternator_a: from each element's first end to its second [A]
    modes: of each alternator, indices into dc_regulation.MODES
    sense_lost: whether each alternator misses its sense lead
    solved, residual_a, iterations: of each point
    """

    bus_v: Values
    island: Values
    linear_a: Values
    curved_a: Floats
    alternator_a: Floats
    modes: Ints
    sense_lost: Bools
    solved: Bools
    residual_a: Floats
    iterations: Ints


def solve_points(assembly: Assembly, inputs: Inputs) -> Outputs:
    """Solve every point.

    assembly: the network
    inputs: what differs from point to point
    Returns the solved points; one that did not converge is marked, its figures are void.
    """
    core, factors, injected_a = _remove_outer(assembly, inputs)
    everywhere = np.arange(inputs.count)
    found = _iterate(assembly, inputs, core)
    curved, voltage_v = assembly.curved, found.voltage_v
    slope_s, current_a = slopes(curved, inputs, everywhere, voltage_v)
    use_chords(curved, voltage_v, slope_s, current_a, found.by_chord)
    last = core.solve(everywhere, slope_s, current_a - slope_s * voltage_v, found.sense_lost)
    bus_v, island = _restore_outer(assembly, factors, injected_a, last)
    linear = assembly.linear
    linear_a = [
        siemens * (bus_v[start] - bus_v[end] + volts)
        for siemens, start, end, volts in zip(
            inputs.linear_s,
            linear.branches.start.tolist(),
            linear.branches.end.tolist(),
            (linear.branches.offset_v + linear.emf_v).tolist(),
            strict=True,
        )
    ]
    curved_v = across(last.voltage_v, curved.branches.start, curved.branches.end)
    curved_v += curved.branches.offset_v[:, np.newaxis]
    passive_a = current_a + slope_s * (curved_v - voltage_v)
    return Outputs(
        bus_v=bus_v,
        island=island,
        linear_a=linear_a,
        curved_a=curved.sense[:, np.newaxis] * passive_a,
        alternator_a=last.alternator_a,
        modes=last.modes,
        sense_lost=last.sense_lost,
        solved=found.solved & last.consistent & ~last.past_limit,
        residual_a=found.residual_a,
        iterations=found.iterations,
    )


def _restore_outer(
    assembly: Assembly, factors: Factors, injected_a: Values, core: CorePass
) -> tuple[Values, Values]:
    """Voltage and island of every bus, from those of the core."""
    bus_v: Values = [0.0] * assembly.buses.count
    label: Values = [float(bus) for bus in range(assembly.buses.count)]
    core_label: Values = [label[bus] for bus in assembly.core_buses]
    assembly.core.restore_islands(core.factors, core_label)
    for bus, volts, number in zip(
        assembly.core_buses, rows(core.voltage_v), core_label, strict=True
    ):
        bus_v[bus], label[bus] = volts, number
    assembly.outer.restore(factors, injected_a, bus_v)
    assembly.outer.restore_islands(factors, label)
    return bus_v, [np.rint(number) for number in label]


def _remove_outer(assembly: Assembly, inputs: Inputs) -> tuple[Core, Factors, Values]:
    branches, outer = assembly.linear.branches, assembly.outer
    conductance_s: Values = [0.0] * (len(outer.edges) + 1)
    injected_a: Values = [0.0] * assembly.buses.count
    drive_v = branches.offset_v + assembly.linear.emf_v
    for edge, start, end, volts, value in zip(
        branches.edges.tolist(),
        branches.start.tolist(),
        branches.end.tolist(),
        drive_v.tolist(),
        inputs.linear_s,
        strict=True,
    ):
        conductance_s[edge] = conductance_s[edge] + value
        if volts:
            injected_a[start] = injected_a[start] - value * volts
            injected_a[end] = injected_a[end] + value * volts
    factors = outer.remove(conductance_s)
    outer.pass_on(factors, injected_a)
    core = Core(
        assembly,
        [conductance_s[edge] for edge in outer.left],
        [injected_a[bus] for bus in assembly.core_buses],
        inputs.alternator_intact,
    )
    return core, factors, injected_a


@dataclass(frozen=True)
class _Search:
    """What the search found, filled in as points converge; arrays are (rows, points).

    by_chord: points whose loads stand as resistances, because their tangents have no solution
    """

    voltage_v: Floats
    sense_lost: Bools
    by_chord: Bools
    solved: Bools
    residual_a: Floats
    iterations: Ints


def _iterate(assembly: Assembly, inputs: Inputs, core: Core) -> _Search:
    """Find the voltage across every curved branch.

    Loads begin as the resistances they are at a voltage above any they can see, so the search
    comes from above and meets the state of a supply that was switched on. A tangent is used from
    then on, and the resistance again wherever the tangents have no stable solution.
    """
    curved = assembly.curved
    count = inputs.count
    search = _Search(
        voltage_v=first_guess_v(curved, assembly.highest_v, count),
        sense_lost=np.zeros((len(assembly.regulated.elements), count), dtype=np.bool_),
        by_chord=np.zeros(count, dtype=np.bool_),
        solved=np.zeros(count, dtype=np.bool_),
        residual_a=np.zeros(count),
        iterations=np.zeros(count, dtype=np.intp),
    )
    if not search.voltage_v.shape[0] and not search.sense_lost.shape[0]:
        search.solved[:] = True
        return search
    offset_v = curved.branches.offset_v[:, np.newaxis]
    active = np.arange(count)
    old_v = search.voltage_v.copy()
    slope_s, current_a = slopes(curved, inputs, active, old_v)
    chord = np.ones(count, dtype=np.bool_)
    use_chords(curved, old_v, slope_s, current_a, chord)
    for iteration in range(1, MOST_ITERATIONS + 1):
        lost = search.sense_lost[:, active]
        found = core.solve(active, slope_s, current_a - slope_s * old_v, lost)
        new_v = across(found.voltage_v, curved.branches.start, curved.branches.end) + offset_v
        expected_a = current_a + slope_s * (new_v - old_v)
        allowed_a = (
            _LEAST_CURRENT_A
            + _RELATIVE_ERROR * np.abs(expected_a)
            + _ROUNDING * assembly.highest_v * np.abs(slope_s)
        )
        slope_s, current_a = slopes(curved, inputs, active, new_v)
        error_a = np.abs(current_a - expected_a)
        good = (error_a <= allowed_a).all(axis=0) & found.consistent & ~found.past_limit
        search.iterations[active] = iteration
        search.residual_a[active] = error_a.max(axis=0, initial=0.0)
        search.sense_lost[:, active] = found.sense_lost
        search.voltage_v[:, active] = new_v
        search.by_chord[active] = chord
        search.solved[active[good]] = True
        if good.all():
            break
        going = ~good
        active, past_limit = active[going], found.past_limit[going]
        new_v, old_v = new_v[:, going], old_v[:, going]
        next_v = limit_steps(curved, old_v, new_v, damped=iteration >= _DAMPED_FROM)
        if past_limit.any():
            next_v = np.where(past_limit, old_v, next_v)
        if next_v is new_v:
            slope_s, current_a = slope_s[:, going], current_a[:, going]
        else:
            slope_s, current_a = slopes(curved, inputs, active, next_v)
        chord = past_limit | (iteration >= _CHORDS_FROM)
        if chord.any():
            use_chords(curved, next_v, slope_s, current_a, chord)
        old_v = next_v
    return search
