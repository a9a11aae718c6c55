"""The vessel spec: what is done with the engine in one vessel."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from installgen.spec.amounts import (
    Angle,
    BoatSpeed,
    Fraction,
    GearRatio,
    Length,
    Mass,
    PressureDifference,
    RotationalSpeed,
    Temperature,
    Voltage,
    Volume,
)
from installgen.spec.electrical import Conductor, Device, Jumper, StateName
from installgen.spec.entry import Entry, Name, OrUnknown, Point
from installgen.spec.piping import CircuitLine, CircuitPart, RoutePiece, _refuse

UnitsFirst = Literal["metric", "us"]


class VesselIdentity(Entry):
    """Which vessel this is."""

    id: Name = Field(description="The same as the file's name.")
    name: str
    hin: OrUnknown[str] = Field(description="Hull identification number (ISO 10087).")
    type: str = Field("", description="What she is, such as `harbour workboat`.")
    yard: OrUnknown[str]
    builders_number: OrUnknown[str] | None = None
    launched: OrUnknown[str] | None = None
    revision: str = Field(description="Revision of this spec.")
    date: OrUnknown[str] = Field(description="Date of this revision, such as 2026-05-14.")
    length: OrUnknown[Length] | None = None
    beam: OrUnknown[Length] | None = None
    displacement: OrUnknown[Mass] | None = None


class Role(Entry):
    """Who did what; a role, and a name if the yard wants one."""

    role: Literal["builder", "installer", "electrician", "checker", "surveyor", "owner"]
    name: str = ""
    date: str = ""


class Units(Entry):
    """Which system leads; both are always shown."""

    first: UnitsFirst = "metric"


class Place(Entry):
    """A space aboard, or a bulkhead."""

    id: Name
    name: str
    kind: Literal["engine-space", "accommodation", "deck", "tank-space", "bulkhead", "other"]
    temperature: OrUnknown[Temperature] | None = Field(None, description="Highest air temperature.")
    volume: OrUnknown[Volume] | None = None


class Heel(Entry):
    """The waterline that heights are judged by."""

    loading: str = Field(description="The loading at which z = 0 is the waterline.")
    worst_heel: OrUnknown[Angle] | None = None
    worst_trim: OrUnknown[Angle] | None = None


class Override(Entry):
    """A figure of the sheet that is different in this vessel, with the reason."""

    path: str = Field(description="Path in the sheet, such as `capacities.coolant`.")
    value: str
    because: str


class Gear(Entry):
    """The gear behind one engine."""

    maker: str = ""
    model: str
    ratio_ahead: OrUnknown[GearRatio]
    ratio_astern: OrUnknown[GearRatio] | None = None
    housing: OrUnknown[str] | None = Field(None, description="SAE J617 size of its input housing.")
    flywheel: OrUnknown[str] | None = Field(None, description="SAE J620 size of its coupling.")
    efficiency: OrUnknown[Fraction] | None = None
    oil: OrUnknown[Volume] | None = None
    oil_grade: str = ""
    turns_shaft: Literal["same-as-engine", "opposite-to-engine"] | None = Field(
        None, description="Output against input, ahead."
    )
    neutral_switch: Literal["fitted", "none"] = "none"


class Propeller(Entry):
    """Propeller and shaft of one engine."""

    hand: Literal["right", "left"] | None = None
    diameter: OrUnknown[Length] | None = None
    pitch: OrUnknown[Length] | None = None
    shaft: OrUnknown[Length] | None = Field(None, description="Diameter of the shaft.")


class EngineEntry(Entry):
    """One engine of the vessel."""

    name: Name = Field(description="What other entries call it: `engine`, `port`, `starboard`.")
    at: Literal["centreline", "port", "starboard", "forward", "aft"] = "centreline"
    sheet: Name = Field(description="Its engine sheet.")
    serial: OrUnknown[str]
    built: OrUnknown[str] | None = Field(None, description="Date of build, from the nameplate.")
    rating: Name | None = Field(None, description="Rating taken; left out where there is one.")
    options: dict[Name, Name] = {}
    cruise: OrUnknown[RotationalSpeed] | None = None
    overrides: list[Override] = []
    gear: Gear | None = None
    propeller: Propeller | None = None
    place: Name | None = None


class RawWater(Entry):
    """The raw-water route of one engine, in the order the water takes."""

    engine: Name | None = Field(None, description="Left out where there is one engine.")
    route: Annotated[list[RoutePiece], Field(min_length=1)]


class Sea(Entry):
    """The waters she works in."""

    coldest: OrUnknown[Temperature]
    hottest: OrUnknown[Temperature]
    kind: Literal["sea", "fresh"] = "sea"


class ExhaustPiece(Entry):
    """One piece of the wet exhaust, from the injection to the hull."""

    kind: Literal["hose", "muffler", "riser", "outlet", "pipe"]
    id: Name | None = None
    name: str = ""
    bore: OrUnknown[Length] | None = None
    length: OrUnknown[Length] | None = None
    bends: int = Field(0, ge=0, le=20)
    volume: OrUnknown[Volume] | None = Field(None, description="Of a muffler, below its inlet.")
    loss: OrUnknown[PressureDifference] | None = Field(None, description="Maker's, at rated.")
    at: Point | None = Field(None, description="Its outlet; of a riser, the top.")
    hose: Literal["wire-exhaust", "hard-wall"] | None = None
    clamps: Literal["single", "double"] | None = None
    notes: str = ""


class Exhaust(Entry):
    """The exhaust of one engine."""

    engine: Name | None = None
    kind: Literal["wet", "dry"] = "wet"
    alarm: Literal["fitted", "none"] | None = Field(None, description="Exhaust temperature alarm.")
    pieces: list[ExhaustPiece] = []


class Antifreeze(Entry):
    """What the coolant is."""

    product: OrUnknown[str]
    volume_share: OrUnknown[Fraction] = Field(description="Volume of product in the mixture.")
    freezes: list[FreezePoint] | None = Field(None, description="The product's own table.")
    inhibitor: str = ""


class FreezePoint(Entry):
    """A row of the product's own table."""

    volume_share: Fraction
    freezes: Temperature


