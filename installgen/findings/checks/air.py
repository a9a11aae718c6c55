"""Air of the engine space: openings, depression, and how warm it gets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from installgen.analysis.battery_air import battery_places, vent_id
from installgen.analysis.results import Value
from installgen.findings.checks.speeds import SPEEDS
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    figure_of,
    lacking,
    not_assessed,
    result_against_result,
    result_at_most,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import shown
from installgen.spec.entry import known
from installgen.spec.hull import AirSpace
from installgen.spec.vessel_spec import Place
from installgen.units import Area, PressureDifference, Velocity


def _spaces(survey: Survey) -> Iterator[tuple[Place, About]]:
    """The spaces that hold an engine."""
    held = {engine.entry.place for engine in survey.engines}
    for place in survey.vessel.spec.places:
        if place.id in held:
            at = ((survey.vessel.spec, "air"), (place, ""))
            yield place, About(f"air.{place.id}", f"air of {place.name}", at)


def _worst(judged: Iterable[Judgement], about: About) -> Judgement:
    return worst(judged) or not_assessed(about, "its air is not computed")


@named_check("air")
def air_inlet_area(survey: Survey) -> Iterator[Judgement]:
    """The openings let in what engines and cooling need at the depression that is allowed."""
    for place, about in _spaces(survey):
        there, needed = (f"air.{place.id}.{what}" for what in ("inlet-area", "inlet-area-needed"))
        yield result_against_result(survey.book, there, "at least", needed, about)


@named_check("air")
def air_depression(survey: Survey, limit: PressureDifference) -> Iterator[Judgement]:
    """At no speed is the air of an engine space thinner by more than the limit."""
    for place, about in _spaces(survey):
        ids = [f"air.{place.id}.{speed}.depression" for speed in SPEEDS]
        yield _worst((result_at_most(survey.book, i, limit, about) for i in ids), about)


@named_check("air")
def air_rise(survey: Survey) -> Iterator[Judgement]:
    """At no speed does the intake air get warmer over the outside air than the engine allows."""
    for place, about in _spaces(survey):
        yield _worst((_rise(survey, place, speed, about) for speed in SPEEDS), about)


def _rise(survey: Survey, place: Place, speed: str, about: About) -> Judgement:
    """The rise at a speed, against the least that an engine of the space allows."""
    allowed = []
    for engine in survey.engines:
        if engine.entry.place == place.id:
            limits = engine.sheet.limits
            rise = known(limits.highest_intake_rise)
            if rise is None:
                what = f"{engine.name}: allowed rise"
                return lacking(about, limits, "highest_intake_rise", what)
            allowed.append(rise)
    rise_id, margin_id = (f"air.{place.id}.{speed}.{what}" for what in ("rise", "rise-margin"))
    found = result_at_most(survey.book, rise_id, min(allowed, key=lambda k: k.k), about)
    if found.figure is None:
        return found
    named = replace(found.about, name=f"{about.name}, {speed}")
    return replace(found, about=named, results=(rise_id, margin_id))


@named_check("air")
def space_temperature(survey: Survey) -> Iterator[Judgement]:
    """The air of an engine space gets no hotter than the temperature that is written of it.

    Conductors in it are judged by that temperature: running at any speed, and just after stopping,
    when nothing draws the heat away but the blowers that run on.
    """
    for place, about in _spaces(survey):
        about = About(about.subject, about.name, ((place, "temperature"), *about.at))
        written = known(place.temperature)
        if written is None:
            yield lacking(about, place, "temperature", f"highest temperature of {place.name}")
        else:
            yield result_at_most(survey.book, f"air.{place.id}.hottest", written, about)


@named_check("air")
def battery_vent(survey: Survey) -> Iterator[Judgement]:
    """A place with lead-acid batteries has an air inlet and an outlet that keep hydrogen thin."""
    entries = {entry.place: entry for entry in survey.vessel.spec.air}
    places = {place.id: place for place in survey.vessel.spec.places}
    for place, batteries in battery_places(survey.vessel):
        entry = entries.get(place)
        name = places[place].name if place in places else "nowhere"
        at = ((entry, "openings"), (batteries[0], "place"), (batteries[0], ""))
        about = About(f"battery-air.{place or 'nowhere'}", f"air of the batteries in {name}", at)
        needed = figure_of(survey.book, vent_id(place, "area"), about)
        if isinstance(needed, Judgement):
            yield needed
        elif entry is None:
            yield lacking(about, survey.vessel.spec, "air", f"the air openings of {name}")
        else:
            yield _smaller_opening(survey, entry, needed, about)


def _smaller_opening(survey: Survey, entry: AirSpace, needed: Value, about: About) -> Judgement:
    """The smaller of all inlets and all outlets of a place, against what is needed."""
    sums = {"in": 0.0, "out": 0.0}
    for opening in entry.openings:
        area = known(opening.area)
        if area is None:
            return lacking(about, opening, "area", f"clear area of {opening.name}")
        sums[opening.way] += area.m2
    first = survey.vessel.spec.units.first
    told = f"inlets {shown(Area(sums['in']), first)}, outlets {shown(Area(sums['out']), first)}"
    return at_least(Area(min(sums.values())), needed, about, told)


@named_check("air")
def air_velocity(survey: Survey, limit: Velocity) -> Iterator[Judgement]:
    """Air comes in no faster than the limit, which would carry spray with it."""
    for place, about in _spaces(survey):
        ids = [f"air.{place.id}.{speed}.inlet-velocity" for speed in SPEEDS]
        yield _worst((result_at_most(survey.book, i, limit, about) for i in ids), about)
