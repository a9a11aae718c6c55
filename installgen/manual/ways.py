"""Ways through the wiring that a person follows with a finger: from a starter to its battery."""

from __future__ import annotations

from collections import deque
from itertools import combinations

from installgen.manual.pages.electrical import devices_of, wires
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import Battery, Bus, Diode, Fuse, Isolator, Starter
from installgen.spec.vessel import FittedEngine


def isolators_to_battery(m: VesselManual, engine: FittedEngine) -> list[str]:
    """Ids of the isolators on the shortest way from an engine's starter to a battery's positive.

    Isolators that are off in every state, such as one for emergencies, are no way.
    """
    starters = [i for i, _, on in devices_of(m, Starter) if on is engine]
    goals = {f"{i}.positive" for i, _, _ in devices_of(m, Battery)}
    ways = _ways(m)
    for starter in starters:
        before: dict[str, str] = {f"{starter}.battery": ""}
        queue = deque(before)
        while queue:
            here = queue.popleft()
            if here in goals:
                return _passed(m, before, here)
            for there in ways.get(here, ()):
                if there not in before:
                    before[there] = here
                    queue.append(there)
    return []


def _passed(m: VesselManual, before: dict[str, str], end: str) -> list[str]:
    names: list[str] = []
    while end:
        device = end.rpartition(".")[0]
        if device in m.devices and isinstance(m.devices[device][0], Isolator):
            names.append(device)
        end = before[end]
    return list(dict.fromkeys(names))


def _ways(m: VesselManual) -> dict[str, list[str]]:
    """From each terminal to those it is joined to by a conductor, or within a device."""
    ways: dict[str, list[str]] = {}
    pairs = [(wire.start, wire.end) for wire in wires(m)]
    for device_id, (device, _) in m.devices.items():
        shut = isinstance(device, Isolator) and device.on_in == []
        if isinstance(device, Isolator | Fuse | Bus | Diode) and not shut:
            names = [f"{device_id}.{terminal}" for terminal in device.terminals]
            pairs += combinations(names, 2)
    for one, other in pairs:
        ways.setdefault(one, []).append(other)
        ways.setdefault(other, []).append(one)
    return ways
