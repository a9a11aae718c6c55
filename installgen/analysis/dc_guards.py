"""Which fuse or breaker clears a fault on which conductor, found by walking from every battery.

Every contact counts as closed, for a fault may come in any position. An alternator limits its own
current and is no source here.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_paths import is_wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_elements import (
    Battery,
    Contact,
    Diode,
    Element,
    Resistor,
    Source,
    Voltmeter,
)
from installgen.spec.electrical import AlarmSwitch, Fuse, Isolator, SeriesResistor, Starter

Steps = Mapping[str, list[tuple[str, str]]]
"""For each node, the elements that lead on from it and the node behind each."""


@dataclass(frozen=True)
class Stretch:
    """The way from a source to a protective device, that nothing but its shortness protects.

    source: the battery's pole, or where it leaves the starter's conductors
    wires: the conductors on it, from the source on
    length_m: along them; those without a length count nothing [m]
    """

    device: str
    source: str
    wires: tuple[WireEnd, ...]
    length_m: float

    @property
    def sheathed(self) -> bool:
        """Whether every conductor on it is in a sheath."""
        return all(end.wire.sheathed == "sheathed" for end in self.wires)


def cranking_wires(model: DcModel, solved: Iterable[SolvedCase]) -> frozenset[str]:
    """The conductors that carry a starter's own current: more than half of it, cranking."""
    found: set[str] = set()
    for item in solved:
        for device_id, device, engine in model.vessel.devices():
            if not isinstance(device, Starter) or engine is None:
                continue
            if item.case.state(engine.name).state not in ("breakaway", "cranking"):
                continue
            starter = abs(item.current_a(f"{device_id}:contacts") or 0.0)
            if starter > 0:
                found |= {
                    end.element
                    for end in model.wires()
                    if abs(item.current_a(end.element) or 0.0) > starter / 2
                }
    return frozenset(found)


