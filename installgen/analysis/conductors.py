"""Every conductor: its resistance at its place, what it may carry, and how small it may be."""

from __future__ import annotations

from installgen.analysis.dc_lengths import length_id
from installgen.analysis.dc_model import DcModel, WireEnd, calc_size
from installgen.analysis.results import Book, MissingInput, TableOrigin, Working
from installgen.calc.ampacity import Ampacity, ampacity
from installgen.calc.conductors import (
    ConductorSize,
    Finish,
    conductor_resistance_ohm,
    mechanical_minimum,
    size_resistance,
)
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Choose
from installgen.spec.vessel import FittedEngine
from installgen.units import Current, Resistance, Temperature

COPPER = "R = R20·(1 + α·(T − 20 °C))·L, α = 0.00393 /K"


def resistance_id(element: str) -> str:
    """Id of a conductor's resistance."""
    return f"conductor.{element}.resistance"


def ampacity_id(element: str) -> str:
    """Id of what a conductor may carry."""
    return f"conductor.{element}.ampacity"


def analyse_conductors(book: Book, model: DcModel) -> None:
    """Enter temperature, resistance, ampacity and mechanical minimum of every conductor."""
    for end in model.wires():
        _temperature(book, model, end)
        _resistance(book, model, end)
        _ampacity(book, model, end)
        _minimum(book, model, end)


def engine_of(end: WireEnd) -> str:
    """Name of the engine a wire sits on, or nothing."""
    return end.engine.name if end.engine is not None else ""


def taken_size(w: Working, model: DcModel, wire: Conductor) -> ConductorSize:
    """The size as fitted, or as proposed. Raises MissingInput where there is neither."""
    if isinstance(wire.size, Choose):
        size = model.sizes.get(wire.label)
        if wire.label in model.stand_ins and size is not None:
            w.stands_in("the largest stocked size, for want of one that does it", str(size))
            return calc_size(size)
        proposed = f"conductor.{wire.label}.proposed-size"
        if proposed in w.book:
            w.result(proposed, "proposed size")
        if size is None:
            raise MissingInput("no size is proposed")
        return calc_size(size)
    return calc_size(w.spec(wire, "size", f"size of {wire.label}"))


def in_engine_space(model: DcModel, wire: Conductor, engine: FittedEngine | None) -> bool:
    """Whether a conductor runs in an engine space."""
    place = model.vessel_place(wire.place)
    return engine is not None or (place is not None and place.kind == "engine-space")


def _note_place(w: Working, model: DcModel, end: WireEnd) -> None:
    """The space that a conductor runs through, and what kind of space it is."""
    if end.engine is None:
        w.optional(end.wire, "place", "runs through")
        w.optional(model.vessel_place(end.wire.place), "kind", "a space of the kind")


def _temperature(book: Book, model: DcModel, end: WireEnd) -> None:
    with book.working(
        f"conductor.{end.element}.temperature",
        f"Conductor temperature of {end.wire.label}",
        "dc-power",
        formula=(
            "its insulation rating in an engine space, else the highest air temperature of its "
            "place"
        ),
        source="common practice: the hottest a conductor may be is what its drop is judged at",
        subject=end.element,
        engine=engine_of(end),
    ) as w:
        _note_place(w, model, end)
        if in_engine_space(model, end.wire, end.engine):
            w.value = w.spec(end.wire, "insulation", f"insulation of {end.wire.label}")
            return
        place = model.vessel_place(end.wire.place)
        own = (
            w.optional(place, "temperature", f"highest temperature of {place.name}")
            if place
            else None
        )
        w.value = own if own is not None else w.assume("ambient", "air temperature of her spaces")


