"""Entries for pipes and hoses that sheets and vessels share: ends, raw-water pieces, circuits."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from installgen.spec.amounts import (
    Fraction,
    GearRatio,
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
from installgen.spec.entry import Entry, Name, OrUnknown, Point

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


class End(Entry):
    """The kind and size of one end of a fitting.

    A hose spigot, flange or flat face has a `size` (of the hose, of the bore); a threaded end
    has a `thread`. A nominal thread is not a bore: give `bore` where it matters.
    """

    kind: Literal["hose-spigot", "thread-male", "thread-female", "flange", "flat-face", "hose"]
    size: OrUnknown[Length] | None = Field(None, description="Hose bore it takes, or face bore.")
    thread: OrUnknown[ThreadSize] | None = Field(None, description="Such as `3/4 NPT`, `M22x1.5`.")
    bore: OrUnknown[Length] | None = Field(None, description="Clear bore through it.")
    flange: str = Field("", description="Flange standard and size.")

    @model_validator(mode="after")
    def _says_its_size(self) -> Self:
        threaded = self.kind.startswith("thread")
        if threaded and self.thread is None:
            _refuse("a threaded end without `thread`", "a thread", "thread: 3/4 NPT")
        if not threaded and self.size is None:
            _refuse(f"a {self.kind} without `size`", "its size", "size: 38 mm")
        return self


def _refuse(found: str, expected: str, instead: str = "") -> None:
    raise PydanticCustomError(
        "installgen_rule",
        "{found}{expected}{instead}",
        {"found": found, "expected": expected, "instead": instead},
    )


class Loss(Entry):
    """A measured loss: at this flow it takes this pressure."""

    flow: VolumeFlow
    drop: PressureDifference


class Fitting(Entry):
    """What every fitting in a raw-water route says of itself."""

    id: Name | None = Field(None, description="Short name, for other entries to refer to.")
    name: str = ""
    code: str = Field("", description="Code on its label.")
    at: Point | None = Field(
        None,
        description="Its outlet joint: x forward of the transom, "
        "y to port, z up from the static waterline.",
    )
    place: Name | None = None
    material: Material | None = None
    find: str = ""
    notes: str = ""


class Seacock(Fitting):
    """Through-hull and valve where raw water comes in."""

    bore: OrUnknown[Length]
    outlet: End | None = Field(None, description="Left out: a hose spigot of the same size.")
    open_loss: OrUnknown[Loss] | None = Field(None, description="Valve, grating and tail.")
    valve: Literal["ball", "gate", "tapered-plug"] = "ball"


class Hose(Fitting):
    """A run of hose."""

    bore: OrUnknown[Length]
    length: OrUnknown[Length]
    bends: int = Field(0, ge=0, le=20, description="Right-angle bends, or their equal.")
    kind: HoseKind = "hard-wall"
    clamps: Literal["single", "double"] | None = None
    fitted_when: dict[Name, Name | list[Name]] | None = None


class Strainer(Fitting):
    """Raw-water strainer."""

    ports: OrUnknown[Length] | None = Field(None, description="Hose bore of both ends, or")
    inlet: End | None = None
    outlet: End | None = None
    loss: OrUnknown[Loss]


class Valve(Fitting):
    """A valve in a run."""

    bore: OrUnknown[Length]
    kind: Literal["ball", "gate", "check"] = "ball"
    state: Literal["open", "closed"] = "open"


class Adapter(Fitting):
    """A reducer or adapter, with both of its ends."""

    inlet: End
    outlet: End


class VentedLoop(Fitting):
    """An anti-siphon loop; `at` is the top of its bend."""

    bore: OrUnknown[Length]
    vent: Literal["valve", "open-line"] = Field(description="Air valve, or bleed led overboard.")
    bleed: OrUnknown[VolumeFlow] | None = Field(None, description="Bleed of an open line.")


class FittedCooler(Fitting):
    """A cooler that the vessel adds to the engine's own."""

    inlet: End
    outlet: End
    loss: OrUnknown[Loss]
    duty: Literal["gear-oil", "fuel", "hydraulic-oil", "air"] = "gear-oil"


class EngineSection(Entry):
    """The engine's own raw-water route, or the part of it between two connection points."""

    from_: Name | None = Field(None, alias="from", description="Connection where water enters.")
    to: Name | None = Field(None, description="Connection where it leaves.")


class Injection(Fitting):
    """Where the raw water joins the exhaust."""

    inlet: End
    spray_loss: OrUnknown[Loss] | None = Field(None, description="Loss of the spray ring.")
    at: Point


class Discharge(Fitting):
    """An end of a branch: through the hull, or into a seal."""

    into: Literal["overboard", "shaft-seal", "open"]
    size: OrUnknown[Length]
    loss: OrUnknown[Loss] | None = None


class Branch(Entry):
    """A branch that leaves the route here."""

    id: Name
    name: str = ""
    outlet: End = Field(description="The branch's end of the tee.")
    route: Annotated[list[RoutePiece], Field(min_length=1)]


