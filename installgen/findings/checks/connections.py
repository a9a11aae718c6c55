"""Connections: every point of the engine that has to be taken is, every terminal has its wire."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.dc_closed import ClosedWiring
from installgen.analysis.symptoms import HEATS_A
from installgen.findings.judgement import (
    About,
    Judgement,
    holds,
    lacking,
    not_assessed,
    with_care,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import (
    Bus,
    DeviceBase,
    Fuse,
    Gauge,
    Heater,
    Plug,
    Relay,
    Selector,
)
from installgen.spec.engine_sheet import ConnectionPoint
from installgen.spec.entry import Entry, known
from installgen.spec.vessel import FittedEngine

_CONTROLS = ("throttle", "shift", "stop", "trolling")


@named_check("connections")
def connections_made(survey: Survey) -> Iterator[Judgement]:
    """Every connection point that the sheet calls `connected` is taken.

    By a hose, a line, a conductor or a control cable of the vessel.
    """
    for engine in survey.engines:
        for point in engine.sheet.connections:
            if point.use == "connected":
                about = _about(survey, point, engine)
                taken = _taken(survey, engine, point)
                if taken is None:
                    yield lacking(about, point, "terminal", "the terminal it is")
                else:
                    yield holds(taken, "taken" if taken else "nothing", f"{point.for_}", about)


@named_check("connections")
def plugged_left_alone(survey: Survey) -> Iterator[Judgement]:
    """A connection point that the sheet calls plugged or reserved is not taken unawares."""
    for engine in survey.engines:
        for point in engine.sheet.connections:
            if point.use in ("plugged", "reserved"):
                about = _about(survey, point, engine)
                if _taken(survey, engine, point):
                    yield with_care(f"taken, though {point.use}", point.use, about)
                else:
                    yield holds(True, point.use, point.use, about)


_SECTIONS = {
    "raw-water": "raw_water",
    "exhaust": "exhaust",
    "coolant": "coolant",
    "fuel": "fuel",
    "oil": "oil",
    "control": "controls",
    "electrical": "electrical",
    "instrument": "electrical",
}
"""Where in the vessel spec it is written that a point of a system is taken."""


def _about(survey: Survey, point: ConnectionPoint, engine: FittedEngine) -> About:
    """A connection point; what is missing is missing in the vessel's section of its system."""
    name = f"{point.name} {point.code}".strip()
    section = _SECTIONS.get(point.system, "")
    at = ((survey.vessel.spec, section), (point, "")) if section else ((point, ""),)
    return About(f"{engine.name}.{point.id}", name, at, engine.name)


def _taken(survey: Survey, engine: FittedEngine, point: ConnectionPoint) -> bool | None:
    """Whether something is connected; nothing where the sheet does not say which terminal it is."""
    full = f"{engine.name}.{point.id}"
    if point.system == "raw-water":
        return point.id in _route_points(survey, engine)
    if point.system == "exhaust":
        return any(
            survey.vessel.engine(one.engine) is engine and (one.pieces or one.dry)
            for one in survey.vessel.spec.exhaust
        )
    if point.system == "control":
        works = [word for word in _CONTROLS if word in f"{point.id} {point.for_}"]
        return any(
            cable.works in works and cable.engine in (None, engine.name)
            for cable in survey.vessel.spec.controls
        )
    if point.system in ("electrical", "instrument"):
        return _wired(survey, engine, point)
    return any(
        full in (line.start, line.end) and line.engine is None
        for circuit in survey.analysis.circuits.values()
        for line in circuit.lines
    )


def _wired(survey: Survey, engine: FittedEngine, point: ConnectionPoint) -> bool | None:
    if not point.terminal:
        return None
    wanted = f"{engine.name}.{point.terminal}"
    return any(end == wanted or end.startswith(f"{wanted}.") for end in survey.reached_by_vessel)


