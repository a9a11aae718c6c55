"""Which conductor belongs on which electrical sheet: distribution, or an engine's instruments."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from installgen.drawings.vessel.start_parts import start_pieces
from installgen.drawings.vessel.wiring import (
    BLOCK,
    ENGINE_HALF,
    Joined,
    WiringMap,
    beside,
    between,
)
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Bus,
    Conductor,
    DeviceBase,
    Diode,
    Fuse,
    Gauge,
    Heater,
    Isolator,
    Load,
    Plug,
    Relay,
    Selector,
    Sender,
    SeriesResistor,
    SpeedPickup,
    Starter,
)
from installgen.spec.vessel import FittedEngine


def power_pieces(wiring: WiringMap) -> list[Joined]:
    """Positive conductors and passages between batteries, alternators and what takes power.

    A fuse that feeds something else, such as a key switch, is kept as the end of its way.
    """
    pieces = [wire for wire in wiring.wires if not wiring.is_negative(wire)]
    pieces += wiring.passing(distributes)
    ends = {*wiring.positives, *_power_ends(wiring)}
    return between(pieces, ends)


def distributes(device: DeviceBase) -> bool:
    """Whether a device passes power on to what takes it; a key switch belongs to other sheets."""
    if isinstance(device, Selector):
        return device.kind == "toggle-switch"
    return isinstance(device, Fuse | Isolator | Bus | Diode | Relay | Plug)


def _power_ends(wiring: WiringMap) -> Iterator[str]:
    for device_id, (device, _) in wiring.devices.items():
        if isinstance(device, Load | Heater):
            yield f"{device_id}.positive"
        elif isinstance(device, Starter):
            yield f"{device_id}.battery"
        elif isinstance(device, Alternator):
            yield from (f"{device_id}.output", f"{device_id}.sense")
        elif isinstance(device, Fuse):
            yield from (f"{device_id}.in", f"{device_id}.out")


def instrument_wires(wiring: WiringMap, engine: FittedEngine) -> list[Joined]:
    """Conductors of gauges, senders, alarms, speed signal and charge lamp of an engine."""
    taken = {piece.element for piece in power_pieces(wiring)}
    for one in wiring.model.vessel.engines:
        taken |= {piece.element for piece in start_pieces(wiring, one)}
    free = [wire for wire in wiring.wires if wire.element not in taken and not reserved(wire)]
    found = _carrying(wiring, free, [*_sensed(wiring, engine), *_warning(wiring, engine)])
    present = {wiring.device_of(end) for wire in found.values() for end in (wire.start, wire.end)}
    for wire in free:
        ends = {wiring.device_of(wire.start), wiring.device_of(wire.end)}
        if ends <= present or any(_is_plug_of(wiring, end, engine) for end in ends):
            found.setdefault(wire.element, wire)
    return [wire for wire in free if wire.element in found]


def alarm_wires(wiring: WiringMap, engine: FittedEngine, wires: Collection[Joined]) -> list[Joined]:
    """Those of an engine's instruments that belong to alarms and charge lamp only."""
    alarms = _carrying(wiring, wires, list(_warning(wiring, engine)))
    gauges = _carrying(wiring, wires, list(_sensed(wiring, engine)))
    return [w for w in wires if w.element in alarms and w.element not in gauges]


def _carrying(wiring: WiringMap, wires: Collection[Joined], starts: list[str]) -> dict[str, Joined]:
    """The conductors that carry what is at some terminals, by their names."""
    around = beside(wires)
    found: dict[str, Joined] = {}
    waiting = sorted(starts)
    seen = set(waiting)
    while waiting:
        here = waiting.pop()
        if _is_common(wiring, here):
            continue
        fresh = set(_carried_on(wiring, here))
        for wire in around.get(here, ()):
            found[wire.element] = wire
            fresh.add(wire.other(here))
        waiting += sorted(fresh - seen)
        seen |= fresh
    return found


