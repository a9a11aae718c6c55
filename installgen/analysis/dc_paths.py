"""Paths through the wiring: from a load back to its source, and on to the source's other pole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.dc_parts import DcParts
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_elements import Battery, Contact, Diode, Element, Resistor, Source

SMALL_A = 1e-9


_LOADS = {"Load", "Heater", "Sender", "SpeedPickup", "Gauge", "StopSolenoid", "Alternator"}


def is_wiring(parts: DcParts, element: Element) -> bool:
    """Whether an element is wiring: conductor, joint, fuse, switch, pin, link, contact, diode."""
    kind = type(parts.entries.get(element.id)).__name__
    motor = kind == "Starter" and not isinstance(element, Contact)
    return kind not in _LOADS and not motor


@dataclass(frozen=True)
class Hop:
    """One element on a path, and the node that the path reaches through it."""

    element: str
    reaches: str


@dataclass(frozen=True)
class Wiring:
    """The pieces of a solved case that carry current between devices."""

    found: SolvedCase

    @cached_property
    def _at(self) -> dict[str, list[tuple[Element, str]]]:
        """For each node, the closed pieces of wiring on it and the node at their other end."""
        closed = self.found.settled.point.closed if self.found.settled else frozenset()
        out: dict[str, list[tuple[Element, str]]] = {}
        for element in self.found.parts.elements:
            plain = isinstance(element, Resistor | Diode) or (
                isinstance(element, Contact) and element.id in closed
            )
            if plain and is_wiring(self.found.parts, element):
                first, second = element.ends
                out.setdefault(first, []).append((element, second))
                out.setdefault(second, []).append((element, first))
        return out

    @cached_property
    def sources(self) -> dict[str, str]:
        """The poles of every battery, by node: `positive` or `negative`."""
        poles = {}
        for element in self.found.parts.elements:
            if isinstance(element, Source | Battery):
                poles[element.positive] = "positive"
                poles[element.negative] = "negative"
        return poles

    def upstream(self, node: str) -> list[Hop]:
        """From a node against the current to a battery's positive pole, nearest piece first.

        Where no current flows, the shortest closed path is taken. Empty where there is none.
        """
        return self._walk(node, "positive", against=True)

    def downstream(self, node: str) -> list[Hop]:
        """From a node with the current to a battery's negative pole."""
        return self._walk(node, "negative", against=False)

    def _walk(self, start: str, pole: str, *, against: bool) -> list[Hop]:
        hops: list[Hop] = []
        seen = {start}
        node = start
        while self.sources.get(node) != pole:
            best: tuple[float, Hop] | None = None
            for element, other in self._at.get(node, []):
                if other in seen:
                    continue
                inward = self._into(element, node)
                weight = inward if against else -inward
                if weight > SMALL_A and (best is None or weight > best[0]):
                    best = weight, Hop(element.id, other)
            if best is None:
                return (
                    hops + self._shortest(node, pole, seen)
                    if not hops
                    else self._shortest(start, pole, set())
                )
            hops.append(best[1])
            node = best[1].reaches
            seen.add(node)
        return hops

    def _into(self, element: Element, node: str) -> float:
        """Current that an element brings into a node [A]."""
        current = self.found.current_a(element.id) or 0.0
        return current if element.ends[1] == node else -current

    def _shortest(self, start: str, pole: str, seen: set[str]) -> list[Hop]:
        """The path of fewest pieces that avoids nodes already passed."""
        before: dict[str, tuple[str, str]] = {}
        queue, visited = [start], set(seen) | {start}
        for node in queue:
            if self.sources.get(node) == pole:
                hops: list[Hop] = []
                while node != start:
                    previous, element = before[node]
                    hops.append(Hop(element, node))
                    node = previous
                return hops[::-1]
            for piece, other in self._at.get(node, []):
                back = isinstance(piece, Diode) and (piece.anode == node) == (pole == "positive")
                if other not in visited and not back:
                    visited.add(other)
                    before[other] = (node, piece.id)
                    queue.append(other)
        return []

    def switched_on(self, element_id: str) -> bool:
        """Whether closed wiring leads from a battery to a load or coil, and back from it."""
        element = next((e for e in self.found.parts.elements if e.id == element_id), None)
        return element is not None and any(
            self.upstream(one) and self.downstream(other)
            for one, other in (element.ends, element.ends[::-1])
        )

    def joined(self, one: str, other: str) -> bool:
        """Whether closed wiring leads from one node to another, batteries' poles passed."""
        waiting, seen = [one], {one}
        for node in waiting:
            for _, beyond in self._at.get(node, []):
                if beyond not in seen:
                    seen.add(beyond)
                    waiting.append(beyond)
        return other in seen

    def nearest_through_loads(
        self, starts: set[str], wanted: set[str], negative: frozenset[str]
    ) -> str | None:
        """The nearest wanted element from some nodes, loads passed, the negative side never."""
        for element_id, _ in self._through_everything(starts, negative):
            if element_id in wanted:
                return element_id
        return None

    def supply_reaches(self, starts: set[str], negative: frozenset[str]) -> bool:
        """Whether any way, loads passed, leads from some nodes to a battery's positive pole."""
        reached = {node for _, node in self._through_everything(starts, negative)} | starts
        return any(self.sources.get(node) == "positive" for node in reached)

    def _through_everything(
        self, starts: set[str], negative: frozenset[str]
    ) -> Iterator[tuple[str, str]]:
        """Elements outwards from some nodes, with the node behind each; the negative side stops it.

        Beyond it lies every other circuit of the vessel, whose devices guard nothing here.
        """
        at: dict[str, list[tuple[str, str]]] = {}
        for element in self.found.parts.elements:
            first, second = element.ends
            at.setdefault(first, []).append((element.id, second))
            at.setdefault(second, []).append((element.id, first))
        queue, seen = sorted(starts), set(starts)
        for node in queue:
            if node in self.sources or node in negative:
                continue
            for element_id, other in at.get(node, []):
                yield element_id, other
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
