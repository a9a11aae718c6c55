"""What a drawing says of an electrical device: its kind of box, its name, its figures."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from installgen.drawings.kinds import Kind
from installgen.drawings.vessel.words import Sayable, Words, one_line, table_only, worded
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Battery,
    Bus,
    DeviceBase,
    Diode,
    Fuse,
    Gauge,
    Heater,
    Isolator,
    Load,
    Relay,
    Selector,
    Sender,
    SeriesResistor,
    SpeedPickup,
    Starter,
    StopSolenoid,
)

KINDS: dict[type[DeviceBase], Kind] = {
    Battery: Kind.BATTERY,
    Isolator: Kind.ISOLATOR,
    Selector: Kind.SWITCH,
    Bus: Kind.BUSBAR,
    Relay: Kind.COIL,
    Starter: Kind.STARTER,
    Alternator: Kind.ALTERNATOR,
    StopSolenoid: Kind.SOLENOID,
    Load: Kind.LOAD,
    SeriesResistor: Kind.RESISTOR,
    Heater: Kind.HEATER,
    Sender: Kind.SENDER,
    AlarmSwitch: Kind.SWITCH,
    SpeedPickup: Kind.SENDER,
    Diode: Kind.DIODE,
    Gauge: Kind.GAUGE,
}
ACTS = {"energised-to-run": "energised to run", "energised-to-stop": "energised to stop"}
CHEMISTRIES = {"flooded": "flooded", "agm": "AGM", "gel": "gel"}


def kind_of(device: DeviceBase) -> Kind:
    """The kind of box a device is drawn as."""
    if isinstance(device, Fuse):
        return Kind.FUSE if device.kind == "fuse" else Kind.BREAKER
    return KINDS[type(device)]


@dataclass(frozen=True)
class DeviceLines:
    """Says the figures of devices."""

    words: Words

    def of(self, device: DeviceBase) -> list[Sayable]:
        """The figures of a device, where it is, and how to find it."""
        say = SAYERS.get(type(device))
        lines: list[Sayable] = list(say(self, device)) if say else []
        place = self.words.place(device.place)
        if place:
            lines.append(place)
        if device.find:
            lines.append(table_only(device.find))
        return lines

    def battery(self, device: Battery) -> Iterator[Sayable]:
        volts = self.words.amount(device.voltage)
        yield one_line(
            [*self.words.field(device.capacity, "capacity"), CHEMISTRIES[device.chemistry]]
        )
        yield from self.words.field(device.cca, "cold-cranking current", "{} cold cranking")
        yield table_only(volts)

    def isolator(self, device: Isolator) -> Iterator[Sayable]:
        yield from self.words.field(device.rating, "rating")
        if device.on_in is not None and not device.on_in:
            yield "normally off"

    def fuse(self, device: Fuse) -> Iterator[Sayable]:
        yield from self.words.field(device.rating, "rating")
        if device.type:
            yield table_only(device.type)

    def selector(self, device: Selector) -> Iterator[Sayable]:
        for position, groups in device.positions.items():
            joins = "; ".join(" + ".join(group) for group in groups) or "nothing"
            yield table_only(f"{position} joins {joins}")

    def bus(self, device: Bus) -> Iterator[Sayable]:
        yield from self.words.field(device.rating, "rating")

    def starter(self, device: Starter) -> Iterator[Sayable]:
        yield from self.words.field(device.power, "power")

    def alternator(self, device: Alternator) -> Iterator[Sayable]:
        yield from self.words.field(device.rated, "rating")
        yield from self.words.field(device.set_voltage, "set voltage", "set to {}")

    def stop_solenoid(self, device: StopSolenoid) -> Iterator[Sayable]:
        yield ACTS[device.acts]

    def heater(self, device: Heater) -> Iterator[Sayable]:
        lines = self.words.field(device.current, "current")
        yield one_line([*lines, f"{device.count} of them" if device.count else ""])

    def load(self, device: Load) -> Iterator[Sayable]:
        for name in ("current", "power", "resistance"):
            yield from self.words.field(getattr(device, name), name)

    def resistor(self, device: SeriesResistor) -> Iterator[Sayable]:
        yield from self.words.field(device.resistance, "resistance")

    def alarm_switch(self, device: AlarmSwitch) -> Iterator[Sayable]:
        operates = device.operates
        yield operates if isinstance(operates, str) else "set point unknown"

    def diode(self, device: Diode) -> Iterator[Sayable]:
        yield table_only(worded("{} forward", self.words.amount(device.drop)))

    def pickup(self, device: SpeedPickup) -> Iterator[Sayable]:
        yield from self.words.field(device.resistance, "resistance")


SAYERS: dict[type[DeviceBase], Callable[[DeviceLines, Any], Iterator[Sayable]]] = {
    Battery: DeviceLines.battery,
    Isolator: DeviceLines.isolator,
    Fuse: DeviceLines.fuse,
    Selector: DeviceLines.selector,
    Bus: DeviceLines.bus,
    Starter: DeviceLines.starter,
    Alternator: DeviceLines.alternator,
    StopSolenoid: DeviceLines.stop_solenoid,
    Heater: DeviceLines.heater,
    Load: DeviceLines.load,
    SeriesResistor: DeviceLines.resistor,
    AlarmSwitch: DeviceLines.alarm_switch,
    SpeedPickup: DeviceLines.pickup,
    Diode: DeviceLines.diode,
}
