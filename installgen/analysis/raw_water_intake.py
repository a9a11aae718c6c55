"""The pressure at a raw-water intake: how deep it lies, and what headway does in its scoop."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from installgen.analysis.raw_water_network import (
    headway_pressure_id,
    intake_pressure_id,
    water_at,
)
from installgen.analysis.results import Book, Missing, MissingInput, Working
from installgen.analysis.route import Route
from installgen.analysis.sea_trial import runs
from installgen.analysis.speeds import SPEEDS, range_speeds, said, speed_id
from installgen.calc.heights import immersion_pressure_pa, scoop_pressure_pa
from installgen.spec.entry import known
from installgen.spec.piping import Seacock
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import BoatSpeed, Fraction, Pressure

SCOOP_SOURCE = "hydrostatics; Bernoulli: no scoop recovers more than the stagnation pressure"
MOST_RECOVERED = Fraction(1.0)
"""What a scoop recovers at the very most."""


def seacock_of(route: Route) -> Seacock | None:
    """The seacock that a route begins with."""
    first = route.steps[0].entry
    return first if isinstance(first, Seacock) else None


def faces_forward(route: Route) -> bool:
    """Whether its intake is a scoop that faces forward."""
    cock = seacock_of(route)
    return cock is not None and cock.intake == "scoop-forward"


def headway_id(engine: FittedEngine, speed: str) -> str:
    """Id of the boat's speed at one of an engine's speeds."""
    return f"{engine.name}.raw-water.{speed}.headway"


def analyse_intake(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the pressure at the intake at each speed, with nothing of the raw water in the book."""
    cock = seacock_of(route)
    if cock is None:
        return
    engine = route.engine
    over_range = range_speeds(engine) if cock.intake == "scoop-aft" else ()
    for speed in (*SPEEDS, *over_range):
        if cock.intake in ("scoop-forward", "scoop-aft"):
            _headway(book, vessel, engine, speed)
        _least(book, vessel, route, cock, speed)
        if cock.intake == "scoop-forward":
            _most(book, vessel, route, cock, speed)


def _working(
    book: Book, route: Route, result_id: str, name: str, formula: str, source: str, speed: str
) -> Working:
    return book.working(
        result_id,
        name,
        "raw-water",
        formula=formula,
        source=source,
        subject=route.steps[0].id,
        case=speed,
        engine=route.engine.name,
    )


def _least(book: Book, vessel: Vessel, route: Route, cock: Seacock, speed: str) -> None:
    """The least that can stand there, by which flow and suction are judged."""
    aft = cock.intake == "scoop-aft"
    with _working(
        book,
        route,
        intake_pressure_id(route.engine, speed),
        f"Pressure at the intake at {said(speed)}",
        "p = −ρ·g·z − c·ρ·v²/2" if aft else "p = −ρ·g·z",
        SCOOP_SOURCE if aft else "hydrostatics",
        speed,
    ) as w:
        density, immersion = _immersion_pa(w, vessel, cock)
        w.optional(cock, "intake", "intake fitting")
        if aft:
            v = w.result(headway_id(route.engine, speed), "boat's speed").m_per_s
            share = w.spec_or_assume(cock, "recovery", "aft_scoop_suction", "share taken away")
            immersion -= scoop_pressure_pa(density, v, share.ratio)
        elif cock.intake == "scoop-forward":
            w.note("Without headway, as at the quay: what the scoop adds under way is not counted.")
        elif known(cock.intake) is None:
            w.note("The intake fitting is not stated: nothing that headway does is counted.")
        else:
            w.note("Flush with the hull: headway is taken to add nothing.")
        w.value = Pressure(immersion)


def _most(book: Book, vessel: Vessel, route: Route, cock: Seacock, speed: str) -> None:
    """The most that can stand there under way."""
    with _working(
        book,
        route,
        headway_pressure_id(route.engine, speed),
        f"Pressure at the intake with headway in its scoop, at {said(speed)}",
        "p = −ρ·g·z + c·ρ·v²/2",
        SCOOP_SOURCE,
        speed,
    ) as w:
        density, immersion = _immersion_pa(w, vessel, cock)
        v = w.result(headway_id(route.engine, speed), "boat's speed").m_per_s
        w.value = Pressure(immersion + scoop_pressure_pa(density, v, recovered(w, cock)))


