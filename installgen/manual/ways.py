"""Ways through the wiring that a person follows with a finger: from a starter to its battery."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import permutations
from typing import TypeAlias

from installgen.calc.reach import reached
from installgen.manual.blocks import Line, Link, Target, joined
from installgen.manual.links import DC_POWER
from installgen.manual.pages.electrical import device_line, devices_of, wires
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
    Starter,
)
from installgen.spec.vessel import FittedEngine

STILL_LIVE = "still-live"
"""Where the page on DC power lists what no isolator cuts off."""

MOST_NAMED = 8
"""Live devices that a caution names."""


def isolators_to_battery(m: VesselManual, engine: FittedEngine) -> list[str]:
    """Ids of the isolators on the shortest way from an engine's starter to a battery's positive.

    Isolators that are off in every state, such as one for emergencies, are no way.
    """
    return [one for one in _to_battery(m, engine) if _is(m, one, Isolator)]


def start_battery(m: VesselManual, engine: FittedEngine) -> str:
    """Id of the battery at the end of the shortest way from an engine's starter; empty if none."""
    return next(reversed(_to_battery(m, engine)), "")


def _to_battery(m: VesselManual, engine: FittedEngine) -> list[str]:
    """The devices from an engine's starter to the nearest battery, that battery last."""
    goals = {f"{i}.positive" for i, _, _ in devices_of(m, Battery)}
    ways = _ways(m, _as_used)
    for starter, _, on in devices_of(m, Starter):
        if on is engine:
            before = _nearest(ways, f"{starter}.battery")
            end = next((terminal for terminal in before if terminal in goals), "")
            if end:
                return _passed(before, end)
    return []


def battery_isolators(m: VesselManual) -> list[str]:
    """Ids of the isolators that cut a battery: from a pole to each, no other isolator is passed.

    One that is off in every state is left so. Where the wiring leads to none, all of them.
    """
    every = [i for i, device, _ in devices_of(m, Isolator) if device.on_in != []]
    ways = _ways(m, _isolators_off)
    poles = [
        f"{i}.{pole}" for i, _, _ in devices_of(m, Battery) for pole in ("positive", "negative")
    ]
    fed = reached(ways, poles)
    return [i for i in every if any(_device(end) == i for end in fed)] or every


def isolator_lines(m: VesselManual) -> tuple[Line, ...]:
    """The sentences by which every battery is cut before work, and what that leaves live.

    Nothing without an isolator.
    """
    found = battery_isolators(m)
    live = live_line(m)
    left = (m.say("safety.still_live", live=live),) if live else ()
    if len(found) < 2:
        return (m.say("safety.isolator"), *left) if m.has(Isolator) else ()
    names = joined([device_line(m, name) for name in found], ", ")
    return (m.say("safety.isolators", isolators=names), *left)


def cut_off(m: VesselManual, load: str) -> str:
    """Id of the switch or, failing that, the fuse right before a load; empty where none is sure.

    One that other things hang on too is not sure.
    """
    ends = reached(_ways(m, _nothing), [f"{load}.positive"])
    met = {_device(end) for end in ends} & set(m.devices) - {load}
    if any(not isinstance(m.devices[name][0], Selector | Fuse) for name in met):
        return ""
    for kind in (Selector, Fuse):
        found = [name for name in sorted(met) if isinstance(m.devices[name][0], kind)]
        if found:
            return found[0] if len(found) == 1 else ""
    return ""


@dataclass(frozen=True)
class StillLive:
    """A device that a battery feeds past every isolator.

    through: ids of the fuses and breakers on the way, the battery's first
    """

    device: str
    battery: str
    through: tuple[str, ...]


def still_live(m: VesselManual) -> list[StillLive]:
    """Everything that a battery's positive reaches although every isolator is off, by battery.

    A switch or relay counts as closed, since it may be. A battery whose negative is cut off by an
    isolator feeds nothing. Empty aboard a vessel without isolators, where nothing is cut off.
    """
    if not m.has(Isolator):
        return []
    ways, wired = _ways(m, _switches_closed), _ways(m, _isolators_off)
    negative = reached(wired, [f"{i}.negative" for i, _, _ in devices_of(m, Battery)])
    found: dict[str, dict[str, StillLive]] = {}
    for battery, _, _ in devices_of(m, Battery):
        beyond = {_device(end) for end in reached(wired, [f"{battery}.negative"])}
        if all(_only_leads_on(m, one) for one in beyond):
            continue
        before = _nearest(ways, f"{battery}.positive", negative)
        for end in before:
            device = _device(end)
            if device in m.devices and not _only_leads_on(m, device):
                passed = _passed(before, end)
                through = tuple(i for i in passed if _is(m, i, Fuse))
                by_battery = found.setdefault(device, {})
                by_battery.setdefault(battery, StillLive(device, battery, through))
    return [one for by_battery in found.values() for one in by_battery.values()]