@dataclass(frozen=True)
class Guards:
    """The protective devices of a vessel as a fault meets them.

    found: any case that was solved: the wiring is the same in all
    cranking: conductors that carry a starter's current, which no device clears
    """

    model: DcModel
    found: SolvedCase
    cranking: frozenset[str]

    @cached_property
    def fuses(self) -> frozenset[str]:
        """Ids of all fuses and breakers."""
        return frozenset(i for i, d, _ in self.model.vessel.devices() if isinstance(d, Fuse))

    @cached_property
    def _wires(self) -> Mapping[str, WireEnd]:
        return {end.element: end for end in self.model.wires()}

    @cached_property
    def _plain(self) -> list[Element]:
        """What passes current on: no loads, no meters, no batteries."""
        parts = self.found.parts
        return [
            element
            for element in parts.elements
            if isinstance(element, Resistor | Contact | Diode) and is_wiring(parts, element)
        ]

    @cached_property
    def _poles(self) -> list[tuple[str, str]]:
        """The positive and the negative pole of every battery."""
        sources = (e for e in self.found.parts.elements if isinstance(e, Source | Battery))
        return [(source.positive, source.negative) for source in sources]

    @cached_property
    def negative(self) -> frozenset[str]:
        """Nodes that lead to a battery's negative or a block without a load."""
        starts = {minus for _, minus in self._poles}
        starts |= {f"{engine.name}.block" for engine in self.model.vessel.engines}
        entries = self.found.parts.entries
        passing = [
            element
            for element in self._plain
            if (isinstance(element, Resistor) and element.id not in self._lamps)
            or isinstance(entries.get(element.id), Isolator | AlarmSwitch)
        ]
        return frozenset(_reach(_steps(passing), starts))

    @cached_property
    def _lamps(self) -> frozenset[str]:
        """Resistors in series: they are fed, and no way of the negative side leads through one."""
        entries = self.found.parts.entries
        return frozenset(i for i, entry in entries.items() if isinstance(entry, SeriesResistor))

    @cached_property
    def _onward(self) -> Steps:
        """What leads on on the positive side, fuses left out."""
        passing = [e for e in self._plain if e.id not in self.fuses]
        steps = _steps(passing)
        return {
            node: [(element, other) for element, other in at if other not in self.negative]
            for node, at in steps.items()
        }

    @cached_property
    def _fuse_ends(self) -> Mapping[str, tuple[str, str]]:
        return {e.id: e.ends for e in self.found.parts.elements if e.id in self.fuses}

    @cached_property
    def bare(self) -> frozenset[str]:
        """Nodes that a battery feeds without any fuse or breaker."""
        return frozenset(_reach(self._onward, {plus for plus, _ in self._poles}))

    @cached_property
    def zones(self) -> Mapping[str, frozenset[str]]:
        """For each device that a battery feeds, the nodes behind it up to the next devices."""
        zones: dict[str, set[str]] = {}
        entered: set[tuple[str, str]] = set()
        waiting: list[tuple[str, frozenset[str]]] = [("", self.bare)]
        for passed, fed in waiting:
            for fuse, ends in self._fuse_ends.items():
                for near, far in (ends, ends[::-1]):
                    if fuse == passed or near not in fed or (fuse, far) in entered:
                        continue
                    if far in self.negative:
                        continue
                    entered.add((fuse, far))
                    zone = frozenset(_reach(self._onward, {far}))
                    zones.setdefault(fuse, set()).update(zone)
                    waiting.append((fuse, zone))
        return {fuse: frozenset(zone - self.bare) for fuse, zone in zones.items()}

    def of(self, end: WireEnd) -> tuple[str, ...]:
        """The devices that clear a fault on a conductor, each for the current that it feeds."""
        return tuple(
            fuse for fuse, zone in sorted(self.zones.items()) if {end.start, end.end} <= zone
        )

    def is_bare(self, end: WireEnd) -> bool:
        """Whether a battery feeds a conductor without any fuse or breaker."""
        return end.start in self.bare and end.end in self.bare

    def stretches(self, end: WireEnd) -> tuple[Stretch, ...]:
        """The ways to devices that a bare conductor lies on; nothing where it feeds more than them.

        A device may stand a little along its conductor: that stretch is judged by its length.
        """
        best = self._nearest(self._starts)
        if not {end.start, end.end} <= best.keys():
            return ()
        near, far = sorted((end.start, end.end), key=lambda node: best[node][0])
        return self._to_devices(end, near, far, best, self._starts)

    @cached_property
    def _starts(self) -> frozenset[str]:
        """The batteries' positive poles, and where anything leaves a starter's conductors."""
        starts = {plus for plus, _ in self._poles}
        for name in self.cranking:
            wire = self._wires[name]
            starts |= {wire.start, wire.end} & self.bare
        return frozenset(starts)

    def before(self, device_id: str) -> Stretch | None:
        """The way to a device from the nearest source, no other device on it; None where one is.

        A device between two sources is looked at from the nearer one; what joins them is judged
        from both ends.
        """
        best = self._nearest(self._starts)
        ends = self._fuse_ends.get(device_id, ())
        nodes = [node for node in ends if node in best and node in self.bare]
        if not nodes:
            return None
        node = min(nodes, key=lambda one: best[one][0])
        way = self._way(best, node)
        assert way is not None
        wires = tuple(self._wires[e] for e in way[1] if e in self._wires)
        return Stretch(device_id, way[0], wires, best[node][0])

    def taps(self, end: WireEnd) -> tuple[Stretch, ...]:
        """The ways to further devices that a conductor behind a device begins.

        Its source is where it leaves the conductors of the device before it.
        """
        for near, far in ((end.start, end.end), (end.end, end.start)):
            found = self._to_devices(end, near, far, self._nearest({near}), {near})
            if found and not {stretch.device for stretch in found} & set(self.of(end)):
                return found
        return ()

    def _to_devices(
        self,
        end: WireEnd,
        near: str,
        far: str,
        best: Mapping[str, tuple[float, str, str]],
        starts: Collection[str],
    ) -> tuple[Stretch, ...]:
        beyond = set(_reach(self._onward, {far}, stop=starts, without=end.element))
        ring = near in beyond and near not in starts
        if ring or self._feeds(beyond - set(starts)):
            return ()
        out = []
        for fuse, ends in sorted(self._fuse_ends.items()):
            for node in ends:
                way = self._way(best, node) if node in beyond else None
                if way is not None:
                    wires = tuple(self._wires[e] for e in way[1] if e in self._wires)
                    if end in wires:
                        out.append(Stretch(fuse, way[0], wires, best[node][0]))
        return tuple(out)

    def _feeds(self, nodes: Collection[str]) -> bool:
        """Whether anything is fed from some nodes but fuses and further wiring."""
        passed = {element.id for element in self._plain}
        return any(
            element.id not in passed
            and not isinstance(element, Voltmeter)
            and set(element.ends) & set(nodes)
            for element in self.found.parts.elements
        )

    def _nearest(self, starts: Iterable[str]) -> dict[str, tuple[float, str, str]]:
        """For each bare node its distance from a source, the element before it and the node there.

        Source: Dijkstra's algorithm.
        """
        best: dict[str, tuple[float, str, str]] = {}
        waiting = [(0.0, node, "", "") for node in sorted(starts)]
        while waiting:
            length, node, element, before = heapq.heappop(waiting)
            if node in best:
                continue
            best[node] = length, element, before
            for onward, other in self._onward.get(node, []):
                wire = self._wires.get(onward)
                run_m = self.model.length_m(wire) if wire is not None else None
                further = length + (0.0 if run_m is None else run_m)
                heapq.heappush(waiting, (further, other, onward, node))
        return best

    def _way(
        self, best: Mapping[str, tuple[float, str, str]], node: str
    ) -> tuple[str, list[str]] | None:
        """The source that a node is fed from, and the elements from there to it."""
        if node not in best:
            return None
        elements = []
        while best[node][1]:
            _, element, before = best[node]
            elements.append(element)
            node = before
        return node, elements[::-1]


def _steps(elements: Iterable[Element]) -> dict[str, list[tuple[str, str]]]:
    steps: dict[str, list[tuple[str, str]]] = {}
    for element in elements:
        first, second = element.ends
        steps.setdefault(first, []).append((element.id, second))
        if not isinstance(element, Diode):
            steps.setdefault(second, []).append((element.id, first))
    return steps


def _reach(
    steps: Steps, starts: Iterable[str], stop: Collection[str] = (), without: str = ""
) -> Iterator[str]:
    """Every node that can be reached.

    stop: nodes that are reached but not passed
    without: an element that is not passed
    """
    waiting = sorted(starts)
    seen = set(waiting)
    for node in waiting:
        yield node
        if node in stop:
            continue
        for element, other in steps.get(node, []):
            if other not in seen and element.partition(":")[0] != without:
                seen.add(other)
                waiting.append(other)
