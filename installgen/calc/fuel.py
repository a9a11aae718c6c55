"""Fuel: what is burnt and returned, how far a tank carries, and what the lift pump must draw."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.curve import Curve
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import OutOfRange

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True)
class Endurance:
    """How long and how far a vessel goes before she touches her reserve.

    fuel_m3: usable fuel less the reserve [m3]
    endurance_s: time at this burn [s]
    range_m: distance at this speed, none where no speed is known [m]
    """

    fuel_m3: float
    endurance_s: float
    range_m: float | None


def burn_at_speed_m3_per_s(fuel_curve: Curve, speed_rpm: float) -> float:
    """Fuel burnt at an engine speed, from the sheet's curve.

    fuel_curve: burn over engine speed [m3/s over rpm]
    speed_rpm: of the engine [rpm]
    Returns the burn [m3/s]. Raises OutOfTable outside the sheet's curve.
    """
    return fuel_curve.at(speed_rpm)


def burn_from_power_m3_per_s(
    power_w: float, specific_consumption_g_per_kwh: float, fuel_density_kg_per_m3: float
) -> float:
    """Fuel burnt for a power, from the specific consumption.

    q = P b / rho

    power_w: at the crankshaft [W]
    specific_consumption_g_per_kwh: brake specific fuel consumption [g/kWh]
    fuel_density_kg_per_m3: at the same temperature as the volume [kg/m3]
    Returns the burn [m3/s]. Raises OutOfRange.
    Source: definition of specific consumption.
    """
    zero_or_more("the power", power_w, "W")
    more_than_zero("the specific consumption", specific_consumption_g_per_kwh, "g/kWh")
    more_than_zero("the fuel density", fuel_density_kg_per_m3, "kg/m³")
    mass_kg_per_s = power_w / 1000 * specific_consumption_g_per_kwh / 1000 / SECONDS_PER_HOUR
    return mass_kg_per_s / fuel_density_kg_per_m3


def total_flow_m3_per_s(flows_m3_per_s: Iterable[float]) -> float:
    """Sum of the flows of several engines, or of branches.

    flows_m3_per_s: each of them [m3/s]
    Returns the sum [m3/s]. Raises OutOfRange for a negative flow.
    """
    listed = list(flows_m3_per_s)
    for flow in listed:
        zero_or_more("a fuel flow", flow, "m³/s")
    return math.fsum(listed)


def supply_m3_per_s(burn_m3_per_s: float, return_m3_per_s: float) -> float:
    """What the supply line carries: the burn and what goes back to the tank.

    q_s = q_b + q_r

    burn_m3_per_s: burnt [m3/s]
    return_m3_per_s: returned, leak-off included [m3/s]
    Returns the supply [m3/s]. Raises OutOfRange.
    Source: mass balance.
    """
    zero_or_more("the fuel burnt", burn_m3_per_s, "m³/s")
    zero_or_more("the fuel returned", return_m3_per_s, "m³/s")
    return burn_m3_per_s + return_m3_per_s


def usable_volume_m3(capacity_m3: float, ullage_ratio: float, not_drawn_m3: float) -> float:
    """Fuel that a tank gives: filled to its ullage, drawn to its pick-up.

    V_u = V (1 - u) - V_0

    capacity_m3: to the brim [m3]
    ullage_ratio: part of the capacity left empty for expansion [-]
    not_drawn_m3: below the pick-up, water and dirt included [m3]
    Returns the usable fuel [m3]. Raises OutOfRange when nothing is left.
    """
    more_than_zero("the tank's capacity", capacity_m3, "m³")
    within("the ullage", ullage_ratio, 0, 1, "")
    zero_or_more("the fuel below the pick-up", not_drawn_m3, "m³")
    usable = capacity_m3 * (1 - ullage_ratio) - not_drawn_m3
    if not usable > 0:
        raise OutOfRange("the usable fuel", f"{usable:g} m³", "more than 0 m³")
    return usable


def endurance(
    usable_m3: float,
    burn_m3_per_s: float,
    reserve_ratio: float,
    boat_speed_m_per_s: float | None = None,
) -> Endurance:
    """How long, and how far, until only the reserve is left.

    t = V (1 - r) / q; s = v t

    usable_m3: usable fuel of the tanks that are drawn from [m3]
    burn_m3_per_s: of all engines that draw from them; what returns is not burnt [m3/s]
    reserve_ratio: part of the usable fuel kept in reserve [-]
    boat_speed_m_per_s: through the water at this burn, if known [m/s]
    Returns fuel, time and distance. Raises OutOfRange.
    Source: volume balance.
    """
    more_than_zero("the usable fuel", usable_m3, "m³")
    more_than_zero("the fuel burnt", burn_m3_per_s, "m³/s")
    within("the reserve", reserve_ratio, 0, 1, "")
    fuel = usable_m3 * (1 - reserve_ratio)
    time_s = fuel / burn_m3_per_s
    if boat_speed_m_per_s is None:
        return Endurance(fuel, time_s, None)
    zero_or_more("the boat's speed", boat_speed_m_per_s, "m/s")
    return Endurance(fuel, time_s, boat_speed_m_per_s * time_s)


def transfer_m3_per_s(return_m3_per_s: float, goes_back_where_drawn_ratio: float) -> float:
    """How fast fuel moves from the tank drawn from into another, by the return line alone.

    return_m3_per_s: returned by the engine [m3/s]
    goes_back_where_drawn_ratio: part that returns to the tank drawn from, 1 for all [-]
    Returns the transfer [m3/s]. Raises OutOfRange.
    Source: mass balance.
    """
    zero_or_more("the fuel returned", return_m3_per_s, "m³/s")
    within("the part that goes back where it was drawn", goes_back_where_drawn_ratio, 0, 1, "")
    return return_m3_per_s * (1 - goes_back_where_drawn_ratio)


def static_lift_m(pump_height_m: float, fuel_level_height_m: float) -> float:
    """Height that the lift pump must raise the fuel; negative where the tank feeds it.

    h = z_pump - z_level

    pump_height_m: of the lift pump's inlet, upwards from any one level [m]
    fuel_level_height_m: of the fuel in the tank, lowest to be used, from the same level [m]
    Returns the lift [m].
    """
    return pump_height_m - fuel_level_height_m


def suction_pa(
    static_lift_m: float, fuel_density_kg_per_m3: float, losses_pa: Iterable[float]
) -> float:
    """Vacuum at the lift pump's inlet: the lift and every loss on the way, filters included.

    p = rho g h + sum of the losses

    static_lift_m: negative where the tank stands above the pump [m]
    fuel_density_kg_per_m3: of the fuel [kg/m3]
    losses_pa: of line, valves, filters, dirty where they are to be judged so [Pa]
    Returns the vacuum below the tank's own pressure, negative where there is head [Pa].
    Raises OutOfRange for a negative loss.
    Source: hydrostatics.
    """
    more_than_zero("the fuel density", fuel_density_kg_per_m3, "kg/m³")
    listed = list(losses_pa)
    for loss in listed:
        zero_or_more("a loss on the suction side", loss, "Pa")
    static_pa = fuel_density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 * static_lift_m
    return static_pa + math.fsum(listed)


def return_heat_w(
    return_m3_per_s: float,
    fuel_density_kg_per_m3: float,
    heat_capacity_j_per_kg_k: float,
    temperature_rise_k: float,
) -> float:
    """Heat that the return carries into the tank.

    Q = q_r rho c dT

    return_m3_per_s: returned [m3/s]
    fuel_density_kg_per_m3: of the fuel [kg/m3]
    heat_capacity_j_per_kg_k: of the fuel [J/(kg K)]
    temperature_rise_k: of the return over the tank [K]
    Returns the heat [W]. Raises OutOfRange.
    Source: energy balance.
    """
    zero_or_more("the fuel returned", return_m3_per_s, "m³/s")
    more_than_zero("the fuel density", fuel_density_kg_per_m3, "kg/m³")
    more_than_zero("the fuel's heat capacity", heat_capacity_j_per_kg_k, "J/(kg K)")
    return return_m3_per_s * fuel_density_kg_per_m3 * heat_capacity_j_per_kg_k * temperature_rise_k
