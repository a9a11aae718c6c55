"""A fault tree as screens: one question at a time, each answer a link to the next one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from installgen.analysis.fault_study import FaultEffect, FaultStudy
from installgen.analysis.fault_tree import (
    Answer,
    Branch,
    FaultTree,
    Leaf,
    Question,
)
from installgen.analysis.fault_trees import EngineFaults
from installgen.analysis.readings import CARRIES_A, flows_a
from installgen.manual.blocks import (
    Block,
    Bullets,
    Choice,
    Facts,
    Line,
    Link,
    Paragraph,
    Screen,
    Screens,
    Strong,
    Target,
)
from installgen.manual.pages.electrical import terminal_line
from installgen.manual.pages.fault_cases import case_line, step_caution
from installgen.manual.pages.fault_words import (
    cure_line,
    device_found,
    suspects_by_thing,
    thing_line,
    thing_place,
    what_is_wrong,
    wires_at,
)
from installgen.manual.pages.reading_words import (
    amperes,
    answers_text,
    band_text,
    meter_range,
    plain_name,
    rank,
    with_working,
)
from installgen.manual.vessel_manual import VesselManual, full_stop

NONE = "none"
"""Anchor of the screen for a reading that no single fault explains."""

MOST_LISTED = 6
"""Things that an end lists before it points to the list of all suspects."""

MOST_IN_FULL = 2
"""Things that an end also says the place and the cure of."""

MOST_BACK = 6
"""Steps that one may have come from, by which a step leads back."""

ALL_SUSPECTS = "suspects"


@dataclass
class TreeScreens:
    """The screens of one tree, numbered in the order in which they are met.

    page: id of the page they stand on
    """

    m: VesselManual
    faults: EngineFaults
    tree: FaultTree
    page: str
    number: dict[int, int] = field(init=False)
    flows: Mapping[str, Mapping[str, float]] = field(init=False)

    def __post_init__(self) -> None:
        self.places = self.tree.places()
        self.number = {id(place): index + 1 for index, place in enumerate(self.places)}
        self.straight = len(self.tree.straight())
        self.flows = {found.case.id: flows_a(found) for found in self.faults.weakest}
        self.before: dict[int, list[int]] = {}
        for place in self.places:
            for where in _next_of(place):
                self.before.setdefault(id(where), []).append(self.number[id(place)])

    @property
    def study(self) -> FaultStudy:
        """The study that the tree was grown from."""
        return self.faults.study

    def screens(self) -> Screens:
        """All of them, the first question first."""
        made = [self._screen(place) for place in self.places]
        if any(choice.target.anchor == NONE for screen in made for choice in screen.choices):
            made.append(self._none())
        return Screens(tuple(made))

    def _screen(self, place: Branch | Leaf) -> Screen:
        number = self.number[id(place)]
        if isinstance(place, Branch):
            title: Line = self.m.say(
                "faults.read_at", point=terminal_line(self.m, place.question.node)
            )
            blocks = tuple(self._question(place.question))
            choices = tuple(self._choices(place))
        else:
            title = self._verdict(place)
            blocks = tuple(self._end(place))
            choices = self._once_mended()
        return Screen(
            step_anchor(number),
            str(number),
            title,
            blocks,
            choices,
            self._ways_back(number, place),
            aside=number > self.straight,
        )

    def _target(self, place: Branch | Leaf) -> tuple[Target, str]:
        number = self.number[id(place)]
        return Target(self.page, step_anchor(number)), str(number)

    # ---- questions ----------------------------------------------------------------------------

    def _question(self, question: Question) -> Iterator[Block]:
        m, study = self.m, self.study
        device = m.devices.get(question.device)
        where = device_found(m, question.device) if device is not None else ""
        state = question.case.state(study.engine).state
        caution = step_caution(m, state, None if device is None else device[0])
        if caution is not None:
            yield caution
        flow = self.flows[question.case.id].get(question.node, 0.0)
        black = plain_name(m, study.watch.source)
        should_show = band_text(m, question.accepted_v)
        load: Line = ""
        if flow >= CARRIES_A:
            amps = with_working(m, question.case, amperes(flow))
            load = m.say("faults.under_load", amps=amps)
        yield Facts(
            (
                (m.text("faults.do"), case_line(m, study.engine, question.case)),
                (
                    m.text("faults.meter"),
                    m.say("faults.meter_range", range=meter_range(m), battery=black),
                ),
                (m.text("faults.find"), where),
                (m.text("faults.wires"), wires_at(m, question.node)),
                (m.text("faults.should_show"), Strong(with_working(m, question.case, should_show))),
                (m.text("faults.load"), load),
            )
        )

    def _choices(self, place: Branch) -> Iterator[Choice]:
        m = self.m
        for answers, where in sorted(place.answers, key=lambda item: rank(item[0])):
            target, number = self._target(where)
            text = answers_text(m, place.question, answers)
            yield Choice(text, target, number, good=Answer.EXPECTED in answers)
        covered = frozenset().union(*(answers for answers, _ in place.answers))
        if covered != set(Answer):
            other = Target(self.page, NONE)
            yield Choice(m.say("faults.something_else"), other, str(len(self.places) + 1), True)
        target, number = self._target(place.unreached)
        yield Choice(m.say("faults.not_reached"), target, number, True, screen_only=True)

    def _ways_back(self, number: int, place: Branch | Leaf) -> tuple[Choice, ...]:
        earlier = sorted(set(self.before.get(id(place), [])))
        if number <= self.straight:
            earlier = [step for step in earlier if step <= self.straight]
        return tuple(
            Choice(self.m.say("faults.back_to", step=str(n)), Target(self.page, step_anchor(n)), "")
            for n in earlier[:MOST_BACK]
        )

    # ---- ends ---------------------------------------------------------------------------------

    def _verdict(self, leaf: Leaf) -> Line:
        things = suspects_by_thing(leaf.suspects)
        if len(things) == 1:
            return self.m.say("faults.it_is")
        if len(things) <= MOST_LISTED:
            return self.m.say("faults.one_of", count=str(len(things)))
        return self.m.say("faults.not_told_apart", count=str(len(things)))

    def _end(self, leaf: Leaf) -> Iterator[Block]:
        m = self.m
        things = suspects_by_thing(leaf.suspects)
        whole = len(things) <= MOST_IN_FULL
        yield Bullets(tuple(self._suspect(*item, whole=whole) for item in things[:MOST_LISTED]))
        if len(things) > MOST_LISTED:
            everything = Link(m.text("faults.all_suspects"), Target(self.page, ALL_SUSPECTS))
            yield Paragraph(m.say("faults.more_suspects", all=everything))

    def _once_mended(self) -> tuple[Choice, ...]:
        if isinstance(self.tree.root, Leaf):
            return ()
        first = Target(self.page, step_anchor(1))
        return (Choice(self.m.say("faults.after_cure"), first, "1", True, screen_only=True),)

    def _suspect(self, thing: str, effects: list[FaultEffect], *, whole: bool) -> Line:
        """One thing with what may be wrong; where there are few, also where and what to do."""
        m, study = self.m, self.study
        wrong = full_stop(what_is_wrong(m, study, effects))
        head = (Strong(thing_line(m, study, thing)), ": ", wrong[:1].lower() + wrong[1:], " ")
        if not whole:
            more = Link(m.text("faults.what_to_do"), Target(self.page, suspect_anchor(thing)))
            return (*head, more)
        place = thing_place(m, study, thing)
        where = (m.say("faults.place", place=full_stop(place)), " ") if place else ""
        return (*head, where, cure_line(m, study, thing))

    def _none(self) -> Screen:
        m = self.m
        return Screen(
            NONE,
            str(len(self.places) + 1),
            m.say("faults.none_title"),
            (Paragraph(m.say("faults.none_text")),),
            (),
            (Choice(m.say("faults.start_again"), Target(self.page, step_anchor(1)), "1"),),
        )


def _next_of(place: Branch | Leaf) -> list[Branch | Leaf]:
    if isinstance(place, Leaf):
        return []
    return [*(where for _, where in place.answers), place.unreached]


def step_anchor(number: int) -> str:
    """Where a step stands on its page."""
    return f"step-{number}"


def suspect_anchor(thing: str) -> str:
    """Where a suspect stands in the list of all of them."""
    return f"suspect.{thing}"
