"""Conductor schedule: every conductor by its label, from where to where, and what it may carry."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.dc_faults import fault_id
from installgen.analysis.dc_lengths import length_id
from installgen.analysis.results import Result
from installgen.manual.blocks import (
    Block,
    Code,
    Heading,
    Line,
    Link,
    Mark,
    Outcome,
    Row,
    Target,
    joined,
)
from installgen.manual.links import CONDUCTORS
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.electrical import Wire, terminal_line, wires
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Choose


def conductors_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where there is no conductor."""
    every = list(wires(m))
    if not every:
        return
    yield m.paragraph("conductors.intro")
    yield m.caution("warning", "conductors.crimp_caution")
    own = [wire for wire in every if wire.engine is None]
    yield from _schedule(m, own, m.text("conductors.vessel_heading"), "vessel")
    for engine in m.vessel.engines:
        name = m.engine_name(engine)
        heading = (
            m.text("conductors.engine_heading", engine=name)
            if m.several
            else m.text("conductors.harness_heading")
        )
        harness = [wire for wire in every if wire.engine is engine]
        yield from _schedule(m, harness, heading, f"{engine.name}.harness")


def _schedule(m: VesselManual, group: list[Wire], heading: str, anchor: str) -> Iterator[Block]:
    if not group:
        return
    yield Heading(heading, anchor)
    yield from table(
        m.text("conductors.run_caption", where=heading),
        columns(m, "label from to length# size stud# colour function runs_through"),
        (_run(m, wire) for wire in group),
    )
    yield from table(
        m.text("conductors.figures_caption", where=heading),
        columns(
            m,
            "label insulation# greatest_current# ampacity# resistance# smallest protected_by "
            "dead_short",
        ),
        (row for wire in group if (row := _figures(m, wire)) is not None),
    )


def _run(m: VesselManual, wire: Wire) -> Row:
    entry = wire.entry
    assert isinstance(entry, Conductor)
    through: list[Line] = [m.place(place) for place in (entry.place, *(entry.through or []))]
    sheath = m.text("phrases.sheathed") if entry.sheathed == "sheathed" else ""
    return Row(
        (
            Code(entry.label),
            terminal_line(m, wire.start),
            terminal_line(m, wire.end),
            length_line(m, wire, entry),
            size_line(m, wire, entry),
            m.as_written(entry.stud),
            entry.colour,
            joined([entry.function, entry.reserved_for, entry.notes]),
            joined([*through, sheath]),
        ),
        wire.element,
    )


def length_line(m: VesselManual, wire: Wire, entry: Conductor) -> Line:
    """The length as run or, where nobody measured it, as estimated from positions."""
    estimated = m.outcome(length_id(wire.element))
    if estimated:
        return m.say("phrases.estimated", what=estimated)
    return m.field(entry.length) if entry.length is not None else m.text("phrases.not_given")


def size_line(m: VesselManual, wire: Wire, entry: Conductor) -> Line:
    """The size as fitted, or as proposed."""
    if not isinstance(entry.size, Choose):
        return m.field(entry.size)
    proposed = m.book.get(f"conductor.{wire.element}.proposed-size")
    if proposed is None:
        return Mark("proposed")
    return (Outcome(proposed), (" ", Mark("proposed")) if proposed.assessed else "")


def _figures(m: VesselManual, wire: Wire) -> Row | None:
    prefix = f"conductor.{wire.element}"
    cells = [
        m.outcome(f"{prefix}.{name}") for name in ("current", "ampacity", "resistance", "minimum")
    ]
    protected = m.book.get(f"{prefix}.protected-by")
    if not any(cells) and protected is None:
        return None
    assert isinstance(wire.entry, Conductor)
    label = Link(Code(wire.entry.label), Target(CONDUCTORS, wire.element))
    short = m.outcome(fault_id(wire.element))
    return Row(
        (label, m.as_written(wire.entry.insulation), *cells, _protected(m, protected), short)
    )


def _protected(m: VesselManual, result: Result | None) -> Line:
    """The device that protects a conductor, by its code; else the first words of what is said."""
    if result is None:
        return ""
    if not isinstance(result.value, str):
        return Outcome(result)
    words = result.value.partition(":")[0].split(" ")
    return Outcome(result, text=" ".join(_code(m, word) for word in words))


def _code(m: VesselManual, word: str) -> str:
    """The code on a device's label in place of its id."""
    if word not in m.devices:
        return word
    device, _ = m.devices[word]
    return device.code or device.title
