"""Air for the engine space: what the engine breathes, what carries heat away, and openings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.calc.rating import WATT_PER_BRAKE_HORSEPOWER, revolutions_per_cycle
from installgen.errors import OutOfRange

M3_PER_S_PER_CFM = 0.3048**3 / 60
MM2_PER_IN2 = 25.4**2


class AirGoverns(StrEnum):
    """Which condition decides how much air an engine space needs."""

    COMBUSTION_AND_COOLING = "combustion and cooling together"
    COMBUSTION_ALONE = "combustion alone"
    LEAST_MULTIPLE = "least multiple of the combustion air"


@dataclass(frozen=True)
class AirDemand:
    """Air that an engine space needs, with its parts.

    combustion_m3_per_s: drawn by the engines [m3/s]
    cooling_m3_per_s: to carry the heat away, if no engine ran [m3/s]
    credited_m3_per_s: part of the combustion air counted as carrying heat away [m3/s]
    total_m3_per_s: to bring in [m3/s]
    """

    combustion_m3_per_s: float
    cooling_m3_per_s: float
    credited_m3_per_s: float
    total_m3_per_s: float
    governs: AirGoverns


def combustion_air_kg_per_s(
    displacement_m3: float,
    speed_rpm: float,
    strokes_per_cycle: int,
    volumetric_efficiency_ratio: float,
    intake_density_kg_per_m3: float,
) -> float:
    """Air that an engine draws, from what it sweeps.

    m = V n / (60 n_c) eta rho, n_c = 2 for four strokes and 1 for two

    displacement_m3: of all cylinders [m3]
    speed_rpm: of the engine [rpm]
    strokes_per_cycle: 2 or 4
    volumetric_efficiency_ratio: filling of the cylinders; for two strokes the delivery ratio [-]
    intake_density_kg_per_m3: of the air in the intake manifold, boosted and cooled [kg/m3]
    Returns the air drawn [kg/s]. Raises OutOfRange.
    Source: definition of volumetric efficiency.
    """
    more_than_zero("the displacement", displacement_m3, "m³")
    zero_or_more("the speed", speed_rpm, "rpm")
    more_than_zero("the volumetric efficiency", volumetric_efficiency_ratio, "")
    more_than_zero("the intake density", intake_density_kg_per_m3, "kg/m³")
    turns = revolutions_per_cycle(strokes_per_cycle)
    swept_m3_per_s = displacement_m3 * speed_rpm / 60 / turns
    return swept_m3_per_s * volumetric_efficiency_ratio * intake_density_kg_per_m3


def combustion_air_from_power_kg_per_s(power_w: float, specific_air_kg_per_kw_s: float) -> float:
    """Air that an engine draws, from its power and a figure per power.

    m = P a

    power_w: at the crankshaft [W]
    specific_air_kg_per_kw_s: combustion air per power [kg/(kW s)]
    Returns the air drawn [kg/s]. Raises OutOfRange.
    Source: ISO 8861 uses this form; the figure comes from the sheet or a table.
    """
    zero_or_more("the power", power_w, "W")
    more_than_zero("the specific combustion air", specific_air_kg_per_kw_s, "kg/(kW s)")
    return power_w / 1000 * specific_air_kg_per_kw_s


def volume_flow_m3_per_s(mass_flow_kg_per_s: float, density_kg_per_m3: float) -> float:
    """Volume of a flow of air where it enters the space.

    q = m / rho

    mass_flow_kg_per_s: of the air [kg/s]
    density_kg_per_m3: of the air there, not in the manifold [kg/m3]
    Returns the flow [m3/s]. Raises OutOfRange.
    """
    zero_or_more("the air flow", mass_flow_kg_per_s, "kg/s")
    more_than_zero("the air density", density_kg_per_m3, "kg/m³")
    return mass_flow_kg_per_s / density_kg_per_m3


def cooling_air_m3_per_s(
    heat_w: float,
    density_kg_per_m3: float,
    heat_capacity_j_per_kg_k: float,
    temperature_rise_k: float,
) -> float:
    """Air that carries heat away at a given rise of temperature.

    q = Q / (rho c dT)

    heat_w: given off in the space by engines, exhaust, alternators [W]
    density_kg_per_m3: of the air [kg/m3]
    heat_capacity_j_per_kg_k: of the air [J/(kg K)]
    temperature_rise_k: from outside to the space [K]
    Returns the flow [m3/s]. Raises OutOfRange.
    Source: energy balance.
    """
    zero_or_more("the heat given off", heat_w, "W")
    more_than_zero("the air density", density_kg_per_m3, "kg/m³")
    more_than_zero("the air's heat capacity", heat_capacity_j_per_kg_k, "J/(kg K)")
    more_than_zero("the temperature rise", temperature_rise_k, "K")
    return heat_w / (density_kg_per_m3 * heat_capacity_j_per_kg_k * temperature_rise_k)


def temperature_rise_k(
    heat_w: float,
    flow_m3_per_s: float,
    density_kg_per_m3: float,
    heat_capacity_j_per_kg_k: float,
) -> float:
    """By how much a flow of air warms.

    dT = Q / (rho c q)

    heat_w: given off to the air [W]
    flow_m3_per_s: of air that carries it away [m3/s]
    density_kg_per_m3: of the air [kg/m3]
    heat_capacity_j_per_kg_k: of the air [J/(kg K)]
    Returns the rise [K]. Raises OutOfRange.
    Source: energy balance.
    """
    zero_or_more("the heat given off", heat_w, "W")
    more_than_zero("the air flow", flow_m3_per_s, "m³/s")
    more_than_zero("the air density", density_kg_per_m3, "kg/m³")
    more_than_zero("the air's heat capacity", heat_capacity_j_per_kg_k, "J/(kg K)")
    return heat_w / (density_kg_per_m3 * heat_capacity_j_per_kg_k * flow_m3_per_s)


def air_demand(
    combustion_m3_per_s: float,
    cooling_m3_per_s: float,
    heat_carried_ratio: float,
    least_multiple_ratio: float = 1.0,
) -> AirDemand:
    """Air to bring into an engine space.

    Q = q_c + (q_h - k q_c), not less than q_c, and not less than m q_c

    combustion_m3_per_s: drawn by the engines from the space, q_c [m3/s]
    cooling_m3_per_s: to carry the heat away, q_h [m3/s]
    heat_carried_ratio: part of the combustion air that also carries heat away, k [-]
    least_multiple_ratio: of the combustion air to bring in whatever the heat, m [-]
    Returns the demand, its parts and what governs it. Raises OutOfRange.
    Source: form of ISO 8861:1998, whose k and m are in table `ship_air`.
    """
    zero_or_more("the combustion air", combustion_m3_per_s, "m³/s")
    zero_or_more("the cooling air", cooling_m3_per_s, "m³/s")
    within("the part of the combustion air that carries heat", heat_carried_ratio, 0, 1, "")
    if not least_multiple_ratio >= 1:
        raise OutOfRange("the least multiple", f"{least_multiple_ratio:g}", "1 and more")
    credited = heat_carried_ratio * combustion_m3_per_s
    candidates = {
        AirGoverns.COMBUSTION_AND_COOLING: combustion_m3_per_s + cooling_m3_per_s - credited,
        AirGoverns.COMBUSTION_ALONE: combustion_m3_per_s,
        AirGoverns.LEAST_MULTIPLE: least_multiple_ratio * combustion_m3_per_s,
    }
    governs = max(candidates, key=lambda name: candidates[name])
    return AirDemand(combustion_m3_per_s, cooling_m3_per_s, credited, candidates[governs], governs)


def alternator_heat_w(output_w: float, loss_ratio: float) -> float:
    """Heat that an alternator gives off while it charges.

    Q = P l / (1 - l)

    output_w: electrical output [W]
    loss_ratio: part of the mechanical input that becomes heat; 0.45 to 0.5 is usual [-]
    Returns the heat [W].
    Valid: loss below 1; outside raises OutOfRange.
    Source: energy balance; the usual loss is common practice.
    """
    zero_or_more("the alternator's output", output_w, "W")
    within("the alternator's loss", loss_ratio, 0, 0.95, "")
    return output_w * loss_ratio / (1 - loss_ratio)


def net_area_m2(flow_m3_per_s: float, air_speed_m_per_s: float) -> float:
    """Clear opening for a flow of air at a given speed.

    A = q / v

    flow_m3_per_s: of air [m3/s]
    air_speed_m_per_s: in the opening [m/s]
    Returns the clear area [m2]. Raises OutOfRange.
    Source: continuity.
    """
    zero_or_more("the air flow", flow_m3_per_s, "m³/s")
    more_than_zero("the air speed", air_speed_m_per_s, "m/s")
    return flow_m3_per_s / air_speed_m_per_s


def net_area_for_pressure_m2(
    flow_m3_per_s: float,
    pressure_drop_pa: float,
    discharge_coefficient_ratio: float,
    density_kg_per_m3: float,
) -> float:
    """Clear opening through which a flow of air passes at a given loss of pressure.

    A = q / (C sqrt(2 dp / rho))

    flow_m3_per_s: of air [m3/s]
    pressure_drop_pa: allowed over the opening [Pa]
    discharge_coefficient_ratio: of the opening, 0.6 for a sharp one [-]
    density_kg_per_m3: of the air [kg/m3]
    Returns the clear area [m2]. Raises OutOfRange.
    Source: Bernoulli's equation with a discharge coefficient.
    """
    zero_or_more("the air flow", flow_m3_per_s, "m³/s")
    more_than_zero("the pressure drop", pressure_drop_pa, "Pa")
    more_than_zero("the discharge coefficient", discharge_coefficient_ratio, "")
    within("the discharge coefficient", discharge_coefficient_ratio, 0, 1, "")
    more_than_zero("the air density", density_kg_per_m3, "kg/m³")
    speed_m_per_s = math.sqrt(2 * pressure_drop_pa / density_kg_per_m3)
    return flow_m3_per_s / (discharge_coefficient_ratio * speed_m_per_s)


def louvre_area_m2(net_area_m2: float, free_ratio: float) -> float:
    """Face of a louvre or grating that leaves a given clear area.

    A_face = A / f

    net_area_m2: clear area needed [m2]
    free_ratio: clear part of the face, from its maker or measured [-]
    Returns the face area [m2]. Raises OutOfRange.
    """
    zero_or_more("the clear area", net_area_m2, "m²")
    more_than_zero("the free part of the louvre", free_ratio, "")
    within("the free part of the louvre", free_ratio, 0, 1, "")
    return net_area_m2 / free_ratio


def textbook_vent_area_mm2(power_w: float) -> float:
    """Least clear vent area for diesel engines by a boat designers' rule.

    A [in2] = P [hp] / 3.3

    power_w: of all machinery in the space [W]
    Returns the clear area [mm2]. Raises OutOfRange.
    Source: Gerr, Boat Mechanical Systems Handbook, formula 16-2.
    """
    more_than_zero("the power", power_w, "W")
    return power_w / WATT_PER_BRAKE_HORSEPOWER / 3.3 * MM2_PER_IN2


def textbook_airflow_m3_per_s(power_w: float) -> float:
    """Least airflow for engines by a boat designers' rule.

    q [cfm] = 2.75 P [hp] - 90

    power_w: of all machinery in the space [W]
    Returns the airflow [m3/s].
    Valid: above 360 hp, where it asks for at least 2.5 cfm per hp; below, the rule asks ever
    less per power and nothing under 33 hp, so it raises OutOfRange.
    Source: Gerr, Boat Mechanical Systems Handbook, chapter 16; the lower end is ours.
    """
    power_hp = power_w / WATT_PER_BRAKE_HORSEPOWER
    if not power_hp >= 360:
        raise OutOfRange("the power", f"{power_hp:.4g} hp", "360 hp and more")
    return (2.75 * power_hp - 90) * M3_PER_S_PER_CFM


def proportional_airflow_m3_per_s(power_w: float, airflow_cfm_per_hp: float) -> float:
    """Airflow by a figure per power.

    q = P a

    power_w: of all machinery in the space [W]
    airflow_cfm_per_hp: of air per power, 2.5 by an often quoted rule [cfm/hp]
    Returns the airflow [m3/s]. Raises OutOfRange.
    Source: the figure comes from the yard's standard.
    """
    more_than_zero("the power", power_w, "W")
    more_than_zero("the airflow per power", airflow_cfm_per_hp, "cfm/hp")
    return power_w / WATT_PER_BRAKE_HORSEPOWER * airflow_cfm_per_hp * M3_PER_S_PER_CFM
