"""Every single fault of the wiring, simulated through an engine's whole sequence.

Each element found in the networks is broken, given a resistance, or welded (a contact), and the
sequence from key off to stop is followed again, relays and plungers remembering as they do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_cases import SolvedCase
from installgen.analysis.dc_model import DcModel
from installgen.analysis.symptoms import Outcome, Symptom, Watch, symptoms, watch
from installgen.calc.actuators import Actuator
from installgen.calc.dc_elements import Battery as BatteryElement
from installgen.calc.dc_elements import Contact, Element, Resistor, Source
from installgen.calc.dc_network import AS_BUILT, Network, Variation
from installgen.calc.relay_logic import LogicState, Settled, Start, settle_many
from installgen.spec.entry import Entry

LADDER_OHM = (0.02, 0.1, 0.5, 2.0, 10.0, 50.0, 250.0, 1000.0)
"""Resistances that a poor joint is tried with; the least that costs a function is kept."""


SMALL_OHM = 0.02
"""Above this a resistor is a device of its own, not a joint, a fuse or a piece of wire."""


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


@dataclass(frozen=True, eq=False)
class FaultEffect:
    """What a fault does: its symptoms with a weak and a strong battery, and every voltage.

    readings: by case and node, the least and the greatest voltage over both batteries [V]; None
        where the node floats with either of them
    """

    fault: Fault
    symptoms: frozenset[Symptom]
    readings: Mapping[tuple[str, str], tuple[float, float] | None]


@dataclass(frozen=True)
class FaultStudy:
    """All faults of one engine's sequence.

    cases: the sequence, key off to stop
    healthy: the effect of no fault at all, for the expected readings
    entries: the spec entry behind each element
    solved_points: operating points that were solved for it
    """

    engine: str
    cases: tuple[DcCase, ...]
    healthy: FaultEffect
    effects: tuple[FaultEffect, ...]
    entries: Mapping[str, Entry]
    solved_points: int

    def with_symptom(self, symptom: Symptom) -> list[FaultEffect]:
        """The faults that can show as a symptom."""
        return [effect for effect in self.effects if symptom in effect.symptoms]


@dataclass
class _Bench:
    """The networks of one engine's sequence with one battery model."""

    engine: str
    parts: Watch
    solved: Sequence[SolvedCase]
    count: int = 0

    def run(self, faults: Sequence[Fault | None]) -> list[dict[str, Outcome]]:
        """Follow the sequence with each fault; outcomes by the state of the engine."""
        outcomes: list[dict[str, Outcome]] = [{} for _ in faults]
        states: list[dict[str, frozenset[str]]] = [{} for _ in faults]
        for found in self.solved:
            if found.network is None:
                continue
            names = {actuator.id for actuator in found.network.actuators}
            starts = [
                Start(
                    frozenset(found.parts.closed),
                    LogicState(before.get(found.case.after or "", frozenset()) & names),
                    _variation(found.network, fault),
                )
                for fault, before in zip(faults, states, strict=True)
            ]
            self.count += len(starts)
            for index, settled in enumerate(settle_many(found.network, starts)):
                if not isinstance(settled, Settled):
                    continue
                states[index][found.case.id] = settled.state.operated
                outcomes[index][found.case.state(self.engine).key] = Outcome(
                    found.case, settled.point, settled.state.operated, frozenset(settled.chatter)
                )
        return outcomes


def _variation(network: Network, fault: Fault | None) -> Variation:
    if fault is None or fault.element not in network.positions:
        return AS_BUILT
    if fault.kind is FaultKind.WELDED:
        return Variation(welded=frozenset({fault.element}))
    if fault.kind is FaultKind.BROKEN:
        return Variation(broken=frozenset({fault.element}))
    assert fault.ohm is not None
    own = getattr(network.elements[network.positions[fault.element]], "resistance_ohm", 0.0)
    return Variation(resistance_ohm={fault.element: own + fault.ohm})


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
    parts = watch(model, engine)
    weak = _Bench(engine, parts, _own_sequence(engine, weakest))
    strong = _Bench(engine, parts, _own_sequence(engine, strongest))
    if not weak.solved or any(found.network is None for found in weak.solved):
        return None
    elements, entries, actuators = _elements(weak.solved)
    faults = list(_plain_faults(elements, actuators))
    faults += _poor_faults(weak, elements)
    everything: list[Fault | None] = [None, *faults]
    low, high = weak.run(everything), strong.run(everything)
    effects = [
        _effect(parts, fault, first, second)
        for fault, first, second in zip(everything, low, high, strict=True)
    ]
    return FaultStudy(
        engine,
        tuple(found.case for found in weak.solved),
        effects[0],
        tuple(effect for effect in effects[1:] if effect.symptoms),
        entries,
        weak.count + strong.count,
    )


