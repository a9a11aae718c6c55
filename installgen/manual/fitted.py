"""What one engine has fitted, as a person who works her meets it: handles, switches, levels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.circuits import LaidPart
from installgen.analysis.cranking_flood import cranking_attempts_id, cranking_limit_id
from installgen.analysis.fuel_paths import priming_steps, supply_paths
from installgen.analysis.headway import flooding_headway_id
from installgen.analysis.results import Result
from installgen.analysis.route import Route, Step
from installgen.manual.blocks import Line, Link, Target, is_empty, joined
from installgen.manual.links import CIRCUIT_PAGES, RAW_WATER
from installgen.manual.pages.electrical import device_line, devices_of
from installgen.manual.vessel_manual import VesselManual, coded, full_stop
from installgen.manual.ways import battery_isolators, isolators_to_battery, start_battery
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Battery,
    DeviceBase,
    Gauge,
    Heater,
    Isolator,
    Selector,
    StateName,
    StopSolenoid,
)
from installgen.spec.engine_sheet import Alarm
from installgen.spec.piping import Discharge, RawWaterPump
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Exhaust, VesselCable


@dataclass(frozen=True)
class Thing:
    """Something that a step sends a person to.

    name: code and name, linked to where it is described
    where: the space it is in and a sentence to find it by
    means: what a person does there, as the spec says it
    inside: whether it stands in an engine space; nothing where no space is written
    """

    name: Line
    where: Line
    means: str = ""
    inside: bool | None = None


@dataclass(frozen=True)
class Fitted:
    """One engine of a manual, and what belongs to it."""

    m: VesselManual
    engine: FittedEngine

    # ---- raw water and exhaust -------------------------------------------------------------

    @cached_property
    def route(self) -> Route | None:
        """Its raw-water route."""
        return self.m.analysis.routes.get(self.engine.name)

    def pieces(self, *kinds: str) -> list[Thing]:
        """The pieces of its raw-water route of these kinds, branches last."""
        return [self._piece(s) for s in self._steps() if s.kind in kinds]

    @cached_property
    def pumps(self) -> list[Thing]:
        """Its raw-water pumps."""
        return [self._piece(s) for s in self._steps() if isinstance(s.entry, RawWaterPump)]

    def _steps(self) -> Iterator[Step]:
        if self.route is not None:
            yield from self.route.all_steps()

    def _piece(self, step: Step) -> Thing:
        name = Link(self.called(step.name, step.code), Target(RAW_WATER, step.id))
        place, find = getattr(step.entry, "place", None), getattr(step.entry, "find", "")
        return Thing(name, self.where(place, find, on_engine=step.on_engine))

    @cached_property
    def seals(self) -> list[Thing]:
        """The shaft seals that its raw water feeds."""
        return [
            self._piece(step)
            for step in self._steps()
            if isinstance(step.entry, Discharge) and step.entry.into == "shaft-seal"
        ]

    @cached_property
    def exhaust(self) -> Exhaust | None:
        """Its exhaust."""
        for exhaust in self.m.vessel.spec.exhaust:
            if self.m.vessel.engine(exhaust.engine) is self.engine:
                return exhaust
        return None

    @property
    def wet(self) -> bool:
        """Whether raw water leaves with its exhaust gas."""
        return self.exhaust is not None and self.exhaust.kind == "wet"

    @cached_property
    def cranking_limit(self) -> Result | None:
        """How long it may be cranked before the muffler floods; nothing where none can."""
        return self.m.book.get(cranking_limit_id(self.engine))

    @cached_property
    def cranking_attempts(self) -> Result | None:
        """How many whole attempts that is."""
        return self.m.book.get(cranking_attempts_id(self.engine))

    @property
    def no_cranking_time(self) -> bool:
        """Whether not one attempt is known to be safe with its seacock open."""
        return self.cranking_attempts is not None and not self.cranking_attempts.value

    @cached_property
    def flooding_headway(self) -> Result | None:
        """From which speed on headway fills its exhaust while it stands still; nothing where a
        scoop cannot."""
        return self.m.book.get(flooding_headway_id(self.engine))

    @cached_property
    def scoops(self) -> list[Thing]:
        """Its seacock, where headway in its scoop pushes water past the stopped pump."""
        if self.route is None or self.flooding_headway is None:
            return []
        return [self._piece(self.route.steps[0])]

    # ---- switches and controls -------------------------------------------------------------

    def selectors(self, state: StateName, kind: str = "") -> list[tuple[Thing, str]]:
        """The switches worked by hand for a state of this engine, each with its position then.

        A switch that already stands so with the ignition on is not worked again.
        """
        found = []
        for device_id, device, _ in devices_of(self.m, Selector):
            own = device.engine in (None, self.engine.name)
            position = device.position_in.get(state)
            at_rest = device.position_in.get("off", next(iter(device.positions)))
            before: StateName = "off" if state == "ignition-on" else "ignition-on"
            if not own or position is None or (kind and device.kind != kind):
                continue
            if position != device.position_in.get(before, at_rest):
                found.append((self.device(device_id, device), position))
        return found

    def rest_positions(self) -> list[tuple[Thing, str]]:
        """The key switches of this engine, each with its position when she is off."""
        return [
            (
                self.device(device_id, device),
                device.position_in.get("off", next(iter(device.positions))),
            )
            for device_id, device, _ in devices_of(self.m, Selector)
            if device.kind == "key-switch" and device.engine in (None, self.engine.name)
        ]

    def device(self, device_id: str, device: DeviceBase) -> Thing:
        """A device as a step names it."""
        engine = self.m.devices[device_id][1]
        return Thing(
            device_line(self.m, device_id),
            self.where(device.place, device.find, on_engine=engine is not None),
            inside=self.inside(device.place, on_engine=engine is not None),
        )

    @cached_property
    def isolators(self) -> list[Thing]:
        """The isolators between its starter and a battery; where none is found, all of its own."""
        own = {
            device_id: device
            for device_id, device, _ in devices_of(self.m, Isolator)
            if device.engine in (None, self.engine.name)
            and (device.on_in is None or {"running", "cranking"} & set(device.on_in))
        }
        passed = [name for name in isolators_to_battery(self.m, self.engine) if name in own]
        return [self.device(name, own[name]) for name in passed or own]

    @cached_property
    def other_isolators(self) -> list[Thing]:
        """Those that cut a battery and are in no engine's way to its own, such as the house's."""
        engines = self.m.vessel.engines
        starting = {name for engine in engines for name in isolators_to_battery(self.m, engine)}
        return [
            self.device(name, self.m.devices[name][0])
            for name in battery_isolators(self.m)
            if starting and name not in starting
        ]

    @cached_property
    def isolators_left_off(self) -> list[Thing]:
        """Isolators that are off in every state, such as one for emergencies."""
        return [
            self.device(device_id, device)
            for device_id, device, _ in devices_of(self.m, Isolator)
            if device.on_in == []
        ]

    @cached_property
    def battery_isolators(self) -> list[Thing]:
        """Every isolator of the vessel that cuts a battery."""
        return [self.device(name, self.m.devices[name][0]) for name in battery_isolators(self.m)]

    @cached_property
    def stop_solenoids(self) -> list[StopSolenoid]:
        """Its stop solenoids."""
        return [d for d in self.engine.sheet.devices if isinstance(d, StopSolenoid)]

    def stops_by(self, acts: str) -> bool:
        """Whether it has a stop solenoid that acts so."""
        return any(device.acts == acts for device in self.stop_solenoids)

    @cached_property
    def heaters(self) -> list[tuple[Thing, Heater]]:
        """Its glow plugs or intake-air heaters that come with what works them."""
        return [
            (self.device(f"{self.engine.name}.{d.id}", d), d)
            for d in self.engine.sheet.devices
            if isinstance(d, Heater) and d.controller == "fitted"
        ]

    def cables(self, works: str) -> list[VesselCable]:
        """The control cables that work this of the engine, one for each station."""
        return [
            cable
            for cable in self.m.vessel.spec.controls
            if cable.works == works and cable.engine in (None, self.engine.name)
        ]

    def levers(self, works: str) -> list[Thing]:
        """The levers of those cables, by the station they stand at."""
        name = self.m.text(f"levers.{works}")
        return [Thing(name, self.station(cable.station)) for cable in self.cables(works)]

    def lever_at_engine(self, works: str) -> list[Thing]:
        """The lever on the engine that such a cable works."""
        return [
            Thing(self.m.text(f"levers.{works}_at_engine"), full_stop(control.find))
            for control in self.engine.sheet.controls
            if control.works == works and control.find
        ]

    def station(self, station: str) -> Line:
        """Where a helm station is."""
        if not station:
            return ""
        places = {place.id: place.name for place in self.m.vessel.spec.places}
        if station in places:
            return self.m.say("where.at", place=places[station])
        return self.m.say("where.station", station=station.replace("-", " "))

    # ---- coolant, oil, fuel, air -----------------------------------------------------------

    def parts(self, system: str, *kinds: str) -> list[Thing]:
        """Parts of a circuit of these kinds: the engine's own, and the vessel's that serve it."""
        circuit = self.m.analysis.circuits.get(system)
        if circuit is None:
            return []
        served = self._served(system)
        return [
            self._part(system, part)
            for part in circuit.of_kind(*kinds)
            if part.engine is self.engine or (part.engine is None and part.id in served)
        ]

    def _served(self, system: str) -> set[str]:
        """The vessel's parts of a circuit that lines lead to from this engine."""
        circuit = self.m.analysis.circuits[system]
        prefix = f"{self.engine.name}."
        own = {part.id for part in circuit.parts if part.engine is None}
        reached = {
            end
            for line in circuit.lines
            if line.engine is None
            for end, other in ((line.start, line.end), (line.end, line.start))
            if other.startswith(prefix)
        } & own
        while True:
            more = {
                end
                for line in circuit.lines
                if line.engine is None
                for end, other in ((line.start, line.end), (line.end, line.start))
                if other in reached and end in own
            }
            if more <= reached:
                return reached
            reached |= more

    def _part(self, system: str, part: LaidPart) -> Thing:
        entry = part.part
        target = Target(CIRCUIT_PAGES[system], part.id)
        name = Link(self.called(entry.title, entry.code), target)
        where = self.where(entry.place, entry.find, on_engine=part.engine is not None)
        inside = self.inside(entry.place, on_engine=part.engine is not None)
        return Thing(name, where, entry.means, inside)

    @cached_property
    def fuel_valves(self) -> list[Thing]:
        """The valves in its fuel supply, the one nearest the tank first."""
        circuit = self.m.analysis.circuits.get("fuel")
        if circuit is None:
            return []
        found: dict[str, LaidPart] = {}
        for path in supply_paths(circuit, self.engine):
            for part in path.parts:
                if part.part.kind == "valve":
                    found.setdefault(part.id, part)
        return [self._part("fuel", part) for part in found.values()]

    @cached_property
    def priming(self) -> list[tuple[str, Thing]]:
        """Where it is primed and bled, from the tank onward: kind of part, and the part."""
        circuit = self.m.analysis.circuits.get("fuel")
        if circuit is None:
            return []
        return [(p.part.kind, self._part("fuel", p)) for p in priming_steps(circuit, self.engine)]

    # ---- instruments and alarms ------------------------------------------------------------

    @cached_property
    def gauges(self) -> list[tuple[str, Gauge]]:
        """The instruments of the vessel, with their ids."""
        return [(device_id, device) for device_id, device, _ in devices_of(self.m, Gauge)]

    def reads(self, device_id: str, gauge: Gauge) -> bool:
        """Whether an instrument is this engine's: of several, by what it is called."""
        others = [e.name for e in self.m.vessel.engines if e is not self.engine]
        words = f"{device_id} {gauge.name}".lower()
        return self.engine.name in words or not any(other in words for other in others)

    def alarms_with_key(self) -> list[Alarm]:
        """The alarms that sound with the key on before it runs, so that they can be tried."""
        switches = {
            d.id
            for d in self.engine.sheet.devices
            if isinstance(d, AlarmSwitch) and "ignition-on" in d.closed_in
        }
        return [alarm for alarm in self.engine.sheet.alarms if alarm.sensed_by in switches]

    @cached_property
    def alternators(self) -> list[Alternator]:
        """Its alternators."""
        return [d for d in self.engine.sheet.devices if isinstance(d, Alternator)]

    @cached_property
    def batteries(self) -> list[Thing]:
        """The batteries of the vessel."""
        return [self.device(i, d) for i, d, _ in devices_of(self.m, Battery)]

    @cached_property
    def own_batteries(self) -> list[Thing]:
        """The battery that its starter hangs on; of the only engine, every one."""
        if not self.m.several:
            return self.batteries
        own = start_battery(self.m, self.engine)
        return [self.device(own, self.m.devices[own][0])] if own else []

    @cached_property
    def shared_batteries(self) -> list[Thing]:
        """Where there are several engines, the batteries that no starter hangs on."""
        engines = self.m.vessel.engines
        taken = {start_battery(self.m, engine) for engine in engines}
        every = devices_of(self.m, Battery) if self.m.several else ()
        return [self.device(i, d) for i, d, _ in every if i not in taken]

    # ---- where -----------------------------------------------------------------------------

    def called(self, name: str, code: str) -> Line:
        """A thing as a sentence names it: by its code, else with its article."""
        if code:
            return coded(name, code)
        return self.m.text("where.the", name=name[:1].lower() + name[1:])

    def inside(self, place: str | None, *, on_engine: bool = False) -> bool | None:
        """Whether a place is an engine space; nothing where none is written."""
        if on_engine:
            return True
        if place is None:
            return None
        spaces = {p.id for p in self.m.vessel.spec.places if p.kind == "engine-space"}
        return place in spaces or any(e.entry.place == place for e in self.m.vessel.engines)

    def where(self, place: str | None, find: str, *, on_engine: bool = False) -> Line:
        """Where something sits: its space, and the sentence to find it by."""
        parts: list[Line] = []
        if on_engine:
            parts.append(self.m.say("where.on_engine"))
        elif place is not None:
            parts.append(self.m.say("where.in", place=self.m.place(place)))
        if find:
            parts.append(full_stop(find))
        said = joined(parts, " ")
        return self.m.say("where.not_written") if is_empty(said) else said


def fitted_engines(m: VesselManual) -> list[Fitted]:
    """Each engine of the vessel, and what belongs to it."""
    return [Fitted(m, engine) for engine in m.vessel.engines]
