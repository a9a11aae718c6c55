"""Switches, isolators, contacts, pins and buses: what each carries against its rating."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.reach import reached
from installgen.findings.judgement import (
    About,
    Judgement,
    at_most,
    holds,
    lacking,
    not_assessed,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import (
    Bus,
    Contact,
    DeviceBase,
    Fuse,
    Isolator,
    Plug,
    Relay,
    Selector,
)
from installgen.spec.entry import Entry, known
from installgen.units import Current

_CRANKING = ("breakaway", "cranking")


def _about(device_id: str, device: DeviceBase, entry: Entry, field: str) -> About:
    engine = device_id.rpartition(".")[0]
    return About(device_id, device.title, ((entry, field),), engine)


def _most(
    survey: Survey,
    cases: Iterable[SolvedCase],
    carried: Callable[[SolvedCase], float | None],
    limit: Current,
    about: About,
) -> Judgement:
    """The greatest current over some cases against a rating."""
    judged = []
    for found in cases:
        here = replace(about, case=found.case.id)
        if found.settled is None:
            judged.append(not_assessed(here, found.reason, found.missing))
            continue
        amps = carried(found)
        if amps is not None:
            one = at_most(Current(abs(amps)), limit, here)
            result_id = solved_id(found.case)
            judged.append(
                replace(one, results=(result_id,), assumed=survey.book[result_id].assumed)
            )
    return worst(judged) or not_assessed(about, "no case was found in which it carries current")


@named_check("dc-power")
def isolator_rating(survey: Survey) -> Iterator[Judgement]:
    """An isolator carries no more than its rating; while cranking, than its cranking rating.

    The cranking rating is asked only of one through which a starter is fed.
    """
    starting = survey.cranking_wires
    for device_id, device, _ in survey.devices:
        if not isinstance(device, Isolator):
            continue
        feeds_starter = any(
            end.startswith(f"{device_id}.")
            for wire in survey.wires
            if wire.element in starting
            for end in (wire.start, wire.end)
        )
        ratings = ("rating", "cranking_rating") if feeds_starter else ("rating",)
        judged = []
        for field in ratings:
            cases = [c for c in survey.cases if _rated_by(c, feeds_starter) == field]
            about = _about(device_id, device, device, field)
            limit = known(getattr(device, field))
            if limit is None:
                judged.append(lacking(about, device, field))
            elif cases:
                judged.append(_most(survey, cases, _through(device_id), limit, about))
        found = worst(judged)
        if found is not None:
            yield found


def _rated_by(found: SolvedCase, feeds_starter: bool) -> str:
    """The rating that a case is judged by: one that feeds no starter has but one."""
    cranks = any(state.state in _CRANKING for _, state in found.case.states)
    return "cranking_rating" if cranks and feeds_starter else "rating"


def _through(element: str) -> Callable[[SolvedCase], float | None]:
    return lambda found: found.current_a(element)


@named_check("dc-power")
def switch_rating(survey: Survey) -> Iterator[Judgement]:
    """Key switches, push-buttons and selectors carry no more than their rating."""
    for device_id, device, _ in survey.devices:
        if isinstance(device, Selector):
            about = _about(device_id, device, device, "rating")
            limit = known(device.rating)
            if limit is None:
                yield lacking(about, device, "rating")
            else:
                yield _most(survey, survey.cases, _largest(f"{device_id}:"), limit, about)


def _largest(prefix: str) -> Callable[[SolvedCase], float | None]:
    """The greatest current of the elements whose names begin so."""

    def carried(found: SolvedCase) -> float | None:
        amps = [
            abs(found.current_a(element.id) or 0.0)
            for element in found.parts.elements
            if element.id.startswith(prefix)
        ]
        return max(amps, default=None)

    return carried


@named_check("dc-power")
def contact_rating(survey: Survey) -> Iterator[Judgement]:
    """A relay's contacts carry no more than their rating."""
    for device_id, device, _ in survey.devices:
        if isinstance(device, Relay):
            for contact in device.contacts:
                yield _contact(survey, device_id, device, contact)


def _contact(survey: Survey, device_id: str, device: Relay, contact: Contact) -> Judgement:
    element = f"{device_id}:{'-'.join(contact.between)}"
    about = replace(
        _about(device_id, device, contact, "rating"),
        subject=element,
        name=f"contact {'-'.join(contact.between)} of {device.title}",
    )
    limit = known(contact.rating)
    if limit is None:
        return lacking(about, contact, "rating")
    return _most(survey, survey.cases, _through(element), limit, about)


@named_check("dc-power")
def pin_rating(survey: Survey) -> Iterator[Judgement]:
    """No pin of a plug carries more than the plug's rating for one pin."""
    for device_id, device, _ in survey.devices:
        if isinstance(device, Plug):
            about = _about(device_id, device, device, "pin_rating")
            limit = known(device.pin_rating)
            if limit is None:
                yield lacking(about, device, "pin_rating")
            else:
                yield _most(survey, survey.cases, _largest(f"{device_id}."), limit, about)


@named_check("dc-power")
def bus_rating(survey: Survey) -> Iterator[Judgement]:
    """All that comes to a bus together is no more than its rating."""
    for device_id, device, _ in survey.devices:
        if isinstance(device, Bus):
            about = _about(device_id, device, device, "rating")
            limit = known(device.rating)
            if limit is None:
                yield lacking(about, device, "rating")
            else:
                yield _most(survey, survey.cases, _into_bus(survey, device_id), limit, about)


def _into_bus(survey: Survey, device_id: str) -> Callable[[SolvedCase], float | None]:
    """Current that flows into a bus: half of what all its conductors carry, in or out."""
    prefix = f"{device_id}."
    ends = [
        wire
        for wire in survey.wires
        if wire.start.startswith(prefix) or wire.end.startswith(prefix)
    ]
    return lambda found: sum(abs(found.current_a(wire.element) or 0.0) for wire in ends) / 2.0


@named_check("dc-power")
def bus_to_battery(survey: Survey) -> Iterator[Judgement]:
    """Every bus is led to a battery by the vessel's own conductors, switches and fuses.

    Led through an engine's harness only, its loads would return through wires that are not made
    for them. A heavy conductor to an engine's block is the vessel's own.
    """
    beside: dict[str, list[str]] = {}
    for one, other in _own_links(survey):
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Bus) or engine is not None or device.polarity == "signal":
            continue
        ends = {f"{bank.id}.{device.polarity}" for bank in survey.vessel.batteries()}
        starts = {f"{device_id}.{contact}" for contact in device.contacts}
        at = ((device, ""), (survey.vessel.spec.electrical, "conductors"))
        about = About(device_id, device.title, at)
        led = bool(reached(beside, starts) & ends)
        words = "led to a battery" if led else "no way but through an engine's harness, or none"
        yield holds(led, words, "a way of its own to a battery", about)


def _own_links(survey: Survey) -> list[tuple[str, str]]:
    """Pairs of terminals that the vessel herself joins."""
    links = [(end.start, end.end) for end in survey.wires if end.engine is None]
    for device_id, device, engine in survey.devices:
        if engine is not None:
            continue
        if isinstance(device, Bus):
            first, *rest = device.contacts
            links += [(f"{device_id}.{first}", f"{device_id}.{other}") for other in rest]
        elif isinstance(device, Fuse | Isolator):
            links.append((f"{device_id}.in", f"{device_id}.out"))
        elif isinstance(device, Selector):
            groups = [group for position in device.positions.values() for group in position]
            links += [
                (f"{device_id}.{group[0]}", f"{device_id}.{other}")
                for group in groups
                for other in group[1:]
            ]
    return links
