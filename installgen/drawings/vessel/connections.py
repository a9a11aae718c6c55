"""Each engine seen from above, with its connection points on the side where they are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Cell, Table
from installgen.drawings.kinds import Status
from installgen.drawings.plan import HEADINGS, ConnectionPoint, Place, engine_plan
from installgen.drawings.render import Rendered
from installgen.drawings.vessel import links
from installgen.drawings.vessel.circuit import end_lines
from installgen.drawings.vessel.draft import fits
from installgen.drawings.vessel.words import Words
from installgen.spec.engine_sheet import ConnectionPoint as SheetPoint
from installgen.spec.entry import Unknown
from installgen.spec.vessel import FittedEngine

ROOM_PX = 100
USES = {"plugged": "plugged", "reserved": "reserved", "optional": "optional"}


def connection_plans(analysis: Analysis) -> Iterator[Rendered]:
    """A plan of each engine whose sheet lists connection points."""
    words = Words(analysis.vessel, analysis.book)
    for engine in analysis.vessel.engines:
        if engine.sheet.connections:
            yield connection_plan(words, engine)


def connection_plan(words: Words, engine: FittedEngine) -> Rendered:
    """One engine's plan."""
    model = engine.sheet.engine
    points = [point_of(words, engine, point) for point in engine.sheet.connections]
    plan = engine_plan(
        words.figure_id("connections", engine),
        words.titled("Connection points", engine),
        f"The {model.maker} {model.model} seen from above, forward at the top: each point on its "
        "side with its code and size; plugged, reserved and optional ones say so.",
        words.engine_name(engine),
        points,
    )
    table = points_table(words, engine)
    return replace(plan, drawing=replace(plan.drawing, tables=(table,)))


def points_table(words: Words, engine: FittedEngine) -> Table:
    """Every point in words, both systems of units, side by side as in the plan."""
    sides = list(Place)
    rows = tuple(
        (
            Cell(point.code),
            Cell(point.name, links.connection(engine.name, point.id)),
            Cell(HEADINGS[Place(point.side)]),
            Cell("; ".join(line.full for line in end_lines(words, point.end))),
            Cell(point.for_),
            Cell(USES.get(point.use, "")),
            Cell(point.find),
        )
        for point in sorted(engine.sheet.connections, key=lambda p: sides.index(Place(p.side)))
    )
    columns = ("Code", "Point", "Where", "End", "For", "Use", "How to find it")
    return Table("Connection points", columns, rows)


def point_of(words: Words, engine: FittedEngine, point: SheetPoint) -> ConnectionPoint:
    """A point as the plan shows it; where its size is unknown it is not assessed."""
    ends = end_lines(words, point.end)
    lines = [line.full if fits(line.full, ROOM_PX) else line.short for line in ends if line.short]
    if point.use in USES:
        lines.append(USES[point.use])
    unknown = point.end is not None and any(
        isinstance(value, Unknown) for value in (point.end.size, point.end.thread)
    )
    told = [point.name, point.code, *(line.full for line in ends), f"for {point.for_}", point.find]
    return ConnectionPoint(
        point.id,
        Place(point.side),
        point.name,
        point.code,
        tuple(lines),
        links.connection(engine.name, point.id),
        ". ".join(text.strip(".") for text in told if text),
        Status.NOT_ASSESSED if unknown else Status.NORMAL,
        "size unknown" if unknown else "",
    )
