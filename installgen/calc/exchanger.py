"""Heat exchangers: effectiveness from number of transfer units, and part load from a design point.

Capacity rates are mass flow times specific heat [W/K].
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import NotSolved, OutOfRange


class Arrangement(StrEnum):
    """How the two streams pass each other."""

    COUNTER = "counter flow"
    PARALLEL = "parallel flow"
    CROSS = "cross flow"  # both streams unmixed
    SHELL_AND_TUBE = "shell and tube"  # one shell pass, two or more even tube passes


@dataclass(frozen=True, slots=True)
class Exchange:
    """Heat exchanged and what the streams leave with.

    duty_w: from hot to cold [W]; negative when the "hot" stream enters colder
    hot_outlet_c, cold_outlet_c: [C]
    effectiveness_ratio: duty over the greatest possible [-]
    """

    duty_w: float
    hot_outlet_c: float
    cold_outlet_c: float
    effectiveness_ratio: float


def effectiveness_ratio(ntu: float, capacity_ratio: float, arrangement: Arrangement) -> float:
    """Share of the greatest possible heat that an exchanger transfers.

    counter:        (1 - exp(-N(1-C))) / (1 - C exp(-N(1-C))),  N/(1+N) at C = 1
    parallel:       (1 - exp(-N(1+C))) / (1 + C)
    cross:          1 - exp((N^0.22 / C)(exp(-C N^0.78) - 1))
    shell and tube: 2 / (1 + C + s (1 + exp(-N s)) / (1 - exp(-N s))),  s = sqrt(1 + C^2)
    any at C = 0:   1 - exp(-N)

    ntu: UA over the smaller capacity rate, 0 or more [-]
    capacity_ratio: smaller over larger capacity rate, 0 to 1 [-]
    arrangement: how the streams pass
    Returns the effectiveness, 0 to 1 [-]. Raises OutOfRange outside.
    Source: Kays and London, Compact Heat Exchangers; Incropera and others, table 11.3.
    """
    n, c = ntu, capacity_ratio
    zero_or_more("the number of transfer units", n, "")
    within("the ratio of capacity rates", c, 0.0, 1.0, "")
    if n == 0.0:
        return 0.0
    if c < 1e-9:
        return -math.expm1(-n)
    match Arrangement(arrangement):
        case Arrangement.COUNTER:
            if 1.0 - c < 1e-9:
                return n / (1.0 + n)
            return -math.expm1(-n * (1.0 - c)) / (1.0 - c * math.exp(-n * (1.0 - c)))
        case Arrangement.PARALLEL:
            return -math.expm1(-n * (1.0 + c)) / (1.0 + c)
        case Arrangement.CROSS:
            return -math.expm1(n**0.22 / c * math.expm1(-c * n**0.78))
        case Arrangement.SHELL_AND_TUBE:
            s = math.sqrt(1.0 + c * c)
            return 2.0 / (1.0 + c + s / math.tanh(n * s / 2.0))


def transfer_units(
    effectiveness_ratio_: float, capacity_ratio: float, arrangement: Arrangement
) -> float:
    """Number of transfer units that an effectiveness takes; the inverse of the above.

    effectiveness_ratio_: 0 to below what the arrangement can reach [-]
    capacity_ratio: smaller over larger capacity rate, 0 to 1 [-]
    arrangement: how the streams pass
    Returns the number [-]. Raises OutOfRange for an effectiveness that no size reaches.
    Source: as `effectiveness_ratio`, solved by bisection.
    """
    wanted = effectiveness_ratio_
    most = effectiveness_ratio(200.0, capacity_ratio, arrangement)
    if not 0.0 <= wanted < most:
        raise OutOfRange("effectiveness", f"{wanted:g}", f"0 to below {most:.4g} ({arrangement})")
    low, high = 0.0, 200.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if effectiveness_ratio(middle, capacity_ratio, arrangement) < wanted:
            low = middle
        else:
            high = middle
        if high - low <= 1e-13 * high:
            return (low + high) / 2.0
    raise NotSolved("number of transfer units", high - low, 200)


def ua_from_design_w_per_k(
    duty_w: float,
    hot_inlet_c: float,
    cold_inlet_c: float,
    hot_capacity_w_per_k: float,
    cold_capacity_w_per_k: float,
    arrangement: Arrangement,
) -> float:
    """Conductance of an exchanger from one stated duty.

    UA = NTU C_min,  effectiveness = duty / (C_min (T_hot - T_cold))

    duty_w: from hot to cold at the design point [W]
    hot_inlet_c, cold_inlet_c: at the design point, hot above cold [C]
    hot_capacity_w_per_k, cold_capacity_w_per_k: at the design point [W/K]
    arrangement: how the streams pass
    Returns UA [W/K]. Raises OutOfRange when no exchanger can do that duty.
    Source: definition of effectiveness; Kays and London.
    """
    small, large = _rates(hot_capacity_w_per_k, cold_capacity_w_per_k)
    difference = hot_inlet_c - cold_inlet_c
    more_than_zero("hot inlet above cold inlet", difference, "K")
    return small * transfer_units(duty_w / (small * difference), small / large, arrangement)


def part_load_ua_w_per_k(
    design_ua_w_per_k: float,
    hot_flow_ratio: float,
    cold_flow_ratio: float,
    hot_resistance_ratio: float,
    cold_resistance_ratio: float,
    flow_exponent: float,
    fouling_k_per_w: float = 0.0,
) -> float:
    """Conductance of an exchanger at other flows than its design point, and when fouled.

    1/UA = 1/UA_0 (r_h q_h^-m + r_c q_c^-m + 1 - r_h - r_c) + R_f

    design_ua_w_per_k: at the design point, clean [W/K]
    hot_flow_ratio, cold_flow_ratio: flow over design flow, more than 0 [-]
    hot_resistance_ratio, cold_resistance_ratio: share of the design resistance on each side [-]
    flow_exponent: of the film coefficient with flow; 0.8 for turbulent flow in tubes [-]
    fouling_k_per_w: resistance that fouling adds [K/W]
    Returns UA [W/K]. Raises OutOfRange outside.
    Source: series resistances; the exponent of Dittus and Boelter where the caller gives 0.8.
    """
    for what, ratio in (("hot", hot_flow_ratio), ("cold", cold_flow_ratio)):
        more_than_zero(f"the {what} flow over its design flow", ratio, "")
    wall = 1.0 - hot_resistance_ratio - cold_resistance_ratio
    if min(hot_resistance_ratio, cold_resistance_ratio) < 0.0 or wall < -1e-12:
        raise OutOfRange(
            "shares of the resistance",
            f"{hot_resistance_ratio:g} and {cold_resistance_ratio:g}",
            "0 or more each and at most 1 together",
        )
    zero_or_more("the resistance of fouling", fouling_k_per_w, "K/W")
    shares = (
        hot_resistance_ratio * hot_flow_ratio**-flow_exponent
        + cold_resistance_ratio * cold_flow_ratio**-flow_exponent
        + max(0.0, wall)
    )
    return float(1.0 / (shares / design_ua_w_per_k + fouling_k_per_w))


def exchange(
    ua_w_per_k: float,
    hot_inlet_c: float,
    cold_inlet_c: float,
    hot_capacity_w_per_k: float,
    cold_capacity_w_per_k: float,
    arrangement: Arrangement,
) -> Exchange:
    """Duty and outlets of an exchanger.

    duty = e C_min (T_hot - T_cold)

    ua_w_per_k: conductance [W/K]
    hot_inlet_c, cold_inlet_c: [C]
    hot_capacity_w_per_k, cold_capacity_w_per_k: more than 0 [W/K]
    arrangement: how the streams pass
    Returns duty, outlets and effectiveness. Raises OutOfRange outside.
    Source: Kays and London; energy balance of each stream.
    """
    small, large = _rates(hot_capacity_w_per_k, cold_capacity_w_per_k)
    share = effectiveness_ratio(ua_w_per_k / small, small / large, arrangement)
    duty = share * small * (hot_inlet_c - cold_inlet_c)
    return Exchange(
        duty,
        hot_inlet_c - duty / hot_capacity_w_per_k,
        cold_inlet_c + duty / cold_capacity_w_per_k,
        share,
    )


@dataclass(frozen=True, slots=True)
class CoolantTemperature:
    """Temperature of the coolant as it leaves the engine.

    held: True while the thermostat holds it; it is then between the two temperatures
    lowest_c, highest_c: equal when the thermostat is full open [C]
    wide_open_c: what the exchanger alone would let it be, full open [C]
    """

    held: bool
    lowest_c: float
    highest_c: float
    wide_open_c: float


def coolant_temperature(
    duty_w: float,
    raw_inlet_c: float,
    coolant_capacity_w_per_k: float,
    raw_capacity_w_per_k: float,
    ua_w_per_k: float,
    arrangement: Arrangement,
    opens_c: float,
    full_open_c: float,
) -> CoolantTemperature:
    """Coolant temperature, held by the thermostat until it is full open.

    full open: T = T_raw + duty / (e C_min)

    duty_w: jacket heat that must go over the exchanger [W]
    raw_inlet_c: raw water as it enters the exchanger [C]
    coolant_capacity_w_per_k: with the thermostat full open [W/K]
    raw_capacity_w_per_k: [W/K]
    ua_w_per_k: conductance at these flows [W/K]
    arrangement: how the streams pass
    opens_c, full_open_c: where the thermostat begins to open and is full open [C]
    Returns whether it is held, and the temperature. Raises OutOfRange outside.
    Source: Kays and London; that a thermostat holds between its two temperatures is its definition.
    """
    if not opens_c < full_open_c:
        raise OutOfRange(
            "thermostat, begins to open", f"{opens_c:g} C", f"below {full_open_c:g} C (full open)"
        )
    small, large = _rates(coolant_capacity_w_per_k, raw_capacity_w_per_k)
    share = effectiveness_ratio(ua_w_per_k / small, small / large, arrangement)
    more_than_zero("the conductance of the exchanger", ua_w_per_k, "W/K")
    wide_open = raw_inlet_c + duty_w / (share * small)
    if wide_open >= full_open_c:
        return CoolantTemperature(False, wide_open, wide_open, wide_open)
    return CoolantTemperature(True, max(opens_c, wide_open), full_open_c, wide_open)


def _rates(hot_w_per_k: float, cold_w_per_k: float) -> tuple[float, float]:
    for what, rate in (("hot", hot_w_per_k), ("cold", cold_w_per_k)):
        more_than_zero(f"the {what} capacity rate", rate, "W/K")
    return min(hot_w_per_k, cold_w_per_k), max(hot_w_per_k, cold_w_per_k)
