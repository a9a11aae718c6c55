"""Controls: throttle, shift and stop at every station, and how the engine is stopped for sure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.findings.judgement import About, Judgement, at_most, holds, lacking
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import StopSolenoid
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import VesselCable
from installgen.units import Fraction, Length


def _cables(survey: Survey, engine: FittedEngine, works: str) -> list[VesselCable]:
    return [
        cable
        for cable in survey.vessel.spec.controls
        if cable.works == works and cable.engine in (None, engine.name)
    ]


def _about(survey: Survey, engine: FittedEngine, what: str) -> About:
    return About(
        f"{engine.name}.{what}",
        f"{what} of {engine.name}",
        ((survey.vessel.spec, "controls"),),
        engine.name,
    )


@named_check("controls")
def control_cables(survey: Survey) -> Iterator[Judgement]:
    """Every control that the sheet has is worked by a cable of the vessel."""
    left_out = {one.system for one in survey.vessel.spec.not_fitted}
    for engine in survey.engines:
        for control in engine.sheet.controls:
            about = replace(
                _about(survey, engine, control.works), subject=f"{engine.name}.{control.id}"
            )
            cables = _cables(survey, engine, control.works)
            if not cables and "controls" in left_out:
                yield holds(True, "not fitted", "a cable", about)
            else:
                words = f"{len(cables)} written" if cables else "none"
                yield holds(bool(cables), words, "a cable", about)


@named_check("controls")
def emergency_stop(survey: Survey) -> Iterator[Judgement]:
    """An engine that needs current to stop has a hand stop that works with everything off.

    Its stop solenoid does nothing once key and isolator are off, and the engine then runs on.
    """
    for engine in survey.engines:
        solenoids = [d for d in engine.sheet.devices if isinstance(d, StopSolenoid)]
        if any(d.acts == "energised-to-stop" for d in solenoids) or not solenoids:
            about = _about(survey, engine, "stop")
            there = bool(_cables(survey, engine, "stop"))
            yield holds(there, "a hand stop" if there else "none", "a hand stop by cable", about)


@named_check("controls")
def stop_at_each_station(survey: Survey) -> Iterator[Judgement]:
    """Each engine can be stopped by hand from every helm station."""
    yield from _at_stations(survey, "stop")


@named_check("controls")
def throttle_at_each_station(survey: Survey) -> Iterator[Judgement]:
    """Throttle and shift of each engine are at every helm station."""
    yield from _at_stations(survey, "throttle")
    yield from _at_stations(survey, "shift")


def _at_stations(survey: Survey, works: str) -> Iterator[Judgement]:
    electrical = survey.vessel.spec.electrical
    stations = electrical.stations if electrical is not None else []
    for engine in survey.engines:
        if works == "shift" and engine.entry.gear is None:
            continue
        about = _about(survey, engine, works)
        cables = _cables(survey, engine, works)
        if len(stations) < 2:
            yield holds(bool(cables), "one station" if cables else "none", f"a {works}", about)
            continue
        for station in stations:
            here = replace(about, subject=f"{about.subject}.{station}")
            here = replace(here, name=f"{about.name} at the station {station}")
            there = any(cable.station == station for cable in cables)
            yield holds(there, "there" if there else "none", f"a {works} cable", here)


@named_check("controls")
def cable_length(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """No control cable is longer than this share of the vessel's length."""
    length = known(survey.vessel.spec.vessel.length)
    for number, cable in enumerate(survey.vessel.spec.controls, start=1):
        engine = cable.engine or (survey.engines[0].name if len(survey.engines) == 1 else "")
        words = " ".join(part for part in (cable.works, "cable", cable.station, engine) if part)
        about = About(f"controls.{number}", words, ((cable, "length"),), engine)
        run = known(cable.length)
        if run is None:
            yield lacking(about, cable, "length", f"length of the {words}")
        elif length is None:
            yield lacking(about, survey.vessel.spec.vessel, "length", "length of the vessel")
        else:
            yield at_most(run, Length(limit.ratio * length.m), about)
