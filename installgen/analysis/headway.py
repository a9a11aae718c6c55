"""Headway in a scoop while its engine stands still: can it fill the exhaust through the pump."""

from __future__ import annotations

from installgen.analysis.openings import way_in, ways_in
from installgen.analysis.raw_water_intake import faces_forward, recovered, seacock_of
from installgen.analysis.results import Book, Missing, MissingInput
from installgen.analysis.route import Route
from installgen.calc.heights import flooding_headway_m_per_s
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import BoatSpeed, Length


def flooding_headway_id(engine: FittedEngine) -> str:
    """Id of the slowest speed at which headway fills a stopped engine's exhaust."""
    return f"{engine.name}.raw-water.flooding-headway"


def way_over_id(engine: FittedEngine) -> str:
    """Id of the height that the water has to be lifted to."""
    return f"{engine.name}.raw-water.way-over"


def greatest_headway_id(engine: FittedEngine) -> str:
    """Id of the greatest speed that the boat makes."""
    return f"{engine.name}.raw-water.greatest-headway"


def analyse_headway(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter at which speed the sea comes in past a stopped pump, where a scoop faces forward.

    Nothing is entered where the route leads nowhere inside.
    """
    cock = seacock_of(route)
    if cock is None or not faces_forward(route) or not list(ways_in(route, None)):
        return
    engine = route.engine
    _way_over(book, vessel, route)
    with book.working(
        flooding_headway_id(engine),
        "Slowest speed at which headway pushes water past the stopped pump",
        "raw-water",
        formula="v = √(2·g·h / c)",
        source="Bernoulli; a stopped impeller is no check valve (common practice)",
        subject=f"{engine.name}.raw-water",
        engine=engine.name,
    ) as w:
        height = w.result(way_over_id(engine), "height to be lifted to").m
        w.value = BoatSpeed(flooding_headway_m_per_s(height, recovered(w, cock)))
        w.note("A vented loop breaks a siphon; it does not stop water that is pushed.")
        w.note("Through the water; of a sea that runs under her nothing is counted.")
    _greatest(book, vessel, engine)


def _way_over(book: Book, vessel: Vessel, route: Route) -> None:
    engine = route.engine
    with book.working(
        way_over_id(engine),
        "Height over which headway has to push the water",
        "raw-water",
        formula="of each way in the higher of its end and its crowns, each at its lowest; "
        "of the ways the least",
        source="hydrostatics",
        subject=f"{engine.name}.raw-water",
        engine=engine.name,
    ) as w:
        heights = []
        for path, end in ways_in(route, None):
            crown, inside = way_in(w, vessel, route, path, end)
            heights.append(inside if crown is None else max(inside, crown))
        w.value = Length(min(heights))


def _greatest(book: Book, vessel: Vessel, engine: FittedEngine) -> None:
    with book.working(
        greatest_headway_id(engine),
        "Greatest speed of the boat",
        "raw-water",
        formula="the greatest of the runs of the sea trial, one at full throttle among them",
        source="sea trial",
        subject=f"{engine.name}.raw-water",
        engine=engine.name,
    ) as w:
        full = [run for run in vessel.spec.sea_trial if run.throttle == "full"]
        if not full:
            raise MissingInput(
                "no run of the sea trial at full throttle is written",
                (Missing("sea_trial", vessel.spec.where("sea_trial"), "a run at full throttle"),),
            )
        measured = [run for run in vessel.spec.sea_trial if known(run.boat_speed) is not None]
        speeds = []
        for run in [*full, *(run for run in measured if run not in full)]:
            w.spec(run, "throttle", "throttle of the run")
            speeds.append(w.spec(run, "boat_speed", "boat speed of the run").m_per_s)
        w.value = BoatSpeed(max(speeds))
