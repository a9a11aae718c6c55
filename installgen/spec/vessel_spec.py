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
    Resistance,
    RotationalSpeed,
    Temperature,
    Voltage,
    Volume,
)
from installgen.spec.electrical import Conductor, Device, Jumper, StateName
from installgen.spec.entry import Entry, OrUnknown, Point
from installgen.spec.hull import AirSpace, Opening, SeaTrial
from installgen.spec.owner_spec import OwnersManual
from installgen.spec.photo_spec import MOST_PHOTOS, Photo, Photos
from installgen.spec.piping import CircuitLine, CircuitPart, RoutePiece, refuse
from installgen.spec.texts import DateText, Name, Notes, Reference, Title

UnitsFirst = Literal["metric", "us"]


class VesselIdentity(Entry):
    """Which vessel this is."""

    id: Name = Field(description="The same as the file's name.")
    name: Title
    hin: OrUnknown[str] = Field(description="Hull identification number (ISO 10087).")
    type: str = Field("", description="What she is, such as `harbour workboat`.")
    yard: OrUnknown[str] = Field(description="Yard that builds or fits her out.")
    builders_number: OrUnknown[str] | None = Field(None, description="The yard's number.")
    launched: OrUnknown[DateText] | None = Field(None, description="Date of launch.")
    revision: str = Field(description="Revision of this spec.")
    date: OrUnknown[DateText] = Field(description="Date of this revision, such as 2026-05-14.")
    earlier: Name | None = Field(
        None, description="Folder below `earlier/` that holds her spec as it was one revision ago."
    )
    length: OrUnknown[Length] | None = Field(None, description="Length of the hull.")
    beam: OrUnknown[Length] | None = Field(None, description="Beam of the hull.")
    displacement: OrUnknown[Mass] | None = Field(None, description="At the loading of `waterline`.")


class Role(Entry):
    """Who did what; a role, and a name if the yard wants one."""

    role: Literal["builder", "installer", "electrician", "checker", "surveyor", "owner"] = Field(
        description="What they did."
    )
    name: Title = ""
    date: DateText = Field("", description="When.")


class Units(Entry):
    """Which system leads; both are always shown."""

    first: UnitsFirst = Field("metric", description="Which system stands first.")


class Place(Entry):
    """A space aboard, or a bulkhead."""

    id: Name = Field(description="Short name that other entries refer to.")
    name: Title
    kind: Literal["engine-space", "accommodation", "deck", "tank-space", "bulkhead", "other"] = (
        Field(description="What kind of space; conductors in an `engine-space` are judged hot.")
    )
    temperature: OrUnknown[Temperature] | None = Field(None, description="Highest air temperature.")
    volume: OrUnknown[Volume] | None = Field(None, description="Volume of the space.")


class Heel(Entry):
    """The waterline that heights are judged by."""

    loading: str = Field(description="The loading at which z = 0 is the waterline.")
    worst_heel: OrUnknown[Angle] | None = Field(
        None, description="Largest heel that heights are judged by."
    )
    worst_trim: OrUnknown[Angle] | None = Field(
        None, description="Largest trim, by bow or stern, that heights are judged by."
    )


class Override(Entry):
    """A figure of the sheet that is different in this vessel, with the reason."""

    path: str = Field(description="Path in the sheet, such as `capacities.coolant`.")
    value: str = Field(description="What it is here, with its unit.")
    because: str = Field(description="Why it differs.")


class Gear(Entry):
    """The gear behind one engine."""

    maker: str = Field("", description="Gear maker.")
    model: str = Field(description="Model of the gear.")
    ratio_ahead: OrUnknown[GearRatio] = Field(
        description="Engine turns for each shaft turn ahead, `2.04:1`."
    )
    ratio_astern: OrUnknown[GearRatio] | None = Field(None, description="The same, astern.")
    housing: OrUnknown[str] | None = Field(None, description="SAE J617 size of its input housing.")
    flywheel: OrUnknown[str] | None = Field(None, description="SAE J620 size of its coupling.")
    efficiency: OrUnknown[Fraction] | None = Field(None, description="Power out to power in.")
    oil: OrUnknown[Volume] | None = Field(None, description="Oil it holds.")
    oil_grade: str = Field("", description="What oil the maker asks for.")
    turns_shaft: Literal["same-as-engine", "opposite-to-engine"] | None = Field(
        None, description="Output against input, ahead."
    )
    neutral_switch: Literal["fitted", "none"] = Field(
        "none", description="Whether it has a switch that is closed in neutral only."
    )


