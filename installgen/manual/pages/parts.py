"""Parts by pattern: which pattern is fitted, how to tell, which seals and core it takes."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Line, Row, Stack
from installgen.manual.links import CIRCUIT_PAGES
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.vessel import FittedEngine


def parts_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no part has a number."""
    patterned = [
        engine for engine in m.vessel.engines if any(p.patterns for p in engine.sheet.parts)
    ]
    changed = list(changed_parts(m))
    if not patterned and not changed:
        return
    if patterned:
        yield m.paragraph("parts.intro")
        yield m.heading("parts.patterns_heading", "patterns")
    for engine in patterned:
        yield from table(
            m.caption("parts.patterns_caption", engine),
            columns(m, "part pattern part_number built tell_by seals core notes"),
            _patterns(engine),
        )
    if changed:
        yield m.heading("parts.changed_heading", "changed")
        yield from table(
            m.text("parts.changed_caption"),
            columns(m, "part where part_number change_every"),
            (Row(cells) for cells in changed),
        )


def _patterns(engine: FittedEngine) -> Iterator[Row]:
    for part in engine.sheet.parts:
        for pattern in part.patterns:
            yield Row(
                (
                    part.name,
                    pattern.name,
                    pattern.part_number,
                    pattern.built,
                    pattern.tell_by,
                    Stack(tuple(pattern.seals)),
                    pattern.core,
                    pattern.notes,
                ),
                f"{engine.name}.{part.id}.{pattern.id}",
            )


def changed_parts(m: VesselManual) -> Iterator[tuple[Line, Line, str, str]]:
    """Filters, belts, impellers and coolers that are changed or cleaned at intervals."""
    for system in CIRCUIT_PAGES:
        circuit = m.analysis.circuits.get(system)
        for part in circuit.parts if circuit is not None else ():
            if part.part.part_number or part.part.change_every:
                where = m.engine_name(part.engine) if part.engine else m.place(part.part.place)
                name = coded(part.part.title, part.part.code)
                yield name, where, part.part.part_number, part.part.change_every
    for engine in m.vessel.engines:
        water = engine.sheet.raw_water
        for pump in water.pumps if water else []:
            if pump.impeller:
                impeller = m.text("parts.impeller_of", name=pump.name)
                yield coded(impeller, pump.code), m.engine_name(engine), pump.impeller, ""
        for cooler in water.coolers if water else []:
            if cooler.clean_every:
                every = m.text("parts.clean", every=cooler.clean_every)
                yield coded(cooler.name, cooler.code), m.engine_name(engine), "", every
        for belt in engine.sheet.belts:
            belted = belt.name or belt.id
            yield belted, m.engine_name(engine), belt.part_number, belt.change_every
