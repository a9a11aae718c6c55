"""Readings taken at commissioning, against what was computed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Value
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    at_most,
    figure_of,
    holds,
    lacking,
    not_assessed,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import Battery
from installgen.spec.vessel_spec import Reading
from installgen.units import Fraction, Quantity, UnitProblem, Voltage


def _about(number: int, reading: Reading) -> About:
    case = f", {reading.case}" if reading.case else ""
    return About(
        f"reading.{number}",
        f"reading of {reading.of}{case}",
        ((reading, "value"),),
        "",
        reading.case,
    )


@named_check("readings")
def reading_within(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """A reading lies within the band that was computed, widened by this share at either end.

    A battery's terminals at rest are judged between the weak battery and the full one; another
    terminal between what both give in that case; a result against its own figure.
    """
    for number, reading in enumerate(survey.vessel.spec.readings, start=1):
        yield _reading(survey, reading, limit, _about(number, reading))


def _reading(survey: Survey, reading: Reading, limit: Fraction, about: About) -> Judgement:
    if reading.of in survey.book:
        expected = figure_of(survey.book, reading.of, about)
        if isinstance(expected, Judgement):
            return expected
        if not isinstance(expected, Quantity):
            return not_assessed(about, f"`{reading.of}` is not a figure")
        found = _against_band(reading, (expected, expected), limit, about)
        return replace(found, results=(reading.of,))
    band = _terminal_band(survey, reading)
    if isinstance(band, str):
        return not_assessed(about, band)
    return _against_band(reading, band, limit, about)


def _against_band(
    reading: Reading, band: tuple[Quantity, Quantity], limit: Fraction, about: About
) -> Judgement:
    try:
        value = type(band[0]).parse(reading.value)
    except UnitProblem as problem:
        return not_assessed(about, str(problem))
    lowest = type(band[0])(band[0].value - limit.ratio * abs(band[0].value))
    highest = type(band[1])(band[1].value + limit.ratio * abs(band[1].value))
    low, high = at_least(value, lowest, about), at_most(value, highest, about)
    shares = (low.margin_share or 0.0, high.margin_share or 0.0)
    return low if shares[0] < shares[1] else high


def _terminal_band(survey: Survey, reading: Reading) -> tuple[Voltage, Voltage] | str:
    """What a terminal may read in a case: weakest to strongest battery; or why not known."""
    dc = survey.analysis.dc
    if dc is None:
        return "she has no electrical entry"
    weak = _voltage(dc.cases, reading)
    if isinstance(weak, str):
        return weak
    strong = _strongest(survey, reading, weak)
    return Voltage(min(weak, strong)), Voltage(max(weak, strong))


def _strongest(survey: Survey, reading: Reading, weak: float) -> float:
    device, _, terminal = reading.of.rpartition(".")
    bank = next((d for d in survey.vessel.batteries() if d.id == device), None)
    full = _value(survey, f"battery.{device}.strongest.emf")
    if isinstance(bank, Battery) and terminal == "positive" and isinstance(full, Voltage):
        return full.v
    dc = survey.analysis.dc
    assert dc is not None
    again = _voltage(dc.strongest_cases, reading)
    return weak if isinstance(again, str) else again


def _voltage(cases: tuple[SolvedCase, ...], reading: Reading) -> float | str:
    found = next((case for case in cases if case.case.id == reading.case), None)
    if found is None:
        return _which_case([case.case.id for case in cases], reading.case)
    if found.settled is None:
        return found.reason
    volts = found.voltage_v(reading.of)
    return f"`{reading.of}` is no terminal, or floats in this case" if volts is None else volts


def _which_case(known: list[str], written: str) -> str:
    """Why a case is not known, with those that may be meant: on a twin `port.off` for `off`."""
    same_state = [case for case in known if case.partition(".")[2] == written]
    meant = same_state or known
    told = f"write {' or '.join(f'`{case}`' for case in meant)}"
    return f"there is no case `{written}`; {told}" if written else f"`case` is not given; {told}"


def _value(survey: Survey, result_id: str) -> Value | None:
    return survey.book[result_id].value if result_id in survey.book else None


@named_check("readings")
def reading_recorded(survey: Survey) -> Iterator[Judgement]:
    """Every reading says when it was taken, with what, by whom and at which loading."""
    for number, reading in enumerate(survey.vessel.spec.readings, start=1):
        about = _about(number, reading)
        gap = next(
            (f for f in ("date", "instrument", "by", "loading") if not getattr(reading, f)), None
        )
        if gap is None:
            yield holds(True, reading.date, "recorded", about)
        else:
            yield lacking(about, reading, gap)


@named_check("readings")
def readings_taken(survey: Survey) -> Iterator[Judgement]:
    """Each battery has a reading at rest, taken at commissioning."""
    for bank in survey.vessel.batteries():
        about = About(bank.id, f"reading of {bank.title}", ((survey.vessel.spec, "readings"),))
        own = [r for r in survey.vessel.spec.readings if r.of == f"{bank.id}.positive"]
        if own:
            about = replace(about, at=((own[0], "value"),))
            yield holds(True, own[0].value, "a reading", about)
        else:
            yield lacking(about, survey.vessel.spec, "readings", f"a reading of {bank.title}")
