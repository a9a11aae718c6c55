"""Operating cases: a state for each engine, and the speed of those that run."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from installgen.analysis.speeds import SPEEDS, SpeedName
from installgen.spec.electrical import Heater, Selector, StateName
from installgen.spec.vessel import FittedEngine, Vessel

STATE_WORDS: dict[StateName, str] = {
    "off": "key off",
    "ignition-on": "ignition on",
    "preheating": "preheating",
    "breakaway": "cranking, first instant",
    "cranking": "cranking, turning",
    "running": "running",
    "stopping": "stopping",
    "emergency-stop": "emergency stop",
}


@dataclass(frozen=True)
class EngineState:
    """What one engine does in a case."""

    state: StateName
    speed: SpeedName | None = None

    @property
    def words(self) -> str:
        """As a heading says it."""
        text = STATE_WORDS[self.state]
        return f"{text}, {self.speed}" if self.speed else text

    @property
    def key(self) -> str:
        """As an id says it."""
        return f"{self.state}-{self.speed}" if self.speed else self.state


@dataclass(frozen=True)
class DcCase:
    """An operating case.

    id: as results carry it, such as `cranking` or `port.cranking+starboard.running-idle`
    after: the case that the electrics come from, whose plungers and relays they remember
    station: the one that has command
    own: for an engine that comes from another case than `after`, that case: by engine
    pressed_at: station whose buttons stop the engine while another has command
    """

    id: str
    name: str
    states: tuple[tuple[str, EngineState], ...]
    after: str | None
    station: str | None = None
    own: tuple[tuple[str, str], ...] = ()
    pressed_at: str | None = None

    @property
    def works_from(self) -> str | None:
        """The station at which somebody does what the case is about."""
        return self.pressed_at or self.station

    def position(self, device: Selector, state: StateName) -> str:
        """The position of a switch whose engine is in a state.

        The first of its positions is where it rests: without a word on the state, and at a station
        that has no command. Where another station's button stops the engine, the switches of the
        station in command stay as they were while it ran.
        """
        rest = next(iter(device.positions))
        stops = state in _STOPPED
        if self.pressed_at is not None and stops and device.station == self.pressed_at:
            return device.position_in.get(state, rest)
        if device.station is not None and self.station not in (None, device.station):
            return rest
        if self.pressed_at is not None and stops:
            return device.position_in.get("running", rest)
        usual = device.position_in.get("running", rest) if state == "emergency-stop" else rest
        return device.position_in.get(state, usual)

    def state(self, engine: str) -> EngineState:
        """What an engine does. KeyError where it is not in the case."""
        return dict(self.states)[engine]

    @property
    def all_states(self) -> list[StateName]:
        """The states of all engines."""
        return [state.state for _, state in self.states]


_OFF = EngineState("off")
_STOPPED: tuple[StateName, ...] = ("stopping", "emergency-stop")


def cases(vessel: Vessel) -> list[DcCase]:
    """The vessel's own cases or, where she lists none, the usual ones in their order."""
    electrical = vessel.spec.electrical
    station = electrical.stations[0] if electrical and electrical.stations else None
    names = [engine.name for engine in vessel.engines]
    if electrical is not None and electrical.cases:
        written: list[DcCase] = []
        for entry in electrical.cases:
            given = {item.engine: EngineState(item.state, item.speed) for item in entry.engines}
            states = tuple((name, given.get(name, _OFF)) for name in names)
            written.append(
                DcCase(
                    entry.id,
                    entry.name or entry.id,
                    states,
                    written[-1].id if written else None,
                    entry.station or station,
                )
            )
        return written
    made: list[DcCase] = []
    several = len(names) > 1
    for engine in vessel.engines:
        made += _sequence(vessel, engine, names, station, several)
    if several:
        made += _together(vessel.engines, station)
    return made


