"""A yard's standard: what it keeps in stock, what it assumes, what it requires."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

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
    ThreadSize,
    Time,
    Torque,
    Viscosity,
    Voltage,
)
from installgen.spec.entry import Entry, OrUnknown
from installgen.spec.maintenance_spec import YardTask
from installgen.spec.piping import refuse
from installgen.spec.texts import DateText, Name, Title

MOST_WASTE = 0.9

Severity = Literal["must", "should", "advice"]
RuleSeverity = Literal["must", "should", "advice", "not-used"]
RoleName = Literal["builder", "installer", "electrician", "checker", "surveyor", "owner"]


class StandardIdentity(Entry):
    """Which standard this is."""

    id: Name = Field(description="The same as the file's name.")
    name: Title
    yard: str = Field(description="Whose standard it is.")
    edition: str = Field(description="Edition.")
    date: DateText = Field(description="Date of this edition.")


class CableStock(Entry):
    """One size of cable that the yard keeps."""

    size: ConductorSize = Field(description="Conductor size.")
    insulation: Temperature = Field(description="Temperature rating of its insulation.")
    strands: Literal["plain", "tinned"] = Field("tinned", description="Plain or tinned copper.")
    studs: list[Length] = Field([], description="Studs for which the yard keeps its lugs.")


class TimeCurrentPoint(Entry):
    """One point of a family's time–current curve."""

    at: GearRatio = Field(description="Current, as a multiple of the rating: `2:1`.")
    shortest: Time = Field(description="Opening time of the fastest device.")
    longest: Time = Field(description="Opening time of the slowest device.")


class FuseStock(Entry):
    """One family of fuses or breakers that the yard keeps."""

    type: str = Field(description="Name of the family, as vessels write it in `type`.")
    ratings: list[Current] = Field(description="Ratings the yard keeps.")
    interrupting: OrUnknown[Current] | None = Field(
        None, description="Largest current they can break."
    )
    voltage: Voltage | None = Field(None, description="Highest system voltage it may be used at.")
    holds: GearRatio | None = Field(
        None, description="Current that it carries for ever, as a multiple of its rating: `1.1:1`."
    )
    curve: list[TimeCurrentPoint] | None = Field(
        None, description="Its maker's time–current curve, in rising current."
    )


class HoseStock(Entry):
    """One kind of hose that the yard keeps."""

    kind: str = Field(description="Kind of hose.")
    bores: list[Length] = Field(description="Bores the yard keeps.")


class Stock(Entry):
    """What the yard keeps."""

    cables: list[CableStock] = Field([], description="Cables.")
    fuses: list[FuseStock] = Field([], description="Fuses and breakers.")
    hoses: list[HoseStock] = Field([], description="Hoses.")
    leave_out: list[str] = Field(
        [], description="Of the standard it builds on: sizes, types and kinds not kept here."
    )

    def family(self, fuse_type: str) -> FuseStock | None:
        """The family of fuses of that name, large and small letters alike."""
        wanted = fuse_type.casefold()
        return next((one for one in self.fuses if one.type.casefold() == wanted), None)


class RestPoint(Entry):
    """Voltage at rest of one lead-acid cell, at a state of charge."""

    charge: Fraction = Field(description="State of charge.")
    cell: Voltage = Field(description="Voltage of one cell at rest.")


class ColdFuel(Entry):
    """The thickest fuel that suction and return lines are judged with."""

    at: Temperature = Field(description="The coldest that fuel in a tank may be.")
    viscosity: Viscosity = Field(description="Its kinematic viscosity there, such as `17 mm²/s`.")


