"""Batteries: EMF, internal resistance, the weakest and the strongest model, what they accept."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.calc.curve import Curve
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import OutOfRange


@dataclass(frozen=True)
class CrankingTest:
    """The test that a cold cranking current is stated for.

    name: of the standard
    cell_voltage_v: least voltage of each cell at the end [V]
    duration_s: for which the current is drawn [s]
    temperature_c: of the battery, full and new [degC]
    """

    name: str
    cell_voltage_v: float
    duration_s: float
    temperature_c: float


SAE_J537 = CrankingTest("SAE J537", 1.2, 30.0, -18.0)
"""7.2 V at the end of 30 s at -18 C for a battery of six cells (SAE J537, cold cranking test)."""


@dataclass(frozen=True)
class BatteryModel:
    """EMF behind a resistance.

    emf_v: voltage at rest [V]
    resistance_ohm: internal [ohm]
    basis: where the resistance comes from, in words
    """

    emf_v: float
    resistance_ohm: float
    basis: str

    def __post_init__(self) -> None:
        more_than_zero("the EMF of a battery", self.emf_v, "V")
        more_than_zero("the internal resistance of a battery", self.resistance_ohm, "ohm")

    @property
    def short_circuit_current_a(self) -> float:
        """EMF / R, into a bolted short at its terminals [A]."""
        return self.emf_v / self.resistance_ohm


def emf_v(
    cell_emf: Curve,
    charge_percent: float,
    cells: int,
    temperature_c: float,
    *,
    curve_temperature_c: float,
    cell_coefficient_v_per_k: float,
) -> float:
    """EMF at a state of charge and temperature.

    EMF = cells * (curve(charge) + coefficient * (T - T_curve))

    cell_emf: voltage at rest of one cell over the state of charge in percent [V]
    charge_percent: state of charge, within the curve [%]
    cells: in series [-]
    temperature_c: of the electrolyte [degC]
    curve_temperature_c: at which the curve holds [degC]
    cell_coefficient_v_per_k: change of a cell's EMF with temperature [V/K]
    Returns the EMF [V].
    Raises OutOfTable outside the curve.
    Source: linear temperature coefficient of a cell, common practice; the curve is the maker's.
    """
    more_than_zero("the number of cells", cells, "")
    warmer_k = temperature_c - curve_temperature_c
    return cells * (cell_emf.at(charge_percent) + cell_coefficient_v_per_k * warmer_k)


def resistance_from_cca_ohm(
    emf_full_v: float, cold_cranking_a: float, cells: int, test: CrankingTest = SAE_J537
) -> float:
    """Internal resistance of a full battery at the temperature of its cranking test.

    R = (EMF - cells * V_cell) / CCA

    emf_full_v: EMF when full [V]
    cold_cranking_a: the stated current [A]
    cells: in series [-]
    test: its basis; the same current means another resistance by another test
    Returns the resistance; a warm battery has less, so this overstates the drop of a warm one and
    understates its short-circuit current [ohm].
    Raises OutOfRange where the EMF is not above the test's voltage.
    Source: SAE J537, cold cranking test; a straight line from EMF to the test's end.
    """
    end_v = cells * test.cell_voltage_v
    more_than_zero("the cold cranking current", cold_cranking_a, "A")
    if not emf_full_v > end_v:
        raise OutOfRange("the EMF of a full battery", f"{emf_full_v:g} V", f"above {end_v:g} V")
    return (emf_full_v - end_v) / cold_cranking_a


def weakest_model(
    emf_full_v: float,
    emf_weak_v: float,
    cold_cranking_a: float,
    cells: int,
    temperature_c: float,
    discharged_ratio: float,
    test: CrankingTest = SAE_J537,
) -> BatteryModel:
    """Cold and discharged: for voltages and the least fault current.

    R = discharged_ratio * (EMF_full - cells * V_cell) / CCA

    emf_full_v: EMF when full, as in the test [V]
    emf_weak_v: EMF at the state of charge and temperature considered, see `emf_v` [V]
    cold_cranking_a: the stated current [A]
    cells: in series [-]
    temperature_c: considered; not below the test's [degC]
    discharged_ratio: resistance at that state of charge over that of the full battery, 1 and more
    test: basis of the cold cranking current
    Returns the model; at temperatures above the test's its resistance is on the safe side.
    Raises OutOfRange below the temperature of the test.
    Source: SAE J537; the ratio is the maker's or the yard's.
    """
    if temperature_c < test.temperature_c:
        raise OutOfRange(
            "the temperature of the battery",
            f"{temperature_c:g} C",
            f"{test.temperature_c:g} C and more, where {test.name} was made",
        )
    if not discharged_ratio >= 1.0:
        raise OutOfRange("the ratio of a discharged battery", f"{discharged_ratio:g}", "1 and more")
    full_ohm = resistance_from_cca_ohm(emf_full_v, cold_cranking_a, cells, test)
    return BatteryModel(
        emf_weak_v,
        full_ohm * discharged_ratio,
        f"cold cranking current by {test.name}, discharged",
    )


def weakest_by_short_circuit(
    emf_full_v: float,
    emf_weak_v: float,
    short_circuit_current_a: float,
    temperature_c: float,
    warm_ratio: float,
    discharged_ratio: float,
    test: CrankingTest = SAE_J537,
) -> BatteryModel:
    """Cold and discharged, of a battery that has no cold cranking current, such as a house bank's.

    R = discharged_ratio * warm_ratio * EMF_full / I_sc

    emf_full_v: EMF when full and warm, as the short-circuit current is stated [V]
    emf_weak_v: EMF at the state of charge and temperature considered, see `emf_v` [V]
    short_circuit_current_a: the maker's [A]
    temperature_c: considered; not below the temperature that the warm ratio is for [degC]
    warm_ratio: short-circuit current warm over that at the cranking test's temperature, 1 and more
    discharged_ratio: resistance at that state of charge over that of the full battery, 1 and more
    test: whose temperature the warm ratio counts from
    Returns the model; the more the ratio is, the safer its voltages.
    Raises OutOfRange below that temperature and for ratios below 1.
    Source: Ohm's law; the ratios are the yard's, see `strongest_bound`.
    """
    if temperature_c < test.temperature_c:
        raise OutOfRange(
            "the temperature of the battery",
            f"{temperature_c:g} C",
            f"{test.temperature_c:g} C and more, where the ratio of a warm battery counts from",
        )
    if not (warm_ratio >= 1.0 and discharged_ratio >= 1.0):
        found = f"{min(warm_ratio, discharged_ratio):g}"
        raise OutOfRange("the ratio of a warm or discharged battery", found, "1 and more")
    warm = strongest_model(emf_full_v, short_circuit_current_a)
    return BatteryModel(
        emf_weak_v,
        warm.resistance_ohm * warm_ratio * discharged_ratio,
        "the maker's short-circuit current, cold and discharged",
    )


def strongest_model(emf_full_v: float, short_circuit_current_a: float) -> BatteryModel:
    """Warm and full, by the maker's short-circuit current: for interrupting capacity.

    R = EMF / I_sc

    emf_full_v: EMF when full and warm [V]
    short_circuit_current_a: the maker's [A]
    Returns the model.
    Source: Ohm's law.
    """
    more_than_zero("the short-circuit current", short_circuit_current_a, "A")
    resistance_ohm = emf_full_v / short_circuit_current_a
    return BatteryModel(emf_full_v, resistance_ohm, "the maker's short-circuit current")


def strongest_bound(
    emf_full_v: float,
    cold_cranking_a: float,
    cells: int,
    warm_ratio: float,
    test: CrankingTest = SAE_J537,
) -> BatteryModel:
    """Warm and full where the maker states no short-circuit current: an upper bound, to be marked.

    R = (EMF - cells * V_cell) / CCA / warm_ratio

    emf_full_v: EMF when full [V]
    cold_cranking_a: the stated current [A]
    cells: in series [-]
    warm_ratio: short-circuit current warm over that at the test's temperature, 1 and more
    test: basis of the cold cranking current
    Returns the model.
    Source: SAE J537; the ratio is the yard's (1.5 to 2.5 is commonly named, from memory).
    """
    if not warm_ratio >= 1.0:
        raise OutOfRange("the ratio of a warm battery", f"{warm_ratio:g}", "1 and more")
    cold_ohm = resistance_from_cca_ohm(emf_full_v, cold_cranking_a, cells, test)
    return BatteryModel(
        emf_full_v,
        cold_ohm / warm_ratio,
        f"an upper bound: {warm_ratio:g} times the current at {test.temperature_c:g} C",
    )


def bank(unit: BatteryModel, in_series: int, in_parallel: int) -> BatteryModel:
    """Equal batteries joined to a bank, without their links.

    EMF = s * E;  R = R_unit * s / p

    unit: one battery
    in_series: batteries of each string [-]
    in_parallel: strings [-]
    Returns the model of the bank.
    Source: Kirchhoff's laws.
    """
    more_than_zero("the batteries in series", in_series, "")
    more_than_zero("the strings in parallel", in_parallel, "")
    return BatteryModel(
        unit.emf_v * in_series, unit.resistance_ohm * in_series / in_parallel, unit.basis
    )


def full_acceptance_a(capacity_ah: float, acceptance_percent: float) -> float:
    """Current that a full bank accepts at its charging voltage.

    I = capacity * acceptance / 100 h

    capacity_ah: rated [Ah]
    acceptance_percent: of the capacity, per hour; 1 to 2 for a full lead-acid bank (common
        practice) [%]
    Returns the current [A].
    """
    more_than_zero("the capacity", capacity_ah, "Ah")
    zero_or_more("the acceptance", acceptance_percent, "%")
    return capacity_ah * acceptance_percent / 100.0


def charge_resistance_ohm(emf_v: float, charging_voltage_v: float, accepted_a: float) -> float:
    """Rise of a battery's voltage per ampere that it accepts.

    R_charge = (V - EMF) / I

    emf_v: voltage at rest [V]
    charging_voltage_v: at which the acceptance is stated [V]
    accepted_a: current accepted there, by its state of charge [A]
    Returns the resistance on charge, for `dc_elements.Battery` [ohm].
    Raises OutOfRange where the charging voltage is not above the EMF.
    Source: a straight line from rest to the stated acceptance.
    """
    more_than_zero("the accepted current", accepted_a, "A")
    if not charging_voltage_v > emf_v:
        raise OutOfRange("the charging voltage", f"{charging_voltage_v:g} V", f"above {emf_v:g} V")
    return (charging_voltage_v - emf_v) / accepted_a


def state_of_charge_percent(cell_emf: Curve, rested_voltage_v: float, cells: int) -> float:
    """State of charge by the voltage at rest.

    cell_emf: voltage at rest of one cell over the state of charge in percent, rising [V]
    rested_voltage_v: read after a rest, at the curve's temperature [V]
    cells: in series [-]
    Returns the state of charge [%].
    Raises OutOfRange for a voltage outside the curve.
    Source: the maker's curve.
    """
    more_than_zero("the number of cells", cells, "")
    points = cell_emf.points
    cell_v = rested_voltage_v / cells
    within("the rested voltage of a cell", cell_v, points[0][1], points[-1][1], "V")
    turned = Curve("state of charge", "voltage of a cell", tuple((v, soc) for soc, v in points))
    return turned.at(cell_v)
