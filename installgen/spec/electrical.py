"""Electrical entries that engine sheets and vessels share: devices, conductors, cases."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from installgen.spec.amounts import (
    Charge,
    ConductorSize,
    Current,
    ElectricPower,
    Fraction,
    GearRatio,
    Length,
    Resistance,
    RotationalSpeed,
    Temperature,
    Time,
    Voltage,
)
from installgen.spec.entry import Entry, OrChoose, OrUnknown, Point
from installgen.spec.photo_spec import Photos
from installgen.spec.texts import Code, Count, Find, Multiple, Name, Notes, Reference, Title

StateName = Literal[
    "off",
    "ignition-on",
    "preheating",
    "breakaway",
    "cranking",
    "running",
    "stopping",
    "emergency-stop",
]
"""Operating states of one engine.

`breakaway` is the first instant of cranking, starter stalled; in `emergency-stop` the key is still
in run and an emergency stop button is pressed.
"""

CircuitClass = Literal["critical", "other", "starter", "alternator"]

FittedWhen = dict[Name, Name | list[Name]]


class OptionalEntry(Entry):
    """An entry of an engine sheet that is there only with certain options."""

    fitted_when: FittedWhen | None = Field(
        None,
        description="Options with which this is fitted, such as `{fuel-cooler: fitted}`; "
        "several choices as a list. Left out: always fitted.",
    )


class DeviceBase(OptionalEntry):
    """What every electrical device says of itself."""

    id: Name = Field(description="Short name that conductors refer to: `ID.TERMINAL`.")
    name: Title = Field("", description="What people call it; left out, the short name.")
    code: Code = ""
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    at: Point | None = Field(None, description="Position aboard.")
    fault_weight: float | None = Field(
        None, ge=0, description="How likely it is at fault, where that differs from its kind's."
    )
    reach: Literal["easy", "hard", "none"] = Field(
        "easy", description="How a meter's lead gets to its terminals; `none`: not at all."
    )
    find: Find = ""
    notes: Notes = ""
    photos: Photos = []

    fixed_terminals: ClassVar[tuple[str, ...]] = ()

    @property
    def terminals(self) -> tuple[str, ...]:
        """Names of the terminals of this device."""
        return self.fixed_terminals

    @property
    def title(self) -> str:
        """What people call it."""
        return self.name or self.id


class Battery(DeviceBase):
    """A battery, or a bank of equal batteries in parallel."""

    kind: Literal["battery"] = Field(description="`battery`.")
    voltage: Voltage = Field(description="Nominal voltage, such as `12 V`.")
    chemistry: Literal["flooded", "agm", "gel"] = Field("flooded", description="Lead-acid kind.")
    capacity: OrUnknown[Charge] = Field(description="At the 20-hour rate, such as `110 Ah`.")
    cca: OrUnknown[Current] | None = Field(
        None,
        description="Cold-cranking current to SAE J537 (7.2 V, 30 s, −18 °C); left out where the "
        "maker states only a short-circuit current.",
    )
    short_circuit: OrUnknown[Current] | None = Field(
        None, description="The battery maker's short-circuit current."
    )
    purpose: Literal["starting", "house", "both", "emergency"] = Field(
        "starting", description="What the bank is for."
    )
    fixed_terminals: ClassVar[tuple[str, ...]] = ("positive", "negative")


class Isolator(DeviceBase):
    """A battery switch with one way: on or off."""

    kind: Literal["isolator"] = Field(description="`isolator`.")
    rating: OrUnknown[Current] = Field(description="Continuous current.")
    cranking_rating: OrUnknown[Current] | None = Field(
        None, description="Current for the maker's stated cranking time."
    )
    resistance: OrUnknown[Resistance] | None = Field(None, description="Closed; measured.")
    on_in: list[StateName] | None = Field(
        None, description="States in which it is on; left out, all."
    )
    station: Name | None = Field(None, description="Helm station it belongs to.")
    engine: Name | None = Field(
        None, description="Engine whose state decides; left out, the busiest."
    )
    fixed_terminals: ClassVar[tuple[str, ...]] = ("in", "out")


class Selector(DeviceBase):
    """A switch turned or pressed by hand: key switch, push-button, station selector."""

    kind: Literal["key-switch", "push-button", "toggle-switch"] = Field(
        description="How it is worked."
    )
    contacts: list[Name] = Field(description="Its terminals.")
    positions: dict[Name, list[list[Name]]] = Field(
        description="For each position, the groups of terminals that it joins: "
        "`run: [[battery, ignition]]`. A position with `[]` joins nothing."
    )
    position_in: dict[StateName, Name] = Field(
        description="The position it has in each operating state; a state left out has the first, "
        "`emergency-stop` left out has that of `running`."
    )
    rating: OrUnknown[Current] | None = Field(None, description="Current its contacts may carry.")
    resistance: OrUnknown[Resistance] | None = Field(
        None, description="Of one closed contact; measured."
    )
    station: Name | None = Field(None, description="Helm station it belongs to.")
    engine: Name | None = Field(None, description="Engine it works; left out where there is one.")

    @property
    def terminals(self) -> tuple[str, ...]:
        return tuple(self.contacts)


class Fuse(DeviceBase):
    """A fuse or a circuit breaker."""

    kind: Literal["fuse", "breaker"] = Field(description="`fuse` or `breaker`.")
    rating: OrChoose[OrUnknown[Current]] = Field(description="Rated current, or `choose`.")
    interrupting: OrUnknown[Current] | None = Field(
        None,
        description="Largest current it can break at this voltage. Left out: that of the stocked "
        "fuses of its `type`.",
    )
    resistance: OrUnknown[Resistance] | None = Field(None, description="Holder and element.")
    type: str = Field("", description="Stock type, such as `blade` or `class T`.")
    from_source: OrUnknown[Length] | None = Field(
        None, description="Length of conductor between the source and this device."
    )
    enclosed: Literal["sheathed", "open"] | None = Field(
        None, description="Whether the conductor up to it is sheathed or enclosed all the way."
    )
    fixed_terminals: ClassVar[tuple[str, ...]] = ("in", "out")


class Bus(DeviceBase):
    """A bus bar, stud or splice: several terminals that are one metal."""

    kind: Literal["bus"] = Field(description="`bus`.")
    contacts: list[Name] = Field(description="Its studs.")
    polarity: Literal["positive", "negative", "signal"] = Field(
        "positive", description="What it carries."
    )
    rating: OrUnknown[Current] | None = Field(None, description="Current it may carry.")

    @property
    def terminals(self) -> tuple[str, ...]:
        return tuple(self.contacts)


class Plug(DeviceBase):
    """A multi-pin plug on the engine's harness; the vessel's conductors come to the same pins."""

    kind: Literal["plug"] = Field(description="`plug`.")
    pins: dict[Name, str] = Field(description="What each pin is for.")
    pin_resistance: OrUnknown[Resistance] | None = Field(None, description="Per mated pin pair.")
    pin_rating: OrUnknown[Current] | None = Field(None, description="Current one pin may carry.")
    unused: dict[Name, str] | None = Field(
        None, description="Pins that are wired but reserved, with what for."
    )

    @property
    def terminals(self) -> tuple[str, ...]:
        return tuple(self.pins)


class Contact(Entry):
    """One contact of a relay."""

    between: Annotated[list[Name], Field(min_length=2, max_length=2)] = Field(
        description="Its two terminals."
    )
    kind: Literal["closes", "opens", "passes"] = Field(
        "closes",
        description="When the coil is energised; `passes`: closed only from when the coil goes "
        "dead until the relay's `release_time` is over, as a stop timer's.",
    )
    rating: OrUnknown[Current] | None = Field(None, description="Current it may carry.")
    resistance: OrUnknown[Resistance] | None = Field(None, description="Closed; measured.")


class Coil(Entry):
    """The coil of a relay."""

    between: Annotated[list[Name], Field(min_length=2, max_length=2)] = Field(
        description="Its two terminals, the fed one first; `block` for a coil grounded on the case."
    )
    resistance: OrUnknown[Resistance] = Field(description="Warm.")
    pull_in: OrUnknown[Voltage] = Field(description="Lowest voltage at which it pulls in.")
    drop_out: OrUnknown[Voltage] = Field(description="Voltage below which it lets go.")


class Relay(DeviceBase):
    """A relay: one coil that works one or more contacts."""

    kind: Literal["relay"] = Field(description="`relay`.")
    coil: Coil = Field(description="Its coil.")
    contacts: Annotated[list[Contact], Field(min_length=1)] = Field(description="Its contacts.")
    operate_time: OrUnknown[Time] | None = Field(None, description="Time it takes to pull in.")
    release_time: OrUnknown[Time] | None = Field(
        None, description="Time it stays in once its coil is dead: of a timer, such as `20 s`."
    )
    engine: Name | None = Field(None, description="Engine it serves.")

    @property
    def terminals(self) -> tuple[str, ...]:
        names = [*self.coil.between]
        for contact in self.contacts:
            names += contact.between
        return tuple(dict.fromkeys(name for name in names if name != "block"))


class Winding(Entry):
    """One winding of a solenoid."""

    resistance: OrUnknown[Resistance] = Field(description="Warm.")
    pull_in: OrUnknown[Voltage] | None = Field(None, description="Lowest voltage that pulls.")
    drop_out: OrUnknown[Voltage] | None = Field(None, description="Below this it lets go.")
    longest: OrUnknown[Time] | None = Field(None, description="Longest time it may be fed.")


class StarterMotor(Entry):
    """The starter's motor, so that lost volts can show as lost rpm."""

    stalled_resistance: OrUnknown[Resistance] = Field(description="At breakaway, brushes included.")
    brush_drop: OrUnknown[Voltage] = Field(description="Voltage lost at the brushes.")
    resistance: OrUnknown[Resistance] = Field(description="Windings, turning.")
    cranking_current: OrUnknown[Current] = Field(
        description="Current at the engine's cranking torque, from the engine maker."
    )
    rpm_per_volt: OrUnknown[RotationalSpeed] = Field(
        description="Engine cranking speed for each volt of back-EMF."
    )
    lowest_voltage: OrUnknown[Voltage] | None = Field(
        None, description="Least voltage at the starter while cranking."
    )
    lowest_speed: OrUnknown[RotationalSpeed] | None = Field(
        None, description="Least cranking speed at which the engine starts."
    )


