"""The elements that stand for each device and conductor of a vessel in an operating case."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache

from installgen.analysis.cases import DcCase, EngineState
from installgen.analysis.dc_model import NO_RESISTANCE_OHM, DcModel, WireEnd, calc_size
from installgen.analysis.duty import state_for
from installgen.analysis.results import Missing
from installgen.calc import dc_elements as dc
from installgen.calc.actuators import (
    Actuator,
    common_plunger_solenoid,
    relay,
    separate_windings_solenoid,
)
from installgen.calc.conductors import (
    Finish,
    conductor_resistance_ohm,
)
from installgen.errors import OutOfTable
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
    Plug,
    Relay,
    Selector,
    Sender,
    SeriesResistor,
    SpeedPickup,
    Starter,
    StateName,
    StopSolenoid,
    Winding,
)
from installgen.spec.entry import Choose, Entry, Unknown, known
from installgen.spec.vessel import FittedEngine
from installgen.units import ConductorSize

FULL_FIELD = 1.3
"""Ceiling of an alternator whose sheet states none, to its set voltage; only a lost sense lead
reaches it, and that result is then marked assumed (common practice)."""

LIFTING_TIMER_S = 1.0
"""How long a solenoid's own timer feeds its lifting winding; common practice where not stated."""

RELAY_TIME_S = 0.010
PLUNGER_TIME_S = 0.030
"""Order in which relays and plungers move where no time is stated (common practice)."""


@dataclass
class DcParts:
    """What the network of one case is made of, and what could not be modelled.

    entries: the spec entry behind each element
    missing: fields without which an element could not be modelled, by the element
    """

    elements: list[dc.Element] = field(default_factory=list)
    actuators: list[Actuator] = field(default_factory=list)
    closed: set[str] = field(default_factory=set)
    entries: dict[str, Entry] = field(default_factory=dict)
    missing: dict[str, list[Missing]] = field(default_factory=dict)

    def add(self, element: dc.Element, entry: Entry) -> None:
        """Enter an element and the entry it stands for."""
        self.elements.append(element)
        self.entries[element.id] = entry

    def lacks(self, element: str, entry: Entry, name: str) -> None:
        """Note that an element cannot be modelled without a field."""
        place = Missing(entry.path_to(name), entry.where(name), name.rstrip("_").replace("_", " "))
        self.missing.setdefault(element, []).append(place)


def parts_of(model: DcModel, case: DcCase, batteries: Mapping[str, dc.Element]) -> DcParts:
    """The elements of a case.

    batteries: the element that stands for each battery, by its id (the weakest, the strongest
    or one on charge)
    """
    parts = DcParts()
    for wire in model.wires():
        _add_conductor(model, parts, wire)
    for label, jumper, start, end in model.jumpers():
        parts.add(dc.Resistor(label, start, end, model.assumed_ohm("pin_resistance")), jumper)
    for name, cable, block, touches in model.cables():
        ohm = known(cable.resistance)
        if ohm is not None:
            parts.add(dc.Resistor(name, block, touches, ohm.ohm), cable)
        else:
            parts.lacks(name, cable, "resistance")
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Battery):
            if device_id in batteries:
                parts.add(batteries[device_id], device)
            continue
        _Builder(model, parts, case, device_id, engine).build(device)
    return parts


def _add_conductor(model: DcModel, parts: DcParts, end: WireEnd) -> None:
    wire = end.wire
    size, length = model.size_of(wire), model.length_m(end)
    temperature = model.temperature_c(wire, end.engine)
    if size is None and isinstance(wire.size, Choose) and model.unchosen:
        parts.missing.setdefault(end.element, []).extend(model.unchosen)
    elif size is None:
        parts.lacks(end.element, wire, "size")
    if length is None:
        parts.lacks(end.element, wire, "length")
    if temperature is None:
        parts.lacks(end.element, wire, "insulation")
    if size is None or length is None or temperature is None:
        return
    ohm_per_m = _ohm_per_m(size, temperature, wire.strands)
    if ohm_per_m is None:
        parts.lacks(end.element, wire, "size")
        return
    middle = f"{end.element}:joints"
    parts.add(dc.Resistor(end.element, end.start, middle, ohm_per_m * length), wire)
    joints = wire.joints * model.assumed_ohm("joint_resistance")
    parts.add(dc.Resistor(middle, middle, end.end, joints), wire)


@cache
def _ohm_per_m(size: ConductorSize, temperature_c: float, strands: str) -> float | None:
    """Resistance of a metre [ohm/m]; None where no table has the size."""
    finish = Finish.TINNED if strands == "tinned" else Finish.PLAIN
    try:
        return conductor_resistance_ohm(calc_size(size), 1.0, temperature_c, finish)
    except OutOfTable:
        return None


