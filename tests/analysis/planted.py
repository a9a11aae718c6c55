"""Faults planted in a vessel's own networks, and somebody with a meter who follows the trees.

Nothing of the study's pruning or of its readings is used here: each fault is simulated through
the whole sequence by itself, with a battery anywhere between the weak and the strong one and a
joint of any resistance.
"""

from __future__ import annotations

import dataclasses
import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from installgen.analysis.fault_bench import BenchCase, FaultKind
from installgen.analysis.fault_study import LADDER_OHM, FaultEffect, FaultStudy
from installgen.analysis.fault_tree import Branch, FaultTree, Leaf, Question
from installgen.analysis.readings import band_v
from installgen.analysis.symptoms import Outcome, Symptom, symptoms
from installgen.calc.dc_elements import Element
from installgen.calc.dc_network import Network, Point, Variation
from installgen.calc.dc_solver import solve_many
from installgen.calc.relay_logic import LogicState, Settled, Start, closed_contacts, settle_many

WITHIN_BAND = 0.95
OUT_OF_REACH = 0.03
SUPPLY_V = 28.0

Kind = TypeVar("Kind", bound=Element)


@dataclass(frozen=True)
class Planted:
    """A fault in a vessel, with what she shows and what can be read in her.

    volts: least and greatest reading by case and terminal; a point that floats is not in it [V]
    """

    effect: FaultEffect
    ohm: float | None
    symptoms: frozenset[Symptom]
    volts: Mapping[tuple[str, str], tuple[float, float]]


def planted(study: FaultStudy, rng: random.Random, share: float) -> Iterator[Planted]:
    """Every fault of a study.

    share: of the way from the weak battery to the strong one
    """
    cases = _cases_between(study, share)
    ohms = [_any_ohm(effect, rng) for effect in study.effects]
    black = f"{study.watch.source}.negative"
    memory: list[dict[str, frozenset[str]]] = [{} for _ in ohms]
    outcomes: list[dict[str, Outcome]] = [{} for _ in ohms]
    volts: list[dict[tuple[str, str], tuple[float, float]]] = [{} for _ in ohms]
    for case in cases:
        names = {actuator.id for actuator in case.network.actuators}
        starts = [
            Start(
                case.closed,
                LogicState(memory[index].get(case.case.after or "", frozenset()) & names),
                _variation(case.network, effect, ohms[index]),
            )
            for index, effect in enumerate(study.effects)
        ]
        for index, settled in enumerate(settle_many(case.network, starts, case.until_s)):
            assert isinstance(settled, Settled), study.effects[index].fault.id
            memory[index][case.case.id] = settled.state.operated
            outcomes[index][case.case.state(study.engine).key] = Outcome(
                case.case, settled.point, settled.state.operated, frozenset(settled.chatter)
            )
            read = _read(case, settled, starts[index].variation, black)
            volts[index] |= {(case.case.id, node): both for node, both in read.items()}
    for index, effect in enumerate(study.effects):
        found = frozenset(symptoms(study.watch, outcomes[index]))
        yield Planted(effect, ohms[index], found, volts[index])


def ends_at_its_fault(tree: FaultTree, fault: Planted, rng: random.Random) -> bool:
    """Whether the questions, answered by a meter of ordinary accuracy, lead to the fault.

    Now and then somebody does not get at a point.
    """
    place: Branch | Leaf | None = tree.root
    while isinstance(place, Branch):
        if rng.random() < OUT_OF_REACH:
            place = place.unreached
            continue
        place = place.follow(*_reading(place.question, fault, rng))
    return place is not None and any(s.fault == fault.effect.fault for s in place.suspects)


def _reading(question: Question, fault: Planted, rng: random.Random) -> tuple[float, float]:
    """What the meter shows, and by how much it jumps [V]."""
    both = fault.volts.get((question.case.id, question.node))
    if both is None:
        return rng.choice((0.0, rng.uniform(0.0, SUPPLY_V))), 0.0  # a floating point shows anything
    true_v = rng.uniform(*both)
    return true_v + rng.uniform(-WITHIN_BAND, WITHIN_BAND) * band_v(true_v), both[1] - both[0]


def _any_ohm(effect: FaultEffect, rng: random.Random) -> float | None:
    """A resistance from the least that costs a function to the greatest that is a joint's."""
    if effect.fault.ohm is None:
        return None
    return math.exp(rng.uniform(math.log(effect.fault.ohm), math.log(LADDER_OHM[-1])))


def _variation(network: Network, effect: FaultEffect, ohm: float | None) -> Variation:
    name = effect.fault.element
    if name not in network.positions:
        return Variation()
    if effect.fault.kind is FaultKind.WELDED:
        return Variation(welded=frozenset({name}))
    if ohm is None:
        return Variation(broken=frozenset({name}))
    own = getattr(network.elements[network.positions[name]], "resistance_ohm", 0.0)
    return Variation(resistance_ohm={name: own + ohm})


def _read(
    case: BenchCase, settled: Settled, variation: Variation, black: str
) -> dict[str, tuple[float, float]]:
    """Least and greatest voltage of each terminal that does not float [V]."""
    passed = [settled.point]
    network = case.network
    if settled.chatter:
        lifted = [settled.state.operated]
        for move in reversed(settled.moves):
            lifted.append(lifted[-1] ^ {move.actuator})
            if lifted[-1] == lifted[0]:
                break
        points = [Point(closed_contacts(network, case.closed, one), variation) for one in lifted]
        passed += solve_many(network, points)
    solved = np.array([point.against_v(black) for point in passed])
    lows, highs = solved.min(axis=0), solved.max(axis=0)  # nan where one of them floats
    return {
        node: (float(low), float(high))
        for node, low, high in zip(network.nodes, lows, highs, strict=True)
        if ":" not in node and not math.isnan(low)
    }


def _cases_between(study: FaultStudy, share: float) -> list[BenchCase]:
    weak, strong = study.benches
    found = []
    for one, other in zip(weak.cases, strong.cases, strict=True):
        elements = {element.id: element for element in other.network.elements}
        mixed = tuple(_between(e, elements.get(e.id, e), share) for e in one.network.elements)
        network = Network(mixed, one.network.reference, one.network.actuators)
        found.append(BenchCase(one.case, network, one.closed, one.until_s))
    return found


def _between(weak: Kind, strong: Element, share: float) -> Kind | Element:
    if type(weak) is not type(strong):
        return strong if share > 0.5 else weak
    changed = {}
    for field in dataclasses.fields(weak):
        low, high = getattr(weak, field.name), getattr(strong, field.name)
        if isinstance(low, float) and math.isfinite(low) and math.isfinite(high):
            changed[field.name] = low + share * (high - low)
    return dataclasses.replace(weak, **changed)
