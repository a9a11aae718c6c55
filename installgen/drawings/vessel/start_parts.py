"""What belongs to starting, running and stopping one engine: devices, feeds and returns."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Literal

from installgen.calc.reach import reached
from installgen.drawings.vessel.wiring import (
    BLOCK,
    Joined,
    WiringMap,
    beside,
    between,
    reach,
    shortest,
)
from installgen.spec.electrical import (
    Bus,
    DeviceBase,
    Diode,
    Fuse,
    Heater,
    Isolator,
    Plug,
    Relay,
    Selector,
    Starter,
    StopSolenoid,
)
from installgen.spec.vessel import FittedEngine

FAR = 10_000

Function = Literal["start", "stop", "preheat"]

TAKERS: dict[Function, tuple[type[DeviceBase], ...]] = {
    "start": (Starter,),
    "stop": (StopSolenoid,),
    "preheat": (Heater,),
}


def start_pieces(
    wiring: WiringMap, engine: FittedEngine, functions: Collection[Function] = tuple(TAKERS)
) -> list[Joined]:
    """Conductors, links and passages that feed what starts, runs and stops an engine, and return.

    A device is fed by every way from a battery through fuses, switches, pins and contacts; no way
    leads back through a switch, from one of its outlets to its feed. Ways that only lead elsewhere
    are left out, and so is a paralleling switch that is off in all states.

    Returns nothing where nothing of these functions is connected.
    """
    feeds = [wire for wire in wiring.wires if not wiring.is_negative(wire)]
    feeds += wiring.passing(passes)
    feeds += [p for p in wiring.passing(lambda d: isinstance(d, Diode)) if not _charges(wiring, p)]
    relays: set[str] = set()
    takers = tuple(kind for function in functions for kind in TAKERS[function])
    while True:
        terminals = {
            terminal
            for device_id in wiring.devices
            for terminal in fed_terminals(wiring, device_id, engine, takers, relays)
        }
        kept = between(_leading(wiring, feeds, terminals), {*terminals, *wiring.positives})
        found = {
            piece.element
            for piece in kept
            if not piece.is_wire and isinstance(wiring.devices[piece.element][0], Relay)
        }
        if not kept:
            return []
        if found <= relays:
            return [*kept, *_returns(wiring, engine, kept, terminals)]
        relays |= found


def _leading(wiring: WiringMap, feeds: list[Joined], terminals: Collection[str]) -> list[Joined]:
    """The pieces over which a terminal can be fed; a switch passes from its fed contact only."""
    depth = reach(beside(feeds), wiring.positives)
    ahead: dict[str, list[str]] = {}
    behind: dict[str, list[str]] = {}
    ways: list[tuple[Joined, str, str]] = []
    for piece in feeds:
        start, end = piece.start, piece.end
        both = piece.is_wire or not isinstance(wiring.devices[piece.element][0], Selector)
        if depth.get(end, FAR) < depth.get(start, FAR):
            start, end = end, start
        for tail, head in ((start, end), (end, start)) if both else ((start, end),):
            ways.append((piece, tail, head))
            ahead.setdefault(tail, []).append(head)
            behind.setdefault(head, []).append(tail)
    fed, feeding = reached(ahead, wiring.positives), reached(behind, terminals)
    found = {id(piece): piece for piece, tail, head in ways if tail in fed and head in feeding}
    return list(found.values())


def passes(device: DeviceBase) -> bool:
    """Whether a device of the start circuit carries on what feeds it."""
    if isinstance(device, Isolator):
        return device.on_in is None or bool(device.on_in)
    return isinstance(device, Fuse | Bus | Plug | Selector | Relay)


def fed_terminals(
    wiring: WiringMap,
    device_id: str,
    engine: FittedEngine,
    takers: tuple[type[DeviceBase], ...],
    relays: set[str],
) -> Iterator[str]:
    """The terminals at which a device that takes current for a function is fed.

    takers: kinds of such devices; relays: those whose contacts were found to matter
    """
    device, on = wiring.devices[device_id]
    mine = on is engine or getattr(device, "engine", None) == engine.name
    if isinstance(device, Relay):
        if device_id in relays:
            yield from _not_negative(wiring, device_id, device.coil.between)
    elif not mine or not isinstance(device, takers):
        return
    elif isinstance(device, Starter):
        yield from (f"{device_id}.battery", f"{device_id}.solenoid")
    else:
        yield from _not_negative(wiring, device_id, device.terminals)


def _not_negative(
    wiring: WiringMap, device_id: str, names: tuple[str, ...] | list[str]
) -> list[str]:
    terminals = [f"{device_id}.{name}" for name in names if name != "block"]
    return [name for name in terminals if name not in wiring.negative_side]


def _charges(wiring: WiringMap, diode: Joined) -> bool:
    """Whether a diode leads into a battery, as that of a charge splitter does."""
    plain = [wire for wire in wiring.wires if not wiring.is_negative(wire)]
    plain += wiring.passing(lambda d: isinstance(d, Fuse | Bus | Isolator))
    return diode.end in reach(beside(plain), wiring.positives)


def _returns(
    wiring: WiringMap, engine: FittedEngine, kept: list[Joined], terminals: set[str]
) -> list[Joined]:
    """The shortest way from every device to the block or the battery, and from the block on."""
    negative = [wire for wire in wiring.wires if wiring.is_negative(wire)]
    negative += wiring.passing(lambda d: isinstance(d, Bus | Plug | Isolator))
    around = beside(negative)
    blocks = {f"{one.name}{BLOCK}" for one in wiring.model.vessel.engines}
    ends = blocks | set(wiring.negatives)
    found: dict[tuple[str, str, str], Joined] = {}
    fed = {wiring.device_of(terminal) for terminal in terminals}
    for device_id in wiring.devices:
        device, _ = wiring.devices[device_id]
        if device_id in fed:
            for name in device.terminals:
                terminal = f"{device_id}.{name}"
                if terminal in wiring.negative_side:
                    for piece in shortest(around, terminal, ends):
                        found[piece.element, piece.start, piece.end] = piece
    for piece in shortest(around, f"{engine.name}{BLOCK}", wiring.negatives):
        found[piece.element, piece.start, piece.end] = piece
    return list(found.values())
