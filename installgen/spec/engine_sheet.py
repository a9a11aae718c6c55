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
    Torque,
    Volume,
)
from installgen.spec.electrical import Conductor, Device, Jumper, OptionalEntry
from installgen.spec.entry import Entry, Name, OrUnknown, Point
from installgen.spec.piping import Circuit, End, SheetRawWater, ThermostatPoint, _refuse

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
    maker: str
    model: str
    number: str = Field(description="Number of this sheet.")
    revision: str
    date: str = Field(description="Date of this revision, such as 2026-03-02.")


class Build(Entry):
    """How the engine is made."""

    cycle: Literal["four-stroke", "two-stroke"] = "four-stroke"
    cylinders: Annotated[int, Field(ge=1, le=24)]
    bore: OrUnknown[Length]
    stroke: OrUnknown[Length]
    displacement: OrUnknown[Displacement]
    aspiration: Literal["natural", "turbocharged", "turbocharged-aftercooled"]
    injection: Literal["mechanical", "common-rail", "unit-injector"] = "mechanical"
    rotation: Literal["clockwise", "counter-clockwise"] = Field(
        description="Of the flywheel, seen facing it."
    )
    mass: OrUnknown[Mass] | None = Field(None, description="Without fluids and gear.")
    housing: OrUnknown[str] | None = Field(None, description="SAE J617 size, such as `3`.")
    flywheel: OrUnknown[str] | None = Field(None, description="SAE J620 size, such as `11-1/2`.")
    ring_gear_teeth: OrUnknown[int] | None = Field(None, description="For the speed signal.")
    idle: OrUnknown[RotationalSpeed] = Field(description="Low idle.")
    high_idle: OrUnknown[RotationalSpeed] | None = None
    largest_angle: OrUnknown[Angle] | None = Field(None, description="Largest installed angle.")
    lowest_cranking_speed: OrUnknown[RotationalSpeed] | None = None


class StatedPower(Entry):
    """A power as printed somewhere: nameplate, brochure, certificate."""

    printed_on: str = Field(description="Where it is printed, such as `nameplate`.")
    power: Power
    basis: Literal["crankshaft", "propeller-shaft", "not-stated"] = "not-stated"


class Rating(OptionalEntry):
    """One rating of the engine."""

    id: Name
    name: str
    power: OrUnknown[Power]
    speed: OrUnknown[RotationalSpeed]
    basis: Literal["crankshaft", "propeller-shaft"]
    standard: str = Field(description="Standard it was measured to, such as ISO 8665.")
    use: str = Field("", description="Class of use, such as hours at full load.")
    stated: list[StatedPower] = []


class PerformanceRow(Entry):
    """What the engine does at one speed on its stated load line."""

    speed: RotationalSpeed
    power: OrUnknown[Power] | None = None
    fuel: OrUnknown[FuelFlow] | None = Field(None, description="Burned.")
    fuel_return: OrUnknown[FuelFlow] | None = Field(None, description="Sent back to the tank.")
    air: OrUnknown[MassFlow] | None = None
    charge_into_cooler: OrUnknown[Temperature] | None = None
    charge_out_of_cooler: OrUnknown[Temperature] | None = None
    exhaust_temperature: OrUnknown[Temperature] | None = Field(
        None, description="Before injection."
    )
    jacket_heat: OrUnknown[HeatRate] | None = Field(None, description="Into the heat exchanger.")
    gear_oil_heat: OrUnknown[HeatRate] | None = None
    engine_oil_heat: OrUnknown[HeatRate] | None = None
    fuel_heat: OrUnknown[HeatRate] | None = None


class Performance(OptionalEntry):
    """Figures by speed. Between two rows the figures are interpolated, outside them never."""

    rating: Name
    load_line: Literal["full-load", "propeller-load"]
    rows: Annotated[list[PerformanceRow], Field(min_length=2)]

    @model_validator(mode="after")
    def _rises(self) -> Self:
        speeds = [row.speed.rpm for row in self.rows]
        if speeds != sorted(set(speeds)):
            _refuse("speeds that do not rise from row to row", "rows ordered by speed")
        return self


class Capacities(Entry):
    """What the engine holds."""

    coolant: OrUnknown[Volume] | None = Field(None, description="Engine and heat exchanger.")
    oil_least: OrUnknown[Volume] | None = Field(None, description="Sump at the lower mark.")
    oil_full: OrUnknown[Volume] | None = Field(None, description="Sump at the upper mark.")
    oil_filter: OrUnknown[Volume] | None = Field(None, description="Filters and cooler besides.")
    oil_grade: str = ""


