"""Where points of an engine are aboard, and how high points stand when she heels and trims."""

from __future__ import annotations

import math

from installgen.analysis.results import Working
from installgen.calc.heights import lowest_height_m
from installgen.spec.entry import Entry, Point, known
from installgen.spec.vessel import FittedEngine, Vessel


def connection_height_m(w: Working, engine: FittedEngine, connection_id: str) -> float | None:
    """Height over the waterline of an engine's connection point [m]; nothing where it is not given.

    z = z of the crankshaft's rear face + z' cos a + x' sin a, a the installed angle
    """
    placed = engine.entry.crankshaft
    try:
        point = engine.connection(connection_id)
    except KeyError:
        return None
    if placed is None or point.at is None:
        return None
    if any(known(value) is None for value in (placed.z, point.at.z, point.at.x)):
        return None
    slope = math.radians(w.spec(engine.entry, "angle", "installed angle").deg)
    base = w.spec(placed, "z", "height of the crankshaft's rear face").m
    up = w.spec(point.at, "z", f"{point.name} over the crankshaft").m
    ahead = w.spec(point.at, "x", f"{point.name} ahead of the crankshaft's rear face").m
    return float(base + up * math.cos(slope) + ahead * math.sin(slope))


ROTATION = (
    "z″ = (z·cos φ − y·sin φ)·cos θ − (x − L/2)·sin θ, least over heel φ and trim θ to either "
    "side; L the length of the hull"
)
"""How a height follows from heel and trim; she is taken to trim about the middle of her length."""


def lowest_m(w: Working, vessel: Vessel, at: Entry | None, name: str) -> float:
    """Least height of a point over the waterline, over the worst heel and trim to either side [m].

    w: takes z, y, the angles and, where she trims, x and her length
    at: the point, measured x forward of the transom
    name: what the point is, for the working
    """
    z = w.spec(at, "z", f"height z of {name}").m
    heel = w.spec(vessel.spec.waterline, "worst_heel", "worst heel").deg
    y = w.spec(at, "y", f"position y of {name}").m
    trim = w.optional(vessel.spec.waterline, "worst_trim", "worst trim")
    if trim is None or trim.deg == 0.0:
        _note_once(w, "No trim is stated: heel only.")
        return lowest_height_m(0.0, y, z, heel, 0.0)
    x = w.spec(at, "x", f"position x of {name}").m
    length = w.spec(vessel.spec.vessel, "length", "length of the hull").m
    _note_once(w, "She is taken to trim about the middle of her length.")
    return lowest_height_m(x - length / 2.0, y, z, heel, trim.deg)


def _note_once(w: Working, text: str) -> None:
    if text not in w.notes:
        w.note(text)


def point_of(entry: Entry) -> Point | None:
    """The point of an entry, if it has one."""
    at = getattr(entry, "at", None)
    return at if isinstance(at, Point) else None
