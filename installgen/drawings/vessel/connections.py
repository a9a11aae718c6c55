"""Each engine seen from above, with its connection points on the side where they are."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.analyse import Analysis
from installgen.drawings.kinds import Status
from installgen.drawings.plan import ConnectionPoint, Place, engine_plan
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
    return engine_plan(
        words.figure_id("connections", engine),
        words.titled("Connection points", engine),
        f"The {model.maker} {model.model} seen from above, forward at the top: each point with its "
        "code, its size and, where nothing must be connected, what it is for.",
        words.engine_name(engine),
        points,
    )


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