class VesselCircuit(Entry):
    """What the vessel adds to a circuit of its engines."""

    parts: list[CircuitPart] = []
    lines: list[CircuitLine] = []


class Coolant(VesselCircuit):
    """Coolant outside the engine, and what it is."""

    antifreeze: Antifreeze | None = None


class Fuel(VesselCircuit):
    """Tanks, filters and lines to the engines."""

    reserve: OrUnknown[Fraction] | None = Field(None, description="Kept back for endurance.")
    speed_at_cruise: OrUnknown[BoatSpeed] | None = Field(None, description="From the sea trial.")


class CaseEngine(Entry):
    """The state of one engine in a case."""

    engine: Name
    state: StateName
    speed: Literal["idle", "cruise", "rated"] | None = None


class Case(Entry):
    """An operating case: a state for each engine."""

    id: Name
    name: str = ""
    station: Name | None = None
    engines: list[CaseEngine]


class Electrical(Entry):
    """The DC system as fitted."""

    system: Voltage
    devices: list[Device] = []
    conductors: list[Conductor] = []
    jumpers: list[Jumper] = []
    cases: list[Case] | None = Field(None, description="Left out: the usual ones.")
    stations: list[Name] = []

    @model_validator(mode="after")
    def _trade_voltage(self) -> Self:
        if self.system.v not in (12.0, 24.0, 32.0, 48.0):
            _refuse(f"a {self.system.v:g} V system", "12 V, 24 V, 32 V or 48 V")
        return self


class LayUp(Entry):
    """Where she lies in winter."""

    coldest: OrUnknown[Temperature]


class VesselCable(Entry):
    """A control cable as run."""

    works: Literal["throttle", "shift", "stop", "trolling"]
    engine: Name | None = None
    station: str = ""
    length: OrUnknown[Length] | None = None
    notes: str = ""


class Reading(Entry):
    """A reading taken at commissioning."""

    of: str = Field(description="Short code, terminal or result that was read.")
    value: str = Field(description="With its unit.")
    case: str = Field("", description="Operating case, such as `cranking` or `port.cranking`.")
    date: str = ""
    instrument: str = ""
    by: str = Field("", description="Role of who read it.")
    loading: str = ""


class Exemption(Entry):
    """A rule this vessel may depart from."""

    check: Name
    of: str = Field("", description="Result or entry; left out, everything of that check.")
    reason: str
    role: str
    until: str = Field("", description="End date, such as 2027-03-31.")


class NotFitted(Entry):
    """A system that this vessel does not have, said on purpose."""

    system: Literal[
        "exhaust", "coolant", "fuel", "raw-water", "driveline", "controls", "air-heater"
    ]
    because: str


class VesselSpec(Entry):
    """A vessel spec."""

    format: Literal["1"]
    vessel: VesselIdentity
    units: Units = Units()
    standard: Name = Field(description="The yard's standard she is built to.")
    roles: list[Role] = []
    places: list[Place] = []
    waterline: Heel | None = None
    sea: Sea | None = None
    lay_up: LayUp | None = None
    engines: Annotated[list[EngineEntry], Field(min_length=1)]
    raw_water: list[RawWater] = []
    exhaust: list[Exhaust] = []
    coolant: Coolant | None = None
    fuel: Fuel | None = None
    oil: VesselCircuit | None = None
    crankcase_vent: VesselCircuit | None = None
    electrical: Electrical | None = None
    controls: list[VesselCable] = []
    readings: list[Reading] = []
    exemptions: list[Exemption] = []
    not_fitted: list[NotFitted] = []
    notes: list[str] = Field([], description="Sentences for her first page.")


Antifreeze.model_rebuild()
Coolant.model_rebuild()
VesselSpec.model_rebuild()
