"""Entries for the hull around the engine: openings, air of the engine space, the sea trial."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from installgen.spec.amounts import (
    AirFlow,
    Area,
    BoatSpeed,
    FuelFlow,
    Length,
    PressureDifference,
    RotationalSpeed,
)
from installgen.spec.entry import Entry, OrUnknown, Point
from installgen.spec.photo_spec import Photos
from installgen.spec.texts import Code, DateText, Find, Name, Title


class Opening(Entry):
    """A hull opening that no raw-water route and no exhaust has."""

    id: Name = Field(description="Short name.")
    name: Title = ""
    code: Code = ""
    use: str = Field(description="What it is for, such as `bilge pump`.")
    bore: OrUnknown[Length] | None = Field(None, description="Clear bore.")
    at: Point | None = Field(
        None,
        description="x forward of the transom, y to port, z up from the static waterline.",
    )
    inside: Point | None = Field(
        None, description="Lowest place aboard that water could run to through it."
    )
    loop: Point | None = Field(None, description="Crown of its vented loop, if it has one.")
    valve: Literal["ball", "gate", "tapered-plug", "flap", "none"] | None = Field(
        None, description="Valve at the hull."
    )
    clamps: Literal["single", "double"] | None = Field(None, description="Clamps at each end.")
    plug: str = Field("", description="Where its softwood plug hangs.")
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    find: Find = ""
    photos: Photos = []


class AirOpening(Entry):
    """An opening through which air enters or leaves a space."""

    name: Title
    area: OrUnknown[Area] = Field(description="Clear area, grille and mesh taken off.")
    way: Literal["in", "out"] = Field(description="Which way the air goes.")
    at: Point | None = Field(None, description="Position aboard.")


class Blower(Entry):
    """A blower that moves air through a space."""

    name: Title
    flow: OrUnknown[AirFlow] = Field(description="As installed, not free air.")
    way: Literal["in", "out"] = Field(description="Whether it blows in or draws out.")
    runs: str = Field("", description="When it runs.")
    after_stop: Literal["yes", "no"] = Field(
        "no", description="Whether it runs on for a while after the engines have stopped."
    )


class AirSpace(Entry):
    """Air of one engine space."""

    place: Name = Field(description="The space (see `places`).")
    openings: list[AirOpening] = Field([], description="Openings to the outside.")
    blowers: list[Blower] = Field([], description="Blowers.")
    breathes_from: Literal["space", "outside"] = Field(
        "space", description="Where the engines take their combustion air."
    )
    largest_depression: OrUnknown[PressureDifference] | None = Field(
        None, description="That the openings may cost; left out, the standard's."
    )


class SeaTrial(Entry):
    """One run of the sea trial."""

    engine: Name | None = Field(None, description="The engine; left out where there is one.")
    throttle: Literal["full", "part"] = Field("part", description="Where its throttle stood.")
    speed: RotationalSpeed = Field(description="Engine speed that was read.")
    boat_speed: OrUnknown[BoatSpeed] | None = Field(None, description="Over a measured distance.")
    fuel: OrUnknown[FuelFlow] | None = Field(None, description="Burned, if it was measured.")
    date: DateText | None = Field(None, description="Date of the run.")
    loading: str = Field("", description="How she was loaded.")
