"""Lubrication: the oil's circuit, how much goes in, the gear's oil, the crankcase vent."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block
from installgen.manual.pages.circuits import circuit_tables
from installgen.manual.pages.common import facts, figures
from installgen.manual.vessel_manual import VesselManual


def lubrication_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where neither oil nor gear oil is written."""
    oil = m.analysis.circuits.get("oil")
    vent = m.analysis.circuits.get("crankcase-vent")
    geared = [engine for engine in m.vessel.engines if engine.entry.gear is not None]
    if oil is None and vent is None and not geared:
        return
    if oil is not None:
        yield m.caution("caution", "lubrication.hot_caution")
        for engine in m.vessel.engines:
            capacities = engine.sheet.capacities
            yield m.heading_of("lubrication.oil_heading", "engine-oil", engine)
            yield from facts(
                m,
                ("oil_grade", capacities.oil_grade),
                ("oil_fill", m.outcome(f"{engine.name}.oil.fill")),
                ("oil_full", m.field(capacities.oil_full)),
                ("oil_least", m.field(capacities.oil_least)),
                ("oil_dipstick", m.outcome(f"{engine.name}.oil.dipstick")),
                ("oil_filter", m.field(capacities.oil_filter)),
            )
        yield m.heading("lubrication.circuit_heading", "circuit")
        yield from m.figure("oil")
        yield from circuit_tables(m, oil)
        falls = [r for r in m.results("oil") if r.id.endswith((".fall", ".slope", ".slope-worst"))]
        yield from figures(m, falls, m.text("lubrication.drains_caption"))
    for engine in geared:
        gear = engine.entry.gear
        assert gear is not None
        yield m.heading_of("lubrication.gear_heading", "gear-oil", engine)
        yield from facts(
            m,
            ("gear", " ".join(part for part in (gear.maker, gear.model) if part)),
            ("gear_oil_fill", m.outcome(f"{engine.name}.gear-oil.fill")),
            ("oil_grade", gear.oil_grade),
        )
    if vent is not None:
        yield m.heading("lubrication.vent_heading", "vent")
        yield from m.figure("crankcase-vent")
        yield from circuit_tables(m, vent)
