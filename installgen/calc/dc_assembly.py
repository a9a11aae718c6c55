"""A network turned into index arrays, once, so that it can be solved many times."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from installgen.calc.dc_buses import Buses, find_buses, is_link
from installgen.calc.dc_elements import (
    Alternator,
    Battery,
    ConstantPowerLoad,
    CurrentLoad,
    Diode,
    Element,
    Resistor,
    Source,
    TurningStarter,
)
from installgen.calc.star_mesh import (
    JOINED_S,
    Elimination,
    Floats,
    Ints,
    plan_elimination,
)

_LEAN = 1e-6
# Removing buses with more neighbours once and for all would mesh the core so densely that every
# step of Newton's method pays for it.
_MOST_OUTER_ARMS = 4


@dataclass(frozen=True)
class Branches:
    """Branches of one kind between buses; v = V[start] - V[end] + offset.

    elements: position of each branch's element
    edges: edge of the graph each lies on; a branch within one bus has a dummy edge, the last
    """

    elements: Ints
    start: Ints
    end: Ints
    offset_v: Floats
    edges: Ints


@dataclass(frozen=True)
class Linear:
    """i = g * (v + emf), counted from start to end."""

    branches: Branches
    conductance_s: Floats
    emf_v: Floats


_NO_SHARE = 1e-12
"""Below this a share of a current is rounding."""


@dataclass(frozen=True)
class Curved:
    """Branches whose current is not proportional to voltage, in passive sense.

    In the order of their parameters: loads and batteries with one kink, constant powers, diodes.
    Current of a kinked branch: i_kink + (slope below or above) * (v - v_kink).
    least_s: slope that a kinked branch is given at least while the solution is searched
    sense: +1, or -1 where the element counts its current against the branch (a battery)
    """

    branches: Branches
    sense: Floats
    kink_v: Floats
    kink_a: Floats
    below_s: Floats
    above_s: Floats
    least_s: Floats
    power_w: Floats
    min_voltage_v: Floats
    saturation_a: Floats
    slope_v: Floats
    leakage_s: Floats


@dataclass(frozen=True)
class Regulated:
    """The alternators; nodes are core buses."""

    elements: tuple[Alternator, ...]
    positions: Ints
    positive: Ints
    negative: Ints
    sense: Ints
    stud_offset_v: Floats
    sense_offset_v: Floats


@dataclass(frozen=True)
class Assembly:
    """The network as the solver sees it.

    outer: removes buses that touch linear branches only
    core_buses: those that stay, with bus 0 first
    core: removes these; its edges begin with `outer.left`
    highest_v: no load sees more [V]
    merged: positions of the elements that make the buses
    links: positions of the links that are branches, of JOINED_S where they do not vary
    incidence: +1 at the node where an element begins, -1 where it ends, (nodes, elements)
    """

    buses: Buses
    linear: Linear
    curved: Curved
    regulated: Regulated
    outer: Elimination
    core_buses: tuple[int, ...]
    core: Elimination
    highest_v: float
    merged: tuple[int, ...]
    links: tuple[int, ...]
    incidence: Floats

    def link_currents_a(self, links: list[int], current_a: Floats) -> Floats:
        """Currents of plain links, from those of everything else at the nodes they join.

        Links in parallel are taken to share equally.

        links: positions of plain links
        current_a: of each element (elements, points), those of the links at nil [A]
        Returns the links' currents (links, points) [A].
        Source: Kirchhoff's current law.
        """
        key = tuple(links)
        if key not in self._link_shares:
            of_links = self.incidence[:, links]
            joined = of_links.any(axis=1)
            shares = -np.linalg.pinv(of_links[joined]) @ self.incidence[joined]
            self._link_shares[key] = [
                [
                    (column, float(row[column]))
                    for column in np.flatnonzero(abs(row) > _NO_SHARE).tolist()
                ]
                for row in shares
            ]
        currents_a = np.zeros((len(links), current_a.shape[1]))
        # A few elements meet at each link, so row by row is quicker than a product of matrices.
        for link, beside in enumerate(self._link_shares[key]):
            for column, share in beside:
                currents_a[link] += share * current_a[column]
        return currents_a

    @cached_property
    def _link_shares(self) -> dict[tuple[int, ...], list[list[tuple[int, float]]]]:
        """For links that were asked for, their current from one ampere in each element beside."""
        return {}


def assemble(elements: tuple[Element, ...], reference: str, kept: frozenset[str]) -> Assembly:
    """Turn elements into arrays.

    elements: of the network
    reference: node at 0 V
    kept: ids of plain links and ideal sources that stay branches, because some of them vary
    Returns the arrays.
    """
    merged = {
        position
        for position, element in enumerate(elements)
        if is_link(element) and element.id not in kept
    }
    buses = find_buses(elements, reference, merged)
    node = {name: index for index, name in enumerate(buses.nodes)}
    linear: list[int] = []
    kinked: list[int] = []
    powers: list[int] = []
    diodes: list[int] = []
    alternators: list[int] = []
    for position, element in enumerate(elements):
        match element:
            case Battery() | CurrentLoad() | TurningStarter():
                kinked.append(position)
            case ConstantPowerLoad():
                powers.append(position)
            case Diode():
                diodes.append(position)
            case Alternator():
                alternators.append(position)
            case _ if position not in merged:
                linear.append(position)
    curved = kinked + powers + diodes
    turned = {p for p in kinked if isinstance(elements[p], Battery)}

    pairs: dict[tuple[int, int], int] = {}
    for position in (*linear, *curved):
        first, second = (int(buses.bus[node[name]]) for name in elements[position].ends)
        if first != second:
            pairs.setdefault((min(first, second), max(first, second)), len(pairs))

    core_set = {0}
    for position in curved:
        core_set.update(int(buses.bus[node[name]]) for name in elements[position].ends)
    for position in alternators:
        alternator = elements[position]
        assert isinstance(alternator, Alternator)
        names = (*alternator.ends, alternator.sense or alternator.positive)
        core_set.update(int(buses.bus[node[name]]) for name in names)
    others = set(range(buses.count)) - core_set
    outer = plan_elimination(buses.count, list(pairs), others, _MOST_OUTER_ARMS)
    core_buses = sorted(core_set.union(*(outer.edges[edge] for edge in outer.left)))
    local = {bus: index for index, bus in enumerate(core_buses)}
    core_pairs = [(local[outer.edges[edge][0]], local[outer.edges[edge][1]]) for edge in outer.left]
    core = plan_elimination(len(core_buses), core_pairs, range(1, len(core_buses)))

    outer_edges = {pair: index for index, pair in enumerate(outer.edges)}
    core_edges = {(core_buses[a], core_buses[b]): index for index, (a, b) in enumerate(core.edges)}
    return Assembly(
        buses=buses,
        linear=_linear(elements, _branches(elements, linear, set(), buses, outer_edges)),
        curved=_curved(
            elements,
            _branches(elements, curved, turned, buses, core_edges, local),
            (len(kinked), len(powers)),
        ),
        regulated=_regulated(elements, alternators, buses, local),
        outer=outer,
        core_buses=tuple(core_buses),
        core=core,
        highest_v=_highest_voltage_v(elements),
        merged=tuple(sorted(merged)),
        links=tuple(
            position
            for position, element in enumerate(elements)
            if element.id in kept and isinstance(element, Resistor)
        ),
        incidence=_incidence(elements, node),
    )


def _incidence(elements: tuple[Element, ...], node: dict[str, int]) -> Floats:
    incidence = np.zeros((len(node), len(elements)))
    starts, ends = ([node[element.ends[which]] for element in elements] for which in (0, 1))
    columns = np.arange(len(elements))
    incidence[starts, columns] += 1.0
    incidence[ends, columns] -= 1.0
    return incidence


def _branches(
    elements: tuple[Element, ...],
    positions: list[int],
    turned: set[int],
    buses: Buses,
    edges: dict[tuple[int, int], int],
    local: dict[int, int] | None = None,
) -> Branches:
    node = {name: index for index, name in enumerate(buses.nodes)}
    start, end, offset_v, lies_on = [], [], [], []
    for position in positions:
        names = elements[position].ends
        first, second = (node[name] for name in (reversed(names) if position in turned else names))
        a, b = int(buses.bus[first]), int(buses.bus[second])
        start.append(local[a] if local else a)
        end.append(local[b] if local else b)
        offset_v.append(buses.offset_v[first] - buses.offset_v[second])
        lies_on.append(edges[min(a, b), max(a, b)] if a != b else len(edges))
    return Branches(
        elements=np.array(positions, dtype=np.intp),
        start=np.array(start, dtype=np.intp),
        end=np.array(end, dtype=np.intp),
        offset_v=np.array(offset_v, dtype=np.float64),
        edges=np.array(lies_on, dtype=np.intp),
    )


def _linear(elements: tuple[Element, ...], branches: Branches) -> Linear:
    conductance_s, emf_v = [], []
    for position in branches.elements:
        element = elements[position]
        assert not isinstance(
            element,
            Battery | CurrentLoad | ConstantPowerLoad | Diode | TurningStarter | Alternator,
        )
        ohm = element.resistance_ohm
        conductance_s.append(1.0 / ohm if ohm > 0.0 else JOINED_S)
        emf_v.append(element.emf_v if isinstance(element, Source) else 0.0)
    return Linear(
        branches=branches,
        conductance_s=np.array(conductance_s, dtype=np.float64),
        emf_v=np.array(emf_v, dtype=np.float64),
    )


def _curved(elements: tuple[Element, ...], branches: Branches, counts: tuple[int, int]) -> Curved:
    kinks: list[tuple[float, ...]] = []
    powers: list[tuple[float, float]] = []
    diodes: list[tuple[float, float, float]] = []
    sense = []
    for position in branches.elements:
        element = elements[position]
        sense.append(-1.0 if isinstance(element, Battery) else 1.0)
        match element:
            case Battery():
                below_s, above_s = 1 / element.resistance_ohm, 1 / element.charge_resistance_ohm
                kinks.append((element.emf_v, 0.0, below_s, above_s, 0.0))
            case CurrentLoad():
                drawn_a, least_v = element.load_current_a, element.min_voltage_v
                chord_s = drawn_a / least_v
                kinks.append((least_v, drawn_a, chord_s, 0.0, chord_s * _LEAN))
            case TurningStarter():
                start_a, stall_v = element.turning_current_a, element.stall_voltage_v
                rise = element.current_rise_a_per_rpm
                turning_s = rise / (element.back_emf_v_per_rpm + element.resistance_ohm * rise)
                chord_s = start_a / stall_v
                kinks.append((stall_v, start_a, chord_s, turning_s, chord_s * _LEAN))
            case ConstantPowerLoad():
                powers.append((element.power_w, element.min_voltage_v))
            case Diode():
                diodes.append((element.saturation_current_a, element.slope_v, element.leakage_s))
    assert (len(kinks), len(powers)) == counts
    kink = np.array(kinks, dtype=np.float64).reshape(-1, 5).T
    power = np.array(powers, dtype=np.float64).reshape(-1, 2).T
    diode = np.array(diodes, dtype=np.float64).reshape(-1, 3).T
    return Curved(
        branches,
        np.array(sense, dtype=np.float64),
        *kink,
        *power,
        *diode,
    )


def _regulated(
    elements: tuple[Element, ...],
    positions: list[int],
    buses: Buses,
    local: dict[int, int],
) -> Regulated:
    node = {name: index for index, name in enumerate(buses.nodes)}

    def core_of(names: Iterable[str]) -> Ints:
        return np.array([local[int(buses.bus[node[name]])] for name in names], dtype=np.intp)

    def offsets_v(names: Iterable[str]) -> Floats:
        return np.array([buses.offset_v[node[name]] for name in names], dtype=np.float64)

    found = [elements[position] for position in positions]
    alternators = tuple(element for element in found if isinstance(element, Alternator))
    studs = [alternator.positive for alternator in alternators]
    cases = [alternator.negative for alternator in alternators]
    senses = [alternator.sense or alternator.positive for alternator in alternators]
    return Regulated(
        elements=alternators,
        positions=np.array(positions, dtype=np.intp),
        positive=core_of(studs),
        negative=core_of(cases),
        sense=core_of(senses),
        stud_offset_v=offsets_v(studs) - offsets_v(cases),
        sense_offset_v=offsets_v(senses) - offsets_v(cases),
    )


def _highest_voltage_v(elements: tuple[Element, ...]) -> float:
    """All sources in series: from above this, loads begin their search."""
    total_v = 0.0
    for element in elements:
        if isinstance(element, Source | Battery):
            total_v += abs(element.emf_v)
        elif isinstance(element, Alternator):
            total_v += element.set_voltage_v
    return total_v
