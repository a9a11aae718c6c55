"""Exhaust: back pressure, temperatures, the alarm's setting, how the hose falls."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.checks.speeds import most_at_every_speed
from installgen.findings.judgement import (
    About,
    Judgement,
    lacking,
    result_at_least,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Exhaust
from installgen.units import Fraction, Temperature, TemperatureDifference, Volume


def _wet(survey: Survey, field: str) -> Iterator[tuple[FittedEngine, Exhaust, About]]:
    for exhaust in survey.vessel.spec.exhaust:
        engine = survey.vessel.engine(exhaust.engine)
        if exhaust.kind == "wet":
            about = About(
                f"{engine.name}.exhaust",
                f"exhaust of {engine.name}",
                ((exhaust, field), (exhaust, "")),
                engine.name,
            )
            yield engine, exhaust, about


@named_check("exhaust")
def back_pressure(survey: Survey) -> Iterator[Judgement]:
    """At no speed is the back pressure above what the engine maker allows.

    Dry run, wet run and the water that stands in the riser are counted.
    """
    for engine, _, about in _wet(survey, "pieces"):
        limit = known(engine.sheet.limits.largest_back_pressure)
        if limit is None:
            yield lacking(about, engine.sheet.limits, "largest_back_pressure")
        else:
            pattern = f"{engine.name}.exhaust.{{speed}}.back-pressure"
            yield most_at_every_speed(survey, pattern, limit, about)


@named_check("exhaust")
def mixture_temperature(survey: Survey, limit: Temperature) -> Iterator[Judgement]:
    """Gas and water behind the injection are no warmer than the limit, at any speed."""
    for engine, _, about in _wet(survey, "pieces"):
        pattern = f"{engine.name}.exhaust.{{speed}}.mixture-temperature"
        yield most_at_every_speed(survey, pattern, limit, about)


@named_check("exhaust")
def alarm_setting(survey: Survey, limit: TemperatureDifference) -> Iterator[Judgement]:
    """The exhaust's alarm operates this much over the mixture, and under what the hose stands.

    Nearer to the mixture it cries wolf, nearer to the hose it comes too late.
    """
    for engine, exhaust, about in _wet(survey, "alarm_at"):
        if exhaust.alarm != "fitted":
            continue
        if known(exhaust.alarm_at) is None:
            yield lacking(about, exhaust, "alarm_at")
            continue
        prefix = f"{engine.name}.exhaust"
        over = result_at_least(survey.book, f"{prefix}.alarm-over-mixture", limit, about)
        under = result_at_least(survey.book, f"{prefix}.alarm-under-hose", limit, about)
        found = worst(
            [over.because("over the mixture"), under.because("under what the hose stands")]
            if "not assessed" not in (over.verdict, under.verdict)
            else [over, under]
        )
        assert found is not None
        yield found


@named_check("exhaust")
def drain_back(survey: Survey) -> Iterator[Judgement]:
    """The muffler holds the water that runs back from the riser when the engine stops."""
    for engine, _, about in _wet(survey, "pieces"):
        result_id = f"{engine.name}.exhaust.drain-back-room"
        yield result_at_least(survey.book, result_id, Volume(0.0), about)


@named_check("exhaust")
def exhaust_fall(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """Exhaust hoses fall at least this much along their length."""
    for engine, exhaust, _ in _wet(survey, "pieces"):
        for number, piece in enumerate(exhaust.pieces, start=1):
            name = piece.id or str(number)
            result_id = f"{engine.name}.exhaust.{name}.fall"
            if result_id in survey.book:
                here = About(
                    f"{engine.name}.exhaust.{name}",
                    f"exhaust {piece.kind} {name}",
                    ((piece.at, "z"), (piece, "")),
                    engine.name,
                )
                yield result_at_least(survey.book, result_id, limit, here)
