"""Everything that flows: raw water, heat, exhaust, air, coolant, oil and fuel, in their order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from installgen.analysis.air import analyse_air
from installgen.analysis.circuits import LaidCircuit
from installgen.analysis.cranking_flood import analyse_cranking_flood
from installgen.analysis.energy import analyse_energy
from installgen.analysis.exchangers import analyse_exchangers
from installgen.analysis.exhaust import analyse_exhaust
from installgen.analysis.fluids import analyse_fluids
from installgen.analysis.headway import analyse_headway
from installgen.analysis.heights import analyse_heights
from installgen.analysis.injection_pressure import analyse_injection_pressure
from installgen.analysis.line_heights import analyse_line_heights
from installgen.analysis.openings import HullOpening, analyse_openings
from installgen.analysis.raw_water import analyse_raw_water
from installgen.analysis.raw_water_cases import analyse_raw_water_cases
from installgen.analysis.raw_water_heat import analyse_heat
from installgen.analysis.raw_water_intake import analyse_intake
from installgen.analysis.results import Book
from installgen.analysis.route import Route, lay_route
from installgen.spec.vessel import Vessel


@dataclass(frozen=True)
class FluidSide:
    """What the fluid results were computed from.

    routes: raw-water route of each engine, by the engine's name
    circuits: coolant, oil, fuel and crankcase vent, by system, as far as she has them
    openings: every opening in her hull
    """

    routes: Mapping[str, Route]
    circuits: Mapping[str, LaidCircuit]
    openings: tuple[HullOpening, ...]


def analyse_fluid_side(book: Book, vessel: Vessel) -> FluidSide:
    """Enter every result about what flows.

    book: with the speeds and ratings in it, and the cranking speeds where they could be found
    """
    routes = {}
    for water in vessel.spec.raw_water:
        route = lay_route(vessel, water)
        routes[route.engine.name] = route
        analyse_intake(book, vessel, route)
        analyse_injection_pressure(book, vessel, route)
        analyse_raw_water(book, vessel, route)
        analyse_raw_water_cases(book, vessel, route)
        analyse_heat(book, vessel, route)
        analyse_exchangers(book, vessel, route)
        analyse_heights(book, vessel, route)
        analyse_headway(book, vessel, route)
    openings = analyse_openings(book, vessel, routes)
    for engine in vessel.engines:
        analyse_cranking_flood(book, vessel, engine, routes.get(engine.name))
    for exhaust in vessel.spec.exhaust:
        analyse_exhaust(book, vessel, routes.get(vessel.engine(exhaust.engine).name), exhaust)
    analyse_line_heights(book, vessel, routes)
    analyse_energy(book, vessel)
    analyse_air(book, vessel)
    return FluidSide(routes, analyse_fluids(book, vessel), openings)
