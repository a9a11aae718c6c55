"""What a battery still feeds with every isolator off."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from itertools import combinations

from installgen.calc.reach import reached
from installgen.manual.pages.electrical import devices_of, wires
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import (
    Battery,
    Bus,
    DeviceBase,
    Diode,
    Fuse,
    Isolator,
    Plug,
    Relay,
    Selector,
)

_ON_THE_WAY = (Battery, Bus, Diode, Fuse, Isolator, Plug)
"""What only leads on: where it stays live so does what hangs on it, which is named instead."""


@dataclass(frozen=True)
class StillLive:
    """A device that some battery feeds past every isolator.

    through: ids of the fuses and breakers on the way, the battery's first
    """

    device: str
    battery: str
    through: tuple[str, ...]


def still_live(m: VesselManual) -> list[StillLive]:
    """Everything that a battery's positive reaches although every isolator is off.

    A switch or relay counts as closed, since it may be. A battery whose negative is cut off by an
    isolator feeds nothing. Empty aboard a vessel without isolators, where nothing is cut off.
    """
    if not m.has(Isolator):
        return []
    ways = _ways(m)
    found: dict[str, StillLive] = {}
    for battery, _, _ in devices_of(m, Battery):
        beyond = {_device(end) for end in reached(ways, [f"{battery}.negative"])}
        if all(_only_leads_on(m, one) for one in beyond):
            continue
        for end, before in _nearest(ways, f"{battery}.positive").items():
            device = _device(end)
            if device in m.devices and not _only_leads_on(m, device):
                through = _fuses(m, before)
                found.setdefault(device, StillLive(device, battery, through))
    return list(found.values())


def _only_leads_on(m: VesselManual, device: str) -> bool:
    return device in m.devices and isinstance(m.devices[device][0], _ON_THE_WAY)


def _device(terminal: str) -> str:
    return terminal.rpartition(".")[0]


def _nearest(ways: dict[str, list[str]], start: str) -> dict[str, tuple[str, ...]]:
    """By terminal that can be reached, the terminals passed before it, from the start."""
    passed: dict[str, tuple[str, ...]] = {start: ()}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for there in ways.get(here, ()):
            if there not in passed:
                passed[there] = (*passed[here], here)
                queue.append(there)
    return passed


def _fuses(m: VesselManual, passed: tuple[str, ...]) -> tuple[str, ...]:
    names = dict.fromkeys(_device(end) for end in passed)
    return tuple(n for n in names if n in m.devices and isinstance(m.devices[n][0], Fuse))


def _ways(m: VesselManual) -> dict[str, list[str]]:
    """From each terminal to those it is, or can be, joined to while the isolators are off."""
    pairs = [(wire.start, wire.end) for wire in wires(m)]
    for device_id, (device, _) in m.devices.items():
        pairs += [(f"{device_id}.{a}", f"{device_id}.{b}") for a, b in _joined_in(device)]
    ways: dict[str, list[str]] = {}
    for one, other in pairs:
        ways.setdefault(one, []).append(other)
        ways.setdefault(other, []).append(one)
    return ways


def _joined_in(device: DeviceBase) -> list[tuple[str, str]]:
    if isinstance(device, Fuse | Bus | Diode):
        return list(combinations(device.terminals, 2))
    if isinstance(device, Selector):
        return [
            pair
            for groups in device.positions.values()
            for group in groups
            for pair in combinations(group, 2)
        ]
    if isinstance(device, Relay):
        return [(contact.between[0], contact.between[1]) for contact in device.contacts]
    return []
