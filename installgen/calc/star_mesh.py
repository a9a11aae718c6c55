"""Elimination of nodes from a conductance network.

A node (a star of conductances G1..Gd to its neighbours) is removed by the mesh between its
neighbours that is equivalent to it: Gij = Gi * Gj / sum(G); a current fed into the node divides
over the arms in proportion Gi / sum(G). This is Gaussian elimination of the nodal equations
without a subtraction, so a milliohm beside ten megohms costs no accuracy, and a node without any
path to the reference shows itself by a sum of exactly zero.

Node 0 is the reference: it stays, at 0 V. Every value is a float, for one operating point, or an
array with one item per operating point; the arithmetic is the same.
Source: star-mesh transformation, A. Rosen, Journal of the IEE 62 (1924), p. 916, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]
JOINED_S = 1e150
"""Conductance of a plain link: beside it all others vanish to the last digit, so its two nodes
come out at the very same voltage; only its current is lost and follows from Kirchhoff's law."""

Values = list[Any]
"""A float or an array of floats (one item per operating point) for each node or edge."""


@dataclass(frozen=True)
class Removal:
    """One node and its star.

    arms: edge of each arm
    ends: (arm, neighbour) of each arm that does not lead to the reference
    mesh: (arm, other arm, edge between their ends) of each pair of arms
    """

    node: int
    arms: tuple[int, ...]
    ends: tuple[tuple[int, int], ...]
    mesh: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True)
class Factors:
    """What `Elimination.remove` found for each removal.

    shares: part of a current that each arm takes, all nil where the node has no path left
    inverses: 1 / sum of the conductances, nil where the node has no path left [ohm]
    past_limit: whether a sum was negative: that point is past its stability limit and void
    """

    shares: list[Values]
    inverses: Values
    past_limit: Any


@dataclass(frozen=True)
class Elimination:
    """The order in which nodes of a fixed graph are removed.

    edges: pairs of nodes, first those of the graph, then those that the removal creates
    left: edges between nodes that stay
    removals: in order
    """

    edges: tuple[tuple[int, int], ...]
    left: tuple[int, ...]
    removals: tuple[Removal, ...]

    def remove(self, conductance_s: Values, *, falling: bool = False) -> Factors:
        """Remove the nodes; what is left of the edges is changed in place.

        conductance_s: of each edge, those that the removal creates beginning at 0 [S]
        falling: whether some may be negative, the tangents of constant powers
        Returns the factors.
        """
        shares: list[Values] = []
        inverses: Values = []
        past_limit: Any = False
        for removal in self.removals:
            arms_s = [conductance_s[edge] for edge in removal.arms]
            total_s = sum(arms_s[1:], arms_s[0])
            inverse_ohm = _inverse(total_s)
            share = [arm_s * inverse_ohm for arm_s in arms_s]
            for arm, other, edge in removal.mesh:
                conductance_s[edge] += arms_s[arm] * share[other]
            shares.append(share)
            inverses.append(inverse_ohm)
            if falling:
                past_limit = past_limit | (total_s < 0.0)
        return Factors(shares, inverses, past_limit)

    def pass_on(self, factors: Factors, injected_a: Values) -> None:
        """Pass the current fed into each removed node on to its neighbours, in place.

        factors: from `remove`
        injected_a: of each node, the float 0.0 where there is none [A]
        """
        for removal, share in zip(self.removals, factors.shares, strict=True):
            fed_a = injected_a[removal.node]
            if _is_nil(fed_a):
                continue
            for arm, neighbour in removal.ends:
                injected_a[neighbour] = injected_a[neighbour] + share[arm] * fed_a

    def restore(self, factors: Factors, injected_a: Values, voltage_v: Values) -> None:
        """Voltages of the removed nodes, from those that stayed, in place.

        A node without any path gets 0 V; others of its island are then counted from it.

        factors: from `remove`
        injected_a: after `pass_on` [A]
        voltage_v: of each node [V]
        """
        for removal, share, inverse_ohm in zip(
            reversed(self.removals),
            reversed(factors.shares),
            reversed(factors.inverses),
            strict=True,
        ):
            node_v = injected_a[removal.node] * inverse_ohm
            for arm, neighbour in removal.ends:
                node_v = node_v + share[arm] * voltage_v[neighbour]
            voltage_v[removal.node] = node_v

    def restore_islands(self, factors: Factors, label: Values) -> None:
        """Number of the island of each removed node, in place.

        A node with a path left takes the mean of its neighbours' numbers, which are all alike.

        factors: from `remove`
        label: of each node, beginning with a number of its own
        """
        for removal, share, inverse_ohm in zip(
            reversed(self.removals),
            reversed(factors.shares),
            reversed(factors.inverses),
            strict=True,
        ):
            number = (
                label[removal.node] * (inverse_ohm == 0.0) if _anywhere_nil(inverse_ohm) else 0.0
            )
            for arm, neighbour in removal.ends:
                if not _is_nil(label[neighbour]):
                    number = number + share[arm] * label[neighbour]
            label[removal.node] = number