def live_line(m: VesselManual) -> Line:
    """What a battery feeds past every isolator, starters first; of many, how many more they are."""
    devices = dict.fromkeys(one.device for one in still_live(m))
    found = sorted(devices, key=lambda device: not _is(m, device, Starter))
    told: list[Line] = [device_line(m, device) for device in found[:MOST_NAMED]]
    if more := len(found) - len(told):
        page = Link(m.text(f"titles.{DC_POWER}"), Target(DC_POWER, STILL_LIVE))
        told.append(m.say("safety.still_live_more", count=str(more), page=page))
    return joined(told, ", ")


def starter_is_live(m: VesselManual, engine: FittedEngine) -> bool:
    """Whether some battery feeds an engine's starter past every isolator."""
    own = {name for name, _, on in devices_of(m, Starter) if on is engine}
    return any(one.device in own for one in still_live(m))


def _only_leads_on(m: VesselManual, device: str) -> bool:
    """Whether a device is named by what hangs on it instead."""
    return _is(m, device, Battery, Bus, Diode, Fuse, Isolator, Plug)


# ---- the graph of terminals ---------------------------------------------------------------------

Pairs: TypeAlias = Iterable[tuple[str, str]]


def _is(m: VesselManual, device: str, *kinds: type[DeviceBase]) -> bool:
    return device in m.devices and isinstance(m.devices[device][0], kinds)


def _device(terminal: str) -> str:
    return terminal.rpartition(".")[0]


def _nearest(
    ways: Mapping[str, Iterable[str]], start: str, barred: Collection[str] = ()
) -> dict[str, str]:
    """By terminal that can be reached, nearest first, the one before it; of the start none."""
    before = {start: ""}
    queue = deque(before)
    while queue:
        here = queue.popleft()
        for there in ways.get(here, ()):
            if there not in before and there not in barred:
                before[there] = here
                queue.append(there)
    return before


def _passed(before: Mapping[str, str], end: str) -> list[str]:
    """The devices on the way to an end, its own last."""
    names: list[str] = []
    while end:
        names.append(_device(end))
        end = before[end]
    return list(dict.fromkeys(reversed(names)))


def _ways(m: VesselManual, within: Callable[[DeviceBase], Pairs]) -> dict[str, list[str]]:
    """From each terminal to those that conductors, or devices within, lead to.

    within: pairs of terminals between which a device conducts, in this direction
    """
    pairs = [pair for wire in wires(m) for pair in _both((wire.start, wire.end))]
    for device_id, (device, _) in m.devices.items():
        pairs += [(f"{device_id}.{one}", f"{device_id}.{other}") for one, other in within(device)]
    ways: dict[str, list[str]] = {}
    for one, other in pairs:
        ways.setdefault(one, []).append(other)
    return ways


def _both(pair: tuple[str, str]) -> Pairs:
    return pair, pair[::-1]


def _nothing(device: DeviceBase) -> Pairs:
    """Conductors alone."""
    del device
    return ()


def _as_used(device: DeviceBase) -> Pairs:
    """Through isolators too, but those that are off in every state; a diode either way."""
    if isinstance(device, Diode) or (isinstance(device, Isolator) and device.on_in != []):
        return permutations(device.terminals, 2)
    return _isolators_off(device)


def _isolators_off(device: DeviceBase) -> Pairs:
    """Through fuses, buses, and diodes as their current goes."""
    if isinstance(device, Fuse | Bus):
        return permutations(device.terminals, 2)
    return [("anode", "cathode")] if isinstance(device, Diode) else ()


def _switches_closed(device: DeviceBase) -> Pairs:
    """With every isolator off, through whatever contact may be closed."""
    if isinstance(device, Selector):
        return [
            pair
            for groups in device.positions.values()
            for group in groups
            for pair in permutations(group, 2)
        ]
    if isinstance(device, Relay):
        return [pair for c in device.contacts for pair in permutations(c.between, 2)]
    return _isolators_off(device)
