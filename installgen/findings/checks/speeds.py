"""The speeds that figures of fluids are computed at, and a margin over all of them."""

from __future__ import annotations

from installgen.analysis.results import Value
from installgen.findings.judgement import (
    About,
    Judgement,
    not_assessed,
    result_at_least,
    result_at_most,
    worst,
)
from installgen.findings.survey import Survey

SPEEDS = ("idle", "cruise", "rated")


def margin_at_every_speed(survey: Survey, pattern: str, nothing: Value, about: About) -> Judgement:
    """A margin that may not be below nothing, the smallest over the speeds.

    pattern: id of the result, with `{speed}` in it
    """
    judged = [
        result_at_least(survey.book, pattern.format(speed=speed), nothing, about)
        for speed in SPEEDS
    ]
    return worst(judged) or not_assessed(about, "it is not computed")


def most_at_every_speed(survey: Survey, pattern: str, limit: Value, about: About) -> Judgement:
    """A figure that may not be above a limit, the greatest over the speeds."""
    judged = [
        result_at_most(survey.book, pattern.format(speed=speed), limit, about) for speed in SPEEDS
    ]
    return worst(judged) or not_assessed(about, "it is not computed")
