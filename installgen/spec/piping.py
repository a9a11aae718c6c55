"""Entries for pipes and hoses that sheets and vessels share: ends, raw-water pieces, circuits."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from installgen.spec.amounts import (
    Coordinate,
    Fraction,
    GearRatio,
    HeatRate,
    Length,
    Pressure,
    PressureDifference,
    RotationalSpeed,
    Temperature,
    ThreadSize,
    Volume,
    VolumeFlow,
)
from installgen.spec.electrical import OptionalEntry
from installgen.spec.entry import Entry, OrUnknown, Point, known
from installgen.spec.photo_spec import Photos
from installgen.spec.texts import Code, Count, Find, Name, Notes, Reference, Title

HoseKind = Literal["hard-wall", "soft-wall", "wire-exhaust", "fuel-a1", "fuel-a2", "coolant", "oil"]
Material = Literal[
    "bronze",
    "brass",
    "dzr-brass",
    "stainless-316",
    "copper-nickel",
    "aluminium",
    "steel",
    "cast-iron",
    "composite",
    "rubber",
    "silicone",
    "copper",
    "titanium",
]


IntakeFitting = Literal["flush", "scoop-forward", "scoop-aft"]


class End(Entry):
    """The kind and size of one end of a fitting.

    A hose spigot, flange or flat face has a `size` (of the hose, of the bore); a threaded end
    has a `thread`. A nominal thread is not a bore: give `bore` where it matters.
    """

    kind: Literal["hose-spigot", "thread-male", "thread-female", "flange", "flat-face", "hose"] = (
        Field(description="What it is: `hose-spigot` takes a hose, `hose` is a hose's own end.")
    )
    size: OrUnknown[Length] | None = Field(None, description="Hose bore it takes, or face bore.")
    thread: OrUnknown[ThreadSize] | None = Field(None, description="Such as `3/4 NPT`, `M22x1.5`.")
    bore: OrUnknown[Length] | None = Field(None, description="Clear bore through it.")
    flange: str = Field("", description="Flange standard and size.")

    @model_validator(mode="after")
    def _says_its_size(self) -> Self:
        threaded = self.kind.startswith("thread")
        if threaded and self.thread is None:
            refuse("a threaded end without `thread`", "a thread", "`thread: 3/4 NPT`")
        if not threaded and self.size is None:
            refuse(f"a {self.kind} without `size`", "its size", "`size: 38 mm`")
        return self


def refuse(found: str, expected: str, instead: str = "") -> None:
    """Raise for entries that do not go together; what was found, expected, to write instead."""
    raise PydanticCustomError(
        "installgen_rule",
        "{found}{expected}{instead}",
        {"found": found, "expected": expected, "instead": instead},
    )


class Loss(Entry):
    """A measured loss: at this flow it takes this pressure."""

    flow: VolumeFlow = Field(description="Flow at which the loss was measured.")
    drop: PressureDifference = Field(description="Pressure lost at that flow.")
    measured_between: Literal["spigots", "hoses"] = Field(
        "spigots", description="`hoses` where the steps of its spigots are in it."
    )


class Fitting(Entry):
    """What every fitting in a raw-water route says of itself."""

    id: Name | None = Field(None, description="Short name, for other entries to refer to.")
    name: Title = ""
    code: Code = ""
    at: Point | None = Field(
        None,
        description="Its outlet joint: x forward of the transom, y to port, "
        "z up from the static waterline.",
    )
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    material: Material | None = Field(None, description="What it is made of.")
    find: Find = ""
    notes: Notes = ""
    photos: Photos = []


class Seacock(Fitting):
    """Through-hull and valve where raw water comes in."""

    bore: OrUnknown[Length] = Field(description="Bore of valve and tail.")
    outlet: End | None = Field(None, description="Left out: a hose spigot of the same size.")
    open_loss: OrUnknown[Loss] | None = Field(None, description="Valve, grating and tail.")
    valve: Literal["ball", "gate", "tapered-plug"] = Field("ball", description="Kind of valve.")
    state: Literal["open", "closed"] = Field(
        "open", description="How it stands while the engine runs."
    )
    intake: OrUnknown[IntakeFitting] | None = Field(
        None,
        description="The fitting outside the hull: `flush`, with or without a grating, or a scoop "
        "by the way its mouth faces.",
    )
    recovery: OrUnknown[Fraction] | None = Field(
        None,
        description="Of a scoop, its maker's figure: the share of the stagnation pressure that "
        "headway adds in it, or takes away where it faces aft.",
    )

    @model_validator(mode="after")
    def _recovers_in_a_scoop(self) -> Self:
        if self.recovery is None:
            return self
        if self.intake not in ("scoop-forward", "scoop-aft"):
            refuse(
                "`recovery` at an intake that is no scoop",
                "it beside `intake: scoop-forward` or `scoop-aft`",
            )
        share = known(self.recovery)
        if share is not None and not 0.0 < share.ratio <= 1.0:
            refuse(f"a recovery of {share}", "above 0 % and no more than 100 %", "`recovery: 60 %`")
        return self


class Hose(Fitting):
    """A run of hose."""

    bore: OrUnknown[Length] = Field(description="Inside diameter, as printed on the hose.")
    length: OrUnknown[Length] = Field(description="As run.")
    bends: int = Field(0, ge=0, le=20, description="Right-angle bends, or their equal.")
    kind: OrUnknown[HoseKind] | None = Field(None, description="Kind of hose.")
    clamps: OrUnknown[Literal["single", "double"]] | None = Field(
        None, description="Clamps at each end."
    )
    fitted_when: dict[Name, Name | list[Name]] | None = Field(
        None, description="In an engine sheet: options with which it is fitted."
    )


class Strainer(Fitting):
    """Raw-water strainer."""

    ports: OrUnknown[Length] | None = Field(
        None, description="Hose bore of both ends; or give `inlet` and `outlet`."
    )
    inlet: End | None = Field(None, description="End where the water enters.")
    outlet: End | None = Field(None, description="End where it leaves.")
    loss: OrUnknown[Loss] = Field(description="With a clean basket.")


class Valve(Fitting):
    """A valve in a run."""

    bore: OrUnknown[Length] = Field(description="Clear bore.")
    kind: Literal["ball", "gate", "check"] = Field("ball", description="Kind of valve.")
    state: Literal["open", "closed"] = Field(
        "open", description="How it stands while the engine runs."
    )


class Adapter(Fitting):
    """A reducer or adapter, with both of its ends."""

    inlet: End = Field(description="End where the water enters.")
    outlet: End = Field(description="End where it leaves.")


class VentedLoop(Fitting):
    """An anti-siphon loop; `at` is the top of its bend."""

    bore: OrUnknown[Length] = Field(description="Bore of the loop.")
    vent: Literal["valve", "open-line"] = Field(description="Air valve, or bleed led overboard.")
    bleed: OrUnknown[VolumeFlow] | None = Field(None, description="Bleed of an open line.")


class FittedCooler(Fitting):
    """A cooler that the vessel adds to the engine's own."""

    inlet: End = Field(description="End where the water enters.")
    outlet: End = Field(description="End where it leaves.")
    loss: OrUnknown[Loss] = Field(description="On the raw-water side.")
    duty: Literal["gear-oil", "fuel", "hydraulic-oil", "air"] = Field(
        "gear-oil", description="What it cools."
    )


