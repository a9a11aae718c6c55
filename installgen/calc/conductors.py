"""Copper conductors: size, resistance, voltage drop and the circular-mil check line.

Three systems of sizes stand side by side, mm², AWG and SAE; no function turns one into another.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from installgen.errors import OutOfRange, OutOfTable
from installgen.tables.electrical import (
    awg_resistances,
    conductor_minimums,
    metric_resistances,
    sae_cables,
)
from installgen.tables.loader import Mark

COPPER_RESISTIVITY_OHM_MM2_PER_M = 1 / 58
"""Annealed copper at 20 °C. Source: IEC 60028."""

COPPER_TEMPERATURE_COEFFICIENT_PER_K = 0.00393
"""Of resistance, referred to 20 °C. Source: IEC 60028 (the figure from memory)."""

STRANDING_RATIO = 1.02
"""Resistance of a stranded conductor over that of a solid one of equal copper.

Source: DERIVED from the stranded and solid rows of NFPA 70, Chapter 9, Table 8 (1.018 to 1.026).
"""

MM2_PER_CIRCULAR_MIL = math.pi / 4 * 0.0254**2
"""A circular mil is the area of a circle of 0.001 in diameter."""

METRES_PER_FOOT = 0.3048

_AWG_NUMBERS = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}


class SizeSystem(StrEnum):
    """The three systems in which conductors are sold; never exchanged for one another."""

    METRIC = "mm²"
    AWG = "AWG"
    SAE = "SAE"


class Finish(StrEnum):
    """Surface of the copper strands."""

    PLAIN = "plain"
    TINNED = "tinned"


@dataclass(frozen=True)
class ConductorSize:
    """One size as the trade names it: `2/0` in AWG, `2/0` in SAE, `70` in mm².

    designation: AWG and SAE as `18` … `1`, `1/0` … `4/0`; metric as the nominal area [mm²]
    """

    system: SizeSystem
    designation: str

    def __str__(self) -> str:
        return f"{self.designation} {self.system}"


@dataclass(frozen=True)
class SizeResistance:
    """Resistance of a size per length at 20 °C, with where the figure comes from."""

    ohm_per_m_20c: float
    source: str
    mark: Mark


def metric(area_mm2: float) -> ConductorSize:
    """The metric size of this nominal area [mm²]."""
    return ConductorSize(SizeSystem.METRIC, f"{area_mm2:g}")


def awg(designation: str) -> ConductorSize:
    """The AWG size of this number, such as `10` or `2/0`."""
    return ConductorSize(SizeSystem.AWG, designation)


def sae(designation: str) -> ConductorSize:
    """The SAE cable size of this number, such as `10` or `2/0`."""
    return ConductorSize(SizeSystem.SAE, designation)


def awg_diameter_mm(designation: str) -> float:
    """Diameter of a solid AWG conductor.

    d = 0.127 mm · 92^((36 − n) / 39), with n = 0 for 1/0 and −3 for 4/0

    designation: `40` … `1`, `1/0` … `4/0`
    Returns the diameter [mm]. Raises OutOfTable for any other size.
    Source: ASTM B258.
    """
    number = _AWG_NUMBERS.get(designation)
    if number is None and designation.isdecimal() and 1 <= int(designation) <= 40:
        number = int(designation)
    if number is None or (designation.isdecimal() and designation != str(number)):
        raise OutOfTable("ASTM B258", f"AWG size {designation!r}", "40 to 1 and 1/0 to 4/0")
    return 0.127 * math.pow(92, (36 - number) / 39)


def area_mm2(size: ConductorSize) -> float:
    """Copper area of a size: nominal (mm²), of the solid wire (AWG), or the least allowed (SAE).

    A = π/4 · d² for AWG

    Returns the area [mm²]. Raises OutOfTable for a size its system does not have.
    Source: IEC 60228; ASTM B258; SAE J1127 and J1128.
    """
    match size.system:
        case SizeSystem.METRIC:
            nominal = _nominal_area_mm2(size.designation)
            return metric_resistances().row(area_mm2=nominal).area_mm2
        case SizeSystem.AWG:
            return math.pi / 4 * awg_diameter_mm(size.designation) ** 2
        case SizeSystem.SAE:
            return sae_cables().row(sae=size.designation).area_cmil * MM2_PER_CIRCULAR_MIL


def area_cmil(size: ConductorSize) -> float:
    """Copper area of a size [circular mil]; see `area_mm2`."""
    return area_mm2(size) / MM2_PER_CIRCULAR_MIL


def size_resistance(size: ConductorSize, finish: Finish = Finish.PLAIN) -> SizeResistance:
    """Resistance of a size per length at 20 °C.

    mm²: the largest that class 5 allows. AWG: the published stranded figure for 75 °C, brought to
    20 °C. SAE: ρ · 1.02 / A of its least copper area, 1.02 for stranding.

    finish: tinned strands have a published figure of their own in mm² and AWG
    Returns the resistance per length [ohm/m] at 20 °C with its source and mark.
    Raises OutOfTable for a size without a figure; SAE cable has one for plain copper only.
    Source: IEC 60228 class 5; NFPA 70, Chapter 9, Table 8; IEC 60028.
    """
    tinned = finish is Finish.TINNED
    match size.system:
        case SizeSystem.METRIC:
            flexible = metric_resistances().row(area_mm2=_nominal_area_mm2(size.designation))
            ohm_per_km = (
                flexible.tinned_ohm_per_km_at_20c if tinned else flexible.plain_ohm_per_km_at_20c
            )
            return SizeResistance(ohm_per_km / 1000, flexible.source, flexible.mark)
        case SizeSystem.AWG:
            stranded = awg_resistances().row(awg=size.designation)
            ohm_per_kft = (
                stranded.coated_ohm_per_kft_at_75c
                if tinned
                else stranded.uncoated_ohm_per_kft_at_75c
            )
            ohm_per_m = ohm_per_kft / (1000 * METRES_PER_FOOT) / temperature_ratio(75.0)
            return SizeResistance(ohm_per_m, stranded.source, stranded.mark)
        case SizeSystem.SAE:
            if tinned:
                raise OutOfTable("SAE cable", f"{size}, tinned", "plain copper")
            ohm_per_m = COPPER_RESISTIVITY_OHM_MM2_PER_M * STRANDING_RATIO / area_mm2(size)
            cable = sae_cables().row(sae=size.designation)
            source = f"ρ · {STRANDING_RATIO} / A with IEC 60028 copper; A: {cable.source}"
            return SizeResistance(ohm_per_m, source, cable.mark)


def temperature_ratio(temperature_c: float) -> float:
    """Resistance of copper at a temperature over that at 20 °C.

    R / R20 = 1 + α · (T − 20 °C), α = 0.00393 /K

    temperature_c: of the conductor itself [°C]
    Returns the ratio. Raises OutOfRange outside −50 to 250 °C.
    Source: IEC 60028.
    """
    if not -50 <= temperature_c <= 250:
        raise OutOfRange("the conductor temperature", f"{temperature_c:g} °C", "−50 to 250 °C")
    return 1 + COPPER_TEMPERATURE_COEFFICIENT_PER_K * (temperature_c - 20)


def conductor_resistance_ohm(
    size: ConductorSize, length_m: float, temperature_c: float, finish: Finish = Finish.PLAIN
) -> float:
    """Resistance of one conductor, one way.

    R(T) = r20 · L · (1 + α · (T − 20 °C))

    length_m: of this conductor alone, not there and back [m]
    temperature_c: of the conductor at work [°C]
    Returns the resistance [ohm]. Raises OutOfTable, OutOfRange.
    Source: see `size_resistance` and `temperature_ratio`.
    """
    if not (math.isfinite(length_m) and length_m >= 0):
        raise OutOfRange("the conductor length", f"{length_m:g} m", "0 m and more")
    return size_resistance(size, finish).ohm_per_m_20c * length_m * temperature_ratio(temperature_c)


def voltage_drop_v(current_a: float, resistance_ohm: float) -> float:
    """Voltage lost along a conductor.

    dV = I · R

    current_a: steady current [A]
    resistance_ohm: at the conductor's working temperature [ohm]
    Returns the drop [V].
    Source: Ohm's law.
    """
    return current_a * resistance_ohm


def circular_mils_for_drop(
    current_a: float, round_trip_m: float, drop_v: float, k_ohm_cmil_per_ft: float = 10.75
) -> float:
    """Copper area at which a circuit loses a given voltage: a check line, never what governs.

    CM = K · I · L / E

    current_a: [A]
    round_trip_m: source to load and back [m]
    drop_v: the loss allowed [V]
    k_ohm_cmil_per_ft: K; 10.75 is copper at 29 °C, `copper_k_ohm_cmil_per_ft` gives others
    Returns the area [circular mil]. Raises OutOfRange for a drop that is not above zero.
    Source: ABYC E-11 (quoted on secondary pages).
    """
    if not drop_v > 0:
        raise OutOfRange("the voltage drop allowed", f"{drop_v:g} V", "more than 0 V")
    return k_ohm_cmil_per_ft * current_a * (round_trip_m / METRES_PER_FOOT) / drop_v


def copper_k_ohm_cmil_per_ft(temperature_c: float) -> float:
    """K of the circular-mil formula for solid copper at a temperature.

    K = ρ · (1 + α · (T − 20 °C)), in ohm·circular mil per foot

    temperature_c: of the conductor [°C]
    Returns K [ohm·cmil/ft]. Raises OutOfRange.
    Source: DERIVED from IEC 60028.
    """
    resistivity = COPPER_RESISTIVITY_OHM_MM2_PER_M * temperature_ratio(temperature_c)
    return resistivity / MM2_PER_CIRCULAR_MIL * METRES_PER_FOOT


def small_craft_drop_v(current_a: float, round_trip_m: float, area_mm2: float) -> float:
    """Voltage drop by the small-craft rule of thumb: a check line, about copper at 8 °C.

    E = 0.0164 · I · L / S

    current_a: [A]; round_trip_m: source to load and back [m]; area_mm2: nominal area [mm²]
    Returns the drop [V]. Raises OutOfRange for an area that is not above zero.
    Source: ISO 10133 annex (attribution from memory; the formula read on a secondary page).
    """
    if not area_mm2 > 0:
        raise OutOfRange("the conductor area", f"{area_mm2:g} mm²", "more than 0 mm²")
    return 0.0164 * current_a * round_trip_m / area_mm2


@dataclass(frozen=True)
class MinimumSize:
    """The mechanical minimum that applies to a conductor, and whether its size meets it."""

    met: bool
    printed: str
    source: str
    mark: Mark


def mechanical_minimum(size: ConductorSize, in_sheath: bool) -> MinimumSize:
    """Whether a conductor is thick enough to last, whatever its current.

    SAE cable has no rule of its own: it needs no less copper than the AWG rule asks.

    in_sheath: one of several conductors inside a common sheath; else it is installed separately
    Returns the rule and whether it is met. Raises OutOfTable for an unknown size.
    Source: 33 CFR 183.425 (d) to (f); ISO 10133 7.7.
    """
    system = SizeSystem.METRIC if size.system is SizeSystem.METRIC else SizeSystem.AWG
    rule = conductor_minimums().row(system=str(system), in_sheath=in_sheath)
    # The rule's area is printed to three decimals; the AWG size it names must meet it.
    met = area_mm2(size) >= rule.area_mm2 * 0.999
    return MinimumSize(met, rule.printed, rule.source, rule.mark)


def _nominal_area_mm2(designation: str) -> float:
    try:
        return float(designation)
    except ValueError:
        raise OutOfTable("IEC 60228", f"area {designation!r}", "areas in mm²") from None
