"""Exhaust: alarm, muffler, heights, bores, and how long she may be cranked."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    holds,
    lacking,
    not_assessed,
    result_at_least,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import NameList
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Length, Time


def _wet(survey: Survey) -> Iterator[tuple[FittedEngine, Exhaust]]:
    for exhaust in survey.vessel.spec.exhaust:
        if exhaust.kind == "wet":
            yield survey.vessel.engine(exhaust.engine), exhaust


def _pieces(survey: Survey, *kinds: str) -> Iterator[tuple[FittedEngine, ExhaustPiece, About]]:
    for exhaust in survey.vessel.spec.exhaust:
        engine = survey.vessel.engine(exhaust.engine)
        for number, piece in enumerate(exhaust.pieces):
            if piece.kind in kinds:
                subject = f"{engine.name}.exhaust.{piece.id or f'{piece.kind}-{number + 1}'}"
                name = piece.name or f"exhaust {piece.kind} {piece.id or number + 1}"
                yield engine, piece, About(subject, name, ((piece, ""),), engine.name)


@named_check("exhaust")
def exhaust_alarm(survey: Survey) -> Iterator[Judgement]:
    """A wet exhaust has an alarm for lost cooling water: its hose burns without water."""
    for engine, exhaust in _wet(survey):
        about = About(
            f"{engine.name}.exhaust",
            f"exhaust of {engine.name}",
            ((exhaust, "alarm"),),
            engine.name,
        )
        if exhaust.alarm is None:
            yield lacking(about, exhaust, "alarm")
        else:
            yield holds(exhaust.alarm == "fitted", exhaust.alarm, "fitted", about)


@named_check("exhaust")
def muffler_fitted(survey: Survey) -> Iterator[Judgement]:
    """A wet exhaust has a muffler that holds the water which runs back."""
    for engine, exhaust in _wet(survey):
        about = About(
            f"{engine.name}.exhaust",
            f"exhaust of {engine.name}",
            ((exhaust, "pieces"),),
            engine.name,
        )
        there = any(piece.kind == "muffler" for piece in exhaust.pieces)
        yield holds(there, "a muffler" if there else "none", "a water-lift muffler", about)


@named_check("exhaust")
def cranking_flood(survey: Survey, limit: Time) -> Iterator[Judgement]:
    """She may be cranked at least this long, all attempts together, before the muffler floods.

    The pump fills the muffler with no gas to lift the water. The starting procedure says when to
    shut the seacock.
    """
    for engine, exhaust in _wet(survey):
        muffler = next((piece for piece in exhaust.pieces if piece.kind == "muffler"), None)
        about = About(
            f"{engine.name}.exhaust",
            f"cranking of {engine.name} before the muffler floods",
            ((muffler, _holds_least(muffler)), (exhaust, "pieces")),
            engine.name,
        )
        if muffler is None:
            yield lacking(about, exhaust, "pieces", "a muffler")
        else:
            result_id = f"{engine.name}.exhaust.cranking-limit"
            yield result_at_least(survey.book, result_id, limit, about)


def _holds_least(muffler: ExhaustPiece | None) -> str:
    """The field of a muffler that says what it holds: heeled, where that is less than upright."""
    upright = known(muffler.volume) if muffler else None
    heeled = known(muffler.volume_heeled) if muffler else None
    less = upright is not None and heeled is not None and heeled.m3 < upright.m3
    return "volume_heeled" if less else "volume"


@named_check("exhaust")
def exhaust_outlet_height(survey: Survey, limit: Length) -> Iterator[Judgement]:
    """The exhaust leaves the hull at least this far over the waterline."""
    yield from _heights(survey, "outlet", limit)


@named_check("exhaust")
def riser_height(survey: Survey, limit: Length) -> Iterator[Judgement]:
    """The top of the riser stands at least this far over the waterline, so no sea runs in."""
    yield from _heights(survey, "riser", limit)


def _heights(survey: Survey, kind: str, limit: Length) -> Iterator[Judgement]:
    for engine, exhaust in _wet(survey):
        found = [item for item in _pieces(survey, kind) if item[0] is engine]
        if not found:
            about = About(
                f"{engine.name}.exhaust",
                f"exhaust of {engine.name}",
                ((exhaust, "pieces"),),
                engine.name,
            )
            yield lacking(about, exhaust, "pieces", f"the exhaust's {kind}")
        for _, piece, about in found:
            height = known(piece.at.z) if piece.at is not None else None
            if height is None:
                entry = piece.at or piece
                yield lacking(about, entry, "z" if piece.at is not None else "at", "its height z")
            else:
                about = About(about.subject, about.name, ((piece.at, "z"),), about.engine)
                yield at_least(height, limit, about)


@named_check("exhaust")
def exhaust_bore(survey: Survey) -> Iterator[Judgement]:
    """No piece of the exhaust is narrower than the engine's own exhaust outlet."""
    for engine, piece, about in _pieces(survey, "hose", "riser", "pipe", "outlet"):
        outlet = next((p for p in engine.sheet.connections if p.system == "exhaust"), None)
        size = known(outlet.end.size) if outlet is not None and outlet.end is not None else None
        bore = known(piece.bore)
        about = About(about.subject, about.name, ((piece, "bore"),), about.engine)
        if bore is None:
            yield lacking(about, piece, "bore")
        elif size is None:
            yield not_assessed(about, f"the sheet of {engine.name} gives no exhaust outlet size")
        else:
            yield at_least(bore, size, about)


@named_check("exhaust")
def exhaust_hose(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Hoses of the wet exhaust are of a kind made for it."""
    for _, piece, about in _pieces(survey, "hose", "riser"):
        about = About(about.subject, about.name, ((piece, "hose"),), about.engine)
        if piece.hose is None:
            yield lacking(about, piece, "hose", "kind of hose")
        else:
            yield holds(piece.hose in limit, piece.hose, str(limit), about)


@named_check("exhaust")
def exhaust_clamps(survey: Survey) -> Iterator[Judgement]:
    """Hoses of the wet exhaust have two clamps at each end."""
    for _, piece, about in _pieces(survey, "hose", "riser"):
        about = About(about.subject, about.name, ((piece, "clamps"),), about.engine)
        if piece.clamps is None:
            yield lacking(about, piece, "clamps")
        else:
            yield holds(piece.clamps == "double", piece.clamps, "double", about)
