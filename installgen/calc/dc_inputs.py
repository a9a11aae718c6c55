"""What differs from one operating point of a network to the next, as values for the solver."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_elements import BadNetwork
from installgen.calc.dc_network import ContactState, Network, Point
from installgen.calc.star_mesh import Floats, Ints, Values


@dataclass(frozen=True)
class Inputs:
    """What differs from point to point; arrays are (rows, points).

    count: of the points
    linear_s: conductance of each linear branch, 0 where open; a float where it is the same at
        every point [S]
    below_s: slope of each kinked branch below its kink [S]
    curved_intact: 1, or 0 where the curved branch is broken
    alternator_intact: 1, or 0 where the alternator is broken
    """

    count: int
    linear_s: Values
    below_s: Floats
    curved_intact: Floats
    alternator_intact: Floats

    @cached_property
    def all_intact(self) -> bool:
        """Whether no curved branch is broken at any point."""
        return bool(self.curved_intact.all())


def inputs_for(network: Network, assembly: Assembly, points: Sequence[Point]) -> Inputs:
    """Values of all branches at all points.

    network: with its elements
    assembly: of the network, fit for the variations of all points
    points: what to solve for
    Returns the values.
    Raises BadNetwork for a closed contact that the network does not have.
    """
    count = len(points)
    linear, curved, regulated = assembly.linear, assembly.curved, assembly.regulated
    below_s = np.repeat(curved.below_s[:, np.newaxis], count, axis=1)
    curved_intact = np.ones((curved.sense.size, count))
    alternator_intact = np.ones((len(regulated.elements), count))
    linear_row = _rows(network, linear.branches.elements)
    curved_row = _rows(network, curved.branches.elements)
    alternator_row = _rows(network, regulated.positions)
    varied: dict[int, tuple[list[int], list[float]]] = {}

    def vary(name: str, column: int, ohm: float) -> None:
        if name in linear_row:
            columns, siemens = varied.setdefault(linear_row[name], ([], []))
            columns.append(column)
            siemens.append(1.0 / ohm)
        elif name in alternator_row:
            alternator_intact[alternator_row[name], column] = 0.0
        elif math.isinf(ohm):
            curved_intact[curved_row[name], column] = 0.0
        else:
            below_s[curved_row[name], column] = 1.0 / ohm

    for column, point in enumerate(points):
        for name, ohm in point.variation.resistance_ohm.items():
            vary(name, column, ohm)
        for name in point.variation.broken:
            vary(name, column, math.inf)

    linear_s: Values = linear.conductance_s.tolist()
    for row, (columns, siemens) in varied.items():
        value_s = np.full(count, linear_s[row])
        value_s[columns] = siemens
        linear_s[row] = value_s if count > 1 else float(value_s[0])
    for name, closed in _closed_contacts(network, points).items():
        linear_s[linear_row[name]] = linear_s[linear_row[name]] * closed
    return Inputs(count, linear_s, below_s, curved_intact, alternator_intact)


def _rows(network: Network, positions: Ints) -> dict[str, int]:
    return {network.elements[position].id: row for row, position in enumerate(positions.tolist())}


def _closed_contacts(network: Network, points: Sequence[Point]) -> dict[str, float | Floats]:
    """1 where each contact is closed, else 0; a float where it is the same at every point."""
    contacts = frozenset(network.contacts)
    state_number: dict[ContactState, int] = {}
    numbers = []
    for point in points:
        welded = point.variation.welded
        state = point.closed | welded if welded else point.closed
        if state not in state_number:
            if not state <= contacts:
                raise BadNetwork(f"the network has no contact {min(state - contacts)}")
            state_number[state] = len(state_number)
        numbers.append(state_number[state])
    closed: dict[str, float | Floats] = {}
    for name in network.contacts:
        by_state = [1.0 if name in state else 0.0 for state in state_number]
        alike = min(by_state) == max(by_state)
        closed[name] = by_state[0] if alike else np.array(by_state)[numbers]
    return closed
