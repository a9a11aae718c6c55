"""Coolant: its circuit, how much of it there is, what it is and down to what cold it serves."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.coolant import CoolantSystem, coolant_systems
from installgen.manual.blocks import Block, Row
from installgen.manual.pages.circuits import circuit_tables
from installgen.manual.pages.common import columns, facts, figures, figures_by_speed, table
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.vessel_spec import Antifreeze


def coolant_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no coolant circuit is written."""
    circuit = m.analysis.circuits.get("coolant")
    if circuit is None:
        return
    coolant = m.vessel.spec.coolant
    mixed = coolant is not None and coolant.antifreeze is not None
    poison = ["coolant.antifreeze_caution"] if mixed else []
    yield m.caution("warning", "coolant.hot_caution", *poison)
    yield m.heading("coolant.circuit_heading", "circuit")
    yield from m.figure("coolant")
    yield from circuit_tables(m, circuit)
    for engine in m.vessel.engines:
        thermostat = engine.sheet.thermostat
        if thermostat is not None:
            yield m.heading_of("coolant.thermostat_heading", "thermostats", engine)
            yield from facts(
                m,
                ("thermostats", str(thermostat.count)),
                ("opens", m.field(thermostat.opens)),
                ("full_open", m.field(thermostat.full_open)),
            )
    yield m.heading("coolant.mixture_heading", "mixture")
    if coolant is not None and coolant.antifreeze is not None:
        yield from _antifreeze(m, coolant.antifreeze)
    results = [r for r in m.results("coolant") if r.subject == "coolant"]
    yield from figures(m, results, m.text("coolant.figures_caption"))
    for system in coolant_systems(m.vessel, circuit):
        if not system.alone:
            own = [r for r in m.results("coolant") if r.subject == system.key]
            caption = f"{m.text('coolant.figures_caption')} · {system_name(m, system)}"
            yield from figures(m, own, caption)
    for engine in m.vessel.engines:
        own = [r for r in m.results("coolant") if r.engine == engine.name and r.case]
        caption = m.caption("coolant.speeds_caption", engine)
        yield from figures_by_speed(m, own, caption)


def system_name(m: VesselManual, system: CoolantSystem) -> str:
    """A coolant system by its engines."""
    return ", ".join(m.engine_name(engine) for engine in system.engines)


def _antifreeze(m: VesselManual, antifreeze: Antifreeze) -> Iterator[Block]:
    yield from facts(
        m,
        ("product", m.field(antifreeze.product)),
        ("volume_share", m.field(antifreeze.volume_share)),
        ("inhibitor", antifreeze.inhibitor),
        ("coldest_lay_up", m.field(m.vessel.spec.lay_up.coldest) if m.vessel.spec.lay_up else ""),
    )
    yield from table(
        m.text("coolant.freezing_caption"),
        columns(m, "volume_share# freezes#"),
        (
            Row((m.field(row.volume_share), m.field(row.freezes)))
            for row in antifreeze.freezes or []
        ),
    )
