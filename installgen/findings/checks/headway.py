"""What stands outside the hull at the raw-water intake, and what headway does there."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.headway import flooding_headway_id, greatest_headway_id
from installgen.analysis.raw_water_intake import seacock_of
from installgen.analysis.route import Route
from installgen.findings.judgement import (
    About,
    Judgement,
    figure_of,
    holds,
    lacking,
    result_at_least,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import NameList
from installgen.spec.entry import known
from installgen.spec.piping import Seacock
from installgen.units import BoatSpeed


def _intakes(survey: Survey) -> Iterator[tuple[Route, Seacock, About]]:
    for name, route in survey.analysis.routes.items():
        cock, step = seacock_of(route), route.steps[0]
        if cock is not None:
            called = f"{step.name} {step.code}".strip()
            yield route, cock, About(step.id, called, ((cock, "intake"), (cock, "")), name)


@named_check("raw-water")
def intake_fitting(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """The fitting outside the hull at a raw-water intake is one that the standard allows."""
    for _, cock, about in _intakes(survey):
        fitting = known(cock.intake)
        if fitting is None:
            yield lacking(about, cock, "intake", "intake fitting")
        else:
            yield holds(fitting in limit, fitting, str(limit), about)


@named_check("raw-water")
def headway_flood(survey: Survey, limit: BoatSpeed) -> Iterator[Judgement]:
    """With an engine stopped, headway in its scoop fills no exhaust at any speed she makes.

    Towed, under sail or driven by her other engine, a scoop that faces forward pushes the sea
    past the stopped pump, over a vented loop and into the cylinders. The speed at which it gets
    there is to be no less than the limit, for a tow, and than the greatest of her sea trial.
    """
    for route, cock, about in _intakes(survey):
        fitting = known(cock.intake)
        result_id = flooding_headway_id(route.engine)
        if fitting is None:
            yield lacking(about, cock, "intake", "intake fitting")
        elif result_id not in survey.book:
            why = "the route leads nowhere inside" if fitting == "scoop-forward" else fitting
            yield holds(True, why, "nothing that headway pushes inside", about)
        else:
            tow = result_at_least(survey.book, result_id, limit, about)
            greatest = figure_of(survey.book, greatest_headway_id(route.engine), about)
            if tow.verdict != "pass":
                yield tow
            elif isinstance(greatest, Judgement):
                yield greatest
            else:
                assert isinstance(greatest, BoatSpeed)
                made = result_at_least(survey.book, result_id, max(limit, greatest), about)
                yield made.because("her greatest speed") if greatest > limit else made