def _own_sequence(engine: str, solved: Iterable[SolvedCase]) -> list[SolvedCase]:
    """The cases in which one engine goes through its states and the others are off."""
    return [
        found
        for found in solved
        if all(state.state == "off" for name, state in found.case.states if name != engine)
        and (
            found.case.after is None
            or found.case.id.startswith((engine, found.case.state(engine).key))
        )
    ]


def _elements(
    solved: Sequence[SolvedCase],
) -> tuple[dict[str, Element], dict[str, Entry], set[str]]:
    """Every element of every case, its entry, and the contacts that relays move."""
    elements: dict[str, Element] = {}
    entries: dict[str, Entry] = {}
    moved: set[str] = set()
    for found in solved:
        for element in found.parts.elements:
            elements.setdefault(element.id, element)
            entry = found.parts.entries.get(element.id)
            if entry is not None:
                entries.setdefault(element.id, entry)
        for actuator in found.parts.actuators:
            moved |= _contacts(actuator)
    return elements, entries, moved


def _contacts(actuator: Actuator) -> set[str]:
    return {*actuator.closes, *actuator.opens}


def _plain_faults(elements: Mapping[str, Element], moved: set[str]) -> Iterable[Fault]:
    for name, element in elements.items():
        if isinstance(element, Resistor) and element.resistance_ohm == 0.0:
            continue
        yield Fault(name, FaultKind.BROKEN)
        if isinstance(element, Contact) and name in moved:
            yield Fault(name, FaultKind.WELDED)


def _poor_faults(bench: _Bench, elements: Mapping[str, Element]) -> list[Fault]:
    """For each joint, fuse, contact and battery, the least resistance that costs a function."""
    varied = {
        element.id
        for case in bench.solved
        for element in case.parts.elements
        if not isinstance(element, Contact | Source | BatteryElement | Resistor)
    }
    names = [
        name
        for name, element in elements.items()
        if name not in varied
        and (not isinstance(element, Resistor) or 0.0 < element.resistance_ohm < SMALL_OHM)
    ]
    found: list[Fault] = []
    left = names
    for ohm in LADDER_OHM:
        tried: list[Fault | None] = [Fault(name, FaultKind.POOR, ohm) for name in left]
        if not tried:
            break
        still: list[str] = []
        for fault, outcomes in zip(tried, bench.run(tried), strict=True):
            assert fault is not None
            if _symptoms(bench, outcomes):
                found.append(fault)
            else:
                still.append(fault.element)
        left = still
    return found


def _symptoms(bench: _Bench, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    return symptoms(bench.parts, outcomes)


def _effect(
    parts: Watch,
    fault: Fault | None,
    low: Mapping[str, Outcome],
    high: Mapping[str, Outcome],
) -> FaultEffect:
    shown = symptoms(parts, low) | symptoms(parts, high)
    readings: dict[tuple[str, str], tuple[float, float] | None] = {}
    for key, outcome in low.items():
        other = high.get(key)
        for node, volts in outcome.point.voltage_v.items():
            if ":" in node:
                continue
            second = volts if other is None else other.point.voltage_v.get(node)
            if volts is None or second is None:
                readings[outcome.case.id, node] = None
            else:
                readings[outcome.case.id, node] = (min(volts, second), max(volts, second))
    stand_in = fault if fault is not None else Fault("", FaultKind.BROKEN)
    return FaultEffect(stand_in, frozenset(shown), readings)
