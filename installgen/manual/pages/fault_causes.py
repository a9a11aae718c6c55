"""What else shows as a symptom: fuel, air, levers, belts; where each is aboard this vessel."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.circuits import LaidPart
from installgen.analysis.fuel_paths import return_paths, supply_paths
from installgen.analysis.symptoms import Symptom
from installgen.manual.blocks import Block, Bullets, Line, Link, Target, joined
from installgen.manual.links import AIR, DRIVELINE, FUEL, RAW_WATER
from installgen.manual.pages.air import air_page
from installgen.manual.pages.circuits import on_engine
from installgen.manual.vessel_manual import VesselManual, coded, full_stop, sentence
from installgen.spec.vessel import FittedEngine

OUTSIDE = "outside"
"""Anchor of the list."""

FUEL_KINDS = ("tank", "valve", "water-separator", "lift-pump", "filter")
"""From the tank to the injection pump, in the order in which they are looked at."""

STARVES = {Symptom.CRANKS_DOES_NOT_START, Symptom.STOPS_ON_RELEASE, None}
TURNS = {Symptom.DOES_NOT_CRANK, Symptom.CLICKS}


def other_causes(m: VesselManual, engine: FittedEngine, symptom: Symptom | None) -> Iterator[Block]:
    """A list under its heading; nothing where there is nothing to say.

    symptom: none for an engine that stops or fails to start now and then
    """
    lines: list[Line] = []
    if symptom in STARVES:
        lines += _fuel(m, engine)
    if symptom is Symptom.WILL_NOT_STOP:
        lines += _shut(m, engine)
    if symptom in STARVES or symptom is Symptom.WILL_NOT_STOP:
        lines += _stop_levers(m, engine)
    if symptom is Symptom.CRANKS_DOES_NOT_START:
        page = _to(m, AIR) if any(True for _ in air_page(m)) else ""
        lines.append(m.say("fault-outside.air", page=page))
    if symptom in TURNS and engine.name in m.analysis.routes:
        lines.append(m.say("fault-outside.flooded", page=_to(m, RAW_WATER)))
    if symptom is Symptom.DOES_NOT_CHARGE:
        lines += _belts(m, engine)
    if lines:
        yield m.heading("faults.outside_heading", OUTSIDE)
        yield Bullets(tuple(lines))


def _to(m: VesselManual, page: str) -> Link:
    return Link(m.text(f"titles.{page}"), Target(page))


def _fuel(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    """The way of the fuel, part by part: what is looked at, and what a person does there."""
    found = [part for kind in FUEL_KINDS for part in _fuel_parts(m, engine, kind)]
    for part in found:
        yield _part(m, part, part.part.kind)
    if found:
        yield m.say("fault-outside.fuel-air", page=_to(m, FUEL))


def _fuel_parts(m: VesselManual, engine: FittedEngine, kind: str) -> list[LaidPart]:
    """The engine's own parts, and the vessel's that lines lead to it from or back to a tank."""
    circuit = m.analysis.circuits.get("fuel")
    if circuit is None:
        return []
    ways = [*supply_paths(circuit, engine), *return_paths(circuit, engine)]
    passed = {part.id for way in ways for part in (way.tank, *way.parts)}
    return [
        part
        for part in circuit.of_kind(kind)
        if (part.id in passed if part.engine is None else part.engine is engine)
    ]


def _shut(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    """The valves that cut its fuel: each that all of it passes, else all of them together."""
    circuit = m.analysis.circuits.get("fuel")
    ways = supply_paths(circuit, engine) if circuit is not None else []
    passed = [{part.id: part for part in way.parts if part.part.kind == "valve"} for way in ways]
    if not all(passed):
        return
    valves = {name: part for of_way in passed for name, part in of_way.items()}
    enough = [name for name in valves if all(name in of_way for of_way in passed)]
    for name in enough or valves:
        yield _part(m, valves[name], "shut" if enough else "shut-all")


def _part(m: VesselManual, laid: LaidPart, key: str) -> Line:
    part = laid.part
    name = Link(coded(sentence(part.title), part.code), Target(FUEL, laid.id))
    where = on_engine(m, laid.engine) if laid.engine is not None else m.place(part.place)
    more = joined([full_stop(text) for text in (where, part.find, part.means) if text], " ")
    return joined([m.say(f"fault-outside.{key}", part=name), more], " ")


def _stop_levers(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    for control in engine.sheet.controls:
        if control.works == "stop":
            name = control.name or m.choice("cables", "stop")
            found = full_stop(control.find) if control.find else ""
            yield joined([m.say("fault-outside.lever", lever=name), found], " ")


def _belts(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    for belt in engine.sheet.belts:
        if any("alternator" in driven.lower() for driven in belt.drives):
            name = Link(belt.name or belt.id.replace("-", " "), Target(DRIVELINE, "belts"))
            tension = m.say("fault-outside.tension", how=belt.tension) if belt.tension else ""
            yield joined([m.say("fault-outside.belt", belt=name), tension], " ")
