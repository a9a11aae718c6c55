"""Newton's method over an assembled network, for many operating points side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_curves import first_guess_v, limit_steps, slopes, use_chords
from installgen.calc.dc_inputs import Inputs
from installgen.calc.dc_regulation import Outlook, share_output
from installgen.calc.star_mesh import Bools, Elimination, Factors, Floats, Ints, Values

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


@dataclass(frozen=True)
class _CorePass:
    """One linearised solution of the core."""

    voltage_v: Floats
    factors: Factors
    past_limit: Bools
    alternator_a: Floats
    modes: Ints
    sense_lost: Bools
    consistent: Bools


@dataclass(frozen=True)
class _Core:
    """The core network after the outer buses are removed, before the curved branches are in."""

    assembly: Assembly
    conductance_s: Values
    injected_a: Values
    alternator_intact: Floats

    def solve(self, points: Ints, slope_s: Floats, rest_a: Floats, sense_lost: Bools) -> _CorePass:
        """Solve with each curved branch as i = slope * v + rest."""
        assembly = self.assembly
        branches, core = assembly.curved.branches, assembly.core
        every = points.size == self.alternator_intact.shape[1]
        conductance_s = [_some(value, points, every) for value in self.conductance_s]
        conductance_s += [0.0] * (len(core.edges) + 1 - len(conductance_s))
        injected_a = [_some(value, points, every) for value in self.injected_a]
        fixed_a = slope_s * branches.offset_v[:, np.newaxis] + rest_a
        for edge, start, end, slope, fixed in zip(
            branches.edges.tolist(),
            branches.start.tolist(),
            branches.end.tolist(),
            rows(slope_s),
            rows(fixed_a),
            strict=True,
        ):
            conductance_s[edge] = conductance_s[edge] + slope
            injected_a[start] = injected_a[start] - fixed
            injected_a[end] = injected_a[end] + fixed
        factors = core.remove(conductance_s, falling=assembly.curved.power_w.size > 0)
        past_limit = np.zeros(points.size, dtype=np.bool_) | factors.past_limit
        voltage_v = table(_voltages(core, factors, injected_a.copy()), points.size)
        if not assembly.regulated.elements:
            none = np.zeros((0, points.size))
            return _CorePass(
                voltage_v,
                factors,
                past_limit,
                none,
                none.astype(np.intp),
                none.astype(np.bool_),
                np.ones(points.size, dtype=np.bool_),
            )
        return self._regulate(points, factors, past_limit, injected_a, voltage_v, sense_lost)

    def _regulate(
        self,
        points: Ints,
        factors: Factors,
        past_limit: Bools,
        injected_a: Values,
        still_v: Floats,
        sense_lost: Bools,
    ) -> _CorePass:
        """Let the alternators deliver into the linearised network."""
        assembly = self.assembly
        core, regulated = assembly.core, assembly.regulated
        effects_ohm = []
        for positive, negative in zip(
            regulated.positive.tolist(), regulated.negative.tolist(), strict=True
        ):
            ampere = [0.0] * len(assembly.core_buses)
            ampere[positive] += 1.0
            ampere[negative] -= 1.0
            effects_ohm.append(table(_voltages(core, factors, ampere), points.size))
        effect_ohm = np.stack(effects_ohm, axis=1)
        island = islands(core, factors, len(assembly.core_buses), points.size)
        intact = self.alternator_intact[:, points] > 0.0
        joined = intact & (island[regulated.positive] == island[regulated.negative])
        outlook = _outlook(assembly, still_v, effect_ohm, joined, sense_lost)
        alternator_a, modes, consistent = share_output(outlook)
        for positive, negative, amperes in zip(
            regulated.positive.tolist(),
            regulated.negative.tolist(),
            rows(alternator_a),
            strict=True,
        ):
            injected_a[positive] = injected_a[positive] + amperes
            injected_a[negative] = injected_a[negative] - amperes
        total_v = table(_voltages(core, factors, injected_a), points.size)
        now_lost = _sense_lost(assembly, total_v, island)
        consistent &= (now_lost == sense_lost).all(axis=0)
        return _CorePass(total_v, factors, past_limit, alternator_a, modes, now_lost, consistent)


def rows(array: Floats) -> Values:
    """Rows of a table (rows, points): floats for a single point, else arrays."""
    return array[:, 0].tolist() if array.shape[1] == 1 else list(array)


def table(values: Values, points: int) -> Floats:
    """Values, each a float or an array, as one array (rows, points)."""
    array = np.empty((len(values), points))
    for row, value in zip(array, values, strict=True):
        row[:] = value
    return array


def islands(elimination: Elimination, factors: Factors, nodes: int, points: int) -> Ints:
    """Island of each node (nodes, points), all nodes but 0 being removed or without neighbours."""
    label: Values = [float(node) for node in range(nodes)]
    elimination.restore_islands(factors, label)
    return np.rint(table(label, points)).astype(np.intp)


def _some(value: float | Floats, points: Ints, every: bool) -> float | Floats:
    if isinstance(value, float):
        return value
    return value.copy() if every else value[points]


def _voltages(core: Elimination, factors: Factors, injected_a: Values) -> Values:
    core.pass_on(factors, injected_a)
    voltage_v: Values = [0.0] * len(injected_a)
    core.restore(factors, injected_a, voltage_v)
    return voltage_v


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
    curved_v = _across(last.voltage_v, curved.branches.start, curved.branches.end)
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
    assembly: Assembly, factors: Factors, injected_a: Values, core: _CorePass
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


def _remove_outer(assembly: Assembly, inputs: Inputs) -> tuple[_Core, Factors, Values]:
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
    core = _Core(
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


def _iterate(assembly: Assembly, inputs: Inputs, core: _Core) -> _Search:
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
        new_v = _across(found.voltage_v, curved.branches.start, curved.branches.end) + offset_v
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


def _outlook(
    assembly: Assembly, still_v: Floats, effect_ohm: Floats, joined: Bools, sense_lost: Bools
) -> Outlook:
    """What the alternators see; one that missed its sense lead does what it is stated to do."""
    regulated = assembly.regulated
    alternators = regulated.elements
    points = still_v.shape[1]

    def column(values: list[float]) -> Floats:
        return np.repeat(np.array(values)[:, np.newaxis], points, axis=1)

    stud_v = _across(still_v, regulated.positive, regulated.negative)
    stud_v += regulated.stud_offset_v[:, np.newaxis]
    stud_ohm = _across(effect_ohm, regulated.positive, regulated.negative)
    sense_v = _across(still_v, regulated.sense, regulated.negative)
    sense_v += regulated.sense_offset_v[:, np.newaxis]
    sense_ohm = _across(effect_ohm, regulated.sense, regulated.negative)
    set_v = column([alternator.set_voltage_v for alternator in alternators])
    limit_a = np.where(joined, column([a.current_limit_a for a in alternators]), 0.0)
    for index, alternator in enumerate(alternators):
        lost = sense_lost[index]
        match alternator.when_sense_lost:
            case "full field":
                set_v[index, lost] = np.inf
            case "no output":
                limit_a[index, lost] = 0.0
            case "own stud":
                sense_v[index, lost] = stud_v[index, lost]
                sense_ohm[index][:, lost] = stud_ohm[index][:, lost]
    return Outlook(
        limit_a=limit_a,
        set_v=set_v,
        ceiling_v=column([alternator.ceiling_v for alternator in alternators]),
        droop_ohm=column([alternator.droop_ohm for alternator in alternators]),
        sense_v=sense_v,
        stud_v=stud_v,
        sense_ohm=sense_ohm,
        stud_ohm=stud_ohm,
    )


def _sense_lost(assembly: Assembly, voltage_v: Floats, island: Ints) -> Bools:
    regulated = assembly.regulated
    sense_v = voltage_v[regulated.sense] - voltage_v[regulated.negative]
    sense_v += regulated.sense_offset_v[:, np.newaxis]
    threshold_v = np.array([a.sense_lost_below_v for a in regulated.elements])
    separate = np.array([a.sense is not None for a in regulated.elements])
    off = island[regulated.sense] != island[regulated.negative]
    notices = (threshold_v > 0.0)[:, np.newaxis] & (sense_v < threshold_v[:, np.newaxis])
    lost: Bools = separate[:, np.newaxis] & (off | notices)
    return lost


def _across(voltage_v: Floats, start: Ints, end: Ints) -> Floats:
    across: Floats = voltage_v[start] - voltage_v[end]
    return across