class EngineSection(Entry):
    """The engine's own raw-water route, or the part of it between two connection points."""

    from_: Name | None = Field(None, alias="from", description="Connection where water enters.")
    to: Name | None = Field(None, description="Connection where it leaves.")


class Injection(Fitting):
    """Where the raw water joins the exhaust."""

    inlet: End = Field(description="End where the water enters.")
    spray_loss: OrUnknown[Loss] | None = Field(None, description="Loss of the spray ring.")
    at: Point = Field(
        description="Where the water enters the exhaust: x forward of the transom, y to port, "
        "z up from the static waterline."
    )


class Discharge(Fitting):
    """An end of a branch: through the hull, or into a seal."""

    into: Literal["overboard", "shaft-seal", "open"] = Field(
        description="What the water runs into."
    )
    size: OrUnknown[Length] = Field(description="Bore of its hose.")
    loss: OrUnknown[Loss] | None = Field(
        None,
        description="At its end. Overboard, left out: a free outlet of this size. Of a shaft seal "
        "left out is `unknown`: the route is then computed with the most that the seal can take, "
        "and what it gets is not assessed.",
    )
    needs: OrUnknown[VolumeFlow] | None = Field(
        None, description="Least flow that the maker of a shaft seal asks for."
    )


class Branch(Entry):
    """A branch that leaves the route here."""

    id: Name = Field(description="Short name of the branch.")
    name: Title = ""
    outlet: End = Field(description="The branch's end of the tee.")
    route: Annotated[list[RoutePiece], Field(min_length=1)] = Field(
        description="Its own pieces, in the order the water takes."
    )
    rejoins: Name | None = Field(
        None, description="A bypass: the piece of the main route after which it comes back."
    )


