"""Conductors and the devices they join, drawn with terminals: a device part by part.

A relay is a coil and its contacts; of a plug each pin stands alone; a battery's negative pole and
the engine block stand at the bottom, so that current runs down the page.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field

from installgen.drawings.graph import Arrow, Row
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.vessel import links
from installgen.drawings.vessel.devices import DeviceLines, kind_of
from installgen.drawings.vessel.draft import Draft
from installgen.drawings.vessel.wiring import BLOCK, ENGINE_HALF, Joined, WiringMap
from installgen.drawings.vessel.words import Sayable, Words, said, table_only
from installgen.spec.electrical import (
    AlarmSwitch,
    Battery,
    Conductor,
    DeviceBase,
    Fuse,
    Heater,
    Isolator,
    Load,
    Plug,
    Relay,
    Sender,
    SeriesResistor,
    Starter,
    StopSolenoid,
)
from installgen.spec.entry import Choose
from installgen.units import ConductorSize

WITHOUT_TERMINALS = (Battery, Fuse, Isolator, SeriesResistor, Heater, Sender, AlarmSwitch, Plug)
HEAVY_MM2 = 16.0
HEAVY_GAUGES = {"1", "2", "3", "4"}
FAR = 10_000


@dataclass
class Harness:
    """Draws conductors with what they join.

    sources: parts from which the drawing runs down
    signals: terminals whose conductors carry signals
    takers: devices at which a way ends
    """

    words: Words
    wiring: WiringMap
    wires: list[Joined]
    sources: list[str]
    signals: Collection[str] = ()
    takers: tuple[type[DeviceBase], ...] = (Starter, StopSolenoid, Heater, Load)
    draft: Draft = field(default_factory=lambda: Draft(text_width_px=118, label_width_px=118))

    def __post_init__(self) -> None:
        self.lines = DeviceLines(self.words)
        self.used: dict[str, list[str]] = {}
        for wire in self.wires:
            for terminal in (wire.start, wire.end):
                names = self.used.setdefault(self.part_of(terminal), [])
                if terminal not in names:
                    names.append(terminal)

    def draw(self) -> None:
        """Enters every part and every conductor, nearest to the sources first."""
        self._order()
        for part in sorted(self.used, key=lambda part: self.depth.get(part, FAR)):
            self.node(part)
        for wire in sorted(self.wires, key=lambda wire: min(self._depths(wire))):
            self.wire(wire)
        self._inside()

    # ---- parts -----------------------------------------------------------------------------

    def part_of(self, terminal: str) -> str:
        """The part of a device, or the block, that a terminal is on."""
        device_id = self.wiring.device_of(terminal)
        if device_id.endswith(BLOCK):
            return device_id
        device, _ = self.wiring.devices[device_id]
        name = terminal.removesuffix(ENGINE_HALF).rpartition(".")[2]
        if isinstance(device, Battery | Plug):
            return f"{device_id}.{name}"
        if isinstance(device, Starter) and name == "battery":
            return f"{device_id}.stud"
        if isinstance(device, Relay):
            return f"{device_id}.{relay_part(device, name)}"
        return device_id

    def _split(self, part: str) -> tuple[str, DeviceBase, str]:
        """A part's device and which part of it it is."""
        if part in self.wiring.devices:
            return part, self.wiring.devices[part][0], ""
        device_id, _, which = part.rpartition(".")
        return device_id, self.wiring.devices[device_id][0], which

    def node(self, part: str) -> None:
        """Enters a part, unless it is drawn already."""
        if self.draft.has(part):
            return
        if part.endswith(BLOCK):
            engine = self.words.vessel.engine(part.removesuffix(BLOCK))
            name = f"{self.words.engine_name(engine)} block"
            self.draft.node(part, Kind.NEGATIVE, name)
            return
        device_id, device, which = self._split(part)
        kind, name, lines = self._look(device_id, which)
        if isinstance(device, Plug):
            lines = list(self._pin(device_id, device, which))
        lines += self._more(part, device)
        self.draft.node(
            part,
            kind,
            name,
            "" if isinstance(device, Plug) else device.code,
            lines,
            href=links.device(part if isinstance(device, Plug) else device_id, device),
            terminals=self._terminals(part, device, which),
            rows=self._rows(part),
        )

    def _rows(self, part: str) -> list[Row]:
        """Rows inside a part's box."""
        return []

    def _more(self, part: str, device: DeviceBase) -> list[Sayable]:
        """Further lines of a part."""
        return []

    def _look(self, device_id: str, which: str) -> tuple[Kind, str, list[Sayable]]:
        """How a part is drawn: its kind, its name, its figures."""
        device, _ = self.wiring.devices[device_id]
        lines = self.lines.of(device)
        if isinstance(device, Plug):
            return Kind.PLUG, f"Plug {device.code or device.title}, pin {which}", []
        if isinstance(device, Battery) and which == "negative":
            return Kind.NEGATIVE, f"{device.title}, negative", []
        if isinstance(device, Starter) and which == "stud":
            return Kind.STUD, f"{device.title}, battery stud", []
        if isinstance(device, Relay) and which == "coil":
            ohm = self.words.field(device.coil.resistance, "resistance")
            return Kind.COIL, f"{device.title}, coil", [*ohm, *lines]
        if isinstance(device, Relay) and which:
            return Kind.CONTACT, f"{device.title}, contacts", list(self._contacts(device, which))
        return kind_of(device), device.title, lines

    def _pin(self, device_id: str, device: Plug, pin: str) -> Iterator[Sayable]:
        yield device.pins[pin]
        own = f"{device_id}.{pin}"
        ends = {end for wire in self.wiring.wires for end in (wire.start, wire.end)}
        if own + ENGINE_HALF in ends and own not in ends:
            yield "nothing connected"

    def _contacts(self, device: Relay, which: str) -> Iterator[Sayable]:
        for contact in device.contacts:
            first, second = contact.between
            if relay_part(device, first) == which:
                yield f"{first}–{second} {contact.kind}"
                yield from map(table_only, self.words.field(contact.rating, "rating"))

    def _terminals(self, part: str, device: DeviceBase, which: str) -> list[str]:
        """Names in the rims of a part: those that conductors of this drawing end on."""
        if isinstance(device, WITHOUT_TERMINALS) or which == "stud":
            return []
        used = {terminal.rpartition(".")[2] for terminal in self.used.get(part, ())}
        if isinstance(device, Starter):
            used.add("battery")
        return [name for name in device.terminals if name in used]

    def port(self, terminal: str, part: str) -> str:
        """The name of a terminal in the rim of its part; empty where the part shows none."""
        if part.endswith(BLOCK):
            return ""
        _, device, which = self._split(part)
        if isinstance(device, WITHOUT_TERMINALS) or which == "stud":
            return ""
        return terminal.rpartition(".")[2]

    # ---- conductors ------------------------------------------------------------------------

    def _order(self) -> None:
        """How far each part is from a source; the negative side counts from the other end."""
        feeds = [wire for wire in self.wires if not self.wiring.is_negative(wire)]
        back = [wire for wire in self.wires if self.wiring.is_negative(wire)]
        self.depth = self._levels(feeds, self.sources)
        ends = [p for p in self.used if p.endswith(".negative") and p not in self.wiring.devices]
        ends = ends or [part for part in self.used if part.endswith(BLOCK)]
        self.height = {part: FAR - level for part, level in self._levels(back, ends).items()}

    def _levels(self, wires: Iterable[Joined], starts: Iterable[str]) -> dict[str, int]:
        around: dict[str, list[str]] = {}
        for wire in wires:
            first, second = self.part_of(wire.start), self.part_of(wire.end)
            around.setdefault(first, []).append(second)
            around.setdefault(second, []).append(first)
        found = {start: 0 for start in starts if start in self.used}
        waiting = list(found)
        for here in waiting:
            if self._takes(here):
                continue
            for other in around.get(here, ()):
                if other not in found:
                    found[other] = found[here] + 1
                    waiting.append(other)
        return found

    def _depths(self, wire: Joined) -> tuple[int, int]:
        levels = self.height if self.wiring.is_negative(wire) else self.depth
        first, second = (levels.get(self.part_of(end), FAR) for end in (wire.start, wire.end))
        return first, second

    def _takes(self, part: str) -> bool:
        """Whether a part only takes current: a coil, a motor, a load."""
        if part.endswith(BLOCK):
            return False
        _, device, which = self._split(part)
        if isinstance(device, Relay):
            return which == "coil"
        return isinstance(device, self.takers) and not which

    def _down(self, wire: Joined) -> tuple[str, str]:
        """The ends of a conductor as current runs: toward what takes it, away from sources."""
        first, second = self._depths(wire)
        takes = [self._takes(self.part_of(end)) for end in (wire.start, wire.end)]
        if takes[0] != takes[1]:
            turned = takes[0] != self.wiring.is_negative(wire)
        else:
            turned = second < first
        return (wire.end, wire.start) if turned else (wire.start, wire.end)

    def wire(self, wire: Joined) -> None:
        """Enters a conductor or a link."""
        start, end = self._down(wire)
        tail, head = self.part_of(start), self.part_of(end)
        self.draft.edge(
            tail,
            head,
            self._line(wire),
            wire.entry.label if wire.entry else "",
            self.wire_lines(wire),
            tail_port=self.port(start, tail),
            head_port=self.port(end, head),
            href=wire_href(wire),
            arrow=Arrow.NONE,
        )

    def _line(self, wire: Joined) -> Line:
        if is_heavy(self.size_of(wire)):
            return Line.CABLE
        return Line.SIGNAL if {wire.start, wire.end} & set(self.signals) else Line.CONDUCTOR

    def size_of(self, wire: Joined) -> ConductorSize | None:
        """The size as fitted or as proposed; nothing of a link or an unknown one."""
        entry = wire.entry
        return self.wiring.model.size_of(entry) if isinstance(entry, Conductor) else None

    def wire_lines(self, wire: Joined) -> Iterator[Sayable]:
        """Size and colour; in the table its length, place and purpose too."""
        entry = wire.entry
        if not isinstance(entry, Conductor):
            yield "loop-back link"
            yield table_only(f"for {entry.reserved_for}" if entry else "")
            return
        yield from self.size_lines(wire)
        if entry.colour:
            yield entry.colour
        for line in (
            *self.words.field(entry.length, "length"),
            said(entry.function),
            said(self.words.place(entry.place)),
        ):
            if line.full:
                yield table_only(line)

    def size_lines(self, wire: Joined) -> Iterator[Sayable]:
        """The size, marked where it is only proposed."""
        size = self.size_of(wire)
        proposed = isinstance(wire.entry, Conductor) and isinstance(wire.entry.size, Choose)
        if size is None:
            yield "size not chosen" if proposed else "size unknown"
        else:
            yield f"{size} proposed" if proposed else str(size)

    def terminal_words(self, terminal: str) -> str:
        """A terminal as a table says it: `K1 Start relay, 86`."""
        device_id = self.wiring.device_of(terminal)
        if device_id.endswith(BLOCK):
            engine = self.words.vessel.engine(device_id.removesuffix(BLOCK))
            return f"{self.words.engine_name(engine)} block"
        device, _ = self.wiring.devices[device_id]
        name = terminal.removesuffix(ENGINE_HALF).rpartition(".")[2]
        pin = "pin " if isinstance(device, Plug) else ""
        return f"{device.code} {device.title}, {pin}{name}".strip()

    # ---- what is joined without a conductor ------------------------------------------------

    def _inside(self) -> None:
        """Coils and their contacts, the starter and its stud, returns through a case."""
        drawn = list(self.used)
        for part in drawn:
            if part.endswith(BLOCK):
                continue
            device_id, device, which = self._split(part)
            if isinstance(device, Relay) and which == "coil":
                for other in drawn:
                    if other.startswith(f"{device_id}.contacts"):
                        self.draft.edge(part, other, Line.LINKAGE, arrow=Arrow.NONE)
            if isinstance(device, Starter) and which == "stud":
                self.node(device_id)
                self.draft.edge(
                    part,
                    device_id,
                    Line.CABLE,
                    lines=["inside the starter"],
                    head_port=self.port(f"{device_id}.battery", device_id),
                    arrow=Arrow.NONE,
                )
            self._case(device_id, device, which)

    def _case(self, device_id: str, device: DeviceBase, which: str) -> None:
        """The return of a device through its case, to the block it sits on."""
        _, engine = self.wiring.devices[device_id]
        if engine is None or not returns_by_case(device) or (which and which != "coil"):
            return
        block = f"{engine.name}{BLOCK}"
        self.node(block)
        self.draft.edge(
            device_id if not which else f"{device_id}.{which}",
            block,
            Line.CONDUCTOR,
            lines=["through its case"],
            arrow=Arrow.NONE,
        )