class Starter(DeviceBase):
    """Starter motor with its two-winding solenoid."""

    kind: Literal["starter"] = Field(description="`starter`.")
    returns: Literal["case", "terminal"] = Field(description="Through the case or a terminal.")
    voltage: Voltage = Field(description="Nominal voltage.")
    power: OrUnknown[ElectricPower] | None = Field(None, description="As the maker states it.")
    motor: StarterMotor = Field(description="Its motor.")
    pull_in_winding: Winding = Field(description="Returns through the motor.")
    hold_in_winding: Winding = Field(description="Returns to the case or the negative terminal.")

    @property
    def terminals(self) -> tuple[str, ...]:
        names = ("battery", "solenoid")
        return names if self.returns == "case" else (*names, "negative")


class AlternatorPoint(Entry):
    """One point of an alternator's output curve."""

    speed: RotationalSpeed = Field(description="Of the alternator, not of the engine.")
    current: Current = Field(description="Output, cold.")


class Alternator(DeviceBase):
    """An alternator with its regulator."""

    kind: Literal["alternator"] = Field(description="`alternator`.")
    voltage: Voltage = Field(description="Nominal voltage.")
    rated: OrUnknown[Current] = Field(description="Nameplate output.")
    set_voltage: OrUnknown[Voltage] = Field(description="Held at its sense point.")
    curve: list[AlternatorPoint] | None = Field(None, description="Output by its own speed, cold.")
    hot_output: OrUnknown[Fraction] | None = Field(
        None, description="Hot output as a share of the curve, such as `80 %`."
    )
    pulley_ratio: OrUnknown[GearRatio] = Field(
        description="Turns of the alternator per engine turn."
    )
    pole_pairs: OrUnknown[Count] | None = Field(None, description="For its speed terminal.")
    returns: Literal["case", "terminal"] = Field(
        "case", description="Through its case or a terminal."
    )
    sense: Literal["lead", "internal"] = Field(description="Sense lead, or regulated at its stud.")
    ceiling: OrUnknown[Voltage] | None = Field(
        None, description="Highest voltage at its stud whatever its regulator does."
    )
    excites_at: OrUnknown[Voltage] | None = Field(
        None,
        description="Least voltage at its excite terminal at which it begins to give; "
        "left out, it is taken to excite itself.",
    )
    excitation: OrUnknown[Current] | None = Field(None, description="Taken at its excite terminal.")

    @property
    def terminals(self) -> tuple[str, ...]:
        names = ["output", "excite"]
        if self.sense == "lead":
            names.append("sense")
        if self.pole_pairs is not None:
            names.append("speed")
        if self.returns == "terminal":
            names.append("negative")
        return tuple(names)


