"""Lubrication: turbocharger drains, grades, gear oil, crankcase vent."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.judgement import (
    About,
    Judgement,
    holds,
    lacking,
    not_assessed,
    result_at_least,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.entry import known
from installgen.units import Length


@named_check("oil")
def turbo_drain(survey: Survey, limit: Length) -> Iterator[Judgement]:
    """A turbocharger's oil drain falls at least this far, all the way down to the sump."""
    circuit = survey.analysis.circuits.get("oil")
    if circuit is None:
        return
    turbos = {part.id for part in circuit.of_kind("turbocharger")}
    for turbo in sorted(turbos):
        drains = [
            line for line in circuit.lines if line.line.kind == "drain" and line.start == turbo
        ]
        part = next(p for p in circuit.parts if p.id == turbo)
        engine = part.engine.name if part.engine is not None else ""
        if not drains:
            about = About(turbo, f"oil drain of {part.part.title}", ((part.part, ""),), engine)
            yield not_assessed(about, "no drain leads from it")
        for drain in drains:
            line = drain.line
            at = ((line, "slope"), (line.from_at, "z"), (line.to_at, "z"))
            about = About(drain.id, f"oil drain {drain.id}", at, engine)
            if line.slope is not None and line.slope != "falls":
                yield holds(False, line.slope, "falls", about)
            elif line.slope is None:
                yield lacking(about, line, "slope", "how it runs")
            elif line.from_at is None or line.to_at is None:
                field = "from_at" if line.from_at is None else "to_at"
                yield lacking(about, line, field, "the heights of its ends")
            else:
                yield result_at_least(survey.book, f"oil.line.{drain.id}.fall", limit, about)


@named_check("oil")
def oil_stated(survey: Survey) -> Iterator[Judgement]:
    """Each engine's sheet says which oil, and how much with filters."""
    for engine in survey.engines:
        capacities = engine.sheet.capacities
        about = About(
            f"{engine.name}.oil", f"oil of {engine.name}", ((capacities, "oil_grade"),), engine.name
        )
        gap = next(
            (
                field
                for field in ("oil_grade", "oil_full", "oil_filter")
                if not known(getattr(capacities, field))
            ),
            None,
        )
        if gap is None:
            yield holds(True, capacities.oil_grade, "stated", about)
        else:
            yield lacking(about, capacities, gap)


@named_check("oil")
def gear_oil_stated(survey: Survey) -> Iterator[Judgement]:
    """Each gear says which oil it takes, and how much."""
    for engine in survey.engines:
        gear = engine.entry.gear
        if gear is None:
            continue
        about = About(
            f"{engine.name}.gear-oil",
            f"gear oil of {engine.name}",
            ((gear, "oil_grade"),),
            engine.name,
        )
        gap = next((f for f in ("oil", "oil_grade") if not known(getattr(gear, f))), None)
        yield (
            holds(True, gear.oil_grade, "stated", about)
            if gap is None
            else lacking(about, gear, gap)
        )


@named_check("oil")
def crankcase_vent(survey: Survey) -> Iterator[Judgement]:
    """The crankcase breathes somewhere: a line leads from each engine's breather."""
    circuit = survey.analysis.circuits.get("crankcase-vent")
    for engine in survey.engines:
        own = engine.circuit("crankcase-vent")
        about = About(
            f"{engine.name}.crankcase-vent",
            f"crankcase vent of {engine.name}",
            ((own, "lines"),),
            engine.name,
        )
        if circuit is None or own is None:
            yield not_assessed(about, f"the sheet of {engine.name} has no crankcase vent")
            continue
        breathers = {p.id for p in circuit.of_kind("breather") if p.engine is engine}
        led = any(line.start in breathers for line in circuit.lines)
        yield holds(led, "led away" if led else "no line leads from it", "led away", about)