class Assumptions(Entry):
    """Figures used where a spec gives none; every result that uses one is marked *assumed*."""

    joint_resistance: Resistance | None = Field(None, description="One crimped lug on a stud.")
    fuse_resistance: Resistance | None = Field(
        None, description="A fuse or breaker with its holder."
    )
    switch_resistance: Resistance | None = Field(None, description="A closed switch or isolator.")
    contact_resistance: Resistance | None = Field(None, description="A relay's closed contact.")
    pin_resistance: Resistance | None = Field(None, description="One mated pair of pins.")
    spigot_stretch: Fraction | None = Field(
        None, description="How far a hose may be stretched over its spigot, of its bore."
    )
    hose_roughness: Length | None = Field(None, description="Of raw-water hose.")
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
    weakest_temperature: Temperature | None = Field(
        None, description="Temperature of the weak battery."
    )
    strongest_multiple: GearRatio | None = Field(
        None, description="Warm short-circuit current to the one found from CCA, `2.5:1`."
    )
    full_charge_current: Fraction | None = Field(
        None, description="Current a full battery accepts, as a share of its Ah."
    )
    bulk_charge_current: Fraction | None = Field(
        None, description="Current a discharged battery accepts, as a share of its Ah."
    )
    charge_ratio: GearRatio | None = Field(
        None, description="Charge put into a battery to charge taken out, `1.15:1`."
    )
    run_allowance: Fraction | None = Field(
        None,
        description="Added to the way between two positions, where a conductor's length is left "
        "out and estimated.",
    )
    fast_clearing: Time | None = Field(
        None, description="Longest time in which a fuse that opens counts as fast."
    )
    closed_motor_drop: Voltage | None = Field(
        None, description="Voltage over a motor's closed contacts."
    )
    antifreeze_margin: TemperatureDifference | None = Field(
        None, description="How far below the coldest lay-up the coolant must freeze."
    )
    exhaust_pressure: PressureDifference | None = Field(
        None, description="At the injection, where the vessel gives none."
    )
    aft_scoop_suction: Fraction | None = Field(
        None,
        description="Of the stagnation pressure, what headway takes away at a scoop that faces "
        "aft, where its maker says nothing.",
    )
    cold_fuel: ColdFuel | None = Field(None, description="Fuel at its thickest.")
    strainer_fouling: GearRatio | None = Field(
        None, description="Loss of a fouled strainer to that of a clean one, `3:1`."
    )
    impeller_wear: GearRatio | None = Field(
        None, description="Slip of a worn impeller to that of a new one, `1.5:1`."
    )
    exchanger_fouling: Fraction | None = Field(
        None, description="Share of an exchanger's conductance that fouling takes."
    )
    antifreeze_ceiling: Fraction | None = Field(
        None, description="Most antifreeze in the coolant, where its maker says nothing."
    )
    filling_temperature: Temperature | None = Field(None, description="Of coolant as it is filled.")
    riser_aeration: Fraction | None = Field(
        None, description="Density of the column in an exhaust riser to that of water, at rated."
    )
    exhaust_slip: GearRatio | None = Field(
        None, description="Velocity of gas to that of water in a falling exhaust hose, `3:1`."
    )
    outside_air: Temperature | None = Field(None, description="Hottest outside air.")
    space_depression: PressureDifference | None = Field(
        None, description="That air openings of an engine space may cost."
    )
    opening_coefficient: Fraction | None = Field(
        None, description="Flow through a clear opening to that of a perfect one."
    )
    alternator_loss: Fraction | None = Field(
        None, description="Share of its shaft power that an alternator turns into heat."
    )
    alternator_hot_output: Fraction | None = Field(
        None, description="Hot output to the curve of a cold one."
    )
    volumetric_efficiency: Fraction | None = Field(
        None, description="Air taken to air swept, where a sheet gives no air."
    )
    fuse_operate_margin: Fraction | None = Field(
        None, description="Current over rating at which a fuse is sure to operate."
    )
    crank_time: Time | None = Field(None, description="One attempt to start.")


class FaultWeights(Entry):
    """How likely one kind of part is to be at fault beside another: plain numbers.

    Left out, the weights of common practice are taken.
    """

    battery: float = Field(4.0, ge=0, description="A battery.")
    fuse: float = Field(8.0, ge=0, description="Its holder is the usual suspect.")
    pin: float = Field(4.0, ge=0, description="A pin of a plug.")
    joint: float = Field(2.0, ge=0, description="The lugs of a conductor.")
    conductor: float = Field(0.5, ge=0, description="A conductor between its lugs.")
    switch: float = Field(2.0, ge=0, description="A switch or isolator.")
    relay: float = Field(3.0, ge=0, description="A relay, its coil or a contact.")
    device: float = Field(1.0, ge=0, description="Everything else: windings, motors, lamps.")


class Rule(Entry):
    """One rule: a named check with its limit."""

    check: Name = Field(description="Which check; `installgen check --list` describes them.")
    severity: RuleSeverity = Field(
        description="`must` holds back the hand-over; `should` and `advice` do not; `not-used` "
        "drops a rule of the standard this one builds on."
    )
    limit: str | None = Field(None, description="The figure with its unit, as the check asks.")
    near: Fraction | None = Field(
        None, description="A figure this near to its limit, or nearer, passes with a caution."
    )
    circuit: str = Field("", description="Only for this class of circuit or system.")
    because: str = Field(description="The clause or reason it rests on.")
    exemption: Literal["allowed", "never"] = Field(
        "allowed", description="Whether a vessel may claim an exemption from it."
    )


