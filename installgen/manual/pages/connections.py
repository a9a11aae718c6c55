"""Connection register: every point of an engine where something is connected, by side."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import get_args

from installgen.analysis.route import Route
from installgen.manual.blocks import (
    Block,
    Caution,
    Code,
    Line,
    Link,
    Row,
    Stack,
    Strong,
    Target,
    joined,
)
from installgen.manual.links import CIRCUIT_PAGES, CONDUCTORS, RAW_WATER
from installgen.manual.pages.common import columns, end_line, table
from installgen.manual.pages.electrical import wires
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.engine_sheet import ConnectionPoint, Side
from installgen.spec.vessel import FittedEngine

TRACED = {"raw-water", "coolant", "fuel", "oil", "exhaust"}
"""Systems in which whatever is connected is written in the vessel spec."""


def connections_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where the sheet lists no connection point."""
    if not any(engine.sheet.connections for engine in m.vessel.engines):
        return
    yield m.paragraph("connections.intro")
    for engine in m.vessel.engines:
        yield from m.engine_head(engine)
        yield from m.figure("connections", engine)
        taken = taken_by(m, engine)
        for side in get_args(Side):
            points = [point for point in engine.sheet.connections if point.side == side]
            if points:
                yield m.heading(f"sides.{side}", side, engine)
                for point in points:
                    if point.caution:
                        yield Caution("warning", ((Code(point.code), " ", point.caution),))
                yield from table(
                    m.caption(f"connections.{side}_caption", engine),
                    columns(m, "connection find end for in_this_vessel torque"),
                    (_row(m, engine, point, taken.get(point.id, ())) for point in points),
                )


def _row(
    m: VesselManual, engine: FittedEngine, point: ConnectionPoint, taken: tuple[Line, ...]
) -> Row:
    return Row(
        (
            coded(point.name, point.code),
            point.find,
            end_line(m, point.end),
            point.for_,
            in_this_vessel(m, point, taken),
            joined([m.field(point.torque), point.sealant]),
        ),
        f"{engine.name}.{point.id}",
    )


def in_this_vessel(m: VesselManual, point: ConnectionPoint, taken: tuple[Line, ...]) -> Line:
    if taken:
        return Stack(taken)
    if point.use != "connected":
        return m.choice("uses", point.use)
    return Strong(m.text("phrases.nothing_connected")) if point.system in TRACED else ""


def taken_by(m: VesselManual, engine: FittedEngine) -> dict[str, tuple[Line, ...]]:
    """What the vessel connects to each connection point of an engine, by the point's id."""
    found: dict[str, list[Line]] = {}
    for point_id, line in [*_lines(m, engine), *_raw_water(m, engine), *_others(m, engine)]:
        found.setdefault(point_id, []).append(line)
    return {point_id: tuple(lines) for point_id, lines in found.items()}


def _lines(m: VesselManual, engine: FittedEngine) -> Iterator[tuple[str, Line]]:
    """Lines of the vessel's own circuits."""
    prefix = f"{engine.name}."
    for system, circuit in m.analysis.circuits.items():
        for line in circuit.lines:
            if line.engine is not None:
                continue
            for end, other in ((line.start, line.end), (line.end, line.start)):
                if end.startswith(prefix):
                    part = next((p.part.title for p in circuit.parts if p.id == other), other)
                    text = m.say(
                        "connections.line", kind=m.choice("lines", line.line.kind), other=part
                    )
                    yield (
                        end.removeprefix(prefix),
                        Link(text, Target(CIRCUIT_PAGES[system], line.id)),
                    )


def _raw_water(m: VesselManual, engine: FittedEngine) -> Iterator[tuple[str, Line]]:
    """The vessel's piece on each side of the engine's own raw-water route."""
    route = m.analysis.routes.get(engine.name)
    if route is None or engine.sheet.raw_water is None:
        return
    points = [step.at for step in engine.sheet.raw_water.route if step.at is not None]
    sections = [piece.engine for piece in route.water.route if piece.engine is not None]
    names: list[str] = []
    for section in sections:
        names += [section.from_ or points[0], section.to or points[-1]] if points else []
    yield from zip(names, _neighbours(route), strict=False)


def _neighbours(route: Route) -> Iterator[Line]:
    for first, second in pairwise(route.steps):
        if first.on_engine != second.on_engine:
            own = second if first.on_engine else first
            yield Link(coded(own.name, own.code), Target(RAW_WATER, own.id))


def _others(m: VesselManual, engine: FittedEngine) -> Iterator[tuple[str, Line]]:
    """Exhaust, conductors and control cables."""
    exhausts = [e for e in m.vessel.spec.exhaust if m.vessel.engine(e.engine) is engine]
    for point in engine.sheet.connections:
        if point.system == "exhaust" and exhausts:
            anchor = "exhaust" if not m.several else f"{engine.name}.exhaust"
            yield point.id, Link(m.text("connections.exhaust"), Target(RAW_WATER, anchor))
        names = set(_terminals(engine, point))
        codes: list[Line] = [
            Link(Code(wire.entry.label), Target(CONDUCTORS, wire.element))
            for wire in wires(m)
            if wire.engine is None and names & {wire.start, wire.end}
        ]
        if codes:
            yield point.id, joined(codes, " ")
        if point.system == "control":
            for cable in m.vessel.spec.controls:
                if m.vessel.engine(cable.engine) is engine and cable.works in point.for_:
                    yield point.id, m.choice("cables", cable.works)


def _terminals(engine: FittedEngine, point: ConnectionPoint) -> Iterator[str]:
    """The electrical terminals that a connection point is: one, or every pin of a plug."""
    plugs = [device for device in engine.sheet.devices if device.id == point.terminal]
    for device in plugs:
        for terminal in device.terminals:
            yield f"{engine.name}.{device.id}.{terminal}"
    if point.terminal and not plugs:
        yield f"{engine.name}.{point.terminal}"
