"""The exhaust of one engine, part of the page on raw water."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.exhaust import exhaust_id
from installgen.manual.blocks import Block, Line, Row, joined
from installgen.manual.pages.common import (
    columns,
    facts,
    figures,
    figures_by_speed,
    height,
    over_range,
    table,
)
from installgen.manual.pages.openings import PREFIX as OPENING
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece


def exhaust_blocks(
    m: VesselManual, engine: FittedEngine, exhaust: Exhaust, *, seacock: bool
) -> Iterator[Block]:
    """The pieces of one engine's exhaust, what they cost, how long she may be cranked.

    seacock: whether the raw water of this engine can be shut off at the hull
    """
    wet = exhaust.kind == "wet"
    yield m.heading("raw-water.exhaust_heading", "exhaust", engine)
    yield m.caution(
        "warning", "raw-water.exhaust_caution", *(["raw-water.no_water_caution"] if wet else [])
    )
    if wet and any(piece.kind == "muffler" for piece in exhaust.pieces):
        shut = ["raw-water.shut_while_cranking"] if seacock else []
        yield m.caution("warning", "raw-water.flooding_caution", *shut)
    yield from facts(
        m,
        ("exhaust_kind", m.choice("exhaust-kinds", exhaust.kind)),
        ("exhaust_alarm", m.choice("fitted", exhaust.alarm) if exhaust.alarm else ""),
        ("back_pressure_allowed", m.field(engine.sheet.limits.largest_back_pressure)),
    )
    yield from table(
        m.caption("raw-water.exhaust_caption", engine),
        columns(m, "piece bore# length# bends# volume# height# notes"),
        (
            _exhaust_piece(m, engine, number, piece)
            for number, piece in enumerate(exhaust.pieces, start=1)
        ),
    )
    yield from m.figure("exhaust-elevation", engine)
    results = [
        r
        for r in m.results("exhaust")
        if r.engine in ("", engine.name) and not r.subject.startswith(OPENING)
    ]
    yield from figures(m, results, m.caption("raw-water.exhaust_figures_caption", engine))
    yield from figures_by_speed(m, results, m.caption("raw-water.exhaust_speeds_caption", engine))
    column = m.book.get(exhaust_id(engine, "idle", "static-column"))
    if column is not None and column.assessed:
        yield m.paragraph("raw-water.riser_column")
    yield from over_range(
        m,
        results,
        m.caption("raw-water.exhaust_range_caption", engine),
        m.text("raw-water.range"),
    )


def _exhaust_piece(m: VesselManual, engine: FittedEngine, number: int, piece: ExhaustPiece) -> Row:
    kind = m.choice("exhaust-pieces", piece.kind)
    clamps = m.choice("clamps", piece.clamps) if piece.clamps else ""
    hose = m.choice("hoses", piece.hose) if piece.hose else ""
    loss = m.say("phrases.loss", drop=m.field(piece.loss)) if piece.loss is not None else ""
    held: list[Line] = []
    for key in ("volume_heeled", "stays"):
        if getattr(piece, key) is not None:
            volume = m.field(getattr(piece, key))
            held.append(m.say(f"raw-water.muffler_{key}", volume=volume))
    return Row(
        (
            f"{number}. {piece.name or kind}",
            m.field(piece.bore),
            m.field(piece.length),
            str(piece.bends or ""),
            m.field(piece.volume),
            height(m, piece),
            joined([hose, clamps, loss, *held, piece.notes]),
        ),
        f"{engine.name}.exhaust.{piece.id or number}",
    )