@dataclass(frozen=True)
class _Builder:
    """Adds the elements of one device."""

    model: DcModel
    parts: DcParts
    case: DcCase
    id: str
    engine: FittedEngine | None

    def build(self, device: DeviceBase) -> None:
        makers: dict[type[DeviceBase], Callable[..., None]] = {
            Isolator: self._isolator,
            Selector: self._selector,
            Fuse: self._fuse,
            Bus: self._bus,
            Plug: self._plug,
            Relay: self._relay,
            Starter: self._starter,
            Alternator: self._alternator,
            StopSolenoid: self._stop_solenoid,
            Load: self._load,
            SeriesResistor: self._series_resistor,
            Heater: self._heater,
            Sender: self._sender,
            AlarmSwitch: self._alarm_switch,
            SpeedPickup: self._pickup,
            Diode: self._diode,
            Gauge: self._gauge,
        }
        makers[type(device)](device)

    def _node(self, terminal: str) -> str:
        if terminal == "block":
            return self._block()
        return f"{self.id}.{terminal}"

    def _block(self) -> str:
        engine = self.engine or self.model.vessel.engines[0]
        return f"{engine.name}.block"

    def _return(self, device: DeviceBase) -> str:
        return (
            self._block()
            if getattr(device, "returns", "case") == "case"
            else self._node("negative")
        )

    def _state(self, engine: str | None) -> EngineState:
        """The state that matters to this device: of its engine, or of the busiest engine."""
        return state_for(self.case, self.engine.name if self.engine is not None else engine)

    def _on(self, states: Iterable[StateName] | None, engine: str | None) -> bool:
        state = self._state(engine).state
        return states is None or (_AS_RUNNING.get(state, state)) in states

    def _ohm(self, entry: Entry, name: str) -> float | None:
        value = known(getattr(entry, name))
        if value is None:
            self.parts.lacks(self.id, entry, name)
            return None
        return float(value.ohm)

    def _number(self, entry: Entry, name: str, attribute: str) -> float | None:
        value = known(getattr(entry, name))
        if value is None:
            self.parts.lacks(self.id, entry, name)
            return None
        return float(getattr(value, attribute))

    @property
    def _nominal_v(self) -> float:
        electrical = self.model.vessel.spec.electrical
        assert electrical is not None
        return electrical.system.v

    def _isolator(self, device: Isolator) -> None:
        ohm = self.model.own_or_assumed_ohm(device, "resistance", "switch_resistance")
        self.parts.add(dc.Contact(self.id, self._node("in"), self._node("out"), ohm), device)
        if self._on(device.on_in, device.engine):
            self.parts.closed.add(self.id)

    def _selector(self, device: Selector) -> None:
        ohm = self.model.own_or_assumed_ohm(device, "resistance", "switch_resistance")
        pairs: dict[tuple[str, str], set[str]] = {}
        for position, groups in device.positions.items():
            for group in groups:
                for other in group[1:]:
                    pairs.setdefault((group[0], other), set()).add(position)
        position = self.case.position(device, self._state(device.engine).state)
        for (first, second), positions in pairs.items():
            name = f"{self.id}:{first}-{second}"
            self.parts.add(dc.Contact(name, self._node(first), self._node(second), ohm), device)
            if position in positions:
                self.parts.closed.add(name)

    def _fuse(self, device: Fuse) -> None:
        ohm = self.model.own_or_assumed_ohm(device, "resistance", "fuse_resistance")
        self.parts.add(dc.Resistor(self.id, self._node("in"), self._node("out"), ohm), device)

    def _bus(self, device: Bus) -> None:
        first, *rest = device.contacts
        for other in rest:
            link = dc.Resistor(f"{self.id}:{other}", self._node(first), self._node(other), 0.0)
            self.parts.add(link, device)

    def _plug(self, device: Plug) -> None:
        ohm = self.model.own_or_assumed_ohm(device, "pin_resistance", "pin_resistance")
        if self.engine is None:
            return
        for pin in device.pins:
            node = self._node(pin)
            self.parts.add(dc.Resistor(node, node, f"{node}:engine", ohm), device)

    def _relay(self, device: Relay) -> None:
        coil = device.coil
        ohm = self._ohm(coil, "resistance")
        pull_in = self._number(coil, "pull_in", "v")
        drop_out = self._number(coil, "drop_out", "v")
        if ohm is None or pull_in is None or drop_out is None:
            return
        first, second = coil.between
        element = dc.Coil(self.id, self._node(first), self._node(second), ohm, pull_in, drop_out)
        self.parts.add(element, device)
        moved: dict[str, list[str]] = {"closes": [], "opens": [], "passes": []}
        for contact in device.contacts:
            name = f"{self.id}:{contact.between[0]}-{contact.between[1]}"
            own = self.model.own_or_assumed_ohm(contact, "resistance", "contact_resistance")
            start, end = (self._node(name) for name in contact.between)
            if contact.kind == "passes":
                first = f"{name}:coil-dead"
                self.parts.add(dc.Contact(first, start, f"{name}:inside", own), device)
                moved["passes"].append(first)
                start = f"{name}:inside"
            self.parts.add(dc.Contact(name, start, end, own), device)
            moved["opens" if contact.kind == "opens" else "closes"].append(name)
        time, stays = known(device.operate_time), known(device.release_time)
        seconds = RELAY_TIME_S if time is None else time.s
        self.parts.actuators.append(
            relay(
                f"{self.id}:armature",
                element,
                closes=moved["closes"],
                opens=moved["opens"],
                operate_s=seconds,
                release_s=seconds if stays is None else stays.s,
            )
        )
        if moved["passes"]:
            self.parts.actuators.append(
                relay(
                    f"{self.id}:coil",
                    element,
                    opens=moved["passes"],
                    operate_s=seconds,
                    release_s=seconds,
                )
            )

    def _starter(self, device: Starter) -> None:
        pull, hold = device.pull_in_winding, device.hold_in_winding
        figures = self._figures(
            (pull, "resistance", "ohm"),
            (hold, "resistance", "ohm"),
            (pull, "pull_in", "v"),
            (hold, "drop_out", "v"),
        )
        if figures is None or not self._motor(device, f"{self.id}:motor"):
            return
        pull_ohm, hold_ohm, pull_in_v, drop_out_v = figures
        stud, back = f"{self.id}:motor", self._return(device)
        contacts = f"{self.id}:contacts"
        pulling, holding = f"{self.id}:pull-in", f"{self.id}:hold-in"
        closed_ohm = self.model.assumed_ohm("switch_resistance")
        self.parts.add(dc.Contact(contacts, self._node("battery"), stud, closed_ohm), device)
        self.parts.add(dc.Winding(pulling, self._node("solenoid"), stud, pull_ohm), device)
        self.parts.add(dc.Winding(holding, self._node("solenoid"), back, hold_ohm), device)
        self.parts.actuators.append(
            common_plunger_solenoid(
                f"{self.id}:plunger",
                {pulling: 1.0, holding: 1.0},
                lifts_at_ampere_turns=pull_in_v / pull_ohm + pull_in_v / hold_ohm,
                holds_at_ampere_turns=drop_out_v / hold_ohm,
                closes=(contacts,),
                operate_s=PLUNGER_TIME_S,
                release_s=PLUNGER_TIME_S,
            )
        )

    def _motor(self, device: Starter, stud: str) -> bool:
        """Add the motor: turning while cranking, else stalled. False where it lacks data."""
        motor, back = device.motor, self._return(device)
        if self._state(None).state != "cranking":
            stalled = self._ohm(motor, "stalled_resistance")
            if stalled is not None:
                self.parts.add(dc.Resistor(f"{self.id}:motor", stud, back, stalled), device)
            return stalled is not None
        figures = self._figures(
            (motor, "resistance", "ohm"),
            (motor, "brush_drop", "v"),
            (motor, "rpm_per_volt", "rpm"),
            (motor, "cranking_current", "a"),
        )
        if figures is None:
            return False
        ohm, brush_v, rpm_per_v, current_a = figures
        self.parts.add(
            dc.TurningStarter(
                f"{self.id}:motor", stud, back, ohm, brush_v, 1.0 / rpm_per_v, current_a
            ),
            device,
        )
        return True

    def _figures(self, *wanted: tuple[Entry, str, str]) -> list[float] | None:
        """Several figures of entries, or nothing (and all that lack noted)."""
        found = [self._number(entry, name, attribute) for entry, name, attribute in wanted]
        known_figures = [figure for figure in found if figure is not None]
        return known_figures if len(known_figures) == len(found) else None

    def _alternator(self, device: Alternator) -> None:
        from installgen.analysis.dc_sources import alternator_limit_a

        back = self._return(device)
        excitation = known(device.excitation)
        state = self._state(None)
        if state.state != "running":
            if excitation is not None:
                ohm = device.voltage.v / excitation.a
                self.parts.add(
                    dc.Resistor(f"{self.id}:field", self._node("excite"), back, ohm), device
                )
            return
        limit = alternator_limit_a(self.model.vessel, self.engine, device, state)
        set_v = self._number(device, "set_voltage", "v")
        if limit is None or set_v is None:
            self.parts.lacks(self.id, device, "curve")
            return
        ceiling = known(device.ceiling)
        inner = self._excited(device, back)
        self.parts.add(
            dc.Alternator(
                self.id,
                inner,
                back,
                set_v,
                limit,
                ceiling.v if ceiling is not None else FULL_FIELD * set_v,
                sense=self._node("sense") if device.sense == "lead" else None,
            ),
            device,
        )

    def _excited(self, device: Alternator, back: str) -> str:
        """The node that the alternator gives to: behind a contact that its field closes.

        Once it gives, its own diodes feed the field. Without the voltage at which it excites, it
        is taken to give at once.
        """
        output, excite = self._node("output"), self._node("excite")
        excitation, excites_at = known(device.excitation), known(device.excites_at)
        own_feed = self.model.assumed_ohm("contact_resistance")
        if excitation is None or excites_at is None:
            self.parts.add(dc.Resistor(f"{self.id}:field", excite, output, own_feed), device)
            return output
        inner = f"{self.id}:inside"
        ohm = device.voltage.v / excitation.a
        coil = dc.Coil(f"{self.id}:field", excite, back, ohm, excites_at.v, 0.0)
        self.parts.add(coil, device)
        gives, feeds = f"{self.id}:gives", f"{self.id}:own-feed"
        self.parts.add(dc.Contact(gives, inner, output, NO_RESISTANCE_OHM), device)
        self.parts.add(dc.Contact(feeds, inner, excite, own_feed), device)
        self.parts.actuators.append(
            relay(
                f"{self.id}:excited",
                coil,
                closes=(gives, feeds),
                operate_s=PLUNGER_TIME_S,
                release_s=PLUNGER_TIME_S,
            )
        )
        return inner

    def _stop_solenoid(self, device: StopSolenoid) -> None:
        back = self._return(device)
        if device.windings == "single":
            self._single_winding(device, back)
            return
        lifting, holding = device.lifting, device.holding
        if lifting is None or holding is None:
            self.parts.lacks(self.id, device, "lifting" if lifting is None else "holding")
            return
        lift_ohm, hold_ohm = self._ohm(lifting, "resistance"), self._ohm(holding, "resistance")
        pull_in = self._number(lifting, "pull_in", "v")
        drop_out = self._number(holding, "drop_out", "v")
        if lift_ohm is None or hold_ohm is None or pull_in is None or drop_out is None:
            return
        separate = device.windings == "separate-leads"
        start = self._node("lift") if separate else f"{self.id}:inside"
        lift = dc.Winding(f"{self.id}:lifting", start, back, lift_ohm)
        hold = dc.Winding(
            f"{self.id}:holding", self._node("hold" if separate else "supply"), back, hold_ohm
        )
        self.parts.add(lift, device)
        self.parts.add(hold, device)
        opens: tuple[str, ...] = ()
        if not separate:
            inside = f"{self.id}:inside-switch"
            ohm = self.model.assumed_ohm("contact_resistance")
            self.parts.add(dc.Contact(inside, self._node("supply"), start, ohm), device)
            if device.windings == "internal-switch":
                opens = (inside,)
            else:
                self._lifting_timer(lifting, hold, drop_out, inside)
        own = known(lifting.drop_out)
        self.parts.actuators.append(
            separate_windings_solenoid(
                f"{self.id}:plunger",
                lifts_at_v={lift: pull_in},
                holds_at_v={hold: drop_out, lift: pull_in if own is None else own.v},
                opens=opens,
                operate_s=PLUNGER_TIME_S,
                release_s=PLUNGER_TIME_S,
            )
        )

    def _lifting_timer(self, lifting: Winding, hold: dc.Winding, fed_v: float, inside: str) -> None:
        """Takes the lifting winding off a while after the solenoid is fed, lifted or not."""
        longest = known(lifting.longest)
        self.parts.actuators.append(
            separate_windings_solenoid(
                f"{self.id}:timer",
                lifts_at_v={hold: fed_v},
                holds_at_v={hold: fed_v},
                opens=(inside,),
                operate_s=LIFTING_TIMER_S if longest is None else longest.s,
                release_s=RELAY_TIME_S,
            )
        )

    def _single_winding(self, device: StopSolenoid, back: str) -> None:
        winding = device.single
        if winding is None:
            self.parts.lacks(self.id, device, "single")
            return
        ohm = self._ohm(winding, "resistance")
        pull_in = self._number(winding, "pull_in", "v")
        drop_out = self._number(winding, "drop_out", "v")
        if ohm is None or pull_in is None or drop_out is None:
            return
        element = dc.Winding(f"{self.id}:winding", self._node("supply"), back, ohm)
        self.parts.add(element, device)
        self.parts.actuators.append(
            separate_windings_solenoid(
                f"{self.id}:plunger",
                lifts_at_v={element: pull_in},
                holds_at_v={element: drop_out},
                operate_s=PLUNGER_TIME_S,
                release_s=PLUNGER_TIME_S,
            )
        )

    def _load(self, device: Load) -> None:
        if not self._on(device.on_in, device.engine):
            return
        plus, back = self._node("positive"), self._return(device)
        needs = known(device.needs)
        lowest = needs.v if needs is not None else self._nominal_v / 2
        current, power, ohm = known(device.current), known(device.power), known(device.resistance)
        if current is not None:
            self.parts.add(dc.CurrentLoad(self.id, plus, back, current.a, lowest), device)
        elif power is not None:
            self.parts.add(dc.ConstantPowerLoad(self.id, plus, back, power.w, lowest), device)
        elif ohm is not None:
            self.parts.add(dc.Resistor(self.id, plus, back, ohm.ohm), device)
        else:
            self.parts.lacks(self.id, device, "current")

    def _series_resistor(self, device: SeriesResistor) -> None:
        ohm = self._ohm(device, "resistance")
        if ohm is not None:
            element = dc.Resistor(self.id, self._node("in"), self._node("out"), ohm)
            self.parts.add(element, device)

    def _heater(self, device: Heater) -> None:
        current = known(device.current)
        if current is None:
            self.parts.lacks(self.id, device, "current")
            return
        ohm = self._nominal_v / current.a
        self.parts.add(dc.Resistor(self.id, self._node("positive"), self._block(), ohm), device)

    def _sender(self, device: Sender) -> None:
        table = device.table
        if not table:
            return
        running = self._state(None).state == "running"
        row = table[1] if running and len(table) > 1 else table[0]
        self.parts.add(
            dc.Resistor(self.id, self._node("signal"), self._block(), row.resistance.ohm), device
        )

    def _alarm_switch(self, device: AlarmSwitch) -> None:
        ohm = self.model.assumed_ohm("contact_resistance")
        self.parts.add(dc.Contact(self.id, self._node("signal"), self._block(), ohm), device)
        if self._state(None).state in device.closed_in:
            self.parts.closed.add(self.id)

    def _pickup(self, device: SpeedPickup) -> None:
        if isinstance(device.resistance, Unknown):
            self.parts.lacks(self.id, device, "resistance")
        ohm = known(device.resistance)
        if ohm is None:
            return
        for suffix in ("", "-2") if device.outputs == "two" else ("",):
            self.parts.add(
                dc.Resistor(
                    f"{self.id}{suffix}",
                    self._node(f"signal{suffix}"),
                    self._node(f"return{suffix}"),
                    ohm.ohm,
                ),
                device,
            )

    def _diode(self, device: Diode) -> None:
        drop, at = known(device.drop), known(device.drop_at)
        if drop is None or at is None:
            self.parts.lacks(self.id, device, "drop" if drop is None else "drop_at")
            return
        current = dc.saturation_current_a(drop.v, at.a, 1.8, 25.0)
        self.parts.add(
            dc.Diode(self.id, self._node("anode"), self._node("cathode"), current, 1.8, 25.0),
            device,
        )

    def _gauge(self, device: Gauge) -> None:
        # What is left out a gauge does not have; what is `unknown` cannot be left out of the sum.
        for name in ("current", "signal_resistance"):
            if isinstance(getattr(device, name), Unknown):
                self.parts.lacks(self.id, device, name)
        current, inner = known(device.current), known(device.signal_resistance)
        if current is not None:
            self.parts.add(
                dc.CurrentLoad(
                    self.id,
                    self._node("supply"),
                    self._node("negative"),
                    current.a,
                    self._nominal_v / 2,
                ),
                device,
            )
        if inner is not None:
            self.parts.add(
                dc.Resistor(
                    f"{self.id}:signal", self._node("supply"), self._node("signal"), inner.ohm
                ),
                device,
            )


_AS_RUNNING: dict[StateName, StateName] = {"emergency-stop": "running"}
"""In an emergency stop whatever nobody mentions is as it was while the engine ran."""
