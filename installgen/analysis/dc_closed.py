"""The positive wiring with every switch and relay closed: ways to batteries, and what lies on them.

A switch that is open today is closed tomorrow, so what a fault may draw and what joins two sources
is asked with all of them closed.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import count

from installgen.analysis.dc_paths import Hop
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_elements import (
    ConstantPowerLoad,
    Contact,
    CurrentLoad,
    Diode,
    Element,
    Resistor,
)
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Battery,
    Gauge,
    Heater,
    Load,
    Sender,
    SeriesResistor,
    SpeedPickup,
    Starter,
    StopSolenoid,
)

NOT_WIRING = (
    AlarmSwitch, Alternator, Battery, Gauge, Heater, Load, Sender, SeriesResistor, SpeedPickup,
    Starter, StopSolenoid,
)  # fmt: skip

IN_SERIES = (Gauge, Load, SeriesResistor)
"""What limits the current of a fault on the wire behind it."""

Ohms = Callable[[str], float]
"""Resistance of an element by its name [ohm]."""


@dataclass(frozen=True)
class Way:
    """A way through the wiring.

    hops: elements from its start, each with the node it reaches
    ohm: their resistance [ohm]
    """

    hops: tuple[Hop, ...]
    ohm: float

    @property
    def elements(self) -> tuple[str, ...]:
        """The elements on it, in order."""
        return tuple(hop.element for hop in self.hops)


@dataclass(frozen=True)
class ClosedWiring:
    """Conductors, joints, fuses, switches, contacts, pins, buses and diodes of every case.

    through_loads: with the loads, lamps and gauges too
    """

    solved: tuple[SolvedCase, ...]
    through_loads: bool = False

    @cached_property
    def elements(self) -> Mapping[str, Element]:
        """The wiring by name."""
        found: dict[str, Element] = {}
        for case in self.solved:
            for element in case.parts.elements:
                entry = case.parts.entries.get(element.id)
                plain = type(element) in (Resistor, Contact, Diode)
                drawing = plain or isinstance(element, CurrentLoad | ConstantPowerLoad)
                wiring = plain and not isinstance(entry, NOT_WIRING)
                if wiring or (self.through_loads and drawing and isinstance(entry, IN_SERIES)):
                    found.setdefault(element.id, element)
        return found

    @cached_property
    def banks(self) -> Mapping[str, str]:
        """The batteries by the node of their positive pole."""
        return {
            f"{name}.positive": name
            for case in self.solved
            for name, entry in case.parts.entries.items()
            if isinstance(entry, Battery)
        }

    @cached_property
    def _at(self) -> Mapping[str, list[tuple[str, str]]]:
        at: dict[str, list[tuple[str, str]]] = {}
        for element in self.elements.values():
            first, second = element.ends
            at.setdefault(first, []).append((element.id, second))
            at.setdefault(second, []).append((element.id, first))
        return at

    def hot_ohm(self, element: str) -> float:
        """Resistance as the weak cases have it: warm conductors, joints in [ohm].

        A load that takes a current or a power counts with the voltage at which it still does.
        """
        match self.elements[element]:
            case CurrentLoad(load_current_a=current, min_voltage_v=volts):
                return volts / current if current > 0.0 else math.inf
            case ConstantPowerLoad(power_w=power, min_voltage_v=volts):
                return volts**2 / power if power > 0.0 else math.inf
            case other:
                return float(getattr(other, "resistance_ohm", 0.0))

    def way(
        self, start: str, goals: Collection[str], ohms: Ohms, without: Collection[str] = ()
    ) -> Way | None:
        """The way of least resistance from a node to any of some nodes.

        ohms: resistance of each element
        without: elements that it may not take
        """
        order = count()
        queue: list[tuple[float, int, str, tuple[Hop, ...]]] = [(0.0, next(order), start, ())]
        done: set[str] = set()
        while queue:
            ohm, _, node, hops = heapq.heappop(queue)
            if node in goals:
                return Way(hops, ohm)
            if node in done or (hops and node in self.banks):
                continue
            done.add(node)
            for element, other in self._at.get(node, []):
                if other not in done and element not in without:
                    step = (*hops, Hop(element, other))
                    heapq.heappush(queue, (ohm + ohms(element), next(order), other, step))
        return None
