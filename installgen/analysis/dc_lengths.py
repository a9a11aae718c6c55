"""Lengths of conductors that nobody measured: estimated from where their two ends are aboard."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from installgen.analysis.results import Book
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Entry, Point, known
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Length


@dataclass(frozen=True)
class Aboard:
    """Where a terminal is: x forward of the transom, y to port, z up from the waterline [m].

    points: the entries that say so, each with its fields and what they are of
    """

    x_m: float
    y_m: float
    z_m: float
    points: tuple[tuple[Entry, tuple[str, ...], str], ...]


def length_id(element: str) -> str:
    """Id of a conductor's estimated length."""
    return f"conductor.{element}.length"


def aboard(vessel: Vessel, terminal: str) -> Aboard | None:
    """Where a terminal is: at its device, or at the connection point of an engine."""
    terminal = terminal.removesuffix(":engine")
    device_id = terminal.rpartition(".")[0]
    for name, device, engine in vessel.devices():
        if name == device_id and engine is None:
            return _at(device.at, device.title)
    for engine in vessel.engines:
        if terminal.startswith(f"{engine.name}."):
            return _on_engine(engine, terminal.removeprefix(f"{engine.name}."))
    return None


def _at(point: Point | None, name: str) -> Aboard | None:
    if point is None:
        return None
    x, y, z = known(point.x), known(point.y), known(point.z)
    if x is None or y is None or z is None:
        return None
    return Aboard(x.m, y.m, z.m, ((point, ("x", "y", "z"), name),))


def _on_engine(engine: FittedEngine, terminal: str) -> Aboard | None:
    """A connection point, turned by the installed angle about the crankshaft's rear face."""
    rear = _at(engine.entry.crankshaft, "crankshaft's rear face")
    names = {terminal, terminal.rpartition(".")[0]}
    found = next((p for p in engine.sheet.connections if p.terminal in names), None)
    place = None if found is None else _at(found.at, found.name)
    if rear is None or place is None:
        return None
    angle = known(engine.entry.angle)
    if angle is None:
        return None
    slope = math.radians(angle.deg)
    return Aboard(
        rear.x_m + place.x_m * math.cos(slope) - place.z_m * math.sin(slope),
        rear.y_m + place.y_m,
        rear.z_m + place.z_m * math.cos(slope) + place.x_m * math.sin(slope),
        (*rear.points, (engine.entry, ("angle",), "the engine"), *place.points),
    )


def estimated_length_m(vessel: Vessel, wire: Conductor, start: str, end: str) -> float | None:
    """Length of a conductor whose entry leaves it out [m]; None where positions do not tell it.

    (|Δx| + |Δy| + |Δz|) · (1 + allowance): conductors run along hull, bulkhead and deck
    """
    allowance = vessel.standard.assume.run_allowance
    if wire.length is not None or allowance is None:
        return None
    one, other = aboard(vessel, start), aboard(vessel, end)
    if one is None or other is None:
        return None
    return _way_m(one, other) * (1.0 + allowance.ratio)


def _way_m(one: Aboard, other: Aboard) -> float:
    return abs(one.x_m - other.x_m) + abs(one.y_m - other.y_m) + abs(one.z_m - other.z_m)


def analyse_lengths(
    book: Book, vessel: Vessel, wires: Iterable[tuple[str, Conductor, str, str]]
) -> None:
    """Enter the estimated length of every conductor whose entry leaves its length out.

    wires: each with its element, entry and the terminals it lies between
    """
    for element, wire, start, end in wires:
        if estimated_length_m(vessel, wire, start, end) is None:
            continue
        with book.working(
            length_id(element),
            f"Length of {wire.label}, estimated",
            "dc-power",
            formula="(|Δx| + |Δy| + |Δz|) · (1 + allowance)",
            source="positions of both ends; common practice: along hull, bulkhead and deck",
            subject=element,
        ) as w:
            ends = [aboard(vessel, terminal) for terminal in (start, end)]
            taken: set[int] = set()
            for place in ends:
                for entry, fields, name in place.points if place is not None else ():
                    if id(entry) in taken:
                        continue
                    taken.add(id(entry))
                    for field in fields:
                        w.spec(entry, field, f"{field} of {name}")
            one, other = ends
            assert one is not None
            assert other is not None
            allowance = w.assume("run_allowance", "allowance for the run").ratio
            w.value = Length(_way_m(one, other) * (1.0 + allowance))
            w.note("Estimated: measure it as run.")