def _inverse(total_s: Any) -> Any:
    if not _anywhere_nil(total_s):
        return 1.0 / total_s
    if isinstance(total_s, np.ndarray):
        return np.divide(1.0, total_s, out=np.zeros_like(total_s), where=total_s != 0.0)
    return 0.0


def _anywhere_nil(value: Any) -> bool:
    return not (value.all() if isinstance(value, np.ndarray) else value)


def _is_nil(value: Any) -> bool:
    """Whether it is nothing at every point, and known to be so."""
    return isinstance(value, float) and value == 0.0


def plan_elimination(
    node_count: int,
    edges: Sequence[tuple[int, int]],
    remove: Iterable[int],
    most_arms: int | None = None,
) -> Elimination:
    """Choose the order of removal: always the node with the fewest neighbours left.

    node_count: nodes are 0..node_count-1
    edges: distinct pairs of distinct nodes, the smaller first
    remove: the nodes to remove
    most_arms: a node that has more neighbours when its turn comes stays
    Returns the plan; a node without any neighbour needs no removal.
    Source: minimum-degree ordering, common practice in sparse elimination.
    """
    return _planned(node_count, tuple(edges), frozenset(remove), most_arms)


@lru_cache(maxsize=256)
def _planned(
    node_count: int,
    edges: tuple[tuple[int, int], ...],
    remove: frozenset[int],
    most_arms: int | None,
) -> Elimination:
    """The same, kept: the cases of a vessel differ in resistances, seldom in what is joined."""
    numbered = {pair: index for index, pair in enumerate(edges)}
    neighbours: list[set[int]] = [set() for _ in range(node_count)]
    for first, second in edges:
        neighbours[first].add(second)
        neighbours[second].add(first)
    waiting = set(remove)
    ranking = [(len(neighbours[node]), node) for node in waiting]
    heapify(ranking)
    removals = []
    while ranking:
        count, node = heappop(ranking)
        if node not in waiting or count != len(neighbours[node]):
            continue
        if most_arms is not None and count > most_arms:
            break
        waiting.remove(node)
        around = neighbours[node] & waiting
        if neighbours[node]:
            removals.append(_plan_removal(node, neighbours, numbered))
        for other in around:
            heappush(ranking, (len(neighbours[other]), other))
    all_edges = tuple(numbered)
    gone = {removal.node for removal in removals}
    left = tuple(index for index, pair in enumerate(all_edges) if gone.isdisjoint(pair))
    return Elimination(all_edges, left, tuple(removals))


def _plan_removal(
    node: int, neighbours: list[set[int]], numbered: dict[tuple[int, int], int]
) -> Removal:
    """Plan one removal and update the graph and the numbering of its edges."""
    around = sorted(neighbours[node])
    mesh = []
    for arm, lower in enumerate(around):
        neighbours[lower].discard(node)
        for place in range(arm + 1, len(around)):
            upper = around[place]
            edge = numbered.setdefault((lower, upper), len(numbered))
            mesh.append((arm, place, edge))
            neighbours[lower].add(upper)
            neighbours[upper].add(lower)
    neighbours[node] = set()
    arms = tuple(numbered[min(node, other), max(node, other)] for other in around)
    ends = tuple((arm, other) for arm, other in enumerate(around) if other)
    return Removal(node, arms, ends, tuple(mesh))
