"""Starting and stopping: what to open, how to crank and for how long, what to see, how to stop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from installgen.analysis.cranking_flood import cranking_attempts_id, cranking_limit_id
from installgen.manual.blocks import (
    Block,
    Heading,
    Line,
    Link,
    Outcome,
    Step,
    Steps,
    Target,
    joined,
)
from installgen.manual.links import FAULTS, FUEL, RAW_WATER
from installgen.manual.pages.cranking import cranking_panel, may_flood, seacocks, seacocks_line
from installgen.manual.pages.electrical import device_line, devices_of
from installgen.manual.vessel_manual import VesselManual, coded, sentence
from installgen.spec.electrical import Heater, Isolator, Selector, StateName, StopSolenoid
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine


def starting_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where neither a switch nor raw water is written."""
    switched = any(True for _ in devices_of(m, Selector))
    if not switched and not m.analysis.routes:
        return
    yield m.caution("warning", "starting.caution")
    yield m.heading("starting.before_heading", "before")
    yield Steps(tuple(Step(line) for line in _before(m)))
    yield m.heading("starting.start_heading", "start")
    yield from cranking_panel(m, lead=False)
    for engine in m.vessel.engines:
        yield from _head(m, engine, "start")
        yield Steps(tuple(Step(line) for line in _start(m, engine)))
    yield m.heading("starting.not_heading", "not-starting")
    yield Steps(tuple(Step(line) for line in _not_starting(m)))
    yield m.heading("starting.stop_heading", "stop")
    for engine in m.vessel.engines:
        yield from _head(m, engine, "stop")
        yield Steps(tuple(Step(line) for line in _stop(m, engine)))


def _head(m: VesselManual, engine: FittedEngine, what: str) -> Iterator[Heading]:
    if m.several:
        yield Heading(m.engine_name(engine), f"{engine.name}.{what}", 3)


def _before(m: VesselManual) -> Iterator[Line]:
    """What is opened and switched on, in order."""
    for engine in m.vessel.engines:
        if cocks := seacocks_line(m, engine):
            if _no_time(m, engine):
                yield m.say("starting.shut_seacock", cocks=cocks, engine=m.engine_name(engine))
            else:
                yield m.say("starting.open_seacock", cocks=cocks)
    fuel = m.analysis.circuits.get("fuel")
    for part in fuel.of_kind("valve") if fuel is not None else []:
        valve = Link(coded(part.part.title, part.part.code), Target(FUEL, part.id))
        yield m.say("starting.fuel_open", valve=valve)
    for route in m.analysis.routes.values():
        for step in route.steps:
            if step.kind == "strainer":
                name = Link(coded(step.name, step.code), Target(RAW_WATER, step.id))
                yield m.say("starting.strainer", strainer=name)
    yield m.say("starting.levels")
    for device_id, isolator, _ in devices_of(m, Isolator):
        key = "starting.isolator_off" if isolator.on_in == [] else "starting.isolator_on"
        yield m.say(key, isolator=device_line(m, device_id))
    yield m.say("starting.neutral")


def _no_time(m: VesselManual, engine: FittedEngine) -> bool:
    """Whether not one attempt is known to be safe with the seacock open."""
    attempts = m.book.get(cranking_attempts_id(engine))
    return attempts is not None and not attempts.value


def _worked(
    m: VesselManual, engine: FittedEngine, state: StateName, before: StateName
) -> Iterator[tuple[Line, str]]:
    """The switches of an engine that are worked to get from one state to another, and where to.

    Those that do the same, such as the keys of two stations, stand together.
    """
    found: dict[str, list[Line]] = {}
    for device_id, device, _ in devices_of(m, Selector):
        rest = next(iter(device.positions), "")
        position = device.position_in.get(state, rest)
        if device.engine in (None, engine.name) and position != device.position_in.get(
            before, rest
        ):
            found.setdefault(position, []).append(device_line(m, device_id))
    for position, switches in found.items():
        yield joined(switches, f" {m.text('starting.or')} "), position


def _start(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    """From the key to the first minute."""
    on = list(_worked(m, engine, "ignition-on", "off"))
    for switch, position in on:
        yield m.say("starting.turn", switch=switch, position=position)
    if engine.sheet.alarms and on:
        yield m.say("starting.alarms_sound")
    heaters = [
        device
        for _, device, owner in devices_of(m, Heater)
        if owner is engine and device.controller == "fitted"
    ]
    for switch, position in _worked(m, engine, "preheating", "ignition-on") if heaters else ():
        longest = next((device.longest for device in heaters if known(device.longest)), None)
        yield m.say(
            "starting.preheat", switch=switch, position=position, limit=_at_most(m, longest)
        )
    for switch, position in _worked(m, engine, "cranking", "ignition-on"):
        limit = _at_most(m, engine.sheet.limits.longest_cranking)
        yield m.say("starting.crank", switch=switch, position=position, limit=limit)
    yield m.say("starting.let_go")
    if engine in may_flood(m):
        yield m.say("starting.water")
    if engine.sheet.alarms:
        yield m.say("starting.alarms_silent")


def _at_most(m: VesselManual, time: Any) -> Line:
    """`, for at most 15 s`; empty where nobody states it."""
    return m.say("starting.at_most", time=m.field(time)) if known(time) is not None else ""


def _not_starting(m: VesselManual) -> Iterator[Line]:
    yield m.say("starting.rest")
    flooded = may_flood(m)
    for engine in flooded:
        limit = m.book[cranking_limit_id(engine)]
        parts: dict[str, Line] = {"engine": m.engine_name(engine), "limit": Outcome(limit)}
        when = "first" if _no_time(m, engine) else "at_limit"
        if cocks := seacocks_line(m, engine):
            yield m.say(f"starting.shut_{when}", cocks=cocks, **parts)
        else:
            yield m.say(f"starting.drain_{when}", **parts)
    if any(seacocks(m, engine) for engine in flooded):
        yield m.say("starting.open_again")
    if flooded:
        yield m.say("starting.water_in_cylinders")
    if m.faults:
        yield m.say("starting.look_for_fault", faults=Link(m.text("titles.faults"), Target(FAULTS)))


def _stop(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    yield m.say("starting.idle_first")
    switches = list(_worked(m, engine, "stopping", "running"))
    for switch, position in switches:
        yield m.say("starting.stop_with", switch=switch, position=position)
    cables = [end for end in engine.sheet.controls if end.works == "stop"]
    for cable in cables:
        name = cable.name or m.choice("cables", "stop")
        yield m.say("starting.hand_stop", cable=joined([sentence(name), cable.find], ": "))
    for device_id, solenoid, owner in devices_of(m, StopSolenoid):
        if owner is engine and solenoid.acts == "energised-to-stop":
            yield m.say("starting.needs_current", solenoid=device_line(m, device_id))
    yield m.say("starting.isolator_last")
    if seacocks(m, engine):
        yield m.say("starting.leave", cocks=seacocks_line(m, engine))
