"""A tree of questions for one symptom: which voltage to read, and where each answer leads.

A suspect goes down every branch that its readings allow, with either battery and within the band
of a meter. So the tree never leads past a fault; readings too close to tell end in one group.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.cases import DcCase
from installgen.analysis.fault_study import FaultEffect
from installgen.analysis.readings import NOTHING_V, accepted_v
from installgen.analysis.symptoms import Symptom

UNSTEADY_V = 1.0
"""A reading that jumps by more, because relays chatter, is called unsteady."""


class Answer(StrEnum):
    """What a meter may show at a point."""

    NOTHING = "nothing"
    LOW = "low"
    EXPECTED = "expected"
    HIGH = "high"
    UNSTEADY = "unsteady"


@dataclass(frozen=True)
class Question:
    """A voltage to read against the battery's negative post, with what it should be.

    expected_v: least and greatest with everything whole [V]
    """

    case: DcCase
    node: str
    expected_v: tuple[float, float]

    @property
    def device(self) -> str:
        """The device that the point is on."""
        return self.node.rpartition(".")[0]

    @property
    def accepted_v(self) -> tuple[float, float]:
        """What counts as expected: the band of a meter around it, and nothing for nothing [V].

        In tenths of a volt, as it is printed.
        """
        return accepted_v(*self.expected_v)

    def answer(self, volts: float, jumps_by_v: float = 0.0) -> Answer:
        """What one reading says."""
        if jumps_by_v > UNSTEADY_V:
            return Answer.UNSTEADY
        least, most = self.accepted_v
        if least <= volts <= most:
            return Answer.EXPECTED
        if volts > most:
            return Answer.HIGH
        return Answer.NOTHING if abs(volts) < NOTHING_V else Answer.LOW


@dataclass(frozen=True, eq=False)
class Leaf:
    """Suspects that no further reading tells apart, the likeliest first."""

    suspects: tuple[FaultEffect, ...]


@dataclass(frozen=True, eq=False)
class Branch:
    """A question, and where the answers lead; answers that lead to one place stand together.

    suspects: how many faults are left before it is asked
    unreached: where to go on when nobody gets at the point
    """

    question: Question
    suspects: int
    answers: tuple[tuple[frozenset[Answer], Branch | Leaf], ...]
    unreached: Branch | Leaf

    def follow(self, volts: float, jumps_by_v: float = 0.0) -> Branch | Leaf | None:
        """Where a reading leads; nothing where no suspect allows it."""
        answer = self.question.answer(volts, jumps_by_v)
        return next((where for group, where in self.answers if answer in group), None)


@dataclass(frozen=True)
class FaultTree:
    """The questions for one symptom of one engine; several answers may lead to one question."""

    engine: str
    symptom: Symptom
    root: Branch | Leaf

    def straight(self) -> list[Branch | Leaf]:
        """What is met when every point can be reached, in the order in which it is met."""
        seen: dict[int, Branch | Leaf] = {}
        _walk(self.root, seen)
        return list(seen.values())

    def places(self) -> list[Branch | Leaf]:
        """Every question and end once: first what is met straight, then the rest."""
        seen = {id(place): place for place in self.straight()}
        later = list(seen.values())
        for place in later:
            if isinstance(place, Branch) and id(place.unreached) not in seen:
                known_before = len(seen)
                _walk(place.unreached, seen)
                later += list(seen.values())[known_before:]
        return later

    def leaves(self) -> Iterator[Leaf]:
        """Every end of the tree."""
        return (place for place in self.places() if isinstance(place, Leaf))


def _walk(place: Branch | Leaf, seen: dict[int, Branch | Leaf]) -> None:
    if id(place) in seen:
        return
    seen[id(place)] = place
    if isinstance(place, Branch):
        for _, where in place.answers:
            _walk(where, seen)


def thing_of(element: str) -> str:
    """What somebody would mend or replace: a conductor with its joints, a whole relay."""
    return element.partition(":")[0]
