"""What every device does at each step from key off to stop, and the voltage on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from installgen.analysis.dc_cases import nominal_v, solved_id
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book
from installgen.calc.dc_elements import Alternator as AlternatorElement
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    DeviceBase,
    Gauge,
    Heater,
    Isolator,
    Load,
    Relay,
    Selector,
    SeriesResistor,
    Starter,
    StopSolenoid,
)
from installgen.units import Voltage

LIVE_V = 0.05
"""Below this a device counts as dead in the table of the sequence."""

LIT_RATIO, FAINT_RATIO = 0.5, 0.1
"""Of the nominal voltage: what a lamp shines and glows with (common practice)."""

CARRIES_A = 1e-3


@dataclass(frozen=True)
class Seen:
    """What one device does at one step.

    words: such as `pulled in`
    voltages: what is on it, or on each of its windings: the winding's name, which is empty where
        there is one, and the id of the result; none where no closed path leads to it
    """

    words: str
    voltages: tuple[tuple[str, str], ...] = ()


Sequence = Mapping[tuple[str, str], Seen]
"""What is seen, by case and device."""


def analyse_sequence(book: Book, model: DcModel, solved: Iterable[SolvedCase]) -> Sequence:
    """Enter the voltage on every device in each solved case; returns what is seen of it."""
    seen: dict[tuple[str, str], Seen] = {}
    for found in solved:
        if found.settled is None:
            continue
        for device_id, device, _ in model.vessel.devices():
            one = _Step(book, model, found, device_id).see(device)
            if one is not None:
                seen[found.case.id, device_id] = one
    return seen


@dataclass(frozen=True)
class _Step:
    """One device in one case."""

    book: Book
    model: DcModel
    found: SolvedCase
    id: str

    def see(self, device: DeviceBase) -> Seen | None:
        """What it does; nothing for what does nothing, such as a fuse."""
        match device:
            case Selector():
                return Seen(self._position(device))
            case Isolator():
                return Seen("on" if self._closed(self.id) else "off")
            case AlarmSwitch():
                return Seen("closed" if self._closed(self.id) else "open")
            case Relay():
                return self._relay(device)
            case Starter():
                return self._starter(device)
            case StopSolenoid():
                return self._stop_solenoid(device)
            case Alternator():
                return self._alternator(device)
            case SeriesResistor():
                return self._lamp(device)
            case Gauge() | Load() | Heater():
                return self._load(device)
        return None

    def _relay(self, device: Relay) -> Seen:
        first, second = (self._node(end) for end in device.coil.between)
        words = self._moved("armature", "pulled in", "released")
        return Seen(words, self._across(device, "voltage", "Coil voltage of", first, second))

    def _starter(self, device: Starter) -> Seen:
        words = self._moved("plunger", "engaged", "released")
        if words == "engaged":
            state = self.found.case.state(self.id.partition(".")[0]).state
            words = "engaged, turning" if state == "cranking" else "engaged, stalled"
        back = self._node("block") if device.returns == "case" else self._node("negative")
        stud = self._node("battery")
        return Seen(words, self._across(device, "voltage", "Voltage at the stud of", stud, back))

    def _stop_solenoid(self, device: StopSolenoid) -> Seen:
        up = f"{self.id}:plunger" in self._operated
        runs = up == (device.acts == "energised-to-run")
        words = self._moved("plunger", "lifted", "dropped")
        words += ", may run" if runs else ", stopped"
        voltages: list[tuple[str, str]] = []
        for element, name in (("lifting", "lifting"), ("holding", "holding"), ("winding", "")):
            if f"{self.id}:{element}" in self._positions:
                ends = self._ends(f"{self.id}:{element}")
                winding = f"{name} winding".strip()
                ending = f"{winding.replace(' ', '-')}.voltage"
                what = f"Voltage on the {winding} of"
                voltages += self._across(device, ending, what, *ends, name)
        return Seen(words, tuple(voltages))

    def _alternator(self, device: Alternator) -> Seen:
        element = next(
            (e for e in self.found.parts.elements if e.id == self.id),
            None,
        )
        gives = isinstance(element, AlternatorElement) and (
            (self.found.current_a(self.id) or 0.0) > CARRIES_A
        )
        field = self.found.current_a(f"{self.id}:field")
        words = "charges" if gives else "excited" if abs(field or 0.0) > CARRIES_A else "at rest"
        back = self._node("block") if device.returns == "case" else self._node("negative")
        stud = self._node("output")
        return Seen(words, self._across(device, "voltage", "Voltage at the stud of", stud, back))

    def _lamp(self, device: SeriesResistor) -> Seen:
        ends = self._node("in"), self._node("out")
        nominal, volts = nominal_v(self.model.vessel), self._volts(*ends)
        share = abs(volts or 0.0) / nominal if nominal else 0.0
        if share < FAINT_RATIO:
            return Seen("out")
        words = "lit" if share >= LIT_RATIO else "faint"
        return Seen(words, self._across(device, "voltage", "Voltage on", *ends))

    def _load(self, device: Gauge | Load | Heater) -> Seen:
        voltage = f"dc.{self.found.case.id}.{self.id}.voltage"
        carries = abs(self.found.current_a(self.id) or 0.0) > CARRIES_A
        on, off = ("heats", "cold") if isinstance(device, Heater) else ("on", "off")
        there = carries and voltage in self.book
        return Seen(on if carries else off, (("", voltage),) if there else ())

    # ---- the case -----------------------------------------------------------------------------

    @property
    def _operated(self) -> frozenset[str]:
        return self.found.settled.state.operated if self.found.settled else frozenset()

    @property
    def _positions(self) -> Mapping[str, int]:
        return self.found.network.positions if self.found.network else {}

    def _moved(self, part: str, lifted: str, released: str) -> str:
        name = f"{self.id}:{part}"
        if self.found.settled is not None and name in self.found.settled.chatter:
            return "chatters"
        return lifted if name in self._operated else released

    def _closed(self, contact: str) -> bool:
        return self.found.settled is not None and contact in self.found.settled.point.closed

    def _position(self, device: Selector) -> str:
        """The position in which exactly those of its contacts are closed that are."""
        for position, groups in device.positions.items():
            pairs = {(group[0], other) for group in groups for other in group[1:]}
            if pairs == set(self._joined(device)):
                return position
        return next(iter(device.positions))

    def _joined(self, device: Selector) -> Iterator[tuple[str, str]]:
        for groups in device.positions.values():
            for group in groups:
                for other in group[1:]:
                    if self._closed(f"{self.id}:{group[0]}-{other}"):
                        yield group[0], other

    def _node(self, terminal: str) -> str:
        if terminal == "block":
            return f"{self.id.partition('.')[0]}.block"
        return f"{self.id}.{terminal}"

    def _ends(self, element: str) -> tuple[str, str]:
        assert self.found.network is not None
        first, second = self.found.network.elements[self._positions[element]].ends
        return first, second

    def _volts(self, plus: str, minus: str) -> float | None:
        high, low = self.found.voltage_v(plus), self.found.voltage_v(minus)
        return None if high is None or low is None else high - low

    def _across(
        self, device: DeviceBase, ending: str, what: str, plus: str, minus: str, name: str = ""
    ) -> tuple[tuple[str, str], ...]:
        """The result that says the voltage between two nodes; none where there is next to none."""
        result_id = f"dc.{self.found.case.id}.{self.id}.{ending}"
        if result_id in self.book:
            return ((name, result_id),)
        volts = self._volts(plus, minus)
        if volts is None or abs(volts) < LIVE_V:
            return ()
        with self.book.working(
            result_id,
            f"{what} {device.title}: {self.found.case.name}",
            "start-run-stop",
            formula=f"V = V({plus}) − V({minus})",
            source="the solved case",
            subject=self.id,
            case=self.found.case.id,
            engine=self.id.partition(".")[0] if "." in self.id else "",
        ) as w:
            w.result(solved_id(self.found.case), "the case")
            w.value = Voltage(volts)
        return ((name, result_id),)
