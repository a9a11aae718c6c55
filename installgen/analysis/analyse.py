"""From a resolved vessel to everything that is computed of her."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from installgen.analysis.battery_air import analyse_battery_air
from installgen.analysis.circuits import LaidCircuit
from installgen.analysis.dc import DcAnalysis, analyse_dc
from installgen.analysis.driveline import analyse_driveline
from installgen.analysis.engine_mounts import analyse_mounts
from installgen.analysis.fluid_side import analyse_fluid_side
from installgen.analysis.openings import HullOpening
from installgen.analysis.rating import analyse_rating
from installgen.analysis.results import Book
from installgen.analysis.route import Route
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
    fluids = analyse_fluid_side(book, vessel)
    analyse_driveline(book, vessel)
    analyse_mounts(book, vessel)
    analyse_battery_air(book, vessel)
    analyse_sea_trial(book, vessel)
    return Analysis(vessel, book, fluids.routes, fluids.circuits, dc, fluids.openings)
