"""Lubricating oil and gear oil: fills, and whether a turbocharger's drain falls."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, LaidLine
from installgen.analysis.results import Book, Working
from installgen.calc.lubrication import drain, slope_deg
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Angle, Length, Volume


def analyse_oil(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    for engine in vessel.engines:
        capacities = engine.sheet.capacities
        with book.working(
            f"{engine.name}.oil.fill",
            "Oil to fill after a change with filters",
            "oil",
            formula="sump to the upper mark + filters",
            source="engine sheet",
            engine=engine.name,
            subject=f"{engine.name}.oil",
        ) as w:
            full = w.spec(capacities, "oil_full", "sump at the upper mark").m3
            w.value = Volume(full + w.spec(capacities, "oil_filter", "filters").m3)
        with book.working(
            f"{engine.name}.oil.dipstick",
            "Between the marks of the dipstick",
            "oil",
            formula="upper − lower",
            source="engine sheet",
            engine=engine.name,
            subject=f"{engine.name}.oil",
        ) as w:
            full = w.spec(capacities, "oil_full", "sump at the upper mark").m3
            w.value = Volume(full - w.spec(capacities, "oil_least", "sump at the lower mark").m3)
    for line in circuit.lines:
        if line.line.kind == "drain" and line.line.from_at is not None and line.engine is not None:
            with book.working(
                f"oil.line.{line.id}.fall",
                f"Fall of the drain {line.id}",
                "oil",
                formula="height of its start − height of its end",
                source="geometry",
                subject=line.id,
                engine=line.engine.name,
            ) as w:
                high = w.spec(line.line.from_at, "z", "height of its start").m
                w.value = Length(high - w.spec(line.line.to_at, "z", "height of its end").m)
            _slope(book, line, line.engine)
            _slope_at_worst(book, vessel, line, line.engine)


def _ends(w: Working, line: LaidLine) -> list[tuple[float, float, float]]:
    """Both ends of a drain, in the engine's own axes."""
    ends = []
    for name in ("from_at", "to_at"):
        at = getattr(line.line, name)
        if at is None:
            w.spec(line.line, name, f"{'start' if name == 'from_at' else 'end'} of the drain")
        x, y, z = (w.spec(at, axis, f"position {axis}").m for axis in "xyz")
        ends.append((x, y, z))
    return ends


def _slope(book: Book, line: LaidLine, engine: FittedEngine) -> None:
    with book.working(
        f"oil.line.{line.id}.slope",
        f"Slope of the drain {line.id}",
        "oil",
        formula="atan(fall / level distance)",
        source="geometry",
        subject=line.id,
        engine=engine.name,
    ) as w:
        w.value = Angle(slope_deg(*_ends(w, line)))


def _slope_at_worst(book: Book, vessel: Vessel, line: LaidLine, engine: FittedEngine) -> None:
    with book.working(
        f"oil.line.{line.id}.slope-worst",
        f"Least slope of the drain {line.id}, heeled and trimmed",
        "oil",
        formula="atan(fall / level distance), least over heel, trim and the installed angle",
        source="geometry: rotation of both ends",
        subject=line.id,
        engine=engine.name,
    ) as w:
        ends = _ends(w, line)
        heel = w.spec(vessel.spec.waterline, "worst_heel", "worst heel").deg
        trim = w.optional(vessel.spec.waterline, "worst_trim", "worst trim")
        installed = w.spec(engine.entry, "angle", "installed angle").deg
        if trim is None:
            w.note("No trim is stated: heel only.")
        pitch = trim.deg if trim is not None else 0.0
        # Bow up is positive, and the flywheel end stands the lower by the installed angle.
        slopes = [
            drain(ends, phi, installed + theta).flattest.slope_deg
            for phi in (-heel, 0.0, heel)
            for theta in (-pitch, 0.0, pitch)
        ]
        w.value = Angle(min(slopes))
        asked = w.optional(engine.sheet.limits, "drain_slope", "least slope the maker allows")
        if asked is not None:
            word = "keeps" if min(slopes) >= asked.deg else "does not keep"
            w.note(f"It {word} the maker's least slope.")


def analyse_gear_oil(book: Book, vessel: Vessel) -> None:
    for engine in vessel.engines:
        if engine.entry.gear is None:
            continue
        with book.working(
            f"{engine.name}.gear-oil.fill",
            "Gear oil to fill",
            "gear-oil",
            formula="as written",
            source="vessel spec, from the gear maker",
            engine=engine.name,
            subject=f"{engine.name}.gear-oil",
        ) as w:
            w.value = w.spec(engine.entry.gear, "oil", "gear oil")
