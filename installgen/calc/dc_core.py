"""The core of a network: the few buses that Newton's method works on, and the alternators there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_regulation import Outlook, share_output
from installgen.calc.star_mesh import Bools, Elimination, Factors, Floats, Ints, Values


@dataclass(frozen=True)
class CorePass:
    """One linearised solution of the core; arrays are (rows, points).

    voltage_v: of each core bus [V]
    factors: of the core's elimination
    past_limit: points whose tangents have no stable solution
    alternator_a, modes, sense_lost: of each alternator
    consistent: points at which the alternators fit what was assumed of their sense leads
    """

    voltage_v: Floats
    factors: Factors
    past_limit: Bools
    alternator_a: Floats
    modes: Ints
    sense_lost: Bools
    consistent: Bools


@dataclass(frozen=True)
class Core:
    """The core network after the outer buses are removed, before the curved branches are in."""

    assembly: Assembly
    conductance_s: Values
    injected_a: Values
    alternator_intact: Floats

    def solve(self, points: Ints, slope_s: Floats, rest_a: Floats, sense_lost: Bools) -> CorePass:
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
            return CorePass(
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
    ) -> CorePass:
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
        return CorePass(total_v, factors, past_limit, alternator_a, modes, now_lost, consistent)


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


def _outlook(
    assembly: Assembly, still_v: Floats, effect_ohm: Floats, joined: Bools, sense_lost: Bools
) -> Outlook:
    """What the alternators see; one that missed its sense lead does what it is stated to do."""
    regulated = assembly.regulated
    alternators = regulated.elements
    points = still_v.shape[1]

    def column(values: list[float]) -> Floats:
        return np.repeat(np.array(values)[:, np.newaxis], points, axis=1)

    stud_v = across(still_v, regulated.positive, regulated.negative)
    stud_v += regulated.stud_offset_v[:, np.newaxis]
    stud_ohm = across(effect_ohm, regulated.positive, regulated.negative)
    sense_v = across(still_v, regulated.sense, regulated.negative)
    sense_v += regulated.sense_offset_v[:, np.newaxis]
    sense_ohm = across(effect_ohm, regulated.sense, regulated.negative)
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


def across(voltage_v: Floats, start: Ints, end: Ints) -> Floats:
    across: Floats = voltage_v[start] - voltage_v[end]
    return across
