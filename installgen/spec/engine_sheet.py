"""The engine sheet: what one model of engine has, and which options it offers."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from installgen.spec.amounts import (
    Angle,
    Displacement,
    FuelFlow,
    HeatRate,
    Length,
    Mass,
    MassFlow,
    Power,
    PressureDifference,
    RotationalSpeed,
    Temperature,
    TemperatureDifference,
    Time,
    Torque,
    Volume,
    VolumeFlow,
)
from installgen.spec.electrical import Conductor, Device, Jumper, OptionalEntry
from installgen.spec.entry import Entry, OrUnknown, Point
from installgen.spec.maintenance_spec import MaintenanceTask, Topic
from installgen.spec.photo_spec import Photos
from installgen.spec.piping import Circuit, End, SheetRawWater, ThermostatPoint, refuse
from installgen.spec.texts import Code, Count, DateText, Find, Name, Notes, Reference, Title

Side = Literal["port", "starboard", "front", "rear", "top", "below"]
System = Literal[
    "raw-water",
    "coolant",
    "fuel",
    "oil",
    "gear-oil",
    "air",
    "exhaust",
    "electrical",
    "control",
    "instrument",
]


class SheetIdentity(Entry):
    """Which engine this sheet is for, and which paper it is taken from."""

    id: Name = Field(description="The same as the file's name.")
    maker: str = Field(description="Engine maker.")
    model: str = Field(description="Model of the engine.")
    number: str = Field(description="Number of this sheet.")
    revision: str = Field(description="Revision of this sheet.")
    date: DateText = Field(description="Date of this revision, such as 2026-03-02.")


class Build(Entry):
    """How the engine is made."""

    cycle: Literal["four-stroke", "two-stroke"] = Field("four-stroke", description="Working cycle.")
    cylinders: Annotated[int, Field(ge=1, le=24)] = Field(description="Number of cylinders.")
    bore: OrUnknown[Length] = Field(description="Cylinder bore.")
    stroke: OrUnknown[Length] = Field(description="Piston stroke.")
    displacement: OrUnknown[Displacement] = Field(description="As the maker states it.")
    aspiration: Literal["natural", "turbocharged", "turbocharged-aftercooled"] = Field(
        description="How it takes its air."
    )
    injection: Literal["mechanical", "common-rail", "unit-injector"] = Field(
        "mechanical", description="Kind of fuel injection."
    )
    rotation: Literal["clockwise", "counter-clockwise"] = Field(
        description="Of the flywheel, seen facing it."
    )
    mass: OrUnknown[Mass] | None = Field(None, description="Without fluids and gear.")
    housing: OrUnknown[str] | None = Field(None, description="SAE J617 size, such as `3`.")
    flywheel: OrUnknown[str] | None = Field(None, description="SAE J620 size, such as `11-1/2`.")
    ring_gear_teeth: OrUnknown[Count] | None = Field(None, description="For the speed signal.")
    idle: OrUnknown[RotationalSpeed] = Field(description="Low idle.")
    high_idle: OrUnknown[RotationalSpeed] | None = Field(
        None, description="Speed without load at full throttle."
    )
    largest_angle: OrUnknown[Angle] | None = Field(None, description="Largest installed angle.")
    lowest_cranking_speed: OrUnknown[RotationalSpeed] | None = Field(
        None, description="Least speed at which it starts."
    )


class StatedPower(Entry):
    """A power as printed somewhere: nameplate, brochure, certificate."""

    printed_on: str = Field(description="Where it is printed, such as `nameplate`.")
    power: Power = Field(description="The power as printed; `hp` and `PS` are told apart.")
    basis: Literal["crankshaft", "propeller-shaft", "not-stated"] = Field(
        "not-stated", description="Where it was measured, if it says so."
    )


class Rating(OptionalEntry):
    """One rating of the engine."""

    id: Name = Field(description="Short name that vessels take.")
    name: Title
    power: OrUnknown[Power] = Field(description="Rated power.")
    speed: OrUnknown[RotationalSpeed] = Field(description="Rated speed.")
    basis: Literal["crankshaft", "propeller-shaft"] = Field(
        description="Where the power was measured."
    )
    standard: str = Field(description="Standard it was measured to, such as ISO 8665.")
    use: str = Field("", description="Class of use, such as hours at full load.")
    stated: list[StatedPower] = Field([], description="The same power as printed elsewhere.")


class PerformanceRow(Entry):
    """What the engine does at one speed on its stated load line."""

    speed: RotationalSpeed = Field(description="Engine speed.")
    power: OrUnknown[Power] | None = Field(None, description="Shaft power.")
    fuel: OrUnknown[FuelFlow] | None = Field(None, description="Burned.")
    fuel_return: OrUnknown[FuelFlow] | None = Field(None, description="Sent back to the tank.")
    air: OrUnknown[MassFlow] | None = Field(None, description="Combustion air.")
    charge_into_cooler: OrUnknown[Temperature] | None = Field(
        None, description="Charge air into the aftercooler."
    )
    charge_out_of_cooler: OrUnknown[Temperature] | None = Field(
        None, description="Charge air out of the aftercooler."
    )
    exhaust_temperature: OrUnknown[Temperature] | None = Field(
        None, description="Before injection."
    )
    jacket_heat: OrUnknown[HeatRate] | None = Field(None, description="Into the heat exchanger.")
    gear_oil_heat: OrUnknown[HeatRate] | None = Field(None, description="Heat of the gear oil.")
    engine_oil_heat: OrUnknown[HeatRate] | None = Field(
        None, description="Heat of the engine oil, where raw water cools it."
    )
    fuel_heat: OrUnknown[HeatRate] | None = Field(None, description="Heat of the returned fuel.")
    radiated_heat: OrUnknown[HeatRate] | None = Field(
        None, description="Given to the air of the engine space."
    )
    coolant_flow: OrUnknown[VolumeFlow] | None = Field(
        None, description="Through the heat exchanger, thermostats full open."
    )


class Performance(OptionalEntry):
    """Figures by speed. Between two rows the figures are interpolated, outside them never."""

    rating: Name = Field(description="The rating it belongs to.")
    load_line: Literal["full-load", "propeller-load"] = Field(
        description="The load that the figures hold for."
    )
    rows: Annotated[list[PerformanceRow], Field(min_length=2)] = Field(
        description="One row for each speed, rising."
    )

    @model_validator(mode="after")
    def _rises(self) -> Self:
        speeds = [row.speed.rpm for row in self.rows]
        if speeds != sorted(set(speeds)):
            refuse("speeds that do not rise from row to row", "rows ordered by speed")
        return self


class Capacities(Entry):
    """What the engine holds."""

    coolant: OrUnknown[Volume] | None = Field(None, description="Engine and heat exchanger.")
    oil_least: OrUnknown[Volume] | None = Field(None, description="Sump at the lower mark.")
    oil_full: OrUnknown[Volume] | None = Field(None, description="Sump at the upper mark.")
    oil_filter: OrUnknown[Volume] | None = Field(None, description="Filters and cooler besides.")
    oil_grade: str = Field("", description="What oil the maker asks for.")


class AirLimits(Entry):
    """What the engine asks of air, exhaust, fuel lines and starting."""

    largest_back_pressure: OrUnknown[PressureDifference] | None = Field(
        None, description="Of the exhaust, at rated power."
    )
    largest_intake_depression: OrUnknown[PressureDifference] | None = Field(
        None, description="Before the air filter's far side, at rated power."
    )
    highest_intake_rise: OrUnknown[TemperatureDifference] | None = Field(
        None, description="Of intake air over outside air."
    )
    fuel_suction: OrUnknown[PressureDifference] | None = Field(
        None, description="Largest vacuum at the fuel supply connection."
    )
    fuel_return_pressure: OrUnknown[PressureDifference] | None = Field(
        None, description="Largest pressure at the fuel return connection."
    )
    longest_cranking: OrUnknown[Time] | None = Field(None, description="One attempt to start.")
    cranking_rest: OrUnknown[Time] | None = Field(
        None, description="Rest of the starter between two attempts."
    )
    idle_before_stop: OrUnknown[Time] | None = Field(
        None, description="Idling before it is stopped, so that it cools evenly."
    )
    drain_slope: OrUnknown[Angle] | None = Field(
        None, description="Least slope of the turbocharger's oil drain."
    )
    injection_height: OrUnknown[Length] | None = Field(
        None,
        description="Least height of the injection over the loaded waterline "
        "without a vented loop.",
    )


class ConnectionPoint(OptionalEntry):
    """A port, plug or stud of the engine where an installer connects something."""

    id: Name = Field(description="Short name that vessels connect to.")
    name: Title
    code: Code = ""
    side: Side = Field(
        description="Side of the engine it is on; port is port when the flywheel points aft."
    )
    find: Find
    end: End | None = Field(None, description="Its kind and size.")
    for_: str = Field(alias="for", description="What connects there.")
    system: System = Field(description="What system it belongs to.")
    use: Literal["connected", "plugged", "reserved", "optional"] = Field(
        "connected", description="`connected` must be taken by the vessel."
    )
    terminal: Reference = Field(
        "", description="Of an electrical one: the terminal or plug it is, such as `block` or `P1`."
    )
    at: Point | None = Field(None, description="From the crankshaft's rear face, in the engine.")
    torque: OrUnknown[Torque] | None = Field(None, description="Tightening torque.")
    sealant: str = Field("", description="Sealant or washers.")
    caution: str = Field("", description="What can hurt someone here.")
    photos: Photos = []


class ControlCable(OptionalEntry):
    """A control cable: throttle, shift, stop."""

    id: Name = Field(description="Short name.")
    works: Literal["throttle", "shift", "stop", "trolling"] = Field(description="What it works.")
    name: Title = ""
    travel: OrUnknown[Length] | None = Field(None, description="Travel from stop to stop.")
    pulls_to: str = Field("", description="What pulling does.")
    end: str = Field("", description="Ball joint, clevis, thread.")
    anchor: str = Field("", description="Where its sheath is anchored.")
    find: Find = ""


class Belt(OptionalEntry):
    """One belt drive."""

    id: Name = Field(description="Short name.")
    name: Title = ""
    drives: list[str] = Field(description="What it drives.")
    section: str = Field(description="Belt section, such as `8 ribs`.")
    length: OrUnknown[Length] | None = Field(None, description="Its length as the maker states it.")
    pulley: OrUnknown[Length] | None = Field(
        None, description="Pitch diameter of the crankshaft's pulley."
    )
    tension: str = Field("", description="How tension is judged.")
    part_number: str = Field("", description="Part number.")
    change_every: str = Field("", description="How often it is changed.")


class Alarm(OptionalEntry):
    """An alarm of the engine."""

    id: Name = Field(description="Short name.")
    name: Title
    sensed_by: Name = Field(description="The device that senses it.")
    at: str = Field(
        description="Where it operates: `below 60 kPa gauge`, `above 98 °C`, or in words."
    )
    what_to_do: str = Field("", description="What to do when it comes on.")


class Pattern(OptionalEntry):
    """One pattern of a part."""

    id: Name = Field(description="Short name.")
    name: Title
    part_number: str = Field(description="Part number of this pattern.")
    built: str = Field("", description="Dates or serial numbers of build, as the maker says it.")
    tell_by: str = Field(description="How to tell that this pattern is fitted.")
    seals: list[str] = Field([], description="Seals and gaskets it takes.")
    core: str = Field("", description="Part number of its core or insert.")
    notes: Notes = ""


class PatternedPart(OptionalEntry):
    """A part that exists in more than one pattern."""

    id: Name = Field(description="Short name.")
    name: Title
    patterns: Annotated[list[Pattern], Field(min_length=1)] = Field(
        description="The patterns that exist."
    )


class Choice(Entry):
    """One choice of an option."""

    name: Title
    notes: Notes = ""


class OptionOffer(Entry):
    """An option that the sheet offers and a vessel takes."""

    name: Title
    default: Name | None = Field(None, description="Taken where the vessel says nothing.")
    choices: Annotated[dict[Name, Choice], Field(min_length=1)] = Field(
        description="What a vessel may choose."
    )

    @model_validator(mode="after")
    def _default_is_offered(self) -> Self:
        if self.default is not None and self.default not in self.choices:
            refuse(f"default `{self.default}`", "one of " + ", ".join(sorted(self.choices)))
        return self


class SheetDocument(Entry):
    """A document of the engine maker."""

    title: Title = Field(description="Its title.")
    number: str = Field("", description="Its number.")
    date: DateText = Field("", description="Its date.")
    pages: str = Field("", description="Pages that matter here.")
    pages_for: dict[Topic, str] = Field(
        {}, description="Pages that our own steps refer to, by what they tell of."
    )


class EngineSheet(Entry):
    """An engine sheet. Everything that the engine has is here and nowhere else."""

    format: Literal["1"] = Field(description="Always `1`.")
    engine: SheetIdentity = Field(description="Which engine this is.")
    build: Build = Field(description="How it is made.")
    options: dict[Name, OptionOffer] = Field({}, description="What a vessel may choose, by option.")
    ratings: Annotated[list[Rating], Field(min_length=1)] = Field(description="Its ratings.")
    performance: list[Performance] = Field([], description="Figures by speed, for each rating.")
    capacities: Capacities = Field(Capacities(), description="What it holds.")
    limits: AirLimits = Field(AirLimits(), description="What it asks of air and exhaust.")
    thermostat: ThermostatPoint | None = Field(None, description="Where its thermostats open.")
    raw_water: SheetRawWater | None = Field(None, description="Raw water on the engine.")
    circuits: list[Circuit] = Field(
        [], description="Coolant, oil, fuel and crankcase vent on the engine."
    )
    connections: list[ConnectionPoint] = Field(
        [], description="Every point where an installer connects something."
    )
    devices: list[Device] = Field([], description="Electrical devices on the engine.")
    wires: list[Conductor] = Field([], description="The engine's own harness.")
    jumpers: list[Jumper] = Field([], description="Loop-back links on its plugs.")
    controls: list[ControlCable] = Field([], description="Control cables.")
    belts: list[Belt] = Field([], description="Belt drives.")
    alarms: list[Alarm] = Field([], description="Alarms.")
    parts: list[PatternedPart] = Field([], description="Parts that exist in several patterns.")
    maintenance: list[MaintenanceTask] = Field(
        [], description="What is done to it at intervals, besides parts with `change_every`."
    )
    cautions: list[str] = Field(
        [], description="Sentences the engine maker wants on the first page."
    )
    documents: list[SheetDocument] = Field([], description="Documents of the engine maker.")