class StopSolenoid(DeviceBase):
    """The solenoid that holds the stop lever, by kind of winding and by what it does."""

    kind: Literal["stop-solenoid"] = Field(description="`stop-solenoid`.")
    acts: Literal["energised-to-run", "energised-to-stop"] = Field(
        description="Whether current lets the engine run or stops it."
    )
    windings: Literal["single", "separate-leads", "internal-switch", "internal-timer"] = Field(
        description="One winding; two with a lead each; or two with a switch or a timer inside "
        "that takes the lifting winding off, the timer after that winding's `longest`."
    )
    lifting: Winding | None = Field(None, description="Strong winding that moves the plunger.")
    holding: Winding | None = Field(None, description="Light winding that keeps it.")
    single: Winding | None = Field(None, description="The only winding, where there is one.")
    returns: Literal["case", "terminal"] = Field(
        "terminal", description="Through its case or a terminal."
    )

    @property
    def terminals(self) -> tuple[str, ...]:
        fed = ("lift", "hold") if self.windings == "separate-leads" else ("supply",)
        return fed if self.returns == "case" else (*fed, "negative")


class Load(DeviceBase):
    """Anything that takes current: lamp, gauge, pump, heater, radio, controller."""

    kind: Literal["load"] = Field(description="`load`.")
    current: OrUnknown[Current] | None = Field(
        None, description="A constant current; or give `power` or `resistance`."
    )
    power: OrUnknown[ElectricPower] | None = Field(None, description="A constant power.")
    resistance: OrUnknown[Resistance] | None = Field(None, description="A resistance.")
    needs: OrUnknown[Voltage] | None = Field(None, description="Least voltage it works at.")
    circuit: Literal["critical", "other"] = Field(
        "other", description="Class for its drop limit; judged as critical where it is not written."
    )
    essential: Literal["yes", "no"] = Field(
        "no", description="Whether the bank must carry it alone."
    )
    duty: OrUnknown[Fraction] | None = Field(None, description="Share of the time it is on.")
    on_in: list[StateName] | None = Field(None, description="States in which it is on; else all.")
    returns: Literal["terminal", "case"] = Field(
        "terminal", description="Through a terminal or its case on the engine."
    )
    engine: Name | None = Field(
        None, description="Engine whose state decides; left out, the busiest."
    )

    @property
    def terminals(self) -> tuple[str, ...]:
        return ("positive", "negative") if self.returns == "terminal" else ("positive",)