def relay_part(device: Relay, terminal: str) -> str:
    """Which part of a relay a terminal is on: the coil, or contacts that share terminals."""
    if terminal in device.coil.between:
        return "coil"
    groups: list[set[str]] = []
    for contact in device.contacts:
        touching = [group for group in groups if group & set(contact.between)]
        groups = [group for group in groups if group not in touching]
        groups.append(set(contact.between).union(*touching))
    number = next(n for n, group in enumerate(groups) if terminal in group)
    return f"contacts-{number + 1}" if len(groups) > 1 else "contacts"


def returns_by_case(device: DeviceBase) -> bool:
    """Whether current leaves a device through its case."""
    if isinstance(device, Relay):
        return "block" in device.coil.between
    if isinstance(device, Heater | Sender | AlarmSwitch):
        return True
    return getattr(device, "returns", "") == "case"


def is_heavy(size: ConductorSize | None) -> bool:
    """Whether a conductor is drawn as a battery cable."""
    if size is None:
        return False
    if size.system == "mm2":
        return float(size.designation) >= HEAVY_MM2
    return "/" in size.designation or size.designation in HEAVY_GAUGES


def wire_href(wire: Joined) -> str:
    """Where a conductor or a link is described."""
    if isinstance(wire.entry, Conductor):
        return links.conductor(wire.element)
    return links.jumper(wire.element)