class Propeller(Entry):
    """Propeller and shaft of one engine."""

    hand: Literal["right", "left"] | None = Field(
        None, description="Which way it turns ahead, seen from aft: `right` is clockwise."
    )
    diameter: OrUnknown[Length] | None = Field(None, description="Diameter.")
    pitch: OrUnknown[Length] | None = Field(None, description="Pitch.")
    shaft: OrUnknown[Length] | None = Field(None, description="Diameter of the shaft.")


class Mount(Entry):
    """One of the mounts that engine and gear stand on."""

    id: Name = Field(description="Short name, such as `front-port`.")
    name: Title = ""
    model: str = Field("", description="Make and model, from the mount.")
    at: Point | None = Field(
        None, description="From the crankshaft's rear face: x ahead, y to port, z up."
    )
    carries: OrUnknown[Mass] | None = Field(None, description="Most that its maker lets it carry.")

    @property
    def title(self) -> str:
        return self.name or self.id.replace("-", " ")


class Alignment(Entry):
    """Gaps between the coupling faces of gear and shaft, read with feeler gauges."""

    coupling: OrUnknown[Length] = Field(description="Diameter where the gaps are read.")
    top: OrUnknown[Length] = Field(description="Gap at the top.")
    bottom: OrUnknown[Length] = Field(description="Gap at the bottom.")
    port: OrUnknown[Length] = Field(description="Gap to port.")
    starboard: OrUnknown[Length] = Field(description="Gap to starboard.")
    afloat: Literal["yes", "no"] = Field("no", description="Whether she was afloat.")
    date: DateText = Field("", description="When.")
    by: str = Field("", description="Role of who read it.")
    loading: str = Field("", description="How she was loaded.")


class EngineEntry(Entry):
    """One engine of the vessel."""

    name: Name = Field(description="What other entries call it, such as `port`.")
    at: Literal["centreline", "port", "starboard", "forward", "aft"] = Field(
        "centreline", description="Where she carries it."
    )
    sheet: Name = Field(description="Its engine sheet.")
    serial: OrUnknown[str] = Field(description="Serial number, from the nameplate.")
    built: OrUnknown[DateText] | None = Field(
        None, description="Date of build, from the nameplate."
    )
    rating: Name | None = Field(None, description="Rating taken; left out where there is one.")
    options: dict[Name, Name] = Field({}, description="Options taken, by the sheet's names.")
    cruise: OrUnknown[RotationalSpeed] | None = Field(None, description="Cruising speed.")
    crankshaft: Point | None = Field(
        None, description="Rear face of its crankshaft: x, y, z aboard."
    )
    angle: OrUnknown[Angle] | None = Field(
        None, description="Installed angle, its flywheel end the lower."
    )
    overrides: list[Override] = Field([], description="Figures of the sheet that differ here.")
    gear: Gear | None = Field(None, description="Its gear.")
    propeller: Propeller | None = Field(None, description="Its propeller and shaft.")
    installed_mass: OrUnknown[Mass] | None = Field(
        None, description="Engine and gear as installed, with their fluids."
    )
    centre_of_gravity: Point | None = Field(
        None, description="Of both together, from the crankshaft's rear face."
    )
    mounts: list[Mount] = Field([], description="The mounts that they stand on.")
    alignment: Alignment | None = Field(None, description="Readings at the shaft coupling.")
    torsional_approval: OrUnknown[str] | None = Field(
        None, description="Who approved the torsional vibrations of the driveline, and where."
    )
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    photos: Photos = []


class RawWater(Entry):
    """The raw-water route of one engine, in the order the water takes."""

    engine: Name | None = Field(None, description="Left out where there is one engine.")
    route: Annotated[list[RoutePiece], Field(min_length=1)] = Field(
        description="The pieces, in the order the water takes."
    )
    photos: Photos = []


class Sea(Entry):
    """The waters she works in."""

    coldest: OrUnknown[Temperature] = Field(description="Coldest water she works in.")
    hottest: OrUnknown[Temperature] = Field(description="Hottest water she works in.")
    kind: Literal["sea", "fresh"] = Field("sea", description="Salt or fresh water.")


