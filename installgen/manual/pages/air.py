"""Air of the engine space: openings and blowers, what the engines take, what it costs."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Heading, Row
from installgen.manual.pages.common import columns, facts, figures, figures_by_speed, table
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.hull import AirSpace


def air_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no engine space's air is written."""
    for space in m.vessel.spec.air:
        yield from _space(m, space)


def _space(m: VesselManual, space: AirSpace) -> Iterator[Block]:
    yield Heading(m.place(space.place), space.place)
    yield from facts(
        m,
        ("breathes_from", m.choice("breathes-from", space.breathes_from)),
        ("largest_depression", m.field(space.largest_depression)),
    )
    yield from table(
        m.text("air.openings_caption"),
        columns(m, "opening way area#"),
        (Row((o.name, m.choice("ways", o.way), m.field(o.area))) for o in space.openings),
    )
    yield from table(
        m.text("air.blowers_caption"),
        columns(m, "blower way flow# when"),
        (
            Row((blower.name, m.choice("ways", blower.way), m.field(blower.flow), blower.runs))
            for blower in space.blowers
        ),
    )
    results = [r for r in m.results("air") if r.subject == f"air.{space.place}"]
    yield from figures(m, results, m.text("air.figures_caption"))
    yield from figures_by_speed(m, results, m.text("air.speeds_caption"))
