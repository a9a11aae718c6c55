"""Fluids and capacities: everything that is filled in, on one page."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.coolant import coolant_systems
from installgen.manual.blocks import Block, Line, Row, joined
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.coolant import system_name
from installgen.manual.vessel_manual import VesselManual, coded


def fluids_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where nothing is filled in."""
    rows = [*_oils(m), *_coolant(m), *_fuel(m)]
    if rows:
        yield m.paragraph("fluids.intro")
        yield from table(m.text("fluids.caption"), columns(m, "fluid where volume# grade"), rows)


def _oils(m: VesselManual) -> Iterator[Row]:
    for engine in m.vessel.engines:
        name = m.engine_name(engine)
        fill = m.outcome(f"{engine.name}.oil.fill")
        if fill:
            grade = engine.sheet.capacities.oil_grade
            yield Row((m.text("fluids.engine_oil"), name, fill, grade))
        gear_fill = m.outcome(f"{engine.name}.gear-oil.fill")
        if gear_fill and engine.entry.gear is not None:
            gear = engine.entry.gear
            where = m.text("fluids.gear_of", name=name) if m.several else m.text("fluids.gear")
            yield Row((m.text("fluids.gear_oil"), where, gear_fill, gear.oil_grade))


def _coolant(m: VesselManual) -> Iterator[Row]:
    circuit = m.analysis.circuits.get("coolant")
    if circuit is None:
        return
    coolant = m.vessel.spec.coolant
    mixture = coolant.antifreeze if coolant is not None else None
    grade: Line = ""
    if mixture is not None:
        share = m.say("fluids.share", share=m.field(mixture.volume_share))
        grade = joined([m.field(mixture.product), share, mixture.inhibitor])
    for system in coolant_systems(m.vessel, circuit):
        name = system_name(m, system)
        where = m.text("fluids.whole_system") if system.alone else name
        volume = m.outcome(f"{system.key}.volume")
        yield Row((m.text("fluids.coolant"), where, volume, grade))
        where = m.text("fluids.from_empty")
        where = where if system.alone else m.text("fluids.from_empty_of", name=name)
        for part in ("concentrate", "water"):
            yield Row((m.text(f"fluids.{part}"), where, m.outcome(f"{system.key}.{part}"), ""))


def _fuel(m: VesselManual) -> Iterator[Row]:
    circuit = m.analysis.circuits.get("fuel")
    for part in circuit.of_kind("tank") if circuit is not None else []:
        usable = part.part.usable
        note = m.say("fluids.usable", share=m.field(usable)) if usable is not None else ""
        where = joined([coded(part.part.title, part.part.code), m.place(part.part.place)])
        yield Row((m.text("fluids.diesel"), where, m.field(part.part.volume), note))