def connected(wiring: WiringMap, wires: Collection[Joined]) -> list[Joined]:
    """Those conductors that do not end at a pin of a plug to which nothing else is connected."""
    ends = {end for wire in wiring.wires for end in (wire.start, wire.end)}

    def idle(terminal: str) -> bool:
        other = terminal.removesuffix(ENGINE_HALF)
        return terminal.endswith(ENGINE_HALF) and other not in ends

    return [wire for wire in wires if not idle(wire.start) and not idle(wire.end)]


def reserved(wire: Joined) -> bool:
    """Whether a conductor is there and not used."""
    return isinstance(wire.entry, Conductor) and bool(wire.entry.reserved_for)


def _sensed(wiring: WiringMap, engine: FittedEngine) -> Iterator[str]:
    """Terminals of what gauges show."""
    for device_id, (device, on) in wiring.devices.items():
        own = wiring.model.vessel.engine_of(device, on) is engine
        if own and isinstance(device, Sender | SpeedPickup):
            yield from (f"{device_id}.{name}" for name in device.terminals)
        elif own and isinstance(device, Alternator):
            yield f"{device_id}.speed"


def _warning(wiring: WiringMap, engine: FittedEngine) -> Iterator[str]:
    """Terminals of what alarms and lamps show."""
    for device_id, (device, on) in wiring.devices.items():
        if on is engine and isinstance(device, AlarmSwitch):
            yield from (f"{device_id}.{name}" for name in device.terminals)
        elif on is engine and isinstance(device, Alternator):
            yield f"{device_id}.excite"
        elif isinstance(device, SeriesResistor) and device.engine == engine.name:
            yield from (f"{device_id}.in", f"{device_id}.out")


def _is_common(wiring: WiringMap, terminal: str) -> bool:
    """Whether a terminal is one that many circuits meet at, where no signal is followed on."""
    device_id = wiring.device_of(terminal)
    if device_id.endswith(BLOCK):
        return True
    device, _ = wiring.devices[device_id]
    own = Plug | Gauge | Load | SeriesResistor | Diode | Sender | AlarmSwitch | SpeedPickup
    return not isinstance(device, own | Alternator) and not _is_one_signal(device)


def _carried_on(wiring: WiringMap, terminal: str) -> Iterator[str]:
    """Where a signal at a terminal is found too, inside the device it is on."""
    device_id = wiring.device_of(terminal)
    device, _ = wiring.devices[device_id]
    if isinstance(device, Plug):
        half = terminal.endswith(ENGINE_HALF)
        yield terminal.removesuffix(ENGINE_HALF) if half else terminal + ENGINE_HALF
    elif _is_one_signal(device) or (
        isinstance(device, Gauge | Load)
        and not (terminal in wiring.negative_side and terminal.endswith(".negative"))
    ):
        yield from (f"{device_id}.{name}" for name in device.terminals)


def _is_one_signal(device: DeviceBase) -> bool:
    """Whether whatever is at one terminal of a device is at all of them."""
    signal_bus = isinstance(device, Bus) and device.polarity == "signal"
    return signal_bus or isinstance(device, SeriesResistor | Diode)


def _is_plug_of(wiring: WiringMap, device_id: str, engine: FittedEngine) -> bool:
    if device_id.endswith(BLOCK):
        return False
    device, on = wiring.devices[device_id]
    return isinstance(device, Plug) and on is engine


def negative_wires(wiring: WiringMap, shown: Collection[str]) -> list[Joined]:
    """The conductors of the negative side that no engine's instruments have."""
    return [
        wire
        for wire in wiring.wires
        if wiring.is_negative(wire) and wire.element not in shown and not reserved(wire)
    ]


def reserved_wires(wiring: WiringMap, engine: FittedEngine) -> list[Joined]:
    """The conductors of an engine's harness that are there and not used."""
    return [wire for wire in wiring.wires if reserved(wire) and wire.engine is engine]
