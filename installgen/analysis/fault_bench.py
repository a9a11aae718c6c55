"""One engine's sequence of networks, followed from key off to stop with many faults at once.

What carries nothing in a case cannot change how that case ends, so it is not simulated there;
a sense lead is the exception.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from installgen.analysis.cases import DcCase
from installgen.analysis.symptoms import Outcome
from installgen.calc.dc_elements import (
    Alternator,
    Coil,
    Contact,
    Element,
    Resistor,
    Winding,
)
from installgen.calc.dc_network import AS_BUILT, Network, Point, Variation
from installgen.calc.dc_solver import solve_many
from installgen.calc.operating_point import OperatingPoint
from installgen.calc.relay_logic import (
    LogicState,
    Settled,
    Start,
    closed_contacts,
    settle_many,
)

CARRIES_A = 1e-9
"""Below this an element counts as carrying nothing."""


class FaultKind(StrEnum):
    """What is wrong with an element."""

    BROKEN = "broken"
    POOR = "poor"
    WELDED = "welded"


@dataclass(frozen=True)
class Fault:
    """One fault of one element.

    ohm: resistance of a poor joint; None otherwise [ohm]
    """

    element: str
    kind: FaultKind
    ohm: float | None = None

    @property
    def id(self) -> str:
        """Stable name, such as `broken:engine.W10`."""
        return f"{self.kind}:{self.element}"


@dataclass(frozen=True)
class BenchCase:
    """A case of the sequence as it is simulated.

    closed: contacts held closed by hand
    until_s: how far into the case it is looked at, where a timer runs; None to its end [s]
    """

    case: DcCase
    network: Network
    closed: frozenset[str]
    until_s: float | None = None


@dataclass(frozen=True)
class _AsBuilt:
    """How a case goes with everything whole.

    outcomes: where it ends
    before: positions it starts from
    carrying: elements that carry current at any point it passes
    made: contacts that are closed at every point it passes
    """

    outcome: Outcome
    before: frozenset[str]
    carrying: frozenset[str]
    made: frozenset[str]


@dataclass(frozen=True)
class Bench:
    """The networks of one engine's sequence with one battery model."""

    engine: str
    cases: tuple[BenchCase, ...]

    @cached_property
    def as_built(self) -> Mapping[str, _AsBuilt]:
        """Each case with everything whole, by its id."""
        found: dict[str, _AsBuilt] = {}
        for bench_case in self.cases:
            earlier = found.get(bench_case.case.after or "")
            operated = frozenset() if earlier is None else earlier.outcome.operated
            made = _as_built(bench_case, operated)
            if made is not None:
                found[bench_case.case.id] = made
        return found

    @property
    def complete(self) -> bool:
        """Whether every case comes to an end with everything whole."""
        return len(self.as_built) == len(self.cases)

    @cached_property
    def carrying(self) -> frozenset[str]:
        """Elements that carry current anywhere in the sequence."""
        return frozenset().union(*(made.carrying for made in self.as_built.values()))

    def healthy(self) -> dict[str, Outcome]:
        """Outcomes with everything whole, by the state of the engine."""
        return {
            made.outcome.case.state(self.engine).key: made.outcome
            for made in self.as_built.values()
        }

    def breaks_while(self, case_id: str, elements: Sequence[str]) -> dict[str, frozenset[str]]:
        """What is still lifted after an element opens while a case goes on as built.

        Returns the lifted relays and plungers by element, for those that come to an end.
        """
        bench_case = next(found for found in self.cases if found.case.id == case_id)
        lifted = LogicState(self.as_built[case_id].outcome.operated)
        names = [name for name in elements if name in bench_case.network.positions]
        starts = [
            Start(bench_case.closed, lifted, Variation(broken=frozenset({name}))) for name in names
        ]
        ends = settle_many(bench_case.network, starts, bench_case.until_s)
        return {
            name: settled.state.operated
            for name, settled in zip(names, ends, strict=True)
            if isinstance(settled, Settled)
        }

    def run(
        self, faults: Sequence[Fault], *, readings: bool
    ) -> tuple[list[dict[str, Outcome]], int]:
        """Follow the sequence with each fault.

        readings: whether voltages matter too, not only what works: a break floats what is behind
            it even where nothing flows
        Returns the outcomes by the state of the engine, and how many cases were simulated.
        """
        outcomes: list[dict[str, Outcome]] = [{} for _ in faults]
        states: list[dict[str, frozenset[str]]] = [{} for _ in faults]
        count = 0
        for bench_case in self.cases:
            case, network = bench_case.case, bench_case.network
            built = self.as_built[case.id]
            names = {actuator.id for actuator in network.actuators}
            starts: list[Start] = []
            chosen: list[int] = []
            for index, fault in enumerate(faults):
                before = states[index].get(case.after or "", frozenset()) & names
                if before == built.before and not _matters(fault, network, built, readings):
                    states[index][case.id] = built.outcome.operated
                    outcomes[index][case.state(self.engine).key] = built.outcome
                    continue
                chosen.append(index)
                starts.append(
                    Start(bench_case.closed, LogicState(before), _variation(network, fault))
                )
            count += len(starts)
            ends = settle_many(network, starts, bench_case.until_s)
            settling = zip(chosen, starts, ends, strict=True)
            for index, start, settled in settling:
                if not isinstance(settled, Settled):
                    continue
                states[index][case.id] = settled.state.operated
                key = case.state(self.engine).key
                outcomes[index][key] = _outcome(bench_case, settled, start)
        return outcomes, count


