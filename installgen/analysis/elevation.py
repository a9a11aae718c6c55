"""Elevation profiles: how a raw-water route and an exhaust rise and fall over their length."""

from __future__ import annotations

import math
from dataclasses import dataclass

from installgen.analysis.line_heights import exhaust_point, lowest_of
from installgen.analysis.positions import connection_height_m
from installgen.analysis.raw_water_network import line_heights_m
from installgen.analysis.results import Book, MissingInput, Result
from installgen.analysis.route import Route, Step
from installgen.spec.entry import Entry, Point, known
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import Exhaust
from installgen.units import Length

_LABELS = {"muffler": "muffler", "riser": "riser", "outlet": "outlet"}


@dataclass(frozen=True)
class ProfilePoint:
    """A joint on an elevation profile.

    name: of the piece that ends here
    label: the short word that a plot has room for; empty for a hose
    along_m: length of the route up to here [m]
    height_m: over the static waterline [m]
    lowest: the result that says the least over the worst heel and trim; nothing where no full
        position is stated
    stated: whether the height is known, or lies on a line between its neighbours
    """

    name: str
    label: str
    along_m: float
    height_m: float
    lowest: Result | None
    stated: bool

    @property
    def lowest_m(self) -> float | None:
        """The least height over the worst heel and trim [m]."""
        value = self.lowest.value if self.lowest is not None else None
        return value.m if isinstance(value, Length) else None


def route_profile(book: Book, vessel: Vessel, route: Route) -> tuple[ProfilePoint, ...]:
    """The main route, joint by joint; empty where the height of an end is not given."""
    scratch = book.working("", "", "raw-water", formula="", source="")
    try:
        heights = line_heights_m(scratch, route, route.steps)
    except MissingInput:
        return ()
    along = 0.0
    points = []
    before: Point | None = None
    for index, step in enumerate(route.steps):
        at = _point(step.entries[-1])
        along += _length_m(step, before, at)
        stated = at is not None and known(at.z) is not None
        if not stated and step.connection:
            stated = connection_height_m(scratch, route.engine, step.connection) is not None
        points.append(
            ProfilePoint(
                step.name,
                _short(step),
                along,
                heights[index + 1],
                lowest_of(book, step.id) if at is not None else None,
                stated,
            )
        )
        before = at or before
    return tuple(points)


def exhaust_profile(
    book: Book, vessel: Vessel, route: Route | None, exhaust: Exhaust
) -> tuple[ProfilePoint, ...]:
    """The exhaust from its injection to the hull; pieces without a height are passed over."""
    points: list[ProfilePoint] = []
    engine = vessel.engine(exhaust.engine).name
    along = 0.0
    before: Point | None = None
    if route is not None:
        before = _point(route.steps[-1].entry)
        step = route.steps[-1]
        points += _one(step.name, _short(step), before, 0.0, lowest_of(book, step.id))
    for piece in exhaust.pieces:
        name = piece.name or piece.kind
        for at, label in ((piece.dip, "dip tube"), (piece.at, _LABELS.get(piece.kind, ""))):
            if at is None:
                continue
            length = known(piece.length)
            if at is piece.at and length is not None:
                along += length.m
            else:
                along += _distance_m(before, at)
            end = "dip" if at is piece.dip else ""
            lowest = lowest_of(book, exhaust_point(engine, exhaust, piece, end))
            points += _one(name, label, at, along, lowest)
            before = at
    return tuple(points)


def _one(
    name: str, label: str, at: Point | None, along_m: float, lowest: Result | None
) -> list[ProfilePoint]:
    height = known(at.z) if at is not None else None
    if height is None:
        return []
    return [ProfilePoint(name, label, along_m, height.m, lowest, stated=True)]


def _short(step: Step) -> str:
    """The code on a piece's label or, of what matters to the sea, a word for it."""
    return step.code or (step.kind.replace("_", " ") if step.kind != "hose" else "")


def _point(entry: Entry) -> Point | None:
    at = getattr(entry, "at", None)
    return at if isinstance(at, Point) else None


def _length_m(step: Step, before: Point | None, at: Point | None) -> float:
    """Length of a step: of its hose or, for a fitting, between the stated points."""
    lengths = [known(getattr(entry, "length", None)) for entry in step.entries]
    if lengths and all(length is not None for length in lengths):
        return float(sum(length.m for length in lengths if length is not None))
    return _distance_m(before, at)


def _distance_m(before: Point | None, at: Point | None) -> float:
    if before is None or at is None:
        return 0.0  # it only spreads the points of a drawing, which says so
    squares = 0.0
    for axis in "xyz":
        one, other = known(getattr(before, axis)), known(getattr(at, axis))
        if one is not None and other is not None:
            squares += (other.m - one.m) ** 2
    return math.sqrt(squares)
