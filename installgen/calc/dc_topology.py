"""What a direct-current network can feed, from its shape alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from installgen.calc.dc_elements import Alternator, Battery, Element, Source, Voltmeter
from installgen.calc.dc_network import Network


def live_elements(
    network: Network, closed: Iterable[str], broken: Iterable[str] = ()
) -> frozenset[str]:
    """Elements that lie on a loop with a source, so that current can flow through them.

    A sense lead counts as a loop through its regulator; a meter does not make a loop.

    network: the elements
    closed: contacts that are closed
    broken: elements to leave out
    Returns their ids.
    Source: the biconnected components of the network's graph, R. Tarjan, SIAM Journal on Computing
    1 (1972), p. 146, from memory.
    """
    left_out = set(broken) | (set(network.contacts) - set(closed))
    edges = [
        (element.id, *element.ends)
        for element in network.elements
        if element.id not in left_out and not isinstance(element, Voltmeter)
    ]
    edges += [
        (element.id, element.sense, element.negative)
        for element in network.elements
        if isinstance(element, Alternator) and element.sense and element.id not in left_out
    ]
    sources = {element.id for element in network.elements if _delivers(element)}
    live: set[str] = set()
    for loop in _blocks([(start, end) for _, start, end in edges]):
        names = {edges[index][0] for index in loop}
        if len(loop) > 1 and names & sources:
            live |= names
    return frozenset(live)


def dead_elements(network: Network) -> frozenset[str]:
    """Elements through which no current can flow even with every contact closed.

    network: the elements
    Returns their ids; meters are not among them.
    """
    live = live_elements(network, network.contacts)
    return frozenset(
        element.id
        for element in network.elements
        if element.id not in live and not isinstance(element, Voltmeter)
    )


def never_lifted(network: Network) -> tuple[str, ...]:
    """Actuators that nothing can lift until they, or others like them, are lifted already.

    A relay whose coil is fed only through its own contact is one; two relays that feed each other
    are as well. Contacts that no actuator closes count as closed: keys, buttons, switches.

    network: with its actuators
    Returns the ids of those whose lifting windings are on a loop with a source only while contacts
    are closed that only they can close.
    """
    moved = {name for actuator in network.actuators for name in actuator.closes}
    closed = set(network.contacts) - moved
    waiting = list(network.actuators)
    while True:
        live = live_elements(network, closed)
        lifted = [
            actuator
            for actuator in waiting
            if live & {name for pull in actuator.lift for name, _ in pull.turns}
        ]
        if not lifted:
            break
        waiting = [actuator for actuator in waiting if actuator not in lifted]
        closed |= {name for actuator in lifted for name in actuator.closes}
    dead = dead_elements(network)
    return tuple(
        actuator.id
        for actuator in waiting
        if any(name not in dead for pull in actuator.lift for name, _ in pull.turns)
    )


def _delivers(element: Element) -> bool:
    return isinstance(element, Source | Battery | Alternator)


def _blocks(edges: list[tuple[str, str]]) -> Iterator[list[int]]:
    """Biconnected components as lists of edge indices; a bridge is a component of one."""
    around: dict[str, list[tuple[int, str]]] = {}
    for index, (start, end) in enumerate(edges):
        around.setdefault(start, []).append((index, end))
        around.setdefault(end, []).append((index, start))
    depth: dict[str, int] = {}
    lowest: dict[str, int] = {}
    stack: list[int] = []
    used = [False] * len(edges)
    for root in around:
        if root in depth:
            continue
        depth[root] = lowest[root] = 0
        path = [(root, -1, iter(around[root]))]
        while path:
            node, came_by, waiting = path[-1]
            step = next(((i, other) for i, other in waiting if not used[i]), None)
            if step is not None:
                index, other = step
                used[index] = True
                stack.append(index)
                if other in depth:
                    lowest[node] = min(lowest[node], depth[other])
                else:
                    depth[other] = lowest[other] = depth[node] + 1
                    path.append((other, index, iter(around[other])))
                continue
            path.pop()
            if not path:
                continue
            parent = path[-1][0]
            lowest[parent] = min(lowest[parent], lowest[node])
            if lowest[node] >= depth[parent]:
                block: list[int] = []
                while not block or block[-1] != came_by:
                    block.append(stack.pop())
                yield block
