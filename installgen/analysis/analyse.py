"""From a resolved vessel to everything that is computed of her."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from installgen.analysis.air import analyse_air
from installgen.analysis.circuits import LaidCircuit
from installgen.analysis.dc import DcAnalysis, analyse_dc
from installgen.analysis.driveline import analyse_driveline
from installgen.analysis.energy import analyse_energy
from installgen.analysis.exchangers import analyse_exchangers
from installgen.analysis.exhaust import analyse_exhaust
from installgen.analysis.fluids import analyse_fluids
from installgen.analysis.heights import analyse_cranking_flood, analyse_heights
from installgen.analysis.openings import HullOpening, analyse_openings
from installgen.analysis.rating import analyse_rating
from installgen.analysis.raw_water import analyse_raw_water
from installgen.analysis.raw_water_cases import analyse_raw_water_cases
from installgen.analysis.raw_water_heat import analyse_heat
from installgen.analysis.results import Book
from installgen.analysis.route import Route, lay_route
from installgen.analysis.sea_trial import analyse_sea_trial
from installgen.analysis.speeds import analyse_speeds
from installgen.spec.vessel import Vessel


@dataclass(frozen=True)
class Analysis:
    """A vessel, her results, and the routes and circuits that they were computed from.

    book: every result with its working, by id
    routes: raw-water route of each engine, by the engine's name
    circuits: coolant, oil, fuel and crankcase vent, by system, as far as she has them
    dc: the electrical system, as far as she has one
    openings: every opening in her hull
    """

    vessel: Vessel
    book: Book
    routes: Mapping[str, Route]
    circuits: Mapping[str, LaidCircuit]
    dc: DcAnalysis | None
    openings: tuple[HullOpening, ...] = ()


def analyse(vessel: Vessel) -> Analysis:
    """Compute everything of one vessel, one system after the other."""
    book = Book(vessel.standard.assume)
    analyse_speeds(book, vessel)
    analyse_rating(book, vessel)
    dc = analyse_dc(book, vessel)
    routes = {}
    for water in vessel.spec.raw_water:
        route = lay_route(vessel, water)
        routes[route.engine.name] = route
        analyse_raw_water(book, vessel, route)
        analyse_raw_water_cases(book, vessel, route)
        analyse_heat(book, vessel, route)
        analyse_exchangers(book, vessel, route)
        analyse_heights(book, vessel, route)
    openings = analyse_openings(book, vessel, routes)
    for exhaust in vessel.spec.exhaust:
        analyse_cranking_flood(book, vessel, exhaust)
        analyse_exhaust(book, vessel, routes.get(vessel.engine(exhaust.engine).name), exhaust)
    analyse_energy(book, vessel)
    analyse_air(book, vessel)
    circuits = analyse_fluids(book, vessel)
    analyse_driveline(book, vessel)
    analyse_sea_trial(book, vessel)
    return Analysis(vessel, book, routes, circuits, dc, openings)
