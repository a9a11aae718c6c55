"""Every conductor: what it carries, how small and how warm it is, what the yard keeps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.conductors import ampacity_id, in_engine_space
from installgen.analysis.dc_choice import no_size
from installgen.analysis.dc_model import DcModel, WireEnd, calc_size
from installgen.analysis.dc_protection import CRANKING
from installgen.calc.conductors import area_mm2
from installgen.errors import OutOfTable
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    at_most,
    holds,
    lacking,
    not_assessed,
    result_against_result,
    result_is,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import shown
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Choose, known
from installgen.units import ConductorSize, Fraction, Length, Temperature, TemperatureDifference


def about_wire(end: WireEnd, *fields: str) -> About:
    """A conductor, with the fields that settle what is said of it."""
    engine = end.engine.name if end.engine is not None else ""
    return About(
        end.element,
        f"conductor {end.wire.label}",
        tuple((end.wire, field) for field in fields),
        engine,
    )


def _model(survey: Survey) -> DcModel:
    assert survey.analysis.dc is not None
    return survey.analysis.dc.model


def is_cranking(survey: Survey, end: WireEnd) -> bool:
    """Whether a conductor carries the starter's current, so that no fuse clears a fault on it."""
    result_id = f"conductor.{end.element}.protected-by"
    result = survey.book.get(result_id)
    return result is not None and str(result.value).startswith(CRANKING)


@named_check("dc-power")
def ampacity(survey: Survey) -> Iterator[Judgement]:
    """No conductor carries more in any case than its ampacity.

    The ampacity counts size, insulation, engine space and bundling. Conductors that carry the
    starter's current are left to `starter-circuit` and `cranking-voltage`.
    """
    for end in survey.wires:
        if is_cranking(survey, end):
            continue
        about = about_wire(end, "size", "insulation", "place", "bundled")
        carried = f"conductor.{end.element}.current"
        allowed = ampacity_id(end.element)
        yield result_against_result(survey.book, carried, "at most", allowed, about)


@named_check("dc-power")
def mechanical_minimum(survey: Survey) -> Iterator[Judgement]:
    """No conductor is smaller than the smallest allowed for its strength."""
    for end in survey.wires:
        about = about_wire(end, "size", "sheathed")
        yield result_is(survey.book, f"conductor.{end.element}.minimum", ["met"], about)


@named_check("dc-power")
def smallest_stated(survey: Survey) -> Iterator[Judgement]:
    """No conductor of the vessel is smaller than the standard's `smallest_conductor`."""
    for end in survey.wires:
        if end.engine is not None:
            continue
        about = about_wire(end, "size", "sheathed")
        size = _model(survey).size_of(end.wire)
        if size is None:
            yield lacking(about, end.wire, "size")
            continue
        smallest = [
            one
            for one in survey.standard.smallest_conductor.get(end.wire.sheathed, [])
            if one.system == size.system
        ]
        if not smallest:
            yield lacking(
                about,
                survey.standard,
                "smallest_conductor",
                f"the smallest {end.wire.sheathed} conductor of the {size.system} list",
            )
            continue
        found, least = _area(size), _area(smallest[0])
        ok = found is not None and least is not None and found >= least
        yield holds(ok, str(size), f"{smallest[0]} or larger", about)


def _area(size: ConductorSize) -> float | None:
    try:
        return area_mm2(calc_size(size))
    except OutOfTable:
        return None


@named_check("dc-power")
def insulation_in_engine_space(survey: Survey, limit: Temperature) -> Iterator[Judgement]:
    """Conductors in an engine space have insulation for at least this temperature."""
    for end in survey.wires:
        if not in_engine_space(_model(survey), end.wire, end.engine):
            continue
        about = about_wire(end, "insulation", "place")
        rated = known(end.wire.insulation)
        if rated is None:
            yield lacking(about, end.wire, "insulation")
        else:
            yield at_least(rated, limit, about)


@named_check("dc-power")
def insulation_over_air(survey: Survey, limit: TemperatureDifference) -> Iterator[Judgement]:
    """Insulation stands at least this much more than the highest air temperature of its place."""
    for end in survey.wires:
        if end.engine is not None:
            continue
        place = _model(survey).vessel_place(end.wire.place)
        about = About(
            end.element,
            f"conductor {end.wire.label}",
            ((end.wire, "insulation"), (place, "temperature")),
        )
        rated = known(end.wire.insulation)
        if place is None:
            yield lacking(about, end.wire, "place", "the place it runs in")
        elif rated is None:
            yield lacking(about, end.wire, "insulation")
        elif (air := known(place.temperature)) is None:
            yield lacking(about, place, "temperature", f"highest temperature of {place.name}")
        else:
            first = survey.vessel.spec.units.first
            told = f"{shown(rated, first)}, less {shown(air, first)} in {place.name}"
            yield at_least(TemperatureDifference(rated.c - air.c), limit, about, told)