class ExhaustPiece(Entry):
    """One piece of the wet exhaust, from the injection to the hull."""

    kind: Literal["hose", "muffler", "riser", "outlet", "pipe"] = Field(description="What it is.")
    id: Name | None = Field(None, description="Short name.")
    name: Title = ""
    bore: OrUnknown[Length] | None = Field(None, description="Inside diameter.")
    length: OrUnknown[Length] | None = Field(None, description="As run.")
    bends: int = Field(0, ge=0, le=20, description="Right-angle bends, or their equal.")
    volume: OrUnknown[Volume] | None = Field(None, description="Of a muffler, below its inlet.")
    volume_heeled: OrUnknown[Volume] | None = Field(
        None, description="Of a muffler, below its inlet at the worst heel."
    )
    stays: OrUnknown[Volume] | None = Field(
        None, description="Of a muffler, the water that stays in it when the engine stops."
    )
    loss: OrUnknown[PressureDifference] | None = Field(None, description="Maker's, at rated.")
    at: Point | None = Field(None, description="Its outlet; of a riser, the top.")
    dip: Point | None = Field(None, description="Of a muffler, the foot of its outlet's dip tube.")
    highest: OrUnknown[Temperature] | None = Field(
        None, description="Highest temperature that it stands without water."
    )
    hose: Literal["wire-exhaust", "hard-wall"] | None = Field(None, description="Kind of hose.")
    clamps: Literal["single", "double"] | None = Field(None, description="Clamps at each end.")
    notes: Notes = ""


class Exhaust(Entry):
    """The exhaust of one engine."""

    engine: Name | None = Field(
        None, description="The engine it serves; left out where there is one."
    )
    kind: Literal["wet", "dry"] = Field("wet", description="Wet: raw water is injected.")
    alarm: Literal["fitted", "none"] | None = Field(None, description="Exhaust temperature alarm.")
    alarm_at: OrUnknown[Temperature] | None = Field(None, description="Where that alarm operates.")
    dry: list[ExhaustPiece] = Field([], description="From the engine to the injection.")
    pieces: list[ExhaustPiece] = Field(
        [], description="From the injection to the hull, in the order of the gas."
    )
    photos: Photos = []


class Antifreeze(Entry):
    """What the coolant is."""

    product: OrUnknown[str] = Field(description="Its name.")
    volume_share: OrUnknown[Fraction] = Field(description="Volume of product in the mixture.")
    glycol: OrUnknown[Literal["ethylene", "propylene"]] | None = Field(
        None, description="What the product is made from."
    )
    highest_share: OrUnknown[Fraction] | None = Field(
        None, description="Most of it that its maker allows."
    )
    freezes: list[FreezePoint] | None = Field(None, description="The product's own table.")
    inhibitor: str = Field("", description="Inhibitor added, if the engine maker asks for it.")


class FreezePoint(Entry):
    """A row of the product's own table."""

    volume_share: Fraction = Field(description="Volume of product in the mixture.")
    freezes: Temperature = Field(description="Freezing point of that mixture.")


class VesselCircuit(Entry):
    """What the vessel adds to a circuit of its engines."""

    parts: list[CircuitPart] = Field([], description="Parts that the vessel adds.")
    lines: list[CircuitLine] = Field(
        [], description="Lines between them and the engine's connections."
    )
    photos: Photos = []


class Coolant(VesselCircuit):
    """Coolant outside the engine, and what it is."""

    antifreeze: Antifreeze | None = Field(None, description="What the coolant is.")


class Fuel(VesselCircuit):
    """Tanks, filters and lines to the engines."""

    reserve: OrUnknown[Fraction] | None = Field(None, description="Kept back for endurance.")
    speed_at_cruise: OrUnknown[BoatSpeed] | None = Field(None, description="From the sea trial.")


class CaseEngine(Entry):
    """The state of one engine in a case."""

    engine: Name = Field(description="Which engine.")
    state: StateName = Field(description="What it does.")
    speed: Literal["idle", "cruise", "rated"] | None = Field(
        None, description="How fast, where it runs."
    )


class Case(Entry):
    """An operating case: a state for each engine."""

    id: Name = Field(description="Short name of the case.")
    name: Title = ""
    station: Name | None = Field(None, description="Helm station in command.")
    engines: list[CaseEngine] = Field(
        description="A state for each engine; an engine left out is off."
    )


class Electrical(Entry):
    """The DC system as fitted."""

    system: Voltage = Field(description="Nominal voltage: `12 V`, `24 V`, `32 V` or `48 V`.")
    devices: list[Device] = Field(
        [], description="Everything with a terminal that is not on an engine."
    )
    conductors: list[Conductor] = Field([], description="Every conductor the yard runs.")
    jumpers: list[Jumper] = Field([], description="Loop-back links the yard fits.")
    cases: list[Case] | None = Field(None, description="Left out: the usual ones.")
    stations: list[Name] = Field(
        [], description="Helm stations; the first has command in the usual cases."
    )
    photos: Photos = []

    @model_validator(mode="after")
    def _trade_voltage(self) -> Self:
        if self.system.v not in (12.0, 24.0, 32.0, 48.0):
            refuse(f"a {self.system.v:g} V system", "12 V, 24 V, 32 V or 48 V")
        return self


