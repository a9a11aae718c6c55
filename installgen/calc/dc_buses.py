"""Nodes joined by plain links or ideal sources: one *bus*.

Each node differs from its bus by a fixed offset voltage. Bus 0 is the one of the reference node.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from installgen.calc.dc_elements import Alternator, BadNetwork, Element, Resistor, Source
from installgen.calc.star_mesh import Floats, Ints

_SAME_VOLTAGE_V = 1e-9


@dataclass(frozen=True)
class Buses:
    """Which bus each node is on.

    nodes: names, sorted
    bus: of each node
    offset_v: of each node against its bus [V]
    """

    nodes: tuple[str, ...]
    bus: Ints
    offset_v: Floats

    @property
    def count(self) -> int:
        return int(self.bus.max()) + 1


def find_buses(elements: tuple[Element, ...], reference: str, merged: set[int]) -> Buses:
    """Put every node on its bus.

    elements: of the network
    reference: node at 0 V
    merged: positions of the links and ideal sources that join nodes
    Returns the buses.
    Raises BadNetwork for a loop of ideal sources whose voltages do not add up.
    """
    nodes = sorted({name for element in elements for name in _nodes_of(element)})
    if reference not in nodes:
        raise BadNetwork(f"reference node {reference} is on no element of the network")
    parent = {name: name for name in nodes}
    above_v = dict.fromkeys(nodes, 0.0)

    def root_of(name: str) -> tuple[str, float]:
        offset_v = 0.0
        while parent[name] != name:
            offset_v += above_v[name]
            name = parent[name]
        return name, offset_v

    for position in sorted(merged):
        element = elements[position]
        start, end = element.ends
        (start_root, start_v), (end_root, end_v) = root_of(start), root_of(end)
        emf_v = element.emf_v if isinstance(element, Source) else 0.0
        if start_root != end_root:
            parent[end_root] = start_root
            above_v[end_root] = start_v + emf_v - end_v
        elif abs(start_v + emf_v - end_v) > _SAME_VOLTAGE_V:
            raise BadNetwork(
                f"{element.id} and other elements without resistance form a loop whose voltages "
                f"do not add up: {abs(start_v + emf_v - end_v):g} V are left over"
            )
    placed = {name: root_of(name) for name in nodes}
    reference_root, reference_v = placed[reference]
    roots = sorted({root for root, _ in placed.values()} - {reference_root})
    number = {root: index for index, root in enumerate((reference_root, *roots))}
    return Buses(
        nodes=tuple(nodes),
        bus=np.array([number[placed[name][0]] for name in nodes], dtype=np.intp),
        offset_v=np.array(
            [
                placed[name][1] - (reference_v if placed[name][0] == reference_root else 0.0)
                for name in nodes
            ]
        ),
    )


def _nodes_of(element: Element) -> tuple[str, ...]:
    if isinstance(element, Alternator) and element.sense is not None:
        return *element.ends, element.sense
    return element.ends


def is_link(element: Element) -> bool:
    """Whether an element has no resistance at all."""
    return isinstance(element, Resistor | Source) and element.resistance_ohm == 0.0