class RoutePiece(Entry):
    """One piece of a raw-water route: a mapping with exactly one key, or the word `engine`."""

    seacock: Seacock | None = Field(
        None, description="Through-hull and valve where the water comes in."
    )
    hose: Hose | None = Field(None, description="A run of hose.")
    strainer: Strainer | None = Field(None, description="Raw-water strainer.")
    valve: Valve | None = Field(None, description="A valve in the run.")
    adapter: Adapter | None = Field(
        None, description="A reducer or adapter, with both of its ends."
    )
    cooler: FittedCooler | None = Field(None, description="A cooler that the vessel adds.")
    engine: EngineSection | None = Field(
        None, description="The engine's own route, or a part of it."
    )
    branch: Branch | None = Field(None, description="A branch that leaves here.")
    vented_loop: VentedLoop | None = Field(None, description="An anti-siphon loop.")
    exhaust_injection: Injection | None = Field(
        None, description="Where the water joins the exhaust."
    )
    discharge: Discharge | None = Field(None, description="An end: overboard, or into a seal.")

    @model_validator(mode="before")
    @classmethod
    def _bare_word(cls, value: Any) -> Any:
        return {"engine": {}} if value == "engine" else value

    @model_validator(mode="after")
    def _one_piece(self) -> Self:
        given = sorted(self.model_fields_set)
        if len(given) != 1:
            refuse(
                f"{len(given)} pieces in one entry" + (f" ({', '.join(given)})" if given else ""),
                "one piece an entry, such as `hose: {...}`",
            )
        return self

    @property
    def kind(self) -> str:
        """Which piece this is."""
        return next(iter(self.model_fields_set))

    @property
    def piece(self) -> Entry:
        """The piece itself."""
        piece: Entry = getattr(self, self.kind)
        return piece


class DesignPoint(Entry):
    """One stated duty of an exchanger, from which other loads are predicted."""

    duty: HeatRate = Field(description="Heat exchanged.")
    raw_flow: VolumeFlow = Field(description="Of the raw water.")
    raw_inlet: Temperature = Field(description="Raw water as it enters.")
    hot_flow: VolumeFlow = Field(description="Of the coolant.")
    hot_inlet: Temperature = Field(description="Coolant as it enters.")
    hot_share: Fraction = Field(description="Volume of antifreeze in the coolant.")
    arrangement: Literal["counter-flow", "parallel-flow", "cross-flow", "shell-and-tube"] = Field(
        description="How the two streams pass each other."
    )
    raw_side: Fraction = Field(description="Share of the resistance on the raw-water side.")
    hot_side: Fraction = Field(description="Share of the resistance on the coolant side.")

    @model_validator(mode="after")
    def _heat_runs_down(self) -> Self:
        if self.hot_inlet.c <= self.raw_inlet.c:
            refuse(
                f"a reversed cooler: coolant enters at {self.hot_inlet}, no hotter than raw water "
                f"at {self.raw_inlet}",
                "`hot_inlet` above `raw_inlet`",
            )
        return self


