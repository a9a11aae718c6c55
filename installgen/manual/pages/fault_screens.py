"""A fault tree as screens: one question at a time, each answer a link to the next one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from installgen.analysis.fault_study import FaultEffect, FaultStudy
from installgen.analysis.fault_tree import (
    UNSTEADY_V,
    Answer,
    Branch,
    FaultTree,
    Leaf,
    Question,
)
from installgen.analysis.fault_trees import EngineFaults
from installgen.analysis.readings import CARRIES_A, NOTHING_V, flows_a
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
from installgen.manual.pages.fault_cases import case_line
from installgen.manual.pages.fault_words import (
    cure_line,
    device_found,
    suspects_by_thing,
    thing_line,
    thing_place,
    what_is_wrong,
)
from installgen.manual.vessel_manual import VesselManual, full_stop

NONE = "none"
"""Anchor of the screen for a reading that no single fault explains."""

MOST_LISTED = 6
"""Things that an end lists before it points to the list of all suspects."""

MOST_IN_FULL = 2
"""Things that an end also says the place and the cure of."""

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
        if any(screen.choices for screen in made):
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
            choices = ()
        return Screen(
            _anchor(number),
            str(number),
            title,
            blocks,
            choices,
            self._ways_back(number, place),
            aside=number > self.straight,
        )

    def _target(self, place: Branch | Leaf) -> tuple[Target, str]:
        number = self.number[id(place)]
        return Target(self.page, _anchor(number)), str(number)

    # ---- questions ----------------------------------------------------------------------------

    def _question(self, question: Question) -> Iterator[Block]:
        m, study = self.m, self.study
        where = device_found(m, question.device) if question.device in m.devices else ""
        flow = self.flows[question.case.id].get(question.node, 0.0)
        black = plain_name(m, study.watch.source)
        yield Facts(
            (
                (m.text("faults.do"), case_line(m, study, question.case)),
                (
                    m.text("faults.meter"),
                    m.say("faults.meter_range", range=meter_range(m), battery=black),
                ),
                (m.text("faults.find"), where),
                (m.text("faults.should_show"), Strong(band_text(m, question.accepted_v))),
                (
                    m.text("faults.load"),
                    m.say("faults.under_load", amps=f"{flow:.2g}\N{NO-BREAK SPACE}A")
                    if flow >= CARRIES_A
                    else "",
                ),
            )
        )

    def _choices(self, place: Branch) -> Iterator[Choice]:
        m = self.m
        for answers, where in sorted(place.answers, key=lambda item: _rank(item[0])):
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
            Choice(self.m.say("faults.back_to", step=str(n)), Target(self.page, _anchor(n)), "")
            for n in earlier[:3]
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
        yield Paragraph(m.say("faults.after_cure"))

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
            (Choice(m.say("faults.start_again"), Target(self.page, _anchor(1)), "1"),),
        )


def _next_of(place: Branch | Leaf) -> list[Branch | Leaf]:
    if isinstance(place, Leaf):
        return []
    return [*(where for _, where in place.answers), place.unreached]


def _anchor(number: int) -> str:
    return f"step-{number}"


def suspect_anchor(thing: str) -> str:
    """Where a suspect stands in the list of all of them."""
    return f"suspect.{thing}"


# ---- readings in words ------------------------------------------------------------------------


def meter_range(m: VesselManual) -> str:
    """The range of an ordinary meter that shows the system's voltage."""
    highest = max((d.voltage.v for d in m.vessel.batteries()), default=0.0)
    key = "faults.range_20" if highest * 1.5 <= 20.0 else "faults.range_200"
    return m.text(key)


def volts(value: float) -> str:
    """A voltage in tenths of a volt."""
    return f"{value:.1f}\N{NO-BREAK SPACE}V".replace("-", "\N{MINUS SIGN}")


def band_text(m: VesselManual, band_v: tuple[float, float]) -> str:
    """A band in words: `about nothing`, `11.9 V to 13.1 V`."""
    least, most = band_v
    if least >= -NOTHING_V and most <= NOTHING_V:
        return m.text("faults.about_nothing", limit=volts(NOTHING_V))
    if least <= -NOTHING_V:
        return m.text("faults.at_most", most=volts(most))
    return m.text("faults.band", least=volts(least), most=volts(most))


def answers_text(m: VesselManual, question: Question, answers: frozenset[Answer]) -> Line:
    """What a meter shows when one of these answers is right, in words."""
    least, most = question.accepted_v
    parts: list[str] = []
    for run in _runs(answers):
        parts.append(_run_text(m, run, least, most))
    if Answer.UNSTEADY in answers:
        parts.append(m.text("faults.unsteady", jumps=volts(UNSTEADY_V)))
    text = m.text("faults.or").join(part for part in parts if part)
    if answers == {Answer.EXPECTED}:
        return m.say("faults.as_it_should", text=text)
    return text[:1].upper() + text[1:]


_RISING = (Answer.NOTHING, Answer.LOW, Answer.EXPECTED, Answer.HIGH)


def _runs(answers: frozenset[Answer]) -> list[list[Answer]]:
    """Answers whose voltages follow one another, put together."""
    runs: list[list[Answer]] = []
    last = -2
    for index, answer in enumerate(_RISING):
        if answer in answers:
            if index == last + 1 and runs:
                runs[-1].append(answer)
            else:
                runs.append([answer])
            last = index
    return runs


def _run_text(m: VesselManual, run: Sequence[Answer], least: float, most: float) -> str:
    first, last = run[0], run[-1]
    nothing_expected = least == -NOTHING_V
    if nothing_expected:
        # Below the band there is only a reading with a minus sign.
        if first in (Answer.NOTHING, Answer.LOW) and last is not Answer.HIGH:
            if last is Answer.EXPECTED:
                return m.text("faults.at_most", most=volts(most))
            return m.text("faults.minus", limit=volts(NOTHING_V))
        if last is Answer.HIGH:
            if first is Answer.HIGH:
                return m.text("faults.more_than", least=volts(most))
            return m.text("faults.anything")
        return band_text(m, (least, most))
    low = {
        Answer.NOTHING: None,
        Answer.LOW: NOTHING_V,
        Answer.EXPECTED: least,
        Answer.HIGH: most,
    }[first]
    high = {
        Answer.NOTHING: NOTHING_V,
        Answer.LOW: least,
        Answer.EXPECTED: most,
        Answer.HIGH: None,
    }[last]
    if low is None and high is None:
        return m.text("faults.anything")
    if low is None:
        if last is Answer.NOTHING:
            return m.text("faults.about_nothing", limit=volts(NOTHING_V))
        return m.text("faults.less_than", most=volts(high or 0.0))
    if high is None:
        return m.text("faults.more_than", least=volts(low))
    return m.text("faults.band", least=volts(low), most=volts(high))


def _rank(answers: frozenset[Answer]) -> int:
    order = (Answer.EXPECTED, *_RISING, Answer.UNSTEADY)
    return min(order.index(answer) for answer in answers)


def plain_name(m: VesselManual, device_id: str) -> str:
    """A device's code and name as text."""
    device, _ = m.devices[device_id]
    return f"{device.code} {device.title}".strip()