class LayUp(Entry):
    """Where she lies in winter."""

    coldest: OrUnknown[Temperature] = Field(description="Coldest air where she lies.")


class VesselCable(Entry):
    """A control cable as run."""

    works: Literal["throttle", "shift", "stop", "trolling"] = Field(description="What it works.")
    engine: Name | None = Field(
        None, description="The engine it works; left out where there is one."
    )
    station: str = Field("", description="Helm station it comes from.")
    length: OrUnknown[Length] | None = Field(None, description="As run.")
    touches: Reference = Field(
        "",
        description="Terminal of the negative side that its metal touches at the station, such as "
        "`helm-frame.1`: a way for current from the block.",
    )
    resistance: OrUnknown[Resistance] | None = Field(
        None, description="From the block to there, through sheath and core; measured."
    )
    notes: Notes = ""


class Reading(Entry):
    """A reading taken at commissioning."""

    of: str = Field(description="Short code, terminal or result that was read.")
    value: str = Field(description="With its unit.")
    case: Reference = Field(
        "", description="Operating case, such as `cranking` or `port.cranking`."
    )
    date: DateText = Field("", description="When it was read.")
    instrument: str = Field("", description="With what.")
    by: str = Field("", description="Role of who read it.")
    loading: str = Field("", description="Load or loading while it was read.")


class Exemption(Entry):
    """A rule this vessel may depart from."""

    check: Reference = Field(
        description="Name of the check, as `installgen check` prints it behind `rule:`; with a "
        "class such as `circuit-drop.other`, or without for all of its classes."
    )
    of: str = Field(
        "",
        description="What is judged, as that line names it after the slash; left out, everything "
        "that the check judges.",
    )
    reason: str = Field(description="Why she may depart from it.")
    role: str = Field(description="Role of who allowed it.")
    until: DateText = Field("", description="End date, such as 2027-03-31.")


class NotFitted(Entry):
    """A system that this vessel does not have, said on purpose."""

    system: Literal[
        "exhaust", "coolant", "fuel", "raw-water", "driveline", "controls", "air-heater"
    ] = Field(description="What she does not have.")
    because: str = Field(description="Why not.")


class VesselSpec(Entry):
    """A vessel spec."""

    format: Literal["1"] = Field(description="Always `1`.")
    vessel: VesselIdentity = Field(description="Which vessel this is.")
    units: Units = Field(Units(), description="Which system of units leads.")
    standard: Name = Field(description="The yard's standard she is built to.")
    roles: list[Role] = Field([], description="Who did what.")
    places: list[Place] = Field([], description="Spaces and bulkheads.")
    waterline: Heel | None = Field(None, description="The waterline that heights are judged by.")
    sea: Sea | None = Field(None, description="The waters she works in.")
    lay_up: LayUp | None = Field(None, description="Where she lies in winter.")
    engines: Annotated[list[EngineEntry], Field(min_length=1)] = Field(description="Her engines.")
    raw_water: list[RawWater] = Field([], description="One raw-water route for each engine.")
    exhaust: list[Exhaust] = Field([], description="One exhaust for each engine.")
    openings: list[Opening] = Field([], description="Hull openings besides those of the routes.")
    air: list[AirSpace] = Field([], description="Air of each engine space.")
    coolant: Coolant | None = Field(None, description="Coolant outside the engine.")
    fuel: Fuel | None = Field(None, description="Tanks, filters and fuel lines.")
    oil: VesselCircuit | None = Field(None, description="Oil lines that the vessel adds.")
    crankcase_vent: VesselCircuit | None = Field(
        None, description="Crankcase vents that the vessel adds."
    )
    electrical: Electrical | None = Field(None, description="The direct-current system as fitted.")
    controls: list[VesselCable] = Field([], description="Control cables as run.")
    readings: list[Reading] = Field([], description="Readings taken at commissioning.")
    sea_trial: list[SeaTrial] = Field([], description="Runs of the sea trial, by engine.")
    exemptions: list[Exemption] = Field([], description="Rules she may depart from.")
    not_fitted: list[NotFitted] = Field(
        [], description="Systems she does not have, said on purpose."
    )
    owners_manual: OwnersManual = Field(
        OwnersManual(), description="What the owner's manual says beside engine and systems."
    )
    notes: list[str] = Field([], description="Sentences for her first page.")
    photos: Annotated[list[Photo], Field(max_length=MOST_PHOTOS)] = Field(
        [], description="Photographs of herself, for her first page."
    )


Antifreeze.model_rebuild()
Coolant.model_rebuild()
VesselSpec.model_rebuild()
