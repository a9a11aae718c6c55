"""How a fault tree grows: the reading that tells most about the suspects for its effort is next."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_model import DcModel
from installgen.analysis.fault_bench import FaultKind
from installgen.analysis.fault_study import FaultEffect, FaultStudy
from installgen.analysis.fault_tree import (
    UNSTEADY_V,
    Answer,
    Branch,
    FaultTree,
    Leaf,
    Question,
    thing_of,
)
from installgen.analysis.readings import METER_RATIO, METER_V, NOTHING_V
from installgen.analysis.symptoms import Symptom
from installgen.calc.star_mesh import Bools, Floats, Ints
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

SIZES = ((0.3, 3), (0.3, 8), (0.4, 8), (0.5, 12), (0.6, 20), (0.8, 20), (1.2, 40))
"""How finely a tree asks, the next pair where it gets too large: a reading that tells less [bit] is
not worth its while; so few things are looked at themselves when a point is not reached."""

MOST_PLACES = 260
"""Questions and ends that somebody should have to carry about for one symptom."""

AT_FIRST_SUSPECT = 1.5
"""A reading at the likeliest suspect itself is preferred to one as telling elsewhere."""

UNSURE_RATIO = 1.3
"""Jumps nearer than this to that limit may be called either."""

OTHER_POINTS = 1
"""How often somebody may say of one question that its point is out of reach."""

WELDED_RATIO = 0.3
"""A contact that sticks is rarer than one that fails to close (common practice)."""

EFFORT_OF_STATE = {
    "off": 1.0, "ignition-on": 1.0, "preheating": 1.2, "breakaway": math.inf, "cranking": 1.6,
    "running-idle": 2.0, "running-cruise": 3.0, "running-rated": math.inf, "stopping": 1.5,
    "emergency-stop": 1.5,
}  # fmt: skip

EFFORT_OF_REACH = {"easy": 1.0, "hard": 3.0, "none": math.inf}

STANDING = frozenset({"off", "ignition-on", "preheating", "cranking"})
RUNS = STANDING | {"running-idle", "running-cruise", "stopping"}
STOPS = RUNS | {"emergency-stop"}
STATES_OF_SYMPTOM = {
    Symptom.DOES_NOT_CRANK: STANDING,
    Symptom.CLICKS: STANDING,
    Symptom.CRANKS_DOES_NOT_START: STANDING,
    Symptom.STOPS_ON_RELEASE: STANDING,
    Symptom.STARTER_STAYS_IN: frozenset[str](),
    Symptom.WILL_NOT_STOP: STOPS,
}
"""States that an engine with the symptom can be brought into; `RUNS` where it is not named.

With a starter that stays in nothing is read: the isolator has to be opened at once.
"""


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
        return max(value * (WELDED_RATIO if rare else 1.0), 1e-6)

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
    questions = _questions(study, symptom, odds)
    if not questions:
        suspects.sort(key=lambda s: (-odds.weight(s), s.fault.id))
        return FaultTree(study.engine, symptom, Leaf(tuple(suspects)))
    grower = _Grower.of(study, symptom, questions, suspects, odds)
    for least_bits, few_things in SIZES:
        root = grower.root(least_bits, few_things)
        if root is not None:
            return FaultTree(study.engine, symptom, root)
    return FaultTree(study.engine, symptom, grower.everything())


def _questions(study: FaultStudy, symptom: Symptom, odds: Chances) -> list[Question]:
    cases = {case.id: case for case in study.cases}
    allowed = STATES_OF_SYMPTOM.get(symptom, RUNS)
    black = f"{study.watch.source}.negative"
    found = []
    lowest_v, highest_v = study.expected_v()
    for (case_id, node), index in study.points.items():
        case = cases[case_id]
        if case.state(study.engine).key not in allowed or node == black:
            continue
        low, high = float(lowest_v[index]), float(highest_v[index])
        if math.isnan(low) or math.isinf(odds.effort(case, study.engine, node)):
            continue
        found.append(Question(case, node, (low, high)))
    return found


def _allowed(
    study: FaultStudy,
    symptom: Symptom,
    questions: Sequence[Question],
    suspects: Sequence[FaultEffect],
) -> Bools:
    """Which answers each suspect allows, (questions, answers, suspects)."""
    rows = [study.points[question.case.id, question.node] for question in questions]
    bands = np.array([question.accepted_v for question in questions])
    allowed = np.zeros((len(rows), len(ANSWERS), len(suspects)), dtype=np.bool_)
    for column, effect in enumerate(suspects):
        for low_v, high_v, jumps_by_v in _ranges(effect, symptom, rows):
            allowed[:, :, column] |= _answers(low_v, high_v, jumps_by_v, bands)
    return allowed


def _ranges(
    effect: FaultEffect, symptom: Symptom, rows: Sequence[int]
) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Least and greatest voltage where an effect shows as a symptom, and by how much it jumps.

    A battery between the weak and the strong one, or a joint between two degrees, reads between
    what they read; chatter counts by itself, for it does not lie between steady states.
    """
    before: list[tuple[Floats, Floats]] = []
    for showing in effect.showing(symptom):
        found = [(shown.low_v[rows], shown.high_v[rows]) for shown in showing]
        for low_v, high_v in found:
            yield low_v, high_v, high_v - low_v
        for first, second in itertools.pairwise([*before, *found]):
            steady = (first[1] - first[0] <= UNSTEADY_V) & (second[1] - second[0] <= UNSTEADY_V)
            low_v, high_v = np.minimum(first[0], second[0]), np.maximum(first[1], second[1])
            yield np.where(steady, low_v, 0.0), high_v, np.where(steady, 0.0, np.nan)
        before = found[-1:]