def _route_points(survey: Survey, engine: FittedEngine) -> set[str]:
    """Connection points at which the vessel's route meets the engine's."""
    route = survey.analysis.routes.get(engine.name)
    water = engine.sheet.raw_water
    if route is None or water is None:
        return set()
    own = [step.at for step in water.route if step.at is not None]
    met: set[str] = set()
    for piece in route.water.route:
        if piece.engine is not None:
            met |= {piece.engine.from_ or own[0], piece.engine.to or own[-1]} if own else set()
    return met


@named_check("connections")
def terminals_connected(survey: Survey) -> Iterator[Judgement]:
    """Every terminal of every device of the vessel has a conductor.

    Studs of a bus may stay free, and a gauge that needs no sender its signal terminal.
    """
    for device_id, device, engine in survey.devices:
        if engine is not None or isinstance(device, Bus | Plug):
            continue
        about = About(device_id, device.title, ((device, ""),))
        free = [t for t in device.terminals if f"{device_id}.{t}" not in survey.connected]
        if isinstance(device, Gauge) and "volt" in device.measures.casefold():
            free = [terminal for terminal in free if terminal != "signal"]
        words = f"nothing on {', '.join(free)}" if free else "all connected"
        yield holds(not free, words, "a conductor on each terminal", about)


@named_check("connections")
def pins_connected(survey: Survey) -> Iterator[Judgement]:
    """Every pin of a plug that has to be connected is, unless the sheet says it is reserved."""
    for engine in survey.engines:
        plugs = {d.id: d for d in engine.sheet.devices if isinstance(d, Plug)}
        for point in engine.sheet.connections:
            plug = plugs.get(point.terminal)
            if plug is None or point.use != "connected":
                continue
            unused = plug.unused or {}
            for pin, use in plug.pins.items():
                if pin in unused:
                    continue
                full = f"{engine.name}.{plug.id}.{pin}"
                at = ((survey.vessel.spec.electrical, "conductors"), (plug, "pins"))
                about = About(full, f"pin {pin} of {plug.title}, {use}", at, engine.name)
                there = full in survey.reached_by_vessel
                words = "connected" if there else "nothing"
                yield holds(there, words, "a conductor", about)


@named_check("connections")
def engine_devices_connected(survey: Survey) -> Iterator[Judgement]:
    """Every device on the engine has its wires; heaters are left to `heater-declared`."""
    for device_id, device, engine in survey.devices:
        if engine is None or isinstance(device, Plug | Heater):
            continue
        about = About(device_id, device.title, ((device, ""),), engine.name)
        free = [t for t in _needed(device) if f"{device_id}.{t}" not in survey.connected]
        words = f"nothing on {', '.join(free)}" if free else "all connected"
        yield holds(not free, words, "a wire on each terminal", about)


def _needed(device: DeviceBase) -> tuple[str, ...]:
    """Terminals that need a wire; a speed terminal of an alternator may stay free."""
    return tuple(terminal for terminal in device.terminals if terminal != "speed")


@named_check("connections")
def heater_declared(survey: Survey) -> Iterator[Judgement]:
    """A heater without its controller is worked by hand through a fuse, or declared unused.

    Declared is it by an entry `air-heater` in `not_fitted`, with the reason. Where it is connected
    its way from the battery has a switch or relay and a fuse, and it heats in no case in which
    nobody works it; its conductors are sized by `ampacity` and `circuit-drop`.
    """
    left_out = {one.system: one for one in survey.vessel.spec.not_fitted}
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Heater) or engine is None:
            continue
        declared = left_out.get("air-heater") if device.kind == "air-heater" else None
        wired = f"{device_id}.positive" in survey.connected
        entry: Entry = declared or device
        about = About(device_id, device.title, ((entry, ""),), engine.name)
        if wired and declared is not None:
            yield holds(False, "connected, and declared unused", "one or the other", about)
        elif wired and device.controller == "not-supplied":
            yield _by_hand(survey, device_id, about)
        else:
            words = "connected" if wired else "declared unused" if declared else "neither"
            yield holds(wired or declared is not None, words, "connected or declared unused", about)