def _resistance(book: Book, model: DcModel, end: WireEnd) -> None:
    with book.working(
        resistance_id(end.element),
        f"Resistance of {end.wire.label}",
        "dc-power",
        formula=COPPER,
        source="published resistance of its size; IEC 60028 for copper",
        subject=end.element,
        engine=engine_of(end),
    ) as w:
        w.spec(end.wire, "from_", "from")
        w.spec(end.wire, "to", "to")
        w.optional(end.wire, "strands", "strands")
        size = taken_size(w, model, end.wire)
        if length_id(end.element) in w.book:
            length = w.result(length_id(end.element)).m
        else:
            length = w.spec(end.wire, "length", f"length of {end.wire.label}").m
        temperature = w.result(f"conductor.{end.element}.temperature").c
        finish = Finish.TINNED if end.wire.strands == "tinned" else Finish.PLAIN
        row = size_resistance(size, finish)
        w.table(
            f"resistance of {size} at 20 °C",
            f"{row.ohm_per_m_20c * 1000:.4g} Ω/km",
            TableOrigin("resistance by size", str(size), row.source, str(row.mark)),
        )
        w.value = Resistance(conductor_resistance_ohm(size, length, temperature, finish))


def _ampacity(book: Book, model: DcModel, end: WireEnd) -> None:
    with book.working(
        ampacity_id(end.element),
        f"Ampacity of {end.wire.label}",
        "dc-power",
        formula="table current · engine-space factor · bundling factor; of two tables the lower",
        source=(
            "33 CFR 183.425 table 5 and its notes; for mm² also the small-craft table, the lower "
            "of both"
        ),
        subject=end.element,
        engine=engine_of(end),
    ) as w:
        size = taken_size(w, model, end.wire)
        insulation = w.spec(end.wire, "insulation", f"insulation of {end.wire.label}").c
        _note_place(w, model, end)
        hot = in_engine_space(model, end.wire, end.engine)
        bundled = end.wire.bundled or 1
        if end.wire.bundled is not None:
            w.spec(end.wire, "bundled", "conductors in its bundle")
        found = ampacity(size, insulation, in_engine_space=hot, bundled_conductors=bundled)
        _note_ampacity(w, found)
        w.value = Current(found.current_a)


def _note_ampacity(w: Working, found: Ampacity) -> None:
    for figure in found.considered:
        w.table(
            f"{figure.read_as} at {figure.column_c} °C insulation"
            + (" (governs)" if figure is found.governing else ""),
            Current(figure.base_a),
            TableOrigin("ampacity", figure.read_as, "; ".join(figure.sources), str(figure.mark)),
        )
        if figure.engine_space_ratio != 1.0:
            w.method("engine-space factor", figure.engine_space_ratio, "notes of the same table")
        if figure.bundling_ratio != 1.0:
            w.method("bundling factor", figure.bundling_ratio, "notes of the same table")
    for text in (*found.not_covered, *found.cautions):
        words = str(text)
        w.note(f"{words[:1].upper()}{words[1:]}.")


def _minimum(book: Book, model: DcModel, end: WireEnd) -> None:
    with book.working(
        f"conductor.{end.element}.minimum",
        f"Mechanical minimum of {end.wire.label}",
        "dc-power",
        formula="its size against the smallest allowed, sheathed or not",
        source="33 CFR 183.425(d)–(f); small-craft practice for mm²",
        subject=end.element,
        engine=engine_of(end),
    ) as w:
        size = taken_size(w, model, end.wire)
        w.optional(end.wire, "sheathed", "sheathed or open")
        found = mechanical_minimum(size, end.wire.sheathed == "sheathed")
        w.table(
            "smallest allowed",
            found.printed,
            TableOrigin("smallest conductor", found.printed, found.source, str(found.mark)),
        )
        w.value = "met" if found.met else f"smaller than {found.printed}"


def conductor_temperature_c(book: Book, element: str) -> float | None:
    """The temperature that a conductor was taken at [degC]; None where not assessed."""
    value = book[f"conductor.{element}.temperature"].value
    return value.c if isinstance(value, Temperature) else None
