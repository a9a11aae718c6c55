"""Rating: printed powers that agree, displacement that fits bore and stroke."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.findings.judgement import (
    About,
    Judgement,
    at_most,
    figure_of,
    holds,
    lacking,
    result_at_most,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.entry import known
from installgen.units import Displacement, Fraction, Volume


@named_check("rating")
def stated_power(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """Every power that is printed somewhere agrees with the sheet's within this share.

    Two figures that disagree are reported, never averaged: ask whether one is behind the gear,
    or in metric horsepower.
    """
    for engine in survey.engines:
        if engine.rating is None:
            continue
        for number, stated in enumerate(engine.rating.stated, start=1):
            about = About(
                f"{engine.name}.rating.stated-{number}",
                f"power on the {stated.printed_on}",
                ((stated, "power"),),
                engine.name,
            )
            result_id = f"{engine.name}.rating.stated-{number}.difference"
            yield result_at_most(survey.book, result_id, limit, about)


@named_check("rating")
def displacement(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """The stated displacement is that of bore, stroke and cylinders, within this share."""
    for engine in survey.engines:
        build = engine.sheet.build
        about = About(
            f"{engine.name}.displacement",
            f"displacement of {engine.name}",
            ((build, "displacement"),),
            engine.name,
        )
        stated = known(build.displacement)
        result_id = f"{engine.name}.rating.displacement"
        swept = figure_of(survey.book, result_id, about)
        if stated is None:
            yield lacking(about, build, "displacement")
        elif isinstance(swept, Judgement):
            yield swept
        elif isinstance(swept, Displacement | Volume):
            apart = abs(stated.m3 - swept.m3) / swept.m3
            yield replace(at_most(Fraction(apart), limit, about), results=(result_id,))


@named_check("rating")
def rating_basis(survey: Survey) -> Iterator[Judgement]:
    """Every printed power says whether it is at the crankshaft or at the propeller shaft."""
    for engine in survey.engines:
        for number, stated in enumerate(engine.rating.stated if engine.rating else (), start=1):
            about = About(
                f"{engine.name}.rating.stated-{number}",
                f"power on the {stated.printed_on}",
                ((stated, "basis"),),
                engine.name,
            )
            ok = stated.basis != "not-stated"
            yield holds(ok, stated.basis.replace("-", " "), "crankshaft or propeller shaft", about)


@named_check("rating")
def options_taken(survey: Survey) -> Iterator[Judgement]:
    """The vessel says herself which choice of every option of the sheet is fitted."""
    for engine in survey.engines:
        for option, choice in sorted(engine.options.items()):
            about = About(
                f"{engine.name}.options.{option}",
                f"option {option} of {engine.name}",
                ((engine.entry, "options"),),
                engine.name,
            )
            own = option in engine.entry.options
            words = choice if own else f"{choice}, for nothing is said"
            yield holds(own, words, "a choice that the vessel writes", about)


@named_check("rating")
def engine_documents(survey: Survey) -> Iterator[Judgement]:
    """The sheet lists the engine maker's own documents, each with its number and date."""
    for engine in survey.engines:
        documents = engine.sheet.documents
        about = About(
            f"{engine.name}.documents",
            f"documents of {engine.name}",
            tuple((one, "title") for one in documents) or ((engine.sheet, "documents"),),
            engine.name,
        )
        gap = next((d for d in documents if not d.number or not d.date), None)
        if not documents:
            yield lacking(about, engine.sheet, "documents")
        elif gap is not None:
            yield lacking(about, gap, "number" if not gap.number else "date")
        else:
            yield holds(True, f"{len(documents)} listed", "stated", about)


@named_check("rating")
def energy_balance(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """At rated power no more of the fuel's energy than this is unaccounted for, either way."""
    for engine in survey.engines:
        about = About(
            f"{engine.name}.energy",
            f"energy balance of {engine.name}",
            ((engine.performance, "rows"),),
            engine.name,
        )
        result_id = f"{engine.name}.rating.rated.energy-unaccounted"
        found = figure_of(survey.book, result_id, about)
        if isinstance(found, Judgement):
            yield found
        elif isinstance(found, Fraction):
            apart = Fraction(abs(found.ratio))
            yield replace(at_most(apart, limit, about), results=(result_id,))
