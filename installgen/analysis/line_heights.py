"""How low each stated point of a route or an exhaust comes at the worst heel and trim."""

from __future__ import annotations

from collections.abc import Mapping

from installgen.analysis.positions import ROTATION, lowest_m
from installgen.analysis.results import Book, MissingInput, Result, SystemName
from installgen.analysis.route import Route
from installgen.errors import OutOfRange
from installgen.spec.entry import Point
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Length

WHAT = "lowest-height"


def analyse_line_heights(book: Book, vessel: Vessel, routes: Mapping[str, Route]) -> None:
    """Enter the lowest height of every point that is stated in full and has none yet."""
    for route in routes.values():
        for step in route.steps:
            at = getattr(step.entries[-1], "at", None) if step.entries else None
            if isinstance(at, Point) and lowest_of(book, step.id) is None:
                _enter(book, vessel, at, step.id, step.name, "raw-water", route.engine.name)
    for exhaust in vessel.spec.exhaust:
        engine = vessel.engine(exhaust.engine).name
        for piece in exhaust.pieces:
            for at, end in ((piece.dip, "dip"), (piece.at, "")):
                subject = exhaust_point(engine, exhaust, piece, end)
                if at is not None and lowest_of(book, subject) is None:
                    name = f"{piece.name or piece.kind}{', dip tube' if end else ''}"
                    _enter(book, vessel, at, subject, name, "exhaust", engine)


def exhaust_point(engine: str, exhaust: Exhaust, piece: ExhaustPiece, end: str = "") -> str:
    """What a point of an exhaust is called. end: `dip` for the foot of a muffler's dip tube"""
    number = exhaust.pieces.index(piece) + 1
    called = f"{engine}.exhaust.{piece.id or number}"
    # Never the bare id: `riser` is also the fixed word of a result of its own.
    return f"{called}.{end or 'outlet'}"


def lowest_of(book: Book, subject: str) -> Result | None:
    """The result that says how low a point comes; nothing where none was entered."""
    own = f"{subject}.{WHAT}"
    if own in book:
        return book[own]
    return next((found for found in book.about(subject) if found.id.endswith(f".{WHAT}")), None)


def _enter(
    book: Book,
    vessel: Vessel,
    at: Point,
    subject: str,
    name: str,
    system: SystemName,
    engine: str,
) -> None:
    scratch = book.working("", "", system, formula="", source="")
    try:
        lowest_m(scratch, vessel, at, "")
    except (MissingInput, OutOfRange):
        return
    with book.working(
        f"{subject}.{WHAT}",
        f"Lowest height of the outlet of {name}"
        if system == "raw-water"
        else f"Lowest height of {name}",
        system,
        formula=ROTATION,
        source="rotation of the waterline; heel and trim as the vessel spec states them",
        subject=subject,
        engine=engine,
    ) as w:
        w.value = Length(lowest_m(w, vessel, at, name))
