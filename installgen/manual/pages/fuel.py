"""Fuel: tanks, filters and lines, what is burned, how long it lasts."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block
from installgen.manual.pages.circuits import circuit_tables
from installgen.manual.pages.common import facts, figures, figures_by_speed
from installgen.manual.vessel_manual import VesselManual


def fuel_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no fuel circuit is written."""
    circuit = m.analysis.circuits.get("fuel")
    if circuit is None:
        return
    yield m.caution("warning", "fuel.fire_caution")
    yield m.heading("fuel.circuit_heading", "circuit")
    yield from m.figure("fuel")
    yield from circuit_tables(m, circuit)
    results = [result for result in m.results("fuel") if result.case]
    if not results and "fuel.usable" not in m.book:
        return
    yield m.heading("fuel.use_heading", "use")
    fuel = m.vessel.spec.fuel
    yield from facts(
        m,
        ("usable_fuel", m.outcome("fuel.usable")),
        ("reserve", m.field(fuel.reserve) if fuel else ""),
        ("speed_at_cruise", m.field(fuel.speed_at_cruise) if fuel else ""),
    )
    yield from figures_by_speed(m, results, m.text("fuel.use_caption"))
    for engine in m.vessel.engines:
        own = [r for r in m.results("fuel") if r.engine == engine.name and not r.case]
        yield from figures(m, own, m.caption("fuel.figures_caption", engine))
