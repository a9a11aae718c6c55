"""What somebody does to bring an engine's circuits into a case: keys, buttons, a helper."""

from __future__ import annotations

from installgen.analysis.cases import DcCase
from installgen.analysis.speeds import speed_id
from installgen.manual.blocks import Caution, Line, joined
from installgen.manual.pages.electrical import named
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Bus,
    DeviceBase,
    Isolator,
    Selector,
    Starter,
)


def case_line(m: VesselManual, engine: str, case: DcCase) -> Line:
    """What to do: the state of the engine, then every switch that is not at rest."""
    state = case.state(engine)
    key = f"fault-cases.{state.key}"
    if state.speed is not None and m.words.knows(key):
        speed = m.outcome(speed_id(m.vessel.engine(engine), state.speed))
        text: Line = m.say(key, speed=speed)
    else:
        text = m.say(f"fault-cases.{state.state}")
    switches = switch_lines(m, engine, case)
    return (text, " ", joined([*switches], ", "), ".") if switches else text


def switch_lines(m: VesselManual, engine: str, case: DcCase) -> list[Line]:
    """The switches of an engine that are not at rest in a case, each with its position."""
    found: list[Line] = []
    state = case.state(engine).state
    for device, owner in m.devices.values():
        if not isinstance(device, Selector):
            continue
        works = owner.name if owner is not None else device.engine
        if works not in (None, engine):
            continue
        if device.kind == "toggle-switch" and state in ("running", "emergency-stop"):
            continue  # a gear's own switch: nobody engages the gear for a reading
        rest = next(iter(device.positions))
        position = case.position(device, state)
        if position == rest:
            continue
        name = named(m, device, owner)
        if device.kind == "push-button":
            found.append(m.say("fault-cases.pressed", switch=name))
        else:
            found.append(m.say("fault-cases.at", switch=name, position=position))
    return found


def case_cautions(m: VesselManual, state: str) -> Caution:
    """What can hurt whoever reads in a state of the engine."""
    if state == "off":
        return m.caution("warning", "faults.caution_battery")
    if state == "running":
        return m.caution("warning", "faults.caution_runs", "faults.caution_battery")
    return m.caution("warning", "faults.caution_moving", "faults.caution_battery")


def step_caution(m: VesselManual, state: str, device: DeviceBase | None) -> Caution | None:
    """The caution of one reading: what turns meanwhile, what is not fused."""
    keys = []
    if state == "running":
        keys.append("faults.step_runs")
    elif state in ("breakaway", "cranking", "stopping", "emergency-stop"):
        keys.append("faults.step_cranks")
    if isinstance(device, Alternator | Battery | Bus | Isolator | Starter):
        keys.append("faults.step_post")
    return Caution("warning", tuple(m.say(key) for key in keys)) if keys else None
