"""Heat that an engine gives away, and the temperatures it makes along the raw-water route."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.calc.water import air
from installgen.errors import NotSolved, OutOfRange


def charge_air_duty_w(air_mass_flow_kg_per_s: float, inlet_c: float, outlet_c: float) -> float:
    """Heat that charge air leaves in its cooler.

    duty = m cp (T_in - T_out), cp at the mean temperature

    air_mass_flow_kg_per_s: through the cooler [kg/s]
    inlet_c, outlet_c: of the air at the cooler, -40 to 1000 [C]
    Returns the duty [W], nil or negative when the air leaves warmer, as it can at idle on a
    jacket-cooled cooler. Raises OutOfTable outside, OutOfRange for a negative flow.
    Source: energy balance; cp of dry air from table `dry_air`.
    """
    zero_or_more("the mass flow of air", air_mass_flow_kg_per_s, "kg/s")
    specific_heat = air((inlet_c + outlet_c) / 2.0).specific_heat_j_per_kg_k
    return air_mass_flow_kg_per_s * specific_heat * (inlet_c - outlet_c)


def scaled_duty_w(duty_w: float, reference: float, now: float) -> float:
    """A duty stated at one point, at another, in proportion to what drives it.

    duty = duty_0 x / x_0

    duty_w: at the reference point [W]
    reference, now: what drives it, in one unit: fuel flow for the jacket, shaft power for a gear
    Returns the duty [W]. Raises OutOfRange for a reference of nil or a negative figure now.
    Source: common practice: jacket heat about with fuel, gear heat with shaft power.
    """
    more_than_zero("the reference of a duty", reference, "")
    zero_or_more("what drives a duty", now, "")
    return duty_w * now / reference


def temperature_rise_k(
    duty_w: float, mass_flow_kg_per_s: float, specific_heat_j_per_kg_k: float
) -> float:
    """Rise of a stream that takes up a duty.

    dT = duty / (m cp)

    duty_w: [W]
    mass_flow_kg_per_s: more than 0 [kg/s]
    specific_heat_j_per_kg_k: [J/(kg K)]
    Returns the rise [K]. Raises OutOfRange without a flow.
    Source: energy balance.
    """
    more_than_zero("the mass flow", mass_flow_kg_per_s, "kg/s")
    return duty_w / (mass_flow_kg_per_s * specific_heat_j_per_kg_k)


def flow_for_outlet_m3_per_s(
    duty_w: float,
    inlet_c: float,
    outlet_limit_c: float,
    density_kg_per_m3: float,
    specific_heat_j_per_kg_k: float,
) -> float:
    """Least raw-water flow that keeps the outlet at or below its scale limit.

    Q = duty / (rho cp (T_limit - T_in))

    duty_w: all heat that the raw water takes up [W]
    inlet_c, outlet_limit_c: sea, and the limit above which salt and lime settle [C]
    density_kg_per_m3, specific_heat_j_per_kg_k: of the raw water
    Returns the flow [m3/s]. Raises OutOfRange when the sea is not colder than the limit.
    Source: energy balance.
    """
    if not outlet_limit_c > inlet_c:
        raise OutOfRange("raw-water inlet", f"{inlet_c:g} C", f"below {outlet_limit_c:g} C")
    return duty_w / (density_kg_per_m3 * specific_heat_j_per_kg_k * (outlet_limit_c - inlet_c))


def scale_margin_k(outlet_c: float, outlet_limit_c: float) -> float:
    """How far the raw water at the outlet is below its scale limit.

    margin = T_limit - T_out

    outlet_c, outlet_limit_c: [C]
    Returns the margin, negative above the limit [K].
    Source: definition; a limit of about 55 C is common practice and the caller's to state.
    """
    return outlet_limit_c - outlet_c


@dataclass(frozen=True, slots=True)
class EnergyBalance:
    """Where the heat of the fuel goes.

    fuel_w: heat of the fuel [W]
    accounted_w: shaft power and all stated duties [W]
    unaccounted_w: what is left, radiation and errors of the data [W]
    unaccounted_ratio: over the heat of the fuel [-]
    """

    fuel_w: float
    accounted_w: float
    unaccounted_w: float
    unaccounted_ratio: float


def energy_balance(
    fuel_mass_flow_kg_per_s: float,
    lower_heating_value_j_per_kg: float,
    shaft_power_w: float,
    duties_w: Sequence[float],
) -> EnergyBalance:
    """Close the energy balance of an engine.

    unaccounted = m_fuel H - P_shaft - sum(duties)

    fuel_mass_flow_kg_per_s: more than 0 [kg/s]
    lower_heating_value_j_per_kg: of the fuel [J/kg]
    shaft_power_w: at the flywheel [W]
    duties_w: jacket, charge air, oil, exhaust above ambient, and what else is stated [W]
    Returns the balance. Raises OutOfRange without fuel.
    Source: first law of thermodynamics, steady flow.
    """
    fuel = fuel_mass_flow_kg_per_s * lower_heating_value_j_per_kg
    more_than_zero("the heat of the fuel", fuel, "W")
    accounted = shaft_power_w + sum(duties_w)
    return EnergyBalance(fuel, accounted, fuel - accounted, (fuel - accounted) / fuel)


@dataclass(frozen=True, slots=True)
class Stream:
    """One piece of a route with water flowing from start to end.

    name: unique; start, end: names of nodes
    mass_flow_kg_per_s: negative when it runs from end to start [kg/s]
    specific_heat_j_per_kg_k: [J/(kg K)]
    duty_w: heat that it takes up on its way [W]
    """

    name: str
    start: str
    end: str
    mass_flow_kg_per_s: float
    specific_heat_j_per_kg_k: float
    duty_w: float = 0.0


@dataclass(frozen=True, slots=True)
class RouteTemperatures:
    """Temperatures of the water along a route.

    nodes_c: mixed, at each node that water reaches [C]
    outlets_c: at the far end of each stream, before it mixes [C]
    """

    nodes_c: Mapping[str, float]
    outlets_c: Mapping[str, float]


def route_temperatures(
    streams: Sequence[Stream], inlets_c: Mapping[str, float]
) -> RouteTemperatures:
    """Temperature staircase of a route, mixing where branches meet, loops included.

    at a node:   sum(m cp T) of what arrives = T sum(m cp) of what arrives
    in a stream: T_out = T_in + duty / (m cp)

    streams: every piece with its flow and duty
    inlets_c: temperature of the water at each node where it enters the route [C]
    Returns the temperatures of all nodes that water reaches and of all streams that flow.
    Raises OutOfRange for a name used twice, a duty in a stream that does not flow, water that comes
    from a node without a temperature; NotSolved for a loop that nothing feeds.
    Source: energy balance, steady flow, full mixing.
    """
    names = [stream.name for stream in streams]
    for name in names:
        if names.count(name) > 1:
            raise OutOfRange("name of a stream", f"{name}, used twice", "one of its own")
    flowing = [_forward(stream) for stream in streams if stream.mass_flow_kg_per_s != 0.0]
    for stream in streams:
        if stream.mass_flow_kg_per_s == 0.0 and stream.duty_w != 0.0:
            raise OutOfRange(f"flow through {stream.name}", "0 kg/s", "more than 0 kg/s to heat it")
    fed = {stream.end for stream in flowing}
    for stream in flowing:
        if stream.start not in fed and stream.start not in inlets_c:
            raise OutOfRange(
                f"temperature where {stream.name} starts ({stream.start})", "unknown", "an inlet"
            )
    unknown = sorted(fed - set(inlets_c))
    number = {name: i for i, name in enumerate(unknown)}
    left, right = np.zeros((len(unknown), len(unknown))), np.zeros(len(unknown))
    for stream in flowing:
        row = number.get(stream.end)
        if row is None:
            continue
        capacity = stream.mass_flow_kg_per_s * stream.specific_heat_j_per_kg_k
        left[row, row] += capacity
        right[row] += stream.duty_w
        if stream.start in inlets_c:
            right[row] += capacity * inlets_c[stream.start]
        else:
            left[row, number[stream.start]] -= capacity
    try:
        solved = np.linalg.solve(left, right)
    except np.linalg.LinAlgError:
        raise NotSolved("temperatures of the route", float("inf"), 1) from None
    nodes = dict(inlets_c) | {name: float(solved[i]) for name, i in number.items()}
    outlets = {
        stream.name: nodes[stream.start]
        + stream.duty_w / (stream.mass_flow_kg_per_s * stream.specific_heat_j_per_kg_k)
        for stream in flowing
    }
    return RouteTemperatures(nodes, outlets)


def _forward(stream: Stream) -> Stream:
    if stream.mass_flow_kg_per_s > 0.0:
        return stream
    return Stream(
        stream.name,
        stream.end,
        stream.start,
        -stream.mass_flow_kg_per_s,
        stream.specific_heat_j_per_kg_k,
        stream.duty_w,
    )
