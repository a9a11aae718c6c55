"""What somebody does to bring an engine's circuits into a case: keys, buttons, a helper."""

from __future__ import annotations

from installgen.analysis.cases import DcCase
from installgen.analysis.fault_study import FaultStudy
from installgen.analysis.speeds import speed_id
from installgen.manual.blocks import Line, joined
from installgen.manual.pages.electrical import named
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import Selector


def case_line(m: VesselManual, study: FaultStudy, case: DcCase) -> Line:
    """What to do: the state of the engine, then every switch that is not at rest."""
    state = case.state(study.engine)
    key = f"fault-cases.{state.key}"
    if state.speed is not None and m.words.knows(key):
        engine = m.vessel.engine(study.engine)
        text: Line = m.say(key, speed=m.outcome(speed_id(engine, state.speed)))
    else:
        text = m.say(f"fault-cases.{state.state}")
    switches = switch_lines(m, study.engine, case)
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
        if device.station is not None and case.station not in (None, device.station):
            continue
        if device.kind == "toggle-switch" and state == "running":
            continue  # a gear's own switch: nobody engages the gear for a reading
        rest = next(iter(device.positions))
        position = device.position_in.get(state, rest)
        if position == rest:
            continue
        name = named(m, device, owner)
        if device.kind == "push-button":
            found.append(m.say("fault-cases.pressed", switch=name))
        else:
            found.append(m.say("fault-cases.at", switch=name, position=position))
    return found