class SeriesResistor(DeviceBase):
    """A resistor, or a lamp in series with something else, such as a charge lamp."""

    kind: Literal["resistor"] = Field(description="`resistor`.")
    resistance: OrUnknown[Resistance] = Field(description="Warm.")
    engine: Name | None = Field(None, description="Engine it serves.")
    fixed_terminals: ClassVar[tuple[str, ...]] = ("in", "out")


class Heater(DeviceBase):
    """Glow plugs or an intake-air heater: a heavy resistance whose first current is larger."""

    kind: Literal["glow-plugs", "air-heater"] = Field(description="What it is.")
    current: OrUnknown[Current] = Field(description="All together, settled.")
    inrush: OrUnknown[GearRatio] | None = Field(
        None, description="First current to settled, `2.5:1`."
    )
    count: Count | None = Field(None, description="How many.")
    controller: Literal["fitted", "not-supplied"] = Field(
        "fitted", description="Whether what works it came with it."
    )
    longest: OrUnknown[Time] | None = Field(None, description="Longest time it may be fed.")
    fixed_terminals: ClassVar[tuple[str, ...]] = ("positive",)


class SenderPoint(Entry):
    """One point of a sender's table."""

    reading: str = Field(description="What the gauge should show, with its unit.")
    resistance: Resistance = Field(description="Resistance to the block at that reading.")


class Sender(DeviceBase):
    """A sender whose resistance to the block means a reading."""

    kind: Literal["sender"] = Field(description="`sender`.")
    measures: str = Field(description="What it measures.")
    table: list[SenderPoint] | None = Field(None, description="Its resistance by reading.")
    gauges: Count | None = Field(
        None, description="How many gauges its table is for, where that is not one."
    )
    fixed_terminals: ClassVar[tuple[str, ...]] = ("signal",)


class AlarmSwitch(DeviceBase):
    """A switch on the engine that closes to the block when something is wrong."""

    kind: Literal["alarm-switch"] = Field(description="`alarm-switch`.")
    measures: str = Field(description="What it watches.")
    operates: OrUnknown[str] = Field(
        description="Where it operates, such as `falling 70 kPa gauge`."
    )
    closed_in: list[StateName] = Field(description="States in which it is closed.")
    delay: OrUnknown[Time] | None = Field(None, description="Time before the alarm follows.")
    fixed_terminals: ClassVar[tuple[str, ...]] = ("signal",)