class Cooler(OptionalEntry):
    """A cooler of the engine sheet."""

    id: Name = Field(description="Short name that the route refers to.")
    name: Title
    code: Code = ""
    cools: Literal["charge-air", "jacket", "engine-oil", "gear-oil", "fuel"] = Field(
        description="What it cools."
    )
    inlet: End = Field(description="End where the raw water enters.")
    outlet: End = Field(description="End where it leaves.")
    loss: OrUnknown[Loss] = Field(description="On the raw-water side.")
    design: OrUnknown[DesignPoint] | None = Field(
        None, description="One stated duty, if its part load is to be predicted."
    )
    material: Material | None = Field(None, description="Of the raw-water side.")
    clean_every: str = Field("", description="How often it is cleaned.")
    pattern: str = Field("", description="Part pattern, when several exist.")
    notes: Notes = ""


class PumpSlip(Entry):
    """What slips back past the impeller: free, and loaded at one stated point."""

    free: Fraction = Field(description="Share of the displacement lost against no pressure.")
    loaded: Fraction = Field(description="Share lost at the pressure and pump speed that follow.")
    pressure: PressureDifference = Field(description="Across the pump.")
    speed: RotationalSpeed = Field(description="Of the pump.")


class RawWaterPump(OptionalEntry):
    """The engine's raw-water pump."""

    id: Name = Field(description="Short name that the route refers to.")
    name: Title = "Raw-water pump"
    code: Code = ""
    kind: Literal["flexible-impeller"] = Field(description="Kind of pump.")
    displacement: OrUnknown[Volume] = Field(description="For each turn of the pump.")
    ratio: OrUnknown[GearRatio] = Field(description="Pump turns per engine turn, `1.25:1`.")
    slip: OrUnknown[PumpSlip] = Field(description="What slips back past the impeller.")
    inlet: End = Field(description="Suction end.")
    outlet: End = Field(description="Pressure end.")
    lowest_inlet: OrUnknown[Pressure] | None = Field(
        None, description="Lowest inlet pressure allowed, such as `-20 kPa gauge`."
    )
    highest_outlet: OrUnknown[Pressure] | None = Field(
        None, description="Highest outlet pressure allowed, such as `140 kPa gauge`."
    )
    full_flow_vacuum: OrUnknown[PressureDifference] | None = Field(
        None, description="Inlet vacuum up to which the flow is whole."
    )
    no_flow_vacuum: OrUnknown[PressureDifference] | None = Field(
        None, description="Inlet vacuum at which nothing flows any more."
    )
    impeller: str = Field("", description="Part number of the impeller.")


class SheetStep(OptionalEntry):
    """One step of the engine's own raw-water route: exactly one of its keys."""

    at: Name | None = Field(None, description="A connection point that the water passes.")
    pump: Name | None = Field(None, description="A pump, by its id.")
    cooler: Name | None = Field(None, description="A cooler, by its id.")
    hose: Hose | None = Field(None, description="A hose that comes with the engine.")

    @model_validator(mode="after")
    def _one_step(self) -> Self:
        given = [key for key in ("at", "pump", "cooler", "hose") if getattr(self, key) is not None]
        if len(given) != 1:
            refuse(f"{len(given)} steps in one entry", "one of `at`, `pump`, `cooler`, `hose`")
        return self


class SheetRawWater(Entry):
    """Raw water on the engine."""

    pumps: list[RawWaterPump] = Field(description="Raw-water pumps.")
    coolers: list[Cooler] = Field(description="Coolers.")
    route: Annotated[list[SheetStep], Field(min_length=1)] = Field(
        description="In the order the water takes."
    )


