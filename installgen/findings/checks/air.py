"""Air of the engine space: openings, depression, and how warm it gets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from installgen.findings.checks.speeds import SPEEDS
from installgen.findings.judgement import (
    About,
    Judgement,
    figure_of,
    not_assessed,
    result_at_least,
    result_at_most,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.vessel_spec import Place
from installgen.units import PressureDifference, TemperatureDifference, Velocity


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
        needed = figure_of(survey.book, f"air.{place.id}.inlet-area-needed", about)
        if isinstance(needed, Judgement):
            yield needed
        else:
            yield result_at_least(survey.book, f"air.{place.id}.inlet-area", needed, about)


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
        ids = [f"air.{place.id}.{speed}.rise-margin" for speed in SPEEDS]
        nothing = TemperatureDifference(0.0)
        judged = [result_at_least(survey.book, i, nothing, about) for i in ids]
        yield _worst(judged, about)


@named_check("air")
def air_velocity(survey: Survey, limit: Velocity) -> Iterator[Judgement]:
    """Air comes in no faster than the limit, which would carry spray with it."""
    for place, about in _spaces(survey):
        ids = [f"air.{place.id}.{speed}.inlet-velocity" for speed in SPEEDS]
        yield _worst((result_at_most(survey.book, i, limit, about) for i in ids), about)
