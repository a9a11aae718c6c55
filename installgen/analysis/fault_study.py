"""Every single fault of the wiring, simulated through an engine's whole sequence.

Each element found in the networks is broken, given resistances, or welded (a contact), and the
sequence from key off to stop is followed again, relays and plungers remembering as they do.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.fault_bench import Bench, BenchCase, Fault, FaultKind, chains
from installgen.analysis.sequences import can_be_followed, own_sequence
from installgen.analysis.symptoms import Outcome, Symptom, Watch, symptoms, watch
from installgen.beside import Beside
from installgen.calc.dc_elements import Battery as BatteryElement
from installgen.calc.dc_elements import Contact, Element, Resistor, Source
from installgen.calc.dc_network import Network
from installgen.calc.star_mesh import Floats
from installgen.spec.electrical import Conductor, Selector
from installgen.spec.entry import Entry

LADDER_OHM = (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 250.0, 1000.0)
"""Resistances that a poor joint is tried with, from the least that costs a function upwards."""

SMALL_OHM = 0.02
"""Above this a resistor is a device of its own, not a joint, a fuse or a pin."""


@dataclass(frozen=True, eq=False)
class Shown:
    """What a fault does with one battery model.

    low_v, high_v: least and greatest voltage at each of the study's points, against the post of
        the engine's battery; they differ where relays chatter; nan where the point floats [V]
    """

    symptoms: frozenset[Symptom]
    low_v: Floats
    high_v: Floats


@dataclass(frozen=True, eq=False)
class Degree:
    """A fault as bad as this, with a weak and with a strong battery.

    ohm: resistance of a poor joint; None where the fault has no degrees [ohm]
    """

    ohm: float | None
    weak: Shown
    strong: Shown

    @property
    def both(self) -> tuple[Shown, Shown]:
        """With either battery."""
        return self.weak, self.strong

    @property
    def symptoms(self) -> frozenset[Symptom]:
        """Every symptom that shows with either battery."""
        return self.weak.symptoms | self.strong.symptoms


@dataclass(frozen=True, eq=False)
class FaultEffect:
    """What a fault does with a weak and with a strong battery.

    degrees: a poor joint from the least resistance that costs a function upwards; else just one
    """

    fault: Fault
    degrees: tuple[Degree, ...]

    @cached_property
    def symptoms(self) -> frozenset[Symptom]:
        """Every symptom that it can show."""
        return frozenset().union(*(degree.symptoms for degree in self.degrees))

    def showing(self, symptom: Symptom) -> list[list[Shown]]:
        """The ways in which it shows as a symptom, degree by degree; none of some perhaps."""
        return [
            [shown for shown in degree.both if symptom in shown.symptoms] for degree in self.degrees
        ]


@dataclass(frozen=True, eq=False)
class FaultStudy:
    """All faults of one engine's sequence.

    cases: the sequence, key off to stop
    points: case and node of each reading
    watch: the parts that tell the symptoms, and the battery whose negative post readings count from
    healthy: no fault at all, for the expected readings
    entries: the spec entry behind each element
    ends: the nodes that each element lies between
    benches: the sequence with a weak and with a strong battery
    simulated: how many cases were followed with a fault in them
    """

    engine: str
    cases: tuple[DcCase, ...]
    points: Mapping[tuple[str, str], int]
    watch: Watch
    healthy: Degree
    effects: tuple[FaultEffect, ...]
    entries: Mapping[str, Entry]
    ends: Mapping[str, tuple[str, str]]
    benches: tuple[Bench, Bench]
    simulated: int

    def with_symptom(self, symptom: Symptom) -> list[FaultEffect]:
        """The faults that can show as a symptom."""
        return [effect for effect in self.effects if symptom in effect.symptoms]

    def expected_v(self) -> tuple[Floats, Floats]:
        """Least and greatest voltage of each point with everything whole; nan where it floats."""
        weak, strong = self.healthy.both
        # The least of a number and nan is nan.
        return np.minimum(weak.low_v, strong.low_v), np.maximum(weak.high_v, strong.high_v)


def study_faults(
    model: DcModel,
    engine: str,
    weakest: Iterable[SolvedCase],
    strongest: Iterable[SolvedCase],
) -> FaultStudy | None:
    """Simulate every single fault of an engine's sequence with a weak and a strong battery.

    weakest, strongest: the solved cases with either battery
    Returns the study, or nothing where the sequence could not be solved as built.
    """
    weak, strong = own_sequence(engine, weakest), own_sequence(engine, strongest)
    question = _question(model, engine, weak, strong)
    answer = _answered(question) if question is not None else None
    if question is None or answer is None:
        return None
    return FaultStudy(
        engine,
        tuple(found.case for found in weak),
        answer.points,
        question.parts,
        answer.healthy,
        answer.effects,
        _entries(weak),
        {e.id: e.ends for found in weak[::-1] for e in found.parts.elements},
        (question.weak, question.strong),
        answer.simulated,
    )


def begin_study(
    beside: Beside,
    model: DcModel,
    engine: str,
    weakest: Iterable[SolvedCase],
    strongest: Iterable[SolvedCase],
) -> Callable[[], None] | None:
    """Have a study simulated beside this process, unless its answer is known.

    Returns what waits for it; `study_faults` then finds it done. Nothing where it was not begun.
    """
    weak, strong = own_sequence(engine, weakest), own_sequence(engine, strongest)
    question = _question(model, engine, weak, strong)
    if question is None or question in _ANSWERS:
        return None
    waiting = beside.begin(_simulated, question)
    if waiting is None:
        return None

    def wait() -> None:
        _keep(question, waiting())

    return wait


def _question(
    model: DcModel, engine: str, weak: Sequence[SolvedCase], strong: Sequence[SolvedCase]
) -> _Question | None:
    """What is asked; nothing where the sequence could not be solved as built."""
    if not (can_be_followed(weak) and can_be_followed(strong)):
        return None
    entries = _entries(weak)
    return _Question(
        watch(model, engine, weak),
        _bench(engine, weak),
        _bench(engine, strong),
        frozenset(name for name, entry in entries.items() if isinstance(entry, Selector)),
        frozenset(
            name
            for name, entry in entries.items()
            if isinstance(entry, Conductor) and not name.endswith(":joints")
        ),
    )


def _entries(weak: Sequence[SolvedCase]) -> dict[str, Entry]:
    """The spec entry behind each element; of one in several cases, as in the earliest."""
    return {
        element: entry for found in weak[::-1] for element, entry in found.parts.entries.items()
    }


# ---- the simulation itself, of nothing but plain values, so that the same question is kept -------


@dataclass(frozen=True)
class _Question:
    """Everything that a study's figures depend on.

    turned: contacts of switches, which may stick closed
    copper: conductors without their joints, which break and do not corrode
    """

    parts: Watch
    weak: Bench
    strong: Bench
    turned: frozenset[str]
    copper: frozenset[str]


@dataclass(frozen=True)
class _Answer:
    points: Mapping[tuple[str, str], int]
    healthy: Degree
    effects: tuple[FaultEffect, ...]
    simulated: int


def _bench(engine: str, solved: Sequence[SolvedCase]) -> Bench:
    return Bench(
        engine,
        tuple(
            BenchCase(found.case, found.network, frozenset(found.parts.closed), found.until_s)
            for found in solved
            if found.network is not None
        ),
    )


_ANSWERS: OrderedDict[_Question, _Answer | None] = OrderedDict()
"""The latest answers, so that a second build in one process simulates only what has changed."""
MOST_KEPT = 8


def _answered(question: _Question) -> _Answer | None:
    if question not in _ANSWERS:
        _keep(question, _simulated(question))
    _ANSWERS.move_to_end(question)
    return _ANSWERS[question]


def _keep(question: _Question, answer: _Answer | None) -> None:
    _ANSWERS[question] = answer
    while len(_ANSWERS) > MOST_KEPT:
        _ANSWERS.popitem(last=False)


def _simulated(question: _Question) -> _Answer | None:
    weak, strong, parts = question.weak, question.strong, question.parts
    if not (weak.complete and strong.complete):
        return None
    elements: dict[str, Element] = {}
    for bench_case in weak.cases:
        for element in bench_case.network.elements:
            elements.setdefault(element.id, element)
    carrying = weak.carrying | strong.carrying
    plain = [*_breaks(elements, carrying), *_welds(weak, elements, question.turned)]
    poor, count = _poor(weak, parts, elements, carrying - question.copper)
    chain = chains(weak.cases, readable=True)
    tried = [*plain, *(Fault(name, FaultKind.POOR, ohm) for name in poor for ohm in poor[name])]
    simulated = {(chain[f.element], f.kind, f.ohm): f for f in reversed(tried)}
    order = list(simulated.values())
    low, low_count = weak.run(order, readings=True)
    high, high_count = strong.run(order, readings=True)
    points = _points(weak)
    made = {
        (chain[fault.element], fault.kind, fault.ohm): Degree(
            fault.ohm, _shown(parts, points, first), _shown(parts, points, second)
        )
        for fault, first, second in zip(order, low, high, strict=True)
    }
    effects = [FaultEffect(f, (made[chain[f.element], f.kind, None],)) for f in plain]
    effects += [
        FaultEffect(
            Fault(name, FaultKind.POOR, ohms[0]),
            tuple(made[chain[name], FaultKind.POOR, ohm] for ohm in ohms),
        )
        for name, ohms in poor.items()
    ]
    whole = (_shown(parts, points, bench.healthy()) for bench in (weak, strong))
    return _Answer(
        points,
        Degree(None, *whole),
        tuple(effect for effect in effects if effect.symptoms),
        count + low_count + high_count,
    )


def _breaks(elements: Mapping[str, Element], carrying: frozenset[str]) -> Iterable[Fault]:
    for name, element in elements.items():
        link = isinstance(element, Resistor) and element.resistance_ohm == 0.0
        if name in carrying and not link:
            yield Fault(name, FaultKind.BROKEN)


def _welds(
    bench: Bench, elements: Mapping[str, Element], turned: frozenset[str]
) -> Iterable[Fault]:
    moved = {
        name
        for bench_case in bench.cases
        for actuator in bench_case.network.actuators
        for name in (*actuator.closes, *actuator.opens)
    }
    for name, element in elements.items():
        if isinstance(element, Contact) and (name in moved or name in turned):
            yield Fault(name, FaultKind.WELDED)


def _poor(
    bench: Bench, parts: Watch, elements: Mapping[str, Element], carrying: frozenset[str]
) -> tuple[dict[str, tuple[float, ...]], int]:
    """For each joint, fuse, contact and battery, resistances that cost a function, least first."""
    chain = chains(bench.cases, readable=False)
    changing = {
        element.id
        for bench_case in bench.cases
        for element in bench_case.network.elements
        if not isinstance(element, type(elements[element.id]))
    }
    members: dict[str, list[str]] = {}
    for name, element in elements.items():
        joint = isinstance(element, Contact | Source | BatteryElement) or (
            isinstance(element, Resistor) and 0.0 < element.resistance_ohm < SMALL_OHM
        )
        if joint and name in carrying - changing:
            members.setdefault(chain[name], []).append(name)
    # All rungs at once: many points of one network cost little more than a few.
    tried = [(names, ohm) for names in members.values() for ohm in LADDER_OHM]
    outcomes, count = bench.run(
        [Fault(names[0], FaultKind.POOR, ohm) for names, ohm in tried], readings=False
    )
    shown: dict[tuple[str, ...], list[frozenset[Symptom]]] = {}
    for (names, _), outcome in zip(tried, outcomes, strict=True):
        shown.setdefault(tuple(names), []).append(frozenset(symptoms(parts, outcome)))
    found = {name: ohms for names in shown if (ohms := _degrees(shown[names])) for name in names}
    return found, count


def _degrees(shown: Sequence[frozenset[Symptom]]) -> tuple[float, ...]:
    """The resistances to study, by the symptoms of each: fewer where the symptoms stay the same.

    The readings between two of them lie between theirs.
    """
    least = next((index for index, found in enumerate(shown) if found), len(shown))
    kept: list[int] = []
    for index in range(least, len(shown)):
        between = 0 < index < len(shown) - 1 and index - 1 in kept
        if not (between and shown[index - 1] == shown[index] == shown[index + 1]):
            kept.append(index)
    return tuple(LADDER_OHM[index] for index in kept)


def _points(bench: Bench) -> dict[tuple[str, str], int]:
    """Every terminal in every case; nodes within a device cannot be read."""
    keys = [
        (bench_case.case.id, node)
        for bench_case in bench.cases
        for node in bench_case.network.nodes
        if ":" not in node
    ]
    return {key: index for index, key in enumerate(keys)}


def _shown(
    parts: Watch, points: Mapping[tuple[str, str], int], outcomes: Mapping[str, Outcome]
) -> Shown:
    black = f"{parts.source}.negative"
    low_v, high_v = np.full(len(points), np.nan), np.full(len(points), np.nan)
    for outcome in outcomes.values():
        rows = _readable(outcome.point.network)
        first = points[outcome.case.id, outcome.point.network.nodes[rows[0]]]
        passed = (outcome.point, *outcome.cycle)
        volts = np.array([point.against_v(black)[rows] for point in passed])
        low_v[first : first + len(rows)] = volts.min(axis=0)
        high_v[first : first + len(rows)] = volts.max(axis=0)
    return Shown(frozenset(symptoms(parts, outcomes)), low_v, high_v)


@lru_cache(maxsize=64)
def _readable_of(nodes: tuple[str, ...]) -> list[int]:
    return [row for row, node in enumerate(nodes) if ":" not in node]


def _readable(network: Network) -> list[int]:
    """The nodes of a case that can be read, by their row; they stand together in the study."""
    return _readable_of(network.nodes)
