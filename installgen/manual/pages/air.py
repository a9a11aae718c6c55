"""Air of the engine space: openings and blowers, what the engines take, what it costs."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.battery_air import battery_places, vent_id
from installgen.manual.blocks import Block, Heading, Row, Stack
from installgen.manual.pages.common import columns, facts, figures, figures_by_speed, table
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.hull import AirSpace


def air_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no engine space's air is written, and no battery is shut in."""
    for space in m.vessel.spec.air:
        yield from _space(m, space)
    yield from _batteries(m)


def _batteries(m: VesselManual) -> Iterator[Block]:
    """What keeps the hydrogen of batteries thin, place by place."""
    places = list(battery_places(m.vessel))
    if not places:
        return
    yield m.heading("air.batteries_heading", "batteries")
    yield m.caution("warning", "air.hydrogen_caution")
    yield from table(
        m.text("air.batteries_caption"),
        columns(m, "place batteries flow# vent_area#"),
        (
            Row(
                (
                    m.place(place) or m.text("phrases.nowhere"),
                    Stack(tuple(coded(battery.title, battery.code) for battery in batteries)),
                    m.outcome(vent_id(place, "flow")),
                    m.outcome(vent_id(place, "area")),
                ),
                f"battery-air.{place or 'nowhere'}",
            )
            for place, batteries in places
        ),
    )


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
