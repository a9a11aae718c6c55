"""Steps as data: a sentence, what must be fitted for it, and the caution that stands before it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from installgen.manual.blocks import (
    Block,
    Caution,
    Line,
    SignalWord,
    Stack,
    Step,
    Steps,
    is_empty,
    joined,
)
from installgen.manual.fitted import Fitted

Gaps: TypeAlias = Mapping[str, Line]
"""What a sentence's gaps are filled with; `how` and `where` are said after the sentence."""

HOW, WHERE = "how", "where"


@dataclass(frozen=True)
class Before:
    """The caution before a step.

    when: whether it concerns this engine; a caution of a part goes with the part
    """

    word: SignalWord
    keys: tuple[str, ...]
    when: Callable[[Fitted], bool] = lambda fitted: True


@dataclass(frozen=True)
class StepRule:
    """One step of a procedure.

    key: of its sentence
    of: what is fitted that the step is about, the gaps of the sentence for each; nothing fitted,
        no step
    either: things that do the same at different stations: one step, with all of them
    each: things of which every one has to be worked: one step, with all of them
    """

    key: str
    of: Callable[[Fitted], Iterable[Gaps]]
    before: Before | None = None
    either: bool = False
    each: bool = False


Procedure: TypeAlias = Sequence[StepRule]


def always(fitted: Fitted) -> Iterator[Gaps]:
    """A step that every engine asks for."""
    yield {}


def steps(fitted: Fitted, procedure: Procedure) -> Iterator[Block]:
    """The steps of a procedure that what is fitted asks for, as one numbered list.

    A caution that several steps in a row share stands before the first of them.
    """
    made: list[Step] = []
    last: Caution | None = None
    for rule in procedure:
        every = list(rule.of(fitted))
        if len(every) > 1 and (rule.either or rule.each):
            every = [_merged(fitted, every, "where.and" if rule.each else "where.or")]
        for gaps in every:
            caution = _caution(fitted, rule.before)
            made.append(
                Step(sentence_of(fitted, rule.key, gaps), caution if caution != last else None)
            )
            last = caution
    if made:
        yield Steps(tuple(made))


def _merged(fitted: Fitted, every: Sequence[Gaps], between: str) -> Gaps:
    """The gaps of one sentence for several things, by the word between them."""
    merged: dict[str, Line] = {}
    for name in every[0]:
        lines = list(dict.fromkeys(gaps[name] for gaps in every))
        if name == WHERE:
            merged[name] = _places(fitted, every, between)
        else:
            merged[name] = joined(lines, fitted.m.text(between))
    return merged


def _places(fitted: Fitted, every: Sequence[Gaps], between: str) -> Line:
    """Where each of them sits: named, where they are not all called the same."""
    say, names = fitted.m.say, {gaps["thing"] for gaps in every if "thing" in gaps}
    if len(names) < 2:
        lines = [gaps[WHERE] for gaps in every if not is_empty(gaps[WHERE])]
        return joined(lines, fitted.m.text(between))
    return Stack(tuple(say("where.of", thing=gaps["thing"], where=gaps[WHERE]) for gaps in every))


def sentence_of(fitted: Fitted, key: str, gaps: Gaps) -> Line:
    """The step's sentence, how the thing is worked, and below it where it sits."""
    own = {name: line for name, line in gaps.items() if name not in (HOW, WHERE)}
    said = joined([fitted.m.say(key, **own), gaps.get(HOW, "")], " ")
    where = gaps.get(WHERE, "")
    if is_empty(where):
        return said
    if isinstance(where, Stack):
        return Stack((said, *where.items))
    return Stack((said, fitted.m.say("where.line", where=where)))


def _caution(fitted: Fitted, before: Before | None) -> Caution | None:
    if before is None or not before.when(fitted):
        return None
    return Caution(before.word, tuple(fitted.m.say(key) for key in before.keys))