def _by_hand(survey: Survey, heater: str, about: About) -> Judgement:
    """Whether a heater without its controller is switched by hand, and protected."""
    asked = "a switch or relay, and a fuse, on its way from the battery"
    unsolved = next((found for found in survey.cases if found.settled is None), None)
    if unsolved is not None or not survey.cases:
        reason = unsolved.reason if unsolved else "there is no case"
        return not_assessed(about, reason, unsolved.missing if unsolved else ())
    heats = [
        found.case.name
        for found in survey.cases
        if abs(found.current_a(heater) or 0.0) > HEATS_A
        and not {"preheating", "breakaway", "cranking"} & set(found.case.all_states)
    ]
    wiring = ClosedWiring(survey.cases)
    way = wiring.way(f"{heater}.positive", wiring.banks, wiring.hot_ohm)
    if way is None:
        return holds(False, "no way to a battery", asked, about)
    entries = {e: entry for found in survey.cases for e, entry in found.parts.entries.items()}
    there = [entries[element] for element in way.elements if element in entries]
    switched = any(isinstance(entry, Selector | Relay) for entry in there)
    fused = any(isinstance(entry, Fuse) for entry in there)
    if not switched or not fused:
        lacks = [word for word, has in (("switch", switched), ("fuse", fused)) if not has]
        return holds(False, f"without {' and '.join(lacks)}", asked, about)
    if heats:
        return holds(False, f"heats in: {', '.join(heats)}", "off unless somebody works it", about)
    return holds(True, "switched by hand and protected", asked, about)


@named_check("connections")
def torque_stated(survey: Survey) -> Iterator[Judgement]:
    """Every bolted or threaded connection point that is taken has its torque.

    From the sheet or, for that thread, from the standard's `torques`.
    """
    kept = {str(row.thread) for row in survey.standard.torques}
    for engine in survey.engines:
        for point in engine.sheet.connections:
            end = point.end
            if end is None or point.use != "connected" or end.kind in ("hose-spigot", "hose"):
                continue
            about = About(
                f"{engine.name}.{point.id}",
                f"{point.name} {point.code}".strip(),
                ((point, "torque"),),
                engine.name,
            )
            own = known(point.torque)
            if own is not None:
                yield holds(True, str(own), "a torque", about)
            elif point.torque is None and end.thread is not None and str(end.thread) in kept:
                yield holds(True, "from the standard", "a torque", about)
            else:
                yield lacking(about, point, "torque")


@named_check("connections")
def systems_described(survey: Survey) -> Iterator[Judgement]:
    """Every system an engine needs is described, or `not_fitted` says why she does without.

    Without this, leaving out a whole system would clear whatever is found in it.
    """
    spec = survey.vessel.spec
    left_out = {one.system: one for one in spec.not_fitted}
    engines = {engine.name for engine in survey.engines}
    watered = {survey.vessel.engine(one.engine).name for one in spec.raw_water}
    exhausted = {survey.vessel.engine(one.engine).name for one in spec.exhaust}
    described: dict[str, tuple[str, bool]] = {
        "raw-water": ("raw_water", engines <= watered),
        "exhaust": ("exhaust", engines <= exhausted),
        "coolant": ("coolant", spec.coolant is not None),
        "fuel": ("fuel", spec.fuel is not None),
        "controls": ("controls", bool(spec.controls)),
        "electrical": ("electrical", spec.electrical is not None),
    }
    for system, (field, there) in described.items():
        declared = left_out.get(system)  # type: ignore[call-overload]
        about = About(f"system.{system}", system.replace("-", " "), ((spec, field),))
        if there:
            yield holds(True, "described", "described", about)
        elif declared is not None:
            about = About(f"system.{system}", system.replace("-", " "), ((declared, "system"),))
            yield holds(True, f"not fitted: {declared.because}", "described", about)
        else:
            yield not_assessed(
                about,
                f"`{field}` does not say it, and `not_fitted` does not say why",
                lacking(about, spec, field).missing,
            )
