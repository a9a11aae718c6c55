"""The wiring as a map: which terminals are joined by which conductors, and through which devices.

Voltages play no part here; this only finds what belongs on which sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.dc_model import DcModel
from installgen.spec.electrical import (
    Battery,
    Bus,
    Conductor,
    DeviceBase,
    Diode,
    Fuse,
    Isolator,
    Jumper,
    Plug,
    Relay,
    Selector,
    SeriesResistor,
)
from installgen.spec.vessel import FittedEngine

ENGINE_HALF = ":engine"
BLOCK = ".block"


@dataclass(frozen=True)
class Joined:
    """Two terminals that are joined: by a conductor or link, or within a device.

    element: the conductor's name in the analysis, or the device's id
    entry: the conductor, the link, or nothing within a device
    """

    element: str
    start: str
    end: str
    entry: Conductor | Jumper | None = None
    engine: FittedEngine | None = None

    @property
    def is_wire(self) -> bool:
        """Whether it is a conductor or a link, and not within a device."""
        return self.entry is not None

    def other(self, terminal: str) -> str:
        """The end that is not this one."""
        return self.end if terminal == self.start else self.start


Beside = dict[str, list[Joined]]


@dataclass(frozen=True)
class WiringMap:
    """The terminals of one vessel and what joins them."""

    model: DcModel

    @cached_property
    def devices(self) -> dict[str, tuple[DeviceBase, FittedEngine | None]]:
        """Every device by its id, with the engine it sits on."""
        return {name: (device, engine) for name, device, engine in self.model.vessel.devices()}

    @cached_property
    def wires(self) -> tuple[Joined, ...]:
        """Every conductor and every loop-back link that is still in."""
        found = [
            Joined(end.element, end.start, end.end, end.wire, end.engine)
            for end in self.model.wires()
        ]
        found += [
            Joined(label, start, end, entry) for label, entry, start, end in self.model.jumpers()
        ]
        return tuple(found)

    def device_of(self, terminal: str) -> str:
        """The id of the device that a terminal is on; of a block, the block itself."""
        if terminal.endswith(BLOCK):
            return terminal
        return terminal.removesuffix(ENGINE_HALF).rpartition(".")[0]

    def passages(self, device_id: str) -> Iterator[Joined]:
        """What a device joins when everything in it is closed; loads join nothing."""
        device, engine = self.devices[device_id]
        if isinstance(device, Fuse | Isolator | SeriesResistor):
            yield self._inside(device_id, "in", "out")
        elif isinstance(device, Diode):
            yield self._inside(device_id, "anode", "cathode")
        elif isinstance(device, Bus):
            for other in device.contacts[1:]:
                yield self._inside(device_id, device.contacts[0], other)
        elif isinstance(device, Plug) and engine is not None:
            for pin in device.pins:
                yield self._inside(device_id, pin, pin + ENGINE_HALF)
        elif isinstance(device, Relay):
            for contact in device.contacts:
                yield self._inside(device_id, *contact.between)
        elif isinstance(device, Selector):
            for pair in sorted(selector_pairs(device)):
                yield self._inside(device_id, *pair)

    def _inside(self, device_id: str, first: str, second: str) -> Joined:
        return Joined(device_id, f"{device_id}.{first}", f"{device_id}.{second}")

    def passing(self, through: Callable[[DeviceBase], bool]) -> list[Joined]:
        """The passages of all devices of a sort."""
        return [
            passage
            for device_id, (device, _) in self.devices.items()
            if through(device)
            for passage in self.passages(device_id)
        ]

    @cached_property
    def positives(self) -> list[str]:
        """The positive poles of the batteries."""
        return [
            f"{name}.positive"
            for name, (device, _) in self.devices.items()
            if isinstance(device, Battery)
        ]

    @cached_property
    def negatives(self) -> list[str]:
        """The negative poles of the batteries."""
        return [pole.removesuffix("positive") + "negative" for pole in self.positives]

    @cached_property
    def negative_side(self) -> frozenset[str]:
        """Every terminal that leads to a block or to a battery's negative without a load."""
        plain = self.passing(lambda d: isinstance(d, Bus | Plug | Isolator | Fuse))
        blocks = [f"{engine.name}{BLOCK}" for engine in self.model.vessel.engines]
        return frozenset(reach(beside([*self.wires, *plain]), [*self.negatives, *blocks]))

    def is_negative(self, wire: Joined) -> bool:
        """Whether a conductor is on the negative side."""
        return wire.start in self.negative_side


def selector_pairs(device: Selector) -> set[tuple[str, str]]:
    """The pairs of terminals that a switch joins in any of its positions."""
    return {
        (group[0], other)
        for groups in device.positions.values()
        for group in groups
        for other in group[1:]
    }


def beside(pieces: Iterable[Joined]) -> Beside:
    """What meets at each terminal."""
    found: Beside = {}
    for piece in pieces:
        found.setdefault(piece.start, []).append(piece)
        found.setdefault(piece.end, []).append(piece)
    return found


def reach(around: Beside, starts: Iterable[str], stop: Collection[str] = ()) -> dict[str, int]:
    """Every terminal that can be reached, with the number of pieces to it.

    stop: terminals that are reached but not passed
    """
    found = dict.fromkeys(starts, 0)
    waiting = list(found)
    for here in waiting:
        if here in stop:
            continue
        for piece in around.get(here, ()):
            other = piece.other(here)
            if other not in found:
                found[other] = found[here] + 1
                waiting.append(other)
    return found


def shortest(around: Beside, start: str, ends: Collection[str]) -> list[Joined]:
    """The pieces of the shortest way from a terminal to one of the ends, if there is any."""
    before: dict[str, Joined] = {}
    waiting, seen = [start], {start}
    for here in waiting:
        if here in ends:
            way = []
            while here != start:
                way.append(before[here])
                here = before[here].other(here)
            return way
        for piece in around.get(here, ()):
            other = piece.other(here)
            if other not in seen:
                seen.add(other)
                before[other] = piece
                waiting.append(other)
    return []


def between(pieces: Collection[Joined], ends: Collection[str]) -> list[Joined]:
    """The pieces that lead from one of the ends to another: what ends blindly is left out."""
    kept = list(pieces)
    while True:
        around = beside(kept)
        blind = {name for name, at in around.items() if len(at) == 1 and name not in ends}
        left = [piece for piece in kept if not {piece.start, piece.end} & blind]
        if len(left) == len(kept):
            return kept
        kept = left
