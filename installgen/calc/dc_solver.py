"""Operating points of direct-current networks, one or thousands at a time.

Nodal analysis: Kirchhoff's current law at every node, solved by elimination (`star_mesh`), with
Newton's method for loads and diodes (`dc_newton`) and one unknown current per regulated alternator
(`dc_regulation`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_curves import Inputs
from installgen.calc.dc_elements import Alternator, BadNetwork
from installgen.calc.dc_network import AS_BUILT, ContactState, Network, Point, Variation
from installgen.calc.dc_newton import solve_points
from installgen.calc.operating_point import OperatingPoint, OperatingPoints
from installgen.calc.star_mesh import Floats, Ints

_POINTS_AT_A_TIME = 2048


def solve(
    network: Network,
    closed: Iterable[str] = (),
    variation: Variation = AS_BUILT,
) -> OperatingPoint:
    """Solve one operating point with its contacts as given.

    network: the elements
    closed: contacts that are closed
    variation: departure from the network as built
    Returns the operating point.
    Raises NotSolved with the residual [A] where the search does not converge.
    Source: Kirchhoff's laws.
    """
    return solve_many(network, [Point(frozenset(closed), variation)])[0]


def solve_many(network: Network, points: Sequence[Point]) -> OperatingPoints:
    """Solve many operating points of one network, far faster than one by one.

    network: the elements
    points: what to solve for
    Returns the points in their order.
    Source: Kirchhoff's laws.
    """
    results = _no_results(network, [point.closed for point in points])
    groups: dict[frozenset[str], list[int]] = {}
    for index, point in enumerate(points):
        groups.setdefault(network.branches_for(point.variation), []).append(index)
    for kept, indices in groups.items():
        for first in range(0, len(indices), _POINTS_AT_A_TIME):
            some = indices[first : first + _POINTS_AT_A_TIME]
            _solve_some(network.assembly(kept), points, some, results)
    return results


def _no_results(network: Network, closed: Sequence[ContactState]) -> OperatingPoints:
    count, nodes = len(closed), len(network.nodes)
    alternators = sum(isinstance(element, Alternator) for element in network.elements)
    return OperatingPoints(
        network=network,
        closed=tuple(closed),
        local_v=np.empty((nodes, count)),
        island=np.empty((nodes, count), dtype=np.intp),
        current_a=np.zeros((len(network.elements), count)),
        modes=np.empty((alternators, count), dtype=np.intp),
        sense_lost=np.empty((alternators, count), dtype=np.bool_),
        solved=np.zeros(count, dtype=np.bool_),
        residual_a=np.empty(count),
        iterations=np.empty(count, dtype=np.intp),
    )


def _solve_some(
    assembly: Assembly, points: Sequence[Point], some: list[int], results: OperatingPoints
) -> None:
    """Solve points that share an assembly, into their columns of the results."""
    chosen = [points[index] for index in some]
    outputs = solve_points(assembly, _inputs(results.network, assembly, chosen))
    buses = assembly.buses
    current_a = np.zeros((len(results.network.elements), len(some)))
    current_a[assembly.linear.branches.elements] = outputs.linear_a
    current_a[assembly.curved.branches.elements] = outputs.curved_a
    current_a[assembly.regulated.positions] = outputs.alternator_a
    _add_link_currents(assembly, chosen, current_a, results.network)
    results.local_v[:, some] = outputs.bus_v[buses.bus] + buses.offset_v[:, np.newaxis]
    results.island[:, some] = outputs.island[buses.bus]
    results.current_a[:, some] = current_a
    results.modes[:, some] = outputs.modes
    results.sense_lost[:, some] = outputs.sense_lost
    results.solved[some] = outputs.solved
    results.residual_a[some] = outputs.residual_a
    results.iterations[some] = outputs.iterations


def _add_link_currents(
    assembly: Assembly, points: Sequence[Point], current_a: Floats, network: Network
) -> None:
    """Fill in the currents of links without resistance; which ones these are varies by point."""
    alike: dict[frozenset[int], list[int]] = {}
    for column, point in enumerate(points):
        varied = {*point.variation.resistance_ohm, *point.variation.broken}
        unvaried = frozenset(p for p in assembly.links if network.elements[p].id not in varied)
        alike.setdefault(unvaried, []).append(column)
    for unvaried, columns in alike.items():
        links = [*assembly.merged, *sorted(unvaried)]
        if links:
            others_a = current_a[:, columns]
            others_a[links] = 0.0
            current_a[np.ix_(links, columns)] = assembly.link_currents_a(links, others_a)


def _inputs(network: Network, assembly: Assembly, points: Sequence[Point]) -> Inputs:
    count = len(points)
    linear, curved, regulated = assembly.linear, assembly.curved, assembly.regulated
    linear_s = np.repeat(linear.conductance_s[:, np.newaxis], count, axis=1)
    below_s = np.repeat(curved.below_s[:, np.newaxis], count, axis=1)
    curved_intact = np.ones((curved.sense.size, count))
    alternator_intact = np.ones((len(regulated.elements), count))
    place: dict[str, tuple[Floats, int]] = {}
    for intact, elements in (
        (linear_s, linear.branches.elements),
        (curved_intact, curved.branches.elements),
        (alternator_intact, regulated.positions),
    ):
        for row, position in enumerate(elements.tolist()):
            place[network.elements[position].id] = intact, row
    contact_row = {name: place[name][1] for name in network.contacts}
    open_rows: dict[frozenset[str], Ints] = {}
    for column, point in enumerate(points):
        variation = point.variation
        for name, ohm in variation.resistance_ohm.items():
            intact, row = place[name]
            if intact is linear_s:
                linear_s[row, column] = 1.0 / ohm
            elif math.isinf(ohm):
                curved_intact[row, column] = 0.0
            else:
                below_s[row, column] = 1.0 / ohm
        for name in variation.broken:
            intact, row = place[name]
            intact[row, column] = 0.0
        closed = point.closed | variation.welded if variation.welded else point.closed
        if closed not in open_rows:
            unknown = closed - contact_row.keys()
            if unknown:
                raise BadNetwork(f"the network has no contact {min(unknown)}")
            rows = [row for name, row in contact_row.items() if name not in closed]
            open_rows[closed] = np.array(rows, dtype=np.intp)
        linear_s[open_rows[closed], column] = 0.0
    return Inputs(linear_s, below_s, curved_intact, alternator_intact)
