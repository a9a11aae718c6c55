"""A yard's standard: what it keeps in stock, what it assumes, what it requires."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from installgen.spec.amounts import (
    ConductorSize,
    Current,
    Fraction,
    GearRatio,
    Length,
    PressureDifference,
    Resistance,
    Temperature,
    TemperatureDifference,
    Time,
    Voltage,
)
from installgen.spec.entry import Entry, Name, OrUnknown

Severity = Literal["must", "should", "advice"]


class StandardIdentity(Entry):
    """Which standard this is."""

    id: Name
    name: str
    yard: str
    edition: str
    date: str


class CableStock(Entry):
    """One size of cable that the yard keeps."""

    size: ConductorSize
    insulation: Temperature
    strands: Literal["plain", "tinned"] = "tinned"
    studs: list[Length] = Field([], description="Studs for which the yard keeps its lugs.")


class FuseStock(Entry):
    """One family of fuses or breakers that the yard keeps."""

    type: str
    ratings: list[Current]
    interrupting: OrUnknown[Current] | None = None
    voltage: Voltage | None = Field(None, description="Highest system voltage it may be used at.")


class HoseStock(Entry):
    """One kind of hose that the yard keeps."""

    kind: str
    bores: list[Length]


class Stock(Entry):
    """What the yard keeps."""

    cables: list[CableStock] = []
    fuses: list[FuseStock] = []
    hoses: list[HoseStock] = []


class RestPoint(Entry):
    """Voltage at rest of one lead-acid cell, at a state of charge."""

    charge: Fraction
    cell: Voltage


class Assumptions(Entry):
    """Figures used where a spec gives none; every result that uses one is marked *assumed*."""

    joint_resistance: Resistance | None = Field(None, description="One crimped lug on a stud.")
    fuse_resistance: Resistance | None = None
    switch_resistance: Resistance | None = None
    contact_resistance: Resistance | None = Field(None, description="A relay's closed contact.")
    pin_resistance: Resistance | None = None
    spigot_stretch: Fraction | None = Field(
        None, description="How far a hose may be stretched over its spigot, of its bore."
    )
    hose_roughness: Length | None = None
    bend_radius: GearRatio | None = Field(None, description="Bend radius to bore, `1.5:1`.")
    ambient: Temperature | None = Field(None, description="Of spaces other than the engine's.")
    rest_voltage: list[RestPoint] | None = Field(
        None, description="Voltage at rest of a cell by its state of charge, at 25 °C."
    )
    cell_coefficient: Voltage | None = Field(
        None, description="Change of a cell's voltage at rest for each kelvin."
    )
    discharged_resistance: GearRatio | None = Field(
        None, description="Resistance of the weak battery to that of a full one, `1.5:1`."
    )
    weakest_charge: Fraction | None = Field(
        None, description="State of charge of the weak battery."
    )
    weakest_temperature: Temperature | None = None
    strongest_multiple: GearRatio | None = Field(
        None, description="Warm short-circuit current to the one found from CCA, `2.5:1`."
    )
    full_charge_current: Fraction | None = Field(
        None, description="Current a full battery accepts, as a share of its Ah."
    )
    closed_motor_drop: Voltage | None = None
    antifreeze_margin: TemperatureDifference | None = None
    exhaust_pressure: PressureDifference | None = Field(
        None, description="At the injection, where the vessel gives none."
    )
    alternator_hot_output: Fraction | None = None
    volumetric_efficiency: Fraction | None = None
    fuse_operate_margin: Fraction | None = None
    crank_time: Time | None = None


class Rule(Entry):
    """One rule: a named check with its limit."""

    check: Name = Field(description="Which check; `installgen check --help` lists them.")
    severity: Severity
    limit: str | None = Field(None, description="The figure with its unit, as the check asks.")
    circuit: str = Field("", description="Only for this class of circuit or system.")
    because: str = Field(description="The clause or reason it rests on.")


class RequiredItem(Entry):
    """Something every vessel of this yard must have or say."""

    item: str = Field(description="Path in the vessel spec, such as `lay_up.coldest`.")
    severity: Severity
    because: str


class Colour(Entry):
    """Colour of a conductor by what it does."""

    function: str
    colour: str
    source: str = ""


class StandardSpec(Entry):
    """A yard's standard."""

    format: Literal["1"]
    standard: StandardIdentity
    stock: Stock = Stock()
    assume: Assumptions = Assumptions()
    smallest_conductor: dict[Literal["sheathed", "open"], list[ConductorSize]] = Field(
        {}, description="Mechanical minimum, one size for each cable list."
    )
    fuse_load: Fraction | None = Field(None, description="Least rating to load, such as `125 %`.")
    fuse_ampacity: Fraction | None = Field(None, description="Largest rating to ampacity.")
    rules: Annotated[list[Rule], Field(min_length=1)]
    required: list[RequiredItem] = []
    colours: list[Colour] = []