def recovered(w: Working, cock: Seacock) -> float:
    """The share of the stagnation pressure in a scoop that faces forward: stated, or all of it."""
    w.spec(cock, "intake", "intake fitting")
    stated = w.optional(cock, "recovery", "share recovered")
    if stated is not None:
        return float(stated.ratio)
    w.method("share recovered", MOST_RECOVERED, "the most that Bernoulli allows")
    w.note("The maker of the scoop gives no share: the most there can be, in truth it is less.")
    return MOST_RECOVERED.ratio


def _immersion_pa(w: Working, vessel: Vessel, cock: Seacock) -> tuple[float, float]:
    """Density of the sea [kg/m3] and pressure at the intake at rest [Pa]."""
    coldest = w.spec(vessel.spec.sea, "coldest", "coldest sea").c
    if cock.at is None:
        w.spec(cock, "at", "position of the intake")
    z = w.spec(cock.at, "z", "height z of the intake").m
    density = water_at(vessel, coldest).density_kg_per_m3
    return density, immersion_pressure_pa(density, z)


def _headway(book: Book, vessel: Vessel, engine: FittedEngine, speed: str) -> None:
    with book.working(
        headway_id(engine, speed),
        f"The boat's speed at {said(speed)}",
        "raw-water",
        formula="straight line between the runs of the sea trial; below the slowest, its speed",
        source="sea trial; a boat is no faster at a lower engine speed",
        subject=f"{engine.name}.raw-water",
        case=speed,
        engine=engine.name,
    ) as w:
        rpm = w.result(speed_id(engine, speed), "engine speed").rpm
        w.value = BoatSpeed(_boat_m_per_s(w, vessel, engine, rpm))


def _boat_m_per_s(w: Working, vessel: Vessel, engine: FittedEngine, rpm: float) -> float:
    points = sorted(_points(w, vessel, engine))
    if not points:
        raise MissingInput(
            f"no run of the sea trial of {engine.name} has a `boat_speed`",
            (Missing("sea_trial", vessel.spec.where("sea_trial"), "boat speed of a run"),),
        )
    if rpm < points[0][0]:
        w.note("She goes slower than that here: no run was as slow.")
        return points[0][1]
    for low, high in pairwise(points):
        if low[0] <= rpm <= high[0]:
            return low[1] + (high[1] - low[1]) * (rpm - low[0]) / (high[0] - low[0])
    if rpm > points[-1][0]:
        full = [run for _, run in runs(vessel, engine) if run.throttle == "full"]
        if not any(run.speed.rpm == points[-1][0] for run in full):
            raise MissingInput(
                f"no run of the sea trial of {engine.name} was as fast as {rpm:.0f} rpm, or at "
                "full throttle",
                (Missing("sea_trial", vessel.spec.where("sea_trial"), "a run at full throttle"),),
            )
        w.spec(full[-1], "throttle", "throttle of the fastest run")
        w.note("At full throttle she was no faster.")
    return points[-1][1]


def _points(w: Working, vessel: Vessel, engine: FittedEngine) -> Iterator[tuple[float, float]]:
    """Engine speeds [rpm] at which her speed is known [m/s]: the runs, and her cruising speed."""
    found = set()
    for _, run in runs(vessel, engine):
        if known(run.boat_speed) is None:
            continue
        rpm = w.spec(run, "speed", "engine speed of the run").rpm
        if rpm not in found:
            found.add(rpm)
            yield rpm, w.spec(run, "boat_speed", f"boat speed at {rpm:.0f} rpm").m_per_s
    cruise, fuel = known(engine.entry.cruise), vessel.spec.fuel
    if cruise is None or cruise.rpm in found or fuel is None:
        return
    if known(fuel.speed_at_cruise) is not None:
        rpm = w.spec(engine.entry, "cruise", "cruising speed").rpm
        yield rpm, w.spec(fuel, "speed_at_cruise", f"boat speed at {rpm:.0f} rpm").m_per_s