ANSWERS = (Answer.NOTHING, Answer.LOW, Answer.EXPECTED, Answer.HIGH, Answer.UNSTEADY)


def _answers(low_v: Floats, high_v: Floats, jumps_by_v: Floats, bands_v: Floats) -> Bools:
    """The answers that readings allow, (readings, answers); a floating point allows all."""
    floats = np.isnan(low_v) | np.isnan(high_v)
    unsteady = jumps_by_v > UNSTEADY_V / UNSURE_RATIO
    steady = jumps_by_v < UNSTEADY_V * UNSURE_RATIO
    low_v = low_v - METER_V - METER_RATIO * np.abs(low_v)
    high_v = high_v + METER_V + METER_RATIO * np.abs(high_v)
    least, most = bands_v.T
    below = steady & (low_v < least)
    nothing = below & (low_v < NOTHING_V) & (high_v > -NOTHING_V) & (least > -NOTHING_V)
    low = below & ((low_v <= -NOTHING_V) | ((high_v >= NOTHING_V) & (least > NOTHING_V)))
    expected = steady & (low_v <= most) & (high_v >= least)
    high = steady & (high_v > most)
    answers = np.stack([nothing, low, expected, high, unsteady], axis=1)
    return np.asarray(answers | floats[:, np.newaxis])


class _TooLarge(Exception):
    """More places than a tree may have."""