def station_cases(vessel: Vessel) -> list[DcCase]:
    """Each engine worked from every station but the one that has command.

    It is cranked, run and stopped from a station that has something to start it with; from one
    that has only something to stop it, stopped while the first has command. None where she lists
    her own cases.
    """
    electrical = vessel.spec.electrical
    if electrical is None or electrical.cases:
        return []
    names = [engine.name for engine in vessel.engines]
    start = [EngineState("cranking"), EngineState("running", "idle")]
    made: list[DcCase] = []
    for station in electrical.stations[1:]:
        for engine in names:
            here = [
                device
                for device in electrical.devices
                if isinstance(device, Selector)
                and device.station == station
                and device.engine in (None, engine)
            ]
            starts = any(_starts(device) for device in here)
            stops = [
                EngineState(state)
                for state in _STOPPED
                if (starts and state == "stopping") or any(state in d.position_in for d in here)
            ]
            running = f"{engine}.running-idle" if len(names) > 1 else "running-idle"
            before: str | None = None if starts else running
            for state in [*(start if starts else []), *stops]:
                case_id = ".".join([station, *([engine] if len(names) > 1 else []), state.key])
                words = f"{state.words}, {station} station"
                name = f"{engine}: {words}" if len(names) > 1 else words
                states = tuple((other, state if other == engine else _OFF) for other in names)
                command, pressed_at = (
                    (station, None) if starts else (electrical.stations[0], station)
                )
                made.append(DcCase(case_id, name, states, before, command, pressed_at=pressed_at))
                if state.state not in _STOPPED:  # every way of stopping comes after running
                    before = case_id
    return made


def _starts(device: Selector) -> bool:
    """Whether a switch has a position of its own for cranking, in which it joins something."""
    cranking = device.position_in.get("cranking")
    if cranking is None or cranking == device.position_in.get("running"):
        return False
    return cranking != next(iter(device.positions)) and bool(device.positions.get(cranking))


def _sequence(
    vessel: Vessel, engine: FittedEngine, names: Iterable[str], station: str | None, several: bool
) -> list[DcCase]:
    """One engine from key off to stop, the others off."""
    out: list[DcCase] = []
    before: str | None = None
    for state in _states(vessel, engine):
        case_id = f"{engine.name}.{state.key}" if several else state.key
        name = f"{engine.name}: {state.words}" if several else state.words
        states = tuple((other, state if other == engine.name else _OFF) for other in names)
        out.append(DcCase(case_id, name, states, before, station))
        if state.state != "stopping":  # both ways of stopping come after running
            before = case_id
    return out


def _states(vessel: Vessel, engine: FittedEngine) -> list[EngineState]:
    electrical = vessel.spec.electrical
    ends = {f"{engine.name}.{end}" for wire in engine.sheet.wires for end in (wire.from_, wire.to)}
    ends |= {
        end
        for wire in (electrical.conductors if electrical else [])
        for end in (wire.from_, wire.to)
    }
    heated = any(
        isinstance(device, Heater) and f"{engine.name}.{device.id}.positive" in ends
        for device in engine.sheet.devices
    )
    states = [EngineState("off"), EngineState("ignition-on")]
    if heated:
        states.append(EngineState("preheating"))
    states += [EngineState("breakaway"), EngineState("cranking")]
    states += [EngineState("running", speed) for speed in SPEEDS]
    states.append(EngineState("stopping"))
    buttons = (d for d in (electrical.devices if electrical else []) if isinstance(d, Selector))
    stations = electrical.stations[:1] if electrical else []
    if any(
        "emergency-stop" in button.position_in
        and button.engine in (None, engine.name)
        and button.station in (None, *stations)
        for button in buttons
    ):
        states.append(EngineState("emergency-stop"))
    return states


def _together(engines: Iterable[FittedEngine], station: str | None) -> list[DcCase]:
    """Both engines: each cranks while the other idles, then both run.

    An engine that runs has been cranked by itself before, so its devices come from there.
    """
    engines = list(engines)
    idle = EngineState("running", "idle")
    alone = {e.name: f"{e.name}.{idle.key}" for e in engines}
    out = []
    for cranked in engines:
        states = tuple((e.name, EngineState("cranking") if e is cranked else idle) for e in engines)
        others = "+".join(f"{name}.{state.key}" for name, state in states)
        words = ", ".join(f"{name} {state.words}" for name, state in states)
        own = tuple((name, case) for name, case in alone.items() if name != cranked.name)
        out.append(DcCase(others, words, states, f"{cranked.name}.ignition-on", station, own))
    before = out[-1].id if out else None
    own = tuple(alone.items())
    for speed in SPEEDS:
        states = tuple((e.name, EngineState("running", speed)) for e in engines)
        case_id, name = f"all.running-{speed}", f"all running, {speed}"
        out.append(DcCase(case_id, name, states, before, station, own))
        before, own = case_id, ()
    return out