class RoutePiece(Entry):
    """One piece of a raw-water route: a mapping with exactly one key, or the word `engine`."""

    seacock: Seacock | None = None
    hose: Hose | None = None
    strainer: Strainer | None = None
    valve: Valve | None = None
    adapter: Adapter | None = None
    cooler: FittedCooler | None = None
    engine: EngineSection | None = None
    branch: Branch | None = None
    vented_loop: VentedLoop | None = None
    exhaust_injection: Injection | None = None
    discharge: Discharge | None = None

    @model_validator(mode="before")
    @classmethod
    def _bare_word(cls, value: Any) -> Any:
        return {"engine": {}} if value == "engine" else value

    @model_validator(mode="after")
    def _one_piece(self) -> Self:
        given = sorted(self.model_fields_set)
        if len(given) != 1:
            _refuse(
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


class Cooler(OptionalEntry):
    """A cooler of the engine sheet."""

    id: Name
    name: str
    code: str = ""
    cools: Literal["charge-air", "jacket", "engine-oil", "gear-oil", "fuel"]
    inlet: End
    outlet: End
    loss: OrUnknown[Loss] = Field(description="On the raw-water side.")
    material: Material | None = None
    clean_every: str = ""
    pattern: str = Field("", description="Part pattern, when several exist.")
    notes: str = ""


class PumpSlip(Entry):
    """What slips back past the impeller: free, and loaded at one stated point."""

    free: Fraction = Field(description="Share of the displacement lost against no pressure.")
    loaded: Fraction = Field(description="Share lost at the pressure and pump speed that follow.")
    pressure: PressureDifference = Field(description="Across the pump.")
    speed: RotationalSpeed = Field(description="Of the pump.")


class RawWaterPump(OptionalEntry):
    """The engine's raw-water pump."""

    id: Name
    name: str = "Raw-water pump"
    code: str = ""
    kind: Literal["flexible-impeller"]
    displacement: OrUnknown[Volume] = Field(description="For each turn of the pump.")
    ratio: OrUnknown[GearRatio] = Field(description="Pump turns per engine turn, `1.25:1`.")
    slip: OrUnknown[PumpSlip]
    inlet: End
    outlet: End
    lowest_inlet: OrUnknown[Pressure] | None = Field(
        None, description="Lowest inlet pressure allowed, such as `-20 kPa gauge`."
    )
    highest_outlet: OrUnknown[Pressure] | None = None
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
    pump: Name | None = None
    cooler: Name | None = None
    hose: Hose | None = None

    @model_validator(mode="after")
    def _one_step(self) -> Self:
        given = [key for key in ("at", "pump", "cooler", "hose") if getattr(self, key) is not None]
        if len(given) != 1:
            _refuse(f"{len(given)} steps in one entry", "one of `at`, `pump`, `cooler`, `hose`")
        return self


class SheetRawWater(Entry):
    """Raw water on the engine."""

    pumps: list[RawWaterPump]
    coolers: list[Cooler]
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

    id: Name
    kind: PartKind
    name: str = ""
    code: str = ""
    place: Name | None = None
    at: Point | None = None
    volume: OrUnknown[Volume] | None = Field(None, description="What it holds when in use.")
    usable: OrUnknown[Fraction] | None = Field(None, description="Share of a tank one can draw.")
    fill_level: OrUnknown[Fraction] | None = None
    means: str = Field("", description="What a person does there, such as `hand priming plunger`.")
    part_number: str = ""
    change_every: str = ""
    notes: str = ""

    @property
    def title(self) -> str:
        return self.name or self.id.replace("-", " ")


class CircuitLine(OptionalEntry):
    """A line between two parts or connection points."""

    id: Name
    kind: LineKind
    from_: str = Field(alias="from", description="Part, or `ENGINE.CONNECTION`.")
    to: str
    bore: OrUnknown[Length] | None = None
    length: OrUnknown[Length] | None = None
    from_end: End | None = None
    to_end: End | None = None
    from_at: Point | None = None
    to_at: Point | None = None
    hose: HoseKind | None = None
    place: Name | None = None
    slope: Literal["falls", "rises", "level"] | None = Field(
        None, description="How it runs in the sense of its flow."
    )
    open_when: str = Field("", description="When it flows, if not always.")
    counted: Literal["yes", "no"] = Field(
        "yes", description="Whether its volume adds to the circuit; `no` if the part has it."
    )
    notes: str = ""


class Circuit(Entry):
    """Parts and lines of one fluid."""

    system: CircuitSystem
    parts: list[CircuitPart] = []
    lines: list[CircuitLine] = []


class ThermostatPoint(Entry):
    """Where the thermostats open."""

    opens: OrUnknown[Temperature]
    full_open: OrUnknown[Temperature]
    count: int = 1


RoutePiece.model_rebuild()
Branch.model_rebuild()