def _as_built(bench_case: BenchCase, operated: frozenset[str]) -> _AsBuilt | None:
    network = bench_case.network
    before = operated & {actuator.id for actuator in network.actuators}
    start = Start(bench_case.closed, LogicState(before))
    settled = settle_many(network, [start], bench_case.until_s)[0]
    if not isinstance(settled, Settled):
        return None
    passed = [before]
    for move in settled.moves:
        passed.append(passed[-1] ^ {move.actuator})
    closed = [closed_contacts(network, bench_case.closed, lifted) for lifted in passed]
    points = solve_many(network, [Point(contacts) for contacts in closed])
    most_a = abs(points.current_a[:, points.solved]).max(axis=1, initial=0.0)
    carrying = {e.id for e, a in zip(network.elements, most_a, strict=True) if a > CARRIES_A}
    return _AsBuilt(
        _outcome(bench_case, settled, start),
        before,
        frozenset(carrying | _sensing(network, carrying)),
        frozenset.intersection(*closed),
    )


def _sensing(network: Network, carrying: set[str]) -> set[str]:
    """What lies between a regulator's sense terminal and the circuit: it matters at no current."""
    at: dict[str, list[Element]] = {}
    for element in network.elements:
        for node in element.ends:
            at.setdefault(node, []).append(element)
    queue = [e.sense for e in network.elements if isinstance(e, Alternator) and e.sense]
    seen, found = set(queue), set[str]()
    for node in queue:
        if any(element.id in carrying for element in at.get(node, [])):
            continue
        for element in at.get(node, []):
            found.add(element.id)
            for other in set(element.ends) - seen:
                seen.add(other)
                queue.append(other)
    return found


def _outcome(bench_case: BenchCase, settled: Settled, start: Start) -> Outcome:
    return Outcome(
        bench_case.case,
        settled.point,
        settled.state.operated,
        frozenset(settled.chatter),
        _cycle(bench_case, settled, start) if settled.chatter else (),
    )


def _cycle(bench_case: BenchCase, settled: Settled, start: Start) -> tuple[OperatingPoint, ...]:
    """The other points that a chatter passes; a meter shows something between them."""
    passed = [settled.state.operated]
    for move in reversed(settled.moves):
        operated = passed[-1] ^ {move.actuator}
        if operated == passed[0]:
            break
        passed.append(operated)
    points = solve_many(
        bench_case.network,
        [
            Point(closed_contacts(bench_case.network, bench_case.closed, lifted), start.variation)
            for lifted in passed[1:]
        ],
    )
    return tuple(points[index] for index in range(len(points)) if points.solved[index])


def _matters(fault: Fault, network: Network, built: _AsBuilt, readings: bool) -> bool:
    """Whether a fault can change how a case goes, or its readings."""
    if fault.element not in network.positions:
        return False
    if fault.kind is FaultKind.WELDED:
        return fault.element not in built.made
    if fault.element in built.carrying:
        return True
    return readings and fault.kind is FaultKind.BROKEN


def _variation(network: Network, fault: Fault) -> Variation:
    if fault.element not in network.positions:
        return AS_BUILT
    if fault.kind is FaultKind.WELDED:
        return Variation(welded=frozenset({fault.element}))
    if fault.kind is FaultKind.BROKEN:
        return Variation(broken=frozenset({fault.element}))
    assert fault.ohm is not None
    own = getattr(network.elements[network.positions[fault.element]], "resistance_ohm", 0.0)
    return Variation(resistance_ohm={fault.element: own + fault.ohm})


def chains(cases: Iterable[BenchCase], readable: bool) -> dict[str, str]:
    """Elements in series, each by the first of its chain: a fault anywhere in one does the same.

    readable: whether the nodes between them can be read, so that they end a chain
    """
    ends: dict[str, tuple[str, str]] = {}
    other: set[str] = set()
    for bench_case in cases:
        moved = _moved(bench_case.network)
        for element in bench_case.network.elements:
            ends.setdefault(element.id, element.ends)
            if not isinstance(element, _PLAIN) or element.id in moved:
                other.add(element.id)
    at: dict[str, list[str]] = {}
    for name, nodes in ends.items():
        for node in nodes:
            at.setdefault(node, []).append(name)
    first = {name: name for name in ends}

    def find(name: str) -> str:
        while first[name] != name:
            first[name] = first[first[name]]
            name = first[name]
        return name

    for node, names in at.items():
        if len(names) == 2 and other.isdisjoint(names) and not (readable and ":" not in node):
            one, two = (find(name) for name in names)
            first[two] = one
    return {name: find(name) for name in ends}


def _moved(network: Network) -> set[str]:
    """Contacts that relays and plungers move."""
    return {name for a in network.actuators for name in (*a.closes, *a.opens)}


_PLAIN = (Resistor, Contact, Coil, Winding)
