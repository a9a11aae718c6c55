"""Ways through the wiring that a person follows with a finger: from a starter to its battery."""

from __future__ import annotations

from collections import deque
from itertools import combinations

from installgen.calc.reach import reached
from installgen.manual.blocks import Line, joined
from installgen.manual.pages.electrical import device_line, devices_of, wires
from installgen.manual.still_live import still_live
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import Battery, Bus, Diode, Fuse, Isolator, Selector, Starter
from installgen.spec.vessel import FittedEngine


def isolators_to_battery(m: VesselManual, engine: FittedEngine) -> list[str]:
    """Ids of the isolators on the shortest way from an engine's starter to a battery's positive.

    Isolators that are off in every state, such as one for emergencies, are no way.
    """
    passed = _to_battery(m, engine)
    return [one for one in passed if one in m.devices and isinstance(m.devices[one][0], Isolator)]


def start_battery(m: VesselManual, engine: FittedEngine) -> str:
    """Id of the battery at the end of the shortest way from an engine's starter; empty if none."""
    return next(reversed(_to_battery(m, engine)), "")


def _to_battery(m: VesselManual, engine: FittedEngine) -> list[str]:
    """The devices from an engine's starter to the nearest battery, that battery last."""
    starters = [i for i, _, on in devices_of(m, Starter) if on is engine]
    goals = {f"{i}.positive" for i, _, _ in devices_of(m, Battery)}
    ways = _ways(m)
    for starter in starters:
        before: dict[str, str] = {f"{starter}.battery": ""}
        queue = deque(before)
        while queue:
            here = queue.popleft()
            if here in goals:
                return _passed(before, here)
            for there in ways.get(here, ()):
                if there not in before:
                    before[there] = here
                    queue.append(there)
    return []


def battery_isolators(m: VesselManual) -> list[str]:
    """Ids of the isolators that cut a battery: from a pole to each, no other isolator is passed.

    One that is off in every state is left so. Where the wiring leads to none, all of them.
    """
    every = [i for i, device, _ in devices_of(m, Isolator) if device.on_in != []]
    ways = _ways(m, through_isolators=False)
    poles = [
        f"{i}.{pole}" for i, _, _ in devices_of(m, Battery) for pole in ("positive", "negative")
    ]
    fed = reached(ways, poles)
    return [i for i in every if any(end.rpartition(".")[0] == i for end in fed)] or every


def isolator_lines(m: VesselManual) -> tuple[Line, ...]:
    """The sentences by which every battery is cut before work, and what that leaves live.

    Nothing without an isolator.
    """
    found = battery_isolators(m)
    live = joined([device_line(m, one.device) for one in still_live(m)], ", ")
    left = (m.say("safety.still_live", live=live),) if live else ()
    if len(found) < 2:
        return (m.say("safety.isolator"), *left) if m.has(Isolator) else ()
    names = joined([device_line(m, name) for name in found], ", ")
    return (m.say("safety.isolators", isolators=names), *left)


def cut_off(m: VesselManual, load: str) -> str:
    """Id of the switch or, failing that, the fuse right before a load; empty where none is sure.

    One that other things hang on too is not sure.
    """
    ends = reached(_ways(m, inside_devices=False), [f"{load}.positive"])
    met = {end.rpartition(".")[0] for end in ends} & set(m.devices) - {load}
    if any(not isinstance(m.devices[name][0], Selector | Fuse) for name in met):
        return ""
    for kind in (Selector, Fuse):
        found = [name for name in sorted(met) if isinstance(m.devices[name][0], kind)]
        if found:
            return found[0] if len(found) == 1 else ""
    return ""


def _passed(before: dict[str, str], end: str) -> list[str]:
    """The devices on the way to an end, its own last."""
    names: list[str] = []
    while end:
        names.append(end.rpartition(".")[0])
        end = before[end]
    return list(dict.fromkeys(reversed(names)))


def _ways(
    m: VesselManual, *, through_isolators: bool = True, inside_devices: bool = True
) -> dict[str, list[str]]:
    """From each terminal to those it is joined to by a conductor, or within a device."""
    ways: dict[str, list[str]] = {}
    pairs = [(wire.start, wire.end) for wire in wires(m)]
    for device_id, (device, _) in m.devices.items():
        shut = isinstance(device, Isolator) and (device.on_in == [] or not through_isolators)
        if inside_devices and isinstance(device, Isolator | Fuse | Bus | Diode) and not shut:
            names = [f"{device_id}.{terminal}" for terminal in device.terminals]
            pairs += combinations(names, 2)
    for one, other in pairs:
        ways.setdefault(one, []).append(other)
        ways.setdefault(other, []).append(one)
    return ways