PartKind = Literal[
    "tank",
    "pump",
    "lift-pump",
    "filter",
    "water-separator",
    "injection-pump",
    "injector",
    "cooler",
    "valve",
    "jacket",
    "thermostat",
    "turbocharger",
    "sump",
    "expansion-tank",
    "header-tank",
    "heater",
    "exchanger",
    "cap",
    "manifold",
    "breather",
    "gear",
    "bearings",
    "calorifier",
    "fitting",
]
LineKind = Literal[
    "supply", "return", "leak-off", "vent", "drain", "bleed", "feed", "bypass", "fill"
]
CircuitSystem = Literal["coolant", "oil", "gear-oil", "fuel", "crankcase-vent"]


class CircuitPart(OptionalEntry):
    """A part of a coolant, oil or fuel circuit."""

    id: Name = Field(description="Short name that lines refer to.")
    kind: PartKind = Field(description="What it is.")
    name: Title = ""
    code: Code = ""
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    at: Point | None = Field(None, description="Position aboard.")
    volume: OrUnknown[Volume] | None = Field(None, description="What it holds when in use.")
    usable: OrUnknown[Fraction] | None = Field(None, description="Share of a tank one can draw.")
    fill_level: OrUnknown[Fraction] | None = Field(
        None, description="Share of its volume that is filled in use."
    )
    lowest: OrUnknown[Coordinate] | None = Field(
        None, description="Of a tank: height z of the lowest level that is drawn."
    )
    highest: OrUnknown[Coordinate] | None = Field(
        None, description="Of a tank: height z of the level when it is full."
    )
    loss: OrUnknown[Loss] | None = Field(None, description="Of a filter or valve, clean.")
    dirty_drop: OrUnknown[PressureDifference] | None = Field(
        None, description="Of a filter due for a change, at the flow of `loss`."
    )
    interlocked: Literal["yes", "no"] = Field(
        "no", description="Of a valve in a fuel return: whether it cannot shut while she runs."
    )
    means: str = Field("", description="What a person does there, such as `hand priming plunger`.")
    part_number: str = Field("", description="Part number of it or its insert.")
    change_every: str = Field("", description="How often it is changed.")
    find: Find = ""
    photos: Photos = []
    notes: Notes = ""

    @property
    def title(self) -> str:
        return self.name or self.id.replace("-", " ")


class CircuitLine(OptionalEntry):
    """A line between two parts or connection points."""

    id: Name = Field(description="Short name of the line.")
    kind: LineKind = Field(description="What the line is for.")
    from_: Reference = Field(alias="from", description="Part, or `ENGINE.CONNECTION`.")
    to: Reference = Field(description="Part, or `ENGINE.CONNECTION`.")
    bore: OrUnknown[Length] | None = Field(None, description="Inside diameter.")
    length: OrUnknown[Length] | None = Field(None, description="As run.")
    from_end: End | None = Field(None, description="Fitting at its start.")
    to_end: End | None = Field(None, description="Fitting at its end.")
    from_at: Point | None = Field(None, description="Where it starts.")
    to_at: Point | None = Field(None, description="Where it ends.")
    hose: OrUnknown[HoseKind] | None = Field(None, description="Kind of hose; left out for pipe.")
    place: Name | None = Field(None, description="The space it runs through (see `places`).")
    slope: Literal["falls", "rises", "level"] | None = Field(
        None, description="How it runs in the sense of its flow."
    )
    open_when: str = Field("", description="When it flows, if not always.")
    counted: Literal["yes", "no"] = Field(
        "yes", description="Whether its volume adds to the circuit; `no` if the part has it."
    )
    notes: Notes = ""


class Circuit(Entry):
    """Parts and lines of one fluid."""

    system: CircuitSystem = Field(description="Which fluid.")
    parts: list[CircuitPart] = Field([], description="Parts.")
    lines: list[CircuitLine] = Field([], description="Lines between them.")


class ThermostatPoint(Entry):
    """Where the thermostats open."""

    opens: OrUnknown[Temperature] = Field(description="Where they begin to open.")
    full_open: OrUnknown[Temperature] = Field(description="Where they are wholly open.")
    count: Count = Field(1, description="How many.")


RoutePiece.model_rebuild()
Branch.model_rebuild()
