"""Which voltage to read next: a tree of questions that tells the suspects of a symptom apart.

A suspect goes down every branch that its readings allow, with either battery and within the band
of a meter. So the tree never leads past a fault; readings too close to tell end in one group.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_model import DcModel
from installgen.analysis.fault_study import FaultEffect, FaultKind, FaultStudy
from installgen.analysis.symptoms import Symptom
from installgen.spec.electrical import (
    Battery,
    Conductor,
    DeviceBase,
    Fuse,
    Isolator,
    Plug,
    Relay,
    Selector,
)
from installgen.spec.entry import Entry
from installgen.spec.standard_spec import FaultWeights

METER_V = 0.1
"""Half width of the band within which two readings are the same, besides a share of the reading."""

METER_RATIO = 0.02

NOTHING_V = 0.6
"""Below this a meter is said to show nothing."""

DEEPEST = 12

LEAST_GAIN_BITS = 0.05
"""A reading that tells less than this is not worth its while."""

AT_FIRST_SUSPECT = 1.5
"""A reading at the likeliest suspect itself is preferred to one as telling elsewhere."""

EFFORT_OF_STATE = {
    "off": 1.0, "ignition-on": 1.0, "preheating": 1.2, "breakaway": math.inf, "cranking": 1.6,
    "running-idle": 2.0, "running-cruise": 3.0, "running-rated": math.inf, "stopping": 1.5,
}  # fmt: skip
EFFORT_OF_REACH = {"easy": 1.0, "hard": 3.0, "none": math.inf}


class Answer(StrEnum):
    """What a meter may show at a point."""

    NOTHING = "nothing"
    LOW = "low"
    EXPECTED = "expected"
    HIGH = "high"


@dataclass(frozen=True)
class Question:
    """A voltage to read against the battery's negative post, with what it should be.

    expected_v: least and greatest with everything whole [V]
    """

    case: DcCase
    node: str
    expected_v: tuple[float, float]

    def answer(self, volts: float) -> Answer:
        """What one reading says."""
        least, most = self.accepted_v
        if least <= volts <= most:
            return Answer.EXPECTED
        if volts > most:
            return Answer.HIGH
        return Answer.NOTHING if abs(volts) < NOTHING_V else Answer.LOW

    @property
    def accepted_v(self) -> tuple[float, float]:
        """What counts as expected: the band of a meter around it, and nothing for nothing [V]."""
        low, high = self.expected_v
        if abs(low) < NOTHING_V and abs(high) < NOTHING_V:
            return -NOTHING_V, NOTHING_V
        return low - band_v(low), high + band_v(high)

    def answers(self, reading: tuple[float, float] | None) -> set[Answer]:
        """Every answer that a suspect allows; a floating point allows all of them."""
        if reading is None:
            return set(Answer)
        low, high = reading[0] - band_v(reading[0]), reading[1] + band_v(reading[1])
        edges = (*self.accepted_v, NOTHING_V, -NOTHING_V)
        beside = (edge + step for edge in edges for step in (-1e-6, 1e-6))
        tried = (low, high, *(volts for volts in beside if low <= volts <= high))
        return {self.answer(volts) for volts in tried}


def band_v(volts: float) -> float:
    """Half width of the band around a reading [V]."""
    return METER_V + METER_RATIO * abs(volts)


@dataclass(frozen=True)
class Leaf:
    """Suspects that no further reading tells apart, the likeliest first."""

    suspects: tuple[FaultEffect, ...]


@dataclass(frozen=True)
class Branch:
    """A question, and where the answers lead; answers that lead to one place stand together."""

    question: Question
    answers: tuple[tuple[frozenset[Answer], Branch | Leaf], ...]

    def follow(self, volts: float) -> Branch | Leaf | None:
        """Where a reading leads; nothing where no suspect allows it."""
        answer = self.question.answer(volts)
        return next((where for group, where in self.answers if answer in group), None)


@dataclass(frozen=True)
class FaultTree:
    """The questions for one symptom of one engine."""

    engine: str
    symptom: Symptom
    root: Branch | Leaf

    def leaves(self) -> Iterator[Leaf]:
        """Every end of the tree."""
        stack: list[Branch | Leaf] = [self.root]
        while stack:
            item = stack.pop()
            if isinstance(item, Leaf):
                yield item
            else:
                stack += [where for _, where in item.answers]


@dataclass(frozen=True)
class Chances:
    """Weight of a suspect and effort of a question."""

    weights: FaultWeights
    entries: Mapping[str, Entry]
    devices: Mapping[str, DeviceBase]

    def weight(self, effect: FaultEffect) -> float:
        """How likely a suspect is, beside others."""
        own = getattr(self.entries.get(effect.fault.element), "fault_weight", None)
        kind = self._kind(effect.fault.element)
        value = float(getattr(self.weights, kind)) if own is None else float(own)
        rare = effect.fault.kind is FaultKind.WELDED
        return max(value * (0.3 if rare else 1.0), 1e-6)

    def _kind(self, element: str) -> str:
        entry = self.entries.get(element)
        if isinstance(entry, Conductor):
            return "joint" if element.endswith(":joints") else "conductor"
        kinds: tuple[tuple[type[Entry] | tuple[type[Entry], ...], str], ...] = (
            (Battery, "battery"), (Fuse, "fuse"), (Plug, "pin"), (Relay, "relay"),
            ((Selector, Isolator), "switch"),
        )  # fmt: skip
        for types, name in kinds:
            if isinstance(entry, types):
                return name
        return "device"

    def effort(self, case: DcCase, engine: str, node: str) -> float:
        """How much work a reading is; infinite where nobody gets at it."""
        device = self.devices.get(node.rpartition(".")[0])
        reach = device.reach if device is not None else "easy"
        return EFFORT_OF_STATE[case.state(engine).key] * EFFORT_OF_REACH[reach]


def chances(model: DcModel, study: FaultStudy) -> Chances:
    """Weights of the standard, entries of the study, devices of the vessel."""
    devices = {device_id: device for device_id, device, _ in model.vessel.devices()}
    return Chances(model.vessel.standard.fault_weights, study.entries, devices)


def fault_tree(study: FaultStudy, symptom: Symptom, odds: Chances) -> FaultTree | None:
    """The tree of one symptom, or nothing where no single fault shows as it."""
    suspects = study.with_symptom(symptom)
    if not suspects:
        return None
    questions = list(_questions(study, odds))
    weights = {effect.fault.id: odds.weight(effect) for effect in suspects}
    return FaultTree(
        study.engine, symptom, _grow(study, odds, tuple(suspects), questions, weights, 0)
    )


def _questions(study: FaultStudy, odds: Chances) -> Iterator[Question]:
    cases = {case.id: case for case in study.cases}
    for (case_id, node), reading in study.healthy.readings.items():
        case = cases[case_id]
        if reading is None or not math.isfinite(odds.effort(case, study.engine, node)):
            continue
        yield Question(case, node, reading)


def _grow(
    study: FaultStudy,
    odds: Chances,
    suspects: tuple[FaultEffect, ...],
    questions: Sequence[Question],
    weights: Mapping[str, float],
    depth: int,
) -> Branch | Leaf:
    best: tuple[float, Question, dict[Answer, tuple[FaultEffect, ...]]] | None = None
    useful: list[Question] = []
    first = max(suspects, key=lambda s: (weights[s.fault.id], s.fault.id)).fault.element
    if depth < DEEPEST and len(suspects) > 1:
        whole = _entropy(weights[s.fault.id] for s in suspects)
        for question in questions:
            parts = _split(question, suspects)
            if all(len(part) == len(suspects) for part in parts.values()):
                continue
            gain = whole - _expected_entropy(parts, weights)
            if gain <= LEAST_GAIN_BITS:
                continue
            useful.append(question)
            worth = gain / odds.effort(question.case, study.engine, question.node)
            if question.node.rpartition(".")[0] == first:
                worth *= AT_FIRST_SUSPECT
            if best is None or worth > best[0] + 1e-12:
                best = worth, question, parts
    if best is None:
        order = sorted(suspects, key=lambda s: (-weights[s.fault.id], s.fault.id))
        return Leaf(tuple(order))
    _, question, parts = best
    rest = [other for other in useful if other is not question]
    together: dict[tuple[FaultEffect, ...], list[Answer]] = {}
    for answer, part in parts.items():
        together.setdefault(part, []).append(answer)
    return Branch(
        question,
        tuple(
            (frozenset(answers), _grow(study, odds, part, rest, weights, depth + 1))
            for part, answers in together.items()
        ),
    )


def _split(
    question: Question, suspects: Iterable[FaultEffect]
) -> dict[Answer, tuple[FaultEffect, ...]]:
    parts: dict[Answer, list[FaultEffect]] = {}
    for effect in suspects:
        reading = effect.readings.get((question.case.id, question.node))
        for answer in question.answers(reading):
            parts.setdefault(answer, []).append(effect)
    return {answer: tuple(parts[answer]) for answer in Answer if answer in parts}


def _entropy(weights: Iterable[float]) -> float:
    values = list(weights)
    total = math.fsum(values)
    return -math.fsum(value / total * math.log2(value / total) for value in values)


def _expected_entropy(
    parts: Mapping[Answer, Sequence[FaultEffect]], weights: Mapping[str, float]
) -> float:
    """Entropy left, each suspect's weight shared among the answers it allows."""
    allowed: dict[str, int] = {}
    for part in parts.values():
        for effect in part:
            allowed[effect.fault.id] = allowed.get(effect.fault.id, 0) + 1
    total = math.fsum(weights[name] for name in allowed)
    left = 0.0
    for part in parts.values():
        shares = [weights[effect.fault.id] / allowed[effect.fault.id] for effect in part]
        left += math.fsum(shares) / total * _entropy(shares)
    return left