class AirLimits(Entry):
    """What the engine asks of air and exhaust."""

    largest_back_pressure: OrUnknown[PressureDifference] | None = None
    largest_intake_depression: OrUnknown[PressureDifference] | None = None
    highest_intake_rise: OrUnknown[TemperatureDifference] | None = None
    injection_height: OrUnknown[Length] | None = Field(
        None,
        description="Least height of the injection over the loaded waterline without a "
        "vented loop.",
    )


class ConnectionPoint(OptionalEntry):
    """A port, plug or stud of the engine where an installer connects something."""

    id: Name
    name: str
    code: str = Field("", description="Code on its label, such as `RW1`.")
    side: Side
    find: str = Field(description="A sentence to find it by.")
    end: End | None = None
    for_: str = Field(alias="for", description="What connects there.")
    system: System
    use: Literal["connected", "plugged", "reserved", "optional"] = Field(
        "connected", description="`connected` must be taken by the vessel."
    )
    at: Point | None = Field(None, description="From the crankshaft's rear face, in the engine.")
    torque: OrUnknown[Torque] | None = None
    sealant: str = ""
    caution: str = ""


class ControlCable(OptionalEntry):
    """A control cable: throttle, shift, stop."""

    id: Name
    works: Literal["throttle", "shift", "stop", "trolling"]
    name: str = ""
    travel: OrUnknown[Length] | None = None
    pulls_to: str = Field("", description="What pulling does.")
    end: str = Field("", description="Ball joint, clevis, thread.")
    anchor: str = ""
    find: str = ""


class Belt(OptionalEntry):
    """One belt drive."""

    id: Name
    name: str = ""
    drives: list[str]
    section: str = Field(description="Belt section, such as `8 ribs`.")
    length: OrUnknown[Length] | None = None
    tension: str = Field("", description="How tension is judged.")
    part_number: str = ""
    change_every: str = ""


class Alarm(OptionalEntry):
    """An alarm of the engine."""

    id: Name
    name: str
    sensed_by: Name = Field(description="The device that senses it.")
    at: str = Field(description="Where it operates.")
    what_to_do: str = ""


class Pattern(OptionalEntry):
    """One pattern of a part."""

    id: Name
    name: str
    part_number: str
    built: str = Field("", description="Dates or serial numbers of build, as the maker says it.")
    tell_by: str = Field(description="How to tell that this pattern is fitted.")
    seals: list[str] = []
    core: str = ""
    notes: str = ""


class PatternedPart(OptionalEntry):
    """A part that exists in more than one pattern."""

    id: Name
    name: str
    patterns: Annotated[list[Pattern], Field(min_length=1)]


class Choice(Entry):
    """One choice of an option."""

    name: str
    notes: str = ""


class OptionOffer(Entry):
    """An option that the sheet offers and a vessel takes."""

    name: str
    default: Name | None = Field(None, description="Taken where the vessel says nothing.")
    choices: Annotated[dict[Name, Choice], Field(min_length=1)]

    @model_validator(mode="after")
    def _default_is_offered(self) -> Self:
        if self.default is not None and self.default not in self.choices:
            _refuse(f"default `{self.default}`", "one of " + ", ".join(sorted(self.choices)))
        return self


class SheetDocument(Entry):
    """A document of the engine maker."""

    title: str
    number: str = ""
    date: str = ""
    pages: str = ""


class EngineSheet(Entry):
    """An engine sheet. Everything that the engine has is here and nowhere else."""

    format: Literal["1"]
    engine: SheetIdentity
    build: Build
    options: dict[Name, OptionOffer] = {}
    ratings: Annotated[list[Rating], Field(min_length=1)]
    performance: list[Performance] = []
    capacities: Capacities = Capacities()
    limits: AirLimits = AirLimits()
    thermostat: ThermostatPoint | None = None
    raw_water: SheetRawWater | None = None
    circuits: list[Circuit] = []
    connections: list[ConnectionPoint] = []
    devices: list[Device] = []
    wires: list[Conductor] = []
    jumpers: list[Jumper] = []
    controls: list[ControlCable] = []
    belts: list[Belt] = []
    alarms: list[Alarm] = []
    parts: list[PatternedPart] = []
    cautions: list[str] = Field(
        [], description="Sentences the engine maker wants on the first page."
    )
    documents: list[SheetDocument] = []