class RequiredItem(Entry):
    """Something every vessel of this yard must have or say."""

    item: str = Field(description="Path in the vessel spec, such as `lay_up.coldest`.")
    severity: Severity = Field(description="`must` holds back the hand-over.")
    because: str = Field(description="The clause or reason it rests on.")


class Colour(Entry):
    """Colour of a conductor by what it does."""

    function: str = Field(description="What the conductor does, as vessels write it in `function`.")
    colour: str = Field(description="Colour by name.")
    source: str = Field("", description="Where it comes from.")


class LabelForm(Entry):
    """How a label is written."""

    of: Literal["conductor", "device", "connection"] = Field(description="What carries the label.")
    parts: list[str] = Field(
        description="In order: `letter`, `letters`, `digit`, `digits`, or the very text."
    )
    longest: int | None = Field(None, ge=1, description="Most signs that its sleeve has room for.")


class TorqueRow(Entry):
    """Torque of a thread where nothing else is stated."""

    thread: ThreadSize = Field(description="Such as `M10x1.5`.")
    torque: Torque = Field(description="What it is tightened to.")
    on: str = Field("", description="What it is on, such as `copper lugs`.")
    source: str = Field(description="Where the figure comes from.")


class ChecklistItem(Entry):
    """A step that somebody does and signs before the vessel is handed over."""

    step: str = Field(description="What is done, as a sentence.")
    system: str = Field("", description="System it belongs to.")
    role: RoleName | None = Field(None, description="Who signs it.")
    because: str = Field("", description="Why it is done.")


class CutAllowance(Entry):
    """What is cut besides the finished length, and what is bought besides what is cut."""

    of: Literal["hose", "fuel-hose", "exhaust-hose", "conductor"] = Field(
        description="What is cut."
    )
    up_to: ConductorSize | None = Field(
        None, description="Of conductors: up to this size; left out, any that no other row takes."
    )
    each_end: Length = Field(description="Added at each end, for trimming and crimping.")
    slack: Fraction | None = Field(None, description="Added to the run, as a share of it.")
    waste: Fraction = Field(description="Off-cuts, as a share of what is bought of one size.")
    because: str = Field(description="The clause or reason it rests on.")

    @model_validator(mode="after")
    def _leaves_something(self) -> Self:
        if self.waste.ratio > MOST_WASTE:
            refuse(f"waste of {self.waste}", "at most 90 %")
        return self


class StandardSpec(Entry):
    """A yard's standard."""

    format: Literal["1"] = Field(description="Always `1`.")
    standard: StandardIdentity = Field(description="Which standard this is.")
    builds_on: Name | None = Field(
        None, description="Another standard; whatever this one does not say is taken from it."
    )
    stock: Stock = Field(Stock(), description="What the yard keeps.")
    assume: Assumptions = Field(Assumptions(), description="Figures used where a spec gives none.")
    smallest_conductor: dict[Literal["sheathed", "open"], list[ConductorSize]] = Field(
        {}, description="Mechanical minimum, one size for each cable list."
    )
    fuse_load: Fraction | None = Field(None, description="Least rating to load, such as `125 %`.")
    fuse_ampacity: Fraction | None = Field(None, description="Largest rating to ampacity.")
    fault_weights: FaultWeights = Field(
        FaultWeights(), description="How likely each kind of part is to be at fault."
    )
    rules: list[Rule] = Field([], description="What is checked, and how severely.")
    required: list[RequiredItem] = Field([], description="What every vessel must have or say.")
    colours: list[Colour] = Field([], description="Colours by function.")
    labels: list[LabelForm] = Field([], description="How labels are written.")
    torques: list[TorqueRow] = Field([], description="Torques where nothing else is stated.")
    checklist: list[ChecklistItem] = Field([], description="Steps signed before hand-over.")
    cut_allowances: list[CutAllowance] = Field(
        [], description="What is cut and bought besides the finished length."
    )
    maintenance: list[YardTask] = Field(
        [], description="What is done at intervals to parts that the yard fits."
    )
    exemption_roles: list[RoleName] = Field(
        [], description="Roles that may claim an exemption; left out, all."
    )