@named_check("dc-power")
def conductor_length(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """No conductor is longer than this share of the vessel's length, which a slip of the pen is."""
    length = known(survey.vessel.spec.vessel.length)
    for end in survey.wires:
        if end.engine is not None:
            continue
        about = about_wire(end, "length")
        run = known(end.wire.length)
        if length is None:
            yield lacking(about, survey.vessel.spec.vessel, "length", "length of the vessel")
        elif run is None:
            yield lacking(about, end.wire, "length")
        else:
            yield at_most(run, Length(limit.ratio * length.m), about)


@named_check("dc-power")
def tinned_strands(survey: Survey) -> Iterator[Judgement]:
    """The vessel's conductors are of tinned copper."""
    for end in survey.wires:
        if end.engine is None:
            tinned = end.wire.strands == "tinned"
            yield holds(tinned, end.wire.strands, "tinned", about_wire(end, "strands"))


@named_check("dc-power")
def conductor_stated(survey: Survey) -> Iterator[Judgement]:
    """Every conductor of the vessel says its length, size, insulation, place and function.

    What is left out here could not be counted elsewhere, so that leaving it out clears nothing.
    """
    for end in survey.wires:
        if end.engine is not None:
            continue
        gaps = [
            lacking(about_wire(end, name), end.wire, name)
            for name in ("length", "size", "insulation", "place")
            if known(getattr(end.wire, name)) is None
        ]
        if not end.wire.function:
            gaps.append(lacking(about_wire(end, "function"), end.wire, "function"))
        yield gaps[0] if gaps else holds(True, "stated", "stated", about_wire(end))


@named_check("dc-power")
def cable_stocked(survey: Survey) -> Iterator[Judgement]:
    """Every conductor of the vessel is of a size and insulation that the yard keeps."""
    stock = survey.standard.stock.cables
    for end in survey.wires:
        if end.engine is not None:
            continue
        about = about_wire(end, "size", "insulation")
        size, rated = _model(survey).size_of(end.wire), known(end.wire.insulation)
        if size is None or rated is None:
            yield lacking(about, end.wire, "size" if size is None else "insulation")
            continue
        kept = any(one.size == size and one.insulation.c >= rated.c for one in stock)
        words = f"{size} at {rated}"
        yield holds(kept, words, "a size and insulation of the yard's stock", about)


@named_check("dc-power")
def lug_stocked(survey: Survey) -> Iterator[Judgement]:
    """The yard keeps a lug that fits the conductor's size and the stud it goes on."""
    for end in survey.wires:
        stud = known(end.wire.stud)
        if end.engine is not None or stud is None:
            continue
        about = about_wire(end, "stud", "size")
        size = _model(survey).size_of(end.wire)
        if size is None:
            yield lacking(about, end.wire, "size")
            continue
        fits = [
            one
            for one in survey.standard.stock.cables
            if one.size == size and any(abs(own.mm - stud.mm) < 0.01 for own in one.studs)
        ]
        yield holds(bool(fits), f"{size} on a stud of {stud}", "a lug of the yard's stock", about)


@named_check("dc-power")
def colour_by_function(survey: Survey) -> Iterator[Judgement]:
    """A conductor whose function the standard names has the colour that the standard gives it."""
    colours = {one.function.casefold(): one.colour for one in survey.standard.colours}
    for end in survey.wires:
        if end.engine is not None:
            continue
        wire = end.wire
        about = about_wire(end, "colour", "function")
        if not wire.function:
            yield lacking(about, wire, "function")
        elif (wanted := colours.get(wire.function.casefold())) is not None:
            yield _colour(wire, wanted, about)


def _colour(wire: Conductor, wanted: str, about: About) -> Judgement:
    if not wire.colour:
        return lacking(about, wire, "colour")
    same = wire.colour.casefold() == wanted.casefold()
    return holds(same, f"{wire.colour} for {wire.function}", wanted, about)


@named_check("dc-power")
def size_fitted(survey: Survey) -> Iterator[Judgement]:
    """Every conductor says the size that was fitted; `choose` asks for a proposal only."""
    for end in survey.wires:
        about = about_wire(end, "size")
        if isinstance(end.wire.size, Choose):
            size = _model(survey).size_of(end.wire)
            none = size is None or end.wire.label in _model(survey).stand_ins
            words = "nothing can be proposed" if none else f"proposed: {size}"
            yield holds(False, words, "the size that was fitted", about)
        else:
            yield holds(True, "written", "the size that was fitted", about)


@named_check("dc-power")
def size_found(survey: Survey) -> Iterator[Judgement]:
    """For every conductor whose size is `choose` the yard keeps one that does it.

    Where none does, everything is computed with the largest stocked size in its place, and marked.
    The conductors of one run, out and back, are one finding.
    """
    model = _model(survey) if survey.analysis.dc is not None else None
    without: dict[str, list[WireEnd]] = {}
    for end in survey.wires:
        if not isinstance(end.wire.size, Choose) or model is None:
            continue
        if model.unchosen:
            about = about_wire(end, "size")
            yield not_assessed(about, "nothing can be proposed", model.unchosen)
            continue
        why = model.stand_ins.get(end.wire.label)
        if why is not None:
            without.setdefault(why, []).append(end)
            continue
        size = model.size_of(end.wire)
        about = about_wire(end, "size", "length")
        yield holds(size is not None, str(size), "a stocked size", about)
    for why, ends in without.items():
        labels = ", ".join(end.wire.label for end in ends)
        at = (*((end.wire, "size") for end in ends), *((end.wire, "length") for end in ends))
        about = replace(about_wire(ends[0]), at=at, name=f"conductors {labels}")
        largest = _model(survey).size_of(ends[0].wire)
        told = f"{no_size(why)}; computed with {largest}, the largest in stock"
        yield holds(False, told, "a stocked size", about)
