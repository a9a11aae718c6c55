"""Published electrical tables: conductors, protection, the starter's circuit, colours."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.tables.loader import Table, TableRow, load_table


@dataclass(frozen=True, kw_only=True)
class AwgAmpacity(TableRow):
    """Allowable current of one AWG size at one temperature rating of its insulation."""

    awg: str
    insulation_c: int
    ampacity_a: float


@dataclass(frozen=True, kw_only=True)
class MetricAmpacity(TableRow):
    """Allowable current of one metric size at one temperature rating of its insulation."""

    area_mm2: float
    insulation_c: int
    ampacity_a: float


@dataclass(frozen=True, kw_only=True)
class EngineSpaceFactor(TableRow):
    """What remains of an allowable current inside an engine space."""

    insulation_c: int
    factor_ratio: float


@dataclass(frozen=True, kw_only=True)
class BundlingFactor(TableRow):
    """What remains of an allowable current when conductors lie together; no end means and more."""

    conductors_from: int
    conductors_to: int | None
    factor_ratio: float


@dataclass(frozen=True, kw_only=True)
class AwgResistance(TableRow):
    """Resistance of a stranded AWG conductor; 1 kft is 304.8 m."""

    awg: str
    area_cmil: float
    uncoated_ohm_per_kft_at_75c: float
    coated_ohm_per_kft_at_75c: float


@dataclass(frozen=True, kw_only=True)
class SaeCable(TableRow):
    """Copper area of an SAE cable size."""

    sae: str
    area_cmil: float


@dataclass(frozen=True, kw_only=True)
class MetricResistance(TableRow):
    """Largest resistance a class 5 conductor may have."""

    area_mm2: float
    plain_ohm_per_km_at_20c: float
    tinned_ohm_per_km_at_20c: float


@dataclass(frozen=True, kw_only=True)
class ConductorMinimum(TableRow):
    """Smallest conductor allowed whatever its current."""

    system: str
    in_sheath: bool
    area_mm2: float
    printed: str


@dataclass(frozen=True, kw_only=True)
class BreakerCapacity(TableRow):
    """Interrupting capacity a breaker needs, by the cranking current of the batteries."""

    cca_above_a: float
    cca_to_a: float
    main_a: float
    branch_a: float


@dataclass(frozen=True, kw_only=True)
class DevicePosition(TableRow):
    """How far from its source a protective device may sit, and on what conditions."""

    rule: str
    limit_in: float
    sheathed_all_the_way: bool
    straight_from_battery: bool


@dataclass(frozen=True, kw_only=True)
class AdiabaticFactor(TableRow):
    """Factor k of the short-circuit heating of copper."""

    insulation: str
    initial_c: float
    final_c: float
    k_a_sqrt_s_per_mm2: float


@dataclass(frozen=True, kw_only=True)
class DcColour(TableRow):
    """One colour that is in use for one function."""

    function: str
    colour: str


@dataclass(frozen=True, kw_only=True)
class StarterCircuitLimit(TableRow):
    """Largest resistance of the whole starter circuit."""

    standard: str
    nominal_v: int
    duty: str
    limit_milliohm: float


@dataclass(frozen=True, kw_only=True)
class CrankingDropLimit(TableRow):
    """Largest drop over one part of the starter circuit while cranking."""

    part: str
    limit_v: float


def awg_ampacities() -> Table[AwgAmpacity]:
    """33 CFR 183.425 Table 5."""
    return load_table("ampacity_awg", AwgAmpacity)


def recalled_metric_ampacities() -> Table[MetricAmpacity]:
    """The small-craft ISO table as recalled: never used alone."""
    return load_table("ampacity_metric", MetricAmpacity)


def awg_engine_space_factors() -> Table[EngineSpaceFactor]:
    """33 CFR 183.425 Table 5 note 1."""
    return load_table("engine_space_factor_awg", EngineSpaceFactor)


def recalled_metric_engine_space_factors() -> Table[EngineSpaceFactor]:
    """The engine-room factors of the small-craft ISO table as recalled."""
    return load_table("engine_space_factor_metric", EngineSpaceFactor)


def bundling_factors() -> Table[BundlingFactor]:
    """33 CFR 183.425 Table 5 note 2."""
    return load_table("bundling_factor", BundlingFactor)


def awg_resistances() -> Table[AwgResistance]:
    """NFPA 70, Chapter 9, Table 8, stranded rows."""
    return load_table("resistance_awg", AwgResistance)


def sae_cables() -> Table[SaeCable]:
    """SAE J1127 and J1128 conductor areas."""
    return load_table("sae_cable", SaeCable)


def metric_resistances() -> Table[MetricResistance]:
    """IEC 60228 class 5."""
    return load_table("resistance_metric_class5", MetricResistance)


def conductor_minimums() -> Table[ConductorMinimum]:
    """33 CFR 183.425 (d) to (f) and ISO 10133 7.7."""
    return load_table("conductor_minimum", ConductorMinimum)


def breaker_capacities() -> Table[BreakerCapacity]:
    """ABYC E-11 Table V.A."""
    return load_table("breaker_capacity", BreakerCapacity)


def device_positions() -> Table[DevicePosition]:
    """33 CFR 183.455 (b) and 183.460 (a)."""
    return load_table("device_position", DevicePosition)


def adiabatic_factors() -> Table[AdiabaticFactor]:
    """IEC 60364-5-54 and BS 7671 k factors."""
    return load_table("adiabatic_factor", AdiabaticFactor)


def dc_colours() -> Table[DcColour]:
    """Colours by function, as practice."""
    return load_table("dc_colours", DcColour)


def starter_circuit_limits() -> Table[StarterCircuitLimit]:
    """SAE J541 and SAE J3053."""
    return load_table("starter_circuit_limit", StarterCircuitLimit)


def cranking_drop_limits() -> Table[CrankingDropLimit]:
    """Cranking test limits by part of the circuit."""
    return load_table("cranking_drop_limit", CrankingDropLimit)
