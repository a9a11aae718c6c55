"""Operating points of direct-current networks, one or thousands at a time.

Nodal analysis: Kirchhoff's current law at every node, solved by elimination (`star_mesh`), with
Newton's method for loads and diodes (`dc_newton`) and one unknown current per regulated alternator
(`dc_regulation`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_elements import Alternator
from installgen.calc.dc_inputs import inputs_for
from installgen.calc.dc_network import AS_BUILT, ContactState, Network, Point, Variation
from installgen.calc.dc_newton import solve_points
from installgen.calc.operating_point import OperatingPoint, OperatingPoints
from installgen.calc.star_mesh import Floats

_POINTS_AT_A_TIME = 4096


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
        island=np.empty((nodes, count), dtype=np.int32),
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
    network = results.network
    chosen = [points[index] for index in some]
    outputs = solve_points(assembly, inputs_for(network, assembly, chosen))
    run = some[-1] - some[0] + 1 == len(some)
    columns = slice(some[0], some[-1] + 1) if run else np.array(some)
    buses = assembly.buses
    for row, (bus, offset_v) in enumerate(
        zip(buses.bus.tolist(), buses.offset_v.tolist(), strict=True)
    ):
        results.local_v[row, columns] = outputs.bus_v[bus] + offset_v
        results.island[row, columns] = outputs.island[bus]
    # A run of columns is a view, which saves a copy of everything.
    current_a = results.current_a[:, columns]
    for positions, currents_a in (
        (assembly.linear.branches.elements, outputs.linear_a),
        (assembly.curved.branches.elements, outputs.curved_a),
        (assembly.regulated.positions, outputs.alternator_a),
    ):
        for position, amperes in zip(positions.tolist(), currents_a, strict=True):
            current_a[position] = amperes
    _add_link_currents(assembly, chosen, current_a, network)
    if not run:
        results.current_a[:, columns] = current_a
    results.modes[:, columns] = outputs.modes
    results.sense_lost[:, columns] = outputs.sense_lost
    results.solved[columns] = outputs.solved
    results.residual_a[columns] = outputs.residual_a
    results.iterations[columns] = outputs.iterations


def _add_link_currents(
    assembly: Assembly, points: Sequence[Point], current_a: Floats, network: Network
) -> None:
    """Fill in the currents of links without resistance; which ones these are varies by point."""
    merged = list(assembly.merged)
    if not assembly.links:
        if merged:
            current_a[merged] = assembly.link_currents_a(merged, current_a)
        return
    alike: dict[frozenset[int], list[int]] = {}
    for column, point in enumerate(points):
        varied = {*point.variation.resistance_ohm, *point.variation.broken}
        unvaried = frozenset(p for p in assembly.links if network.elements[p].id not in varied)
        alike.setdefault(unvaried, []).append(column)
    for unvaried, columns in alike.items():
        links = [*merged, *sorted(unvaried)]
        if links:
            others_a = current_a[:, columns]
            others_a[links] = 0.0
            current_a[np.ix_(links, columns)] = assembly.link_currents_a(links, others_a)