@dataclass
class _Grower:
    """Grows one tree; places with the same suspects and the same questions left are one place.

    kinds: for each question, the first that splits the suspects as it does
    allowed: which answers each group of suspects allows, by kind (kinds, answers, groups)
    groups: suspects that all questions split alike
    things: for each thing, its share of each group's weight (groups, things)
    worth: of each question, before its kind's gain
    at_device: the questions at each device
    """

    engine: str
    questions: list[Question]
    kinds: Ints
    allowed: Floats
    groups: list[list[FaultEffect]]
    things: Floats
    weights: Mapping[str, float]
    worth: Floats
    at_device: Mapping[str, list[int]]
    made: dict[tuple[tuple[int, ...], frozenset[int], frozenset[str]], Branch | Leaf]
    least_bits: float = 0.0
    few_things: int = 0
    places: int = 0

    @classmethod
    def of(
        cls,
        study: FaultStudy,
        symptom: Symptom,
        questions: list[Question],
        suspects: Sequence[FaultEffect],
        odds: Chances,
    ) -> _Grower:
        """Sort questions into kinds, and suspects into groups that none of them tells apart."""
        allowed = _allowed(study, symptom, questions, suspects)
        weights = {effect.fault.id: odds.weight(effect) for effect in suspects}
        columns = [column.tobytes() for column in np.moveaxis(allowed, 2, 0)]
        first = {column: index for index, column in reversed(list(enumerate(columns)))}
        kept = sorted(first.values())
        groups = [
            [effect for effect, column in zip(suspects, columns, strict=True) if first[column] == k]
            for k in kept
        ]
        allowed = allowed[:, :, kept]
        rows = [row.tobytes() for row in allowed]
        place: dict[bytes, int] = {}
        kinds = np.array([place.setdefault(row, len(place)) for row in rows], dtype=np.intp)
        shapes = (len(place), len(ANSWERS), len(kept))
        by_kind = np.array([np.frombuffer(row, dtype=np.bool_) for row in place]).reshape(shapes)
        names = sorted({thing_of(effect.fault.element) for effect in suspects})
        things = np.zeros((len(groups), len(names)))
        for row_index, group in enumerate(groups):
            for effect in group:
                column_index = names.index(thing_of(effect.fault.element))
                things[row_index, column_index] += weights[effect.fault.id]
        worth = [1.0 / odds.effort(q.case, study.engine, q.node) for q in questions]
        at_device: dict[str, list[int]] = {}
        for index, question in enumerate(questions):
            at_device.setdefault(question.device, []).append(index)
        return cls(
            study.engine,
            questions,
            kinds,
            by_kind.astype(np.float64),
            groups,
            things,
            weights,
            np.array(worth),
            at_device,
            {},
        )

    def root(self, least_bits: float, few_things: int) -> Branch | Leaf | None:
        """The whole tree, of questions that tell at least so much; nothing where it is too large.

        few_things: so few are looked at themselves when a point is not reached
        """
        self.made.clear()
        self.least_bits, self.few_things, self.places = least_bits, few_things, 0
        try:
            return self._grow(tuple(range(len(self.groups))), frozenset(), frozenset())
        except _TooLarge:
            return None

    def everything(self) -> Leaf:
        """All suspects in one place."""
        self.places = 0
        return self._leaf(tuple(range(len(self.groups))))

    def _count(self) -> None:
        self.places += 1
        if self.places > MOST_PLACES:
            raise _TooLarge

    def _grow(
        self, groups: tuple[int, ...], asked: frozenset[int], skipped: frozenset[str]
    ) -> Branch | Leaf:
        gains = self._gains(groups)
        asked = frozenset(kind for kind in asked if self._splits(kind, groups))
        key = groups, asked, skipped
        if key not in self.made:
            self.made[key] = self._place(groups, asked, skipped, gains)
        return self.made[key]

    def _splits(self, kind: int, groups: tuple[int, ...]) -> bool:
        """Whether a kind of question could tell any two of these groups apart."""
        allowed = self.allowed[kind][:, groups]
        return bool((allowed != allowed[:, :1]).any())

    def _place(
        self,
        groups: tuple[int, ...],
        asked: frozenset[int],
        skipped: frozenset[str],
        gains: Floats,
    ) -> Branch | Leaf:
        index = self._best(groups, asked, skipped, gains)
        if index is None:
            return self._leaf(groups)
        self._count()
        question, kind = self.questions[index], int(self.kinds[index])
        together: dict[tuple[int, ...], list[Answer]] = {}
        for row, answer in enumerate(ANSWERS):
            part = tuple(group for group in groups if self.allowed[kind, row, group])
            if part:
                together.setdefault(part, []).append(answer)
        return Branch(
            question,
            sum(len(self.groups[group]) for group in groups),
            tuple(
                (
                    frozenset(answers),
                    self._grow(part, asked | {kind}, frozenset()),
                )
                for part, answers in together.items()
            ),
            self._grow(groups, asked, skipped | {question.device})
            if len(skipped) < OTHER_POINTS and self._things(groups) > self.few_things
            else self._leaf(groups),
        )

    def _things(self, groups: tuple[int, ...]) -> int:
        """How many things are suspected yet."""
        return int((self.things[list(groups)].sum(axis=0) > 0.0).sum())

    def _leaf(self, groups: tuple[int, ...]) -> Leaf:
        key = groups, frozenset({-1}), frozenset[str]()
        if key not in self.made:
            self._count()
            suspects = [effect for group in groups for effect in self.groups[group]]
            suspects.sort(key=lambda s: (-self.weights[s.fault.id], s.fault.id))
            self.made[key] = Leaf(tuple(suspects))
        leaf = self.made[key]
        assert isinstance(leaf, Leaf)
        return leaf

    def _best(
        self,
        groups: tuple[int, ...],
        asked: frozenset[int],
        skipped: frozenset[str],
        gains: Floats,
    ) -> int | None:
        """The question that tells most for its effort, or nothing where none is worth it."""
        gain = gains.copy()
        gain[list(asked)] = 0.0
        worth = gain[self.kinds] * self.worth
        suspects = [effect for group in groups for effect in self.groups[group]]
        first = max(suspects, key=lambda s: (self.weights[s.fault.id], s.fault.id)).fault.element
        worth[self.at_device.get(first, [])] *= AT_FIRST_SUSPECT
        for device in skipped:
            worth[self.at_device[device]] = 0.0
        if worth.size == 0:
            return None
        best = int(np.argmax(worth > worth.max() - 1e-9))
        return best if worth[best] > 0.0 else None

    def _gains(self, groups: tuple[int, ...]) -> Floats:
        """Bits that each kind of question tells about the thing at fault.

        A suspect that allows several answers shares its weight among them, yet stays a whole
        suspect after each: what does not rule it out tells nothing about it.
        """
        allowed = self.allowed[:, :, groups]
        things = self.things[list(groups)]
        whole = _bits(things.sum(axis=0))
        chance = (allowed / allowed.sum(axis=1, keepdims=True)) @ things.sum(axis=1)
        left = (_bits(allowed @ things) * chance).sum(axis=1) / things.sum()
        gain = whole - left
        return np.where(gain > self.least_bits, gain, 0.0)


def _bits(weights: Floats) -> Floats:
    """Entropy along the last axis; nil where there is nothing."""
    total = weights.sum(axis=-1, keepdims=True)
    share = np.divide(weights, total, out=np.zeros_like(weights), where=total > 0.0)
    logs = np.log2(share, out=np.zeros_like(share), where=share > 0.0)
    return np.asarray(-(share * logs).sum(axis=-1))