class SpeedPickup(DeviceBase):
    """A magnetic pick-up over the ring gear."""

    kind: Literal["speed-pickup"] = Field(description="`speed-pickup`.")
    outputs: Literal["one", "two"] = Field("one", description="One signal or two.")
    resistance: OrUnknown[Resistance] | None = Field(None, description="Of one winding.")
    engine: Name | None = Field(
        None,
        description="Of one that the vessel adds: the engine whose ring gear it reads; left out "
        "where there is one.",
    )

    @property
    def terminals(self) -> tuple[str, ...]:
        first = ("signal", "return")
        return first if self.outputs == "one" else (*first, "signal-2", "return-2")


class Diode(DeviceBase):
    """A diode, such as across a coil or in a charge splitter."""

    kind: Literal["diode"] = Field(description="`diode`.")
    drop: OrUnknown[Voltage] = Field(description="Forward voltage at the current that follows.")
    drop_at: OrUnknown[Current] = Field(description="Current at which the drop is stated.")
    fixed_terminals: ClassVar[tuple[str, ...]] = ("anode", "cathode")


class Gauge(DeviceBase):
    """An instrument with supply, negative and a signal from a sender."""

    kind: Literal["gauge"] = Field(description="`gauge`.")
    measures: str = Field(description="What it shows.")
    current: OrUnknown[Current] | None = Field(
        None, description="Taken from its supply; left out of a gauge that takes none from it."
    )
    signal_resistance: OrUnknown[Resistance] | None = Field(
        None, description="Inside the gauge, from its supply to its signal terminal."
    )
    pulses: OrUnknown[Multiple] | None = Field(
        None, description="Of a tachometer: pulses it is set to for each turn of the engine."
    )
    setting: str = Field("", description="How it is set, in words.")
    station: Name | None = Field(None, description="Helm station it belongs to.")
    fixed_terminals: ClassVar[tuple[str, ...]] = ("supply", "signal", "negative")


Device = Annotated[
    Battery
    | Isolator
    | Selector
    | Fuse
    | Bus
    | Plug
    | Relay
    | Starter
    | Alternator
    | StopSolenoid
    | Load
    | SeriesResistor
    | Heater
    | Sender
    | AlarmSwitch
    | SpeedPickup
    | Diode
    | Gauge,
    Field(discriminator="kind"),
]


class Conductor(OptionalEntry):
    """One conductor between two terminals."""

    label: Name = Field(description="The label at both of its ends, such as `S1`.")
    from_: Reference = Field(
        alias="from", description="Terminal it leaves, such as `start-bank.positive`."
    )
    to: Reference = Field(description="Terminal it comes to, such as `engine.starter.battery`.")
    length: OrUnknown[Length] | None = Field(
        None, description="One way, as run. Left out: estimated from positions, and marked so."
    )
    size: OrChoose[OrUnknown[ConductorSize]] = Field(
        description="`70 mm²`, `2/0 AWG`, `10 SAE`, or `choose` for a proposal."
    )
    insulation: OrUnknown[Temperature] | None = Field(None, description="Its rating, `105 °C`.")
    colour: str = Field("", description="Colour by name, such as `yellow with red stripe`.")
    function: str = Field("", description="What it does, such as `ignition feed`.")
    place: Name | None = Field(None, description="The warmest space it passes (see `places`).")
    through: list[Name] | None = Field(None, description="Other spaces and bulkheads it passes.")
    bundled: int | None = Field(
        None,
        ge=1,
        description="Current-carrying conductors in its bundle, itself included; left out, it runs "
        "by itself.",
    )
    sheathed: Literal["sheathed", "open"] = Field(
        "open", description="In a sheath or conduit all the way, or open."
    )
    strands: Literal["plain", "tinned"] = Field("tinned", description="Plain or tinned copper.")
    joints: int = Field(2, ge=0, description="Crimped joints in it, its two lugs included.")
    stud: OrUnknown[Length] | None = Field(None, description="Stud its lugs go on.")
    reserved_for: str = Field("", description="A wire that is there and not used: what it is for.")
    notes: Notes = ""


class Jumper(OptionalEntry):
    """A loop-back link between two pins or terminals."""

    label: Name = Field(description="Its label.")
    from_: Reference = Field(alias="from", description="One end.")
    to: Reference = Field(description="The other end.")
    reserved_for: str = Field(description="What may be connected in its place.")
