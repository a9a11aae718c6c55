"""Emergencies, first of all pages: stopping an engine, water coming in, fire, no raw water."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Caution, Heading, Jumps, Step, Steps, Target
from installgen.manual.fitted import Fitted, fitted_engines
from installgen.manual.links import EMERGENCIES, OPENINGS, RAW_WATER
from installgen.manual.pages.emergency_steps import (
    FIRE_FIRST,
    FIRE_FUEL,
    FIRE_THEN,
    LEAK_ENGINE,
    LEAK_FIRST,
    LEAK_HULL,
    NO_WATER,
    STOP,
    STOP_ALL,
    runs_on,
)
from installgen.manual.pages.makers_papers import makers_pages
from installgen.manual.procedure import steps
from installgen.manual.vessel_manual import VesselManual

STOP_NOW = "stop"
FLOODING = "flooding"
FIRE = "fire"
OVERHEATING = "overheating"


def emergencies_page(m: VesselManual) -> Iterator[Block]:
    """Always there."""
    engines = fitted_engines(m)
    hot = [fitted for fitted in engines if fitted.route is not None]
    sections = [STOP_NOW, FLOODING, FIRE, *([OVERHEATING] if hot else [])]
    yield Jumps(tuple((m.text(f"emergency.{one}"), Target(EMERGENCIES, one)) for one in sections))
    yield from _stop(m, engines)
    yield from _flooding(m, engines)
    yield from _fire(m, engines)
    if hot:
        yield Heading(m.text(f"emergency.{OVERHEATING}"), OVERHEATING)
        for fitted in hot:
            yield from _of_engine(fitted, OVERHEATING)
            yield from steps(fitted, NO_WATER)
    for fitted in engines:
        yield from makers_pages(m, fitted.engine, "emergencies")


def _stop(m: VesselManual, engines: list[Fitted]) -> Iterator[Block]:
    yield Heading(m.text(f"emergency.{STOP_NOW}"), STOP_NOW)
    for fitted in engines:
        yield from _of_engine(fitted, STOP_NOW)
        if runs_on(fitted):
            yield Caution("warning", (m.say("emergency.runs_on"),))
        made = list(steps(fitted, STOP))
        yield from made or [m.paragraph("emergency.no_stop")]


def _of_engine(fitted: Fitted, section: str) -> Iterator[Heading]:
    """A heading over one engine's part of a section, where there are several."""
    if fitted.m.several:
        name = fitted.engine.name
        yield Heading(fitted.m.engine_name(fitted.engine), f"{name}.{section}", 3)


def _flooding(m: VesselManual, engines: list[Fitted]) -> Iterator[Block]:
    yield Heading(m.text(f"emergency.{FLOODING}"), FLOODING)
    first = engines[0]
    parts = [*steps(first, LEAK_FIRST)]
    for fitted in engines:
        parts += steps(fitted, LEAK_ENGINE)
    yield _one_list([*parts, *steps(first, LEAK_HULL)])
    if m.analysis.openings:
        yield m.paragraph(
            "emergency.register", link=m.link("openings.heading", RAW_WATER, OPENINGS)
        )


def _fire(m: VesselManual, engines: list[Fitted]) -> Iterator[Block]:
    yield Heading(m.text(f"emergency.{FIRE}"), FIRE)
    first = engines[0]
    parts = [*steps(first, FIRE_FIRST)]
    for procedure in (STOP_ALL, FIRE_FUEL):
        for fitted in engines:
            parts += steps(fitted, procedure)
    yield _one_list([*parts, *steps(first, FIRE_THEN)])
    yield (
        m.paragraph("emergency.battery_fire")
        if m.vessel.batteries()
        else m.paragraph("emergency.other_fire")
    )


def _one_list(blocks: list[Block]) -> Steps:
    """The steps of several lists as one, a caution never said twice in a row."""
    items: list[Step] = [
        step for block in blocks if isinstance(block, Steps) for step in block.items
    ]
    kept: list[Step] = []
    last: Caution | None = None
    for step in items:
        kept.append(Step(step.text) if step.caution is not None and step.caution == last else step)
        last = step.caution or last
    return Steps(tuple(kept))
