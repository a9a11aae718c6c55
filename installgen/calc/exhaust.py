"""Wet exhaust: gas, dry run, injection, wet run and the column of water, each apart.

Exhaust gas is reckoned as dry air: its molar mass is within 1 % of it, its heat capacity about 4 %
higher. The water that combustion makes is left out unless the caller gives a humidity.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from installgen.calc.constants import (
    STANDARD_ATMOSPHERE_PA,
    WATER_TO_DRY_AIR_MOLAR_MASS_RATIO,
)
from installgen.calc.friction import (
    Friction,
    bore_area_m2,
    friction_factor,
    reynolds_number,
)
from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.calc.water import air, fresh_water, latent_heat_j_per_kg
from installgen.errors import NotSolved, OutOfRange

INCOMPRESSIBLE_DROP_RATIO = 0.1
"""Greatest drop over absolute pressure for which one density will do (Crane TP-410) [-]."""

HOTTEST_MIXTURE_C = 99.0
"""Last temperature of the table of fresh water [C]."""


def exhaust_mass_flow_kg_per_s(
    air_mass_flow_kg_per_s: float, fuel_mass_flow_kg_per_s: float
) -> float:
    """Mass of exhaust gas.

    m = m_air + m_fuel

    air_mass_flow_kg_per_s, fuel_mass_flow_kg_per_s: into the engine, 0 or more [kg/s]
    Returns the mass flow [kg/s]. Raises OutOfRange for a negative flow.
    Source: conservation of mass.
    """
    zero_or_more("the mass flow of air", air_mass_flow_kg_per_s, "kg/s")
    zero_or_more("the mass flow of fuel", fuel_mass_flow_kg_per_s, "kg/s")
    return air_mass_flow_kg_per_s + fuel_mass_flow_kg_per_s


def exhaust_heat_w(
    gas_mass_flow_kg_per_s: float, gas_temperature_c: float, ambient_c: float
) -> float:
    """Heat that the gas carries above the ambient air.

    heat = m cp (T - T_ambient), cp of dry air at the mean temperature

    gas_mass_flow_kg_per_s: [kg/s]
    gas_temperature_c, ambient_c: -40 to 1000 [C]
    Returns the heat, some 4 % low for exhaust gas [W]. Raises OutOfTable outside.
    Source: energy balance; table `dry_air`.
    """
    mean = (gas_temperature_c + ambient_c) / 2.0
    specific_heat = air(mean).specific_heat_j_per_kg_k
    return gas_mass_flow_kg_per_s * specific_heat * (gas_temperature_c - ambient_c)


def dry_run_loss_pa(
    gas_mass_flow_kg_per_s: float,
    gas_temperature_c: float,
    bore_m: float,
    length_m: float,
    roughness_m: float,
    loss_coefficient: float,
    pressure_pa: float = STANDARD_ATMOSPHERE_PA,
) -> float:
    """Pressure lost in the dry run, between engine and injection.

    dp = (f L/d + K) rho v^2 / 2, at the density of the hot gas

    gas_mass_flow_kg_per_s: [kg/s]
    gas_temperature_c: -40 to 1000 [C]
    bore_m, length_m, roughness_m: of the pipe [m]
    loss_coefficient: sum of K of bends and changes of bore, on that bore [-]
    pressure_pa: absolute, in the run [Pa]
    Returns the loss [Pa]. Raises OutOfTable outside the temperatures, OutOfRange when the loss is
    over 10 % of the absolute pressure, as the gas is then no longer of one density.
    Source: Darcy-Weisbach; Crane TP-410 for its limit.
    """
    gas = air(gas_temperature_c, pressure_pa)
    velocity = gas_mass_flow_kg_per_s / gas.density_kg_per_m3 / bore_area_m2(bore_m)
    loss = _gas_loss_pa(
        velocity,
        bore_m,
        length_m,
        roughness_m,
        loss_coefficient,
        gas.density_kg_per_m3,
        gas.viscosity_pa_s,
    )
    return _checked(loss, pressure_pa)


@dataclass(frozen=True, slots=True)
class WetGas:
    """Exhaust gas after the injection, saturated with water vapour.

    temperature_c: of gas and water, mixed [C]
    evaporated_kg_per_s: water that has become vapour [kg/s]
    liquid_kg_per_s: water that is left [kg/s]
    gas_kg_per_s: exhaust gas with its vapour [kg/s]
    gas_density_kg_per_m3: of gas with vapour [kg/m3]
    """

    temperature_c: float
    evaporated_kg_per_s: float
    liquid_kg_per_s: float
    gas_kg_per_s: float
    gas_density_kg_per_m3: float


def saturated_humidity_ratio(
    temperature_c: float, pressure_pa: float = STANDARD_ATMOSPHERE_PA
) -> float:
    """Water vapour that saturates dry air.

    w = 0.62198 p_s / (p - p_s)

    temperature_c: 0.01 to 99 and below boiling [C]
    pressure_pa: absolute [Pa]
    Returns kg of vapour per kg of dry air [-]. Raises OutOfTable outside, OutOfRange at boiling.
    Source: ASHRAE Handbook Fundamentals, psychrometrics; p_s of IAPWS-95.
    """
    vapour = fresh_water(temperature_c).vapour_pressure_pa
    assert vapour is not None
    if vapour >= pressure_pa:
        raise OutOfRange("vapour pressure", f"{vapour:g} Pa", f"below {pressure_pa:g} Pa")
    return WATER_TO_DRY_AIR_MOLAR_MASS_RATIO * vapour / (pressure_pa - vapour)


def mix_injection(
    gas_mass_flow_kg_per_s: float,
    gas_temperature_c: float,
    water_mass_flow_kg_per_s: float,
    water_temperature_c: float,
    water_specific_heat_j_per_kg_k: float,
    pressure_pa: float = STANDARD_ATMOSPHERE_PA,
    gas_humidity_ratio: float = 0.0,
) -> WetGas:
    """Temperature after the injection: gas and water brought to one temperature, gas saturated.

    m_g cp (T_g - T) = m_w c (T - T_w) + m_v h_fg(T),  m_v = m_g (w_s(T, p) - w_0)

    The gas evaporates water until it is saturated, adiabatically; with plenty of water, as in a
    wet exhaust, it is cold within a few bores. Salt lowers the vapour pressure by 2 %: left out.

    gas_mass_flow_kg_per_s: dry gas, more than 0 [kg/s]
    gas_temperature_c: before the injection, up to 1000 [C]
    water_mass_flow_kg_per_s: injected, more than 0 [kg/s]
    water_temperature_c: injected, 0.01 to 99 [C]
    water_specific_heat_j_per_kg_k: [J/(kg K)]
    pressure_pa: absolute, in the wet run [Pa]
    gas_humidity_ratio: kg of water per kg of gas already in it, from combustion [-]
    Returns the mixture. Raises OutOfTable outside, OutOfRange when there is too little water to
    saturate the gas below 99 C or to cool it: that is the water-lost case.
    Source: first law, adiabatic saturation; ASHRAE Handbook Fundamentals; tables of the fluids.
    """
    more_than_zero("the mass flow of exhaust gas", gas_mass_flow_kg_per_s, "kg/s")
    more_than_zero("the mass flow of injected water", water_mass_flow_kg_per_s, "kg/s")

    def evaporated(mixture_c: float) -> float:
        humidity = saturated_humidity_ratio(mixture_c, pressure_pa)
        return max(0.0, gas_mass_flow_kg_per_s * (humidity - gas_humidity_ratio))

    def heat_left(mixture_c: float) -> float:
        given = exhaust_heat_w(gas_mass_flow_kg_per_s, gas_temperature_c, mixture_c)
        rise = mixture_c - water_temperature_c
        warmed = water_mass_flow_kg_per_s * water_specific_heat_j_per_kg_k * rise
        return given - warmed - evaporated(mixture_c) * latent_heat_j_per_kg(mixture_c)

    mixture_c = _falling_root(heat_left, water_temperature_c, _hottest_c(pressure_pa))
    vapour = evaporated(mixture_c)
    if vapour > water_mass_flow_kg_per_s:
        raise OutOfRange(
            "injected water",
            f"{water_mass_flow_kg_per_s:g} kg/s",
            f"at least {vapour:.3g} kg/s, which the gas would evaporate",
        )
    humidity = gas_humidity_ratio + vapour / gas_mass_flow_kg_per_s
    density = (
        air(mixture_c, pressure_pa).density_kg_per_m3
        * (1.0 + humidity)
        / (1.0 + humidity / WATER_TO_DRY_AIR_MOLAR_MASS_RATIO)
    )
    return WetGas(
        temperature_c=mixture_c,
        evaporated_kg_per_s=vapour,
        liquid_kg_per_s=water_mass_flow_kg_per_s - vapour,
        gas_kg_per_s=gas_mass_flow_kg_per_s * (1.0 + humidity),
        gas_density_kg_per_m3=density,
    )


def water_area_ratio(
    wet_gas: WetGas, water_density_kg_per_m3: float, velocity_ratio: float
) -> float:
    """Share of a bore that the water takes.

    a = Q_w / (Q_w + Q_g / s)

    wet_gas: see `mix_injection`
    water_density_kg_per_m3: [kg/m3]
    velocity_ratio: velocity of the gas over that of the water, 1 or more; 1 when the water is
        carried as spray [-]
    Returns the share [-]. Raises OutOfRange for a ratio below 1.
    Source: continuity of both phases.
    """
    if velocity_ratio < 1.0:
        raise OutOfRange("velocity of gas over water", f"{velocity_ratio:g}", "1 or more")
    water = wet_gas.liquid_kg_per_s / water_density_kg_per_m3
    gas = wet_gas.gas_kg_per_s / wet_gas.gas_density_kg_per_m3
    return water / (water + gas / velocity_ratio)


def wet_run_loss_pa(
    wet_gas: WetGas,
    water_density_kg_per_m3: float,
    velocity_ratio: float,
    bore_m: float,
    length_m: float,
    roughness_m: float,
    loss_coefficient: float,
    pressure_pa: float = STANDARD_ATMOSPHERE_PA,
) -> float:
    """Pressure lost in the wet run: the gas, in the area that the water leaves it.

    dp = (f L/d' + K) rho_g v^2 / 2,  v = Q_g / ((1 - a) A),  d' = d sqrt(1 - a)

    This is the least loss, of water that runs apart from the gas in a falling hose; the most is
    `wet_run_most_loss_pa`. The column of a riser is neither; see `heights.static_head_pa`.

    wet_gas: see `mix_injection`
    water_density_kg_per_m3: [kg/m3]
    velocity_ratio: as in `water_area_ratio` [-]
    bore_m, length_m, roughness_m: of the hose [m]
    loss_coefficient: sum of K of bends, muffler and exit, on that bore [-]
    pressure_pa: absolute, in the run [Pa]
    Returns the loss [Pa]. Raises as `dry_run_loss_pa`.
    Source: Darcy-Weisbach with separated flow; common practice.
    """
    share = water_area_ratio(wet_gas, water_density_kg_per_m3, velocity_ratio)
    area = bore_area_m2(bore_m) * (1.0 - share)
    velocity = wet_gas.gas_kg_per_s / wet_gas.gas_density_kg_per_m3 / area
    loss = _gas_loss_pa(
        velocity,
        bore_m * (1.0 - share) ** 0.5,
        length_m,
        roughness_m,
        loss_coefficient,
        wet_gas.gas_density_kg_per_m3,
        air(wet_gas.temperature_c).viscosity_pa_s,
    )
    return _checked(loss, pressure_pa)


def wet_run_most_loss_pa(
    wet_gas: WetGas,
    water_density_kg_per_m3: float,
    bore_m: float,
    length_m: float,
    roughness_m: float,
    loss_coefficient: float,
    pressure_pa: float = STANDARD_ATMOSPHERE_PA,
) -> float:
    """Upper bound of the loss in the wet run: gas and water as one spray of one velocity.

    dp = (f L/d + K) rho_m v^2 / 2,  rho_m = (m_g + m_w) / (Q_g + Q_w)

    wet_gas, water_density_kg_per_m3, bore_m, length_m, roughness_m, loss_coefficient, pressure_pa:
        as in `wet_run_loss_pa`
    Returns the loss [Pa]. Raises OutOfRange when it is over 10 % of the absolute pressure.
    Source: homogeneous two-phase flow with the viscosity of the gas.
    """
    water = wet_gas.liquid_kg_per_s / water_density_kg_per_m3
    gas = wet_gas.gas_kg_per_s / wet_gas.gas_density_kg_per_m3
    density = (wet_gas.liquid_kg_per_s + wet_gas.gas_kg_per_s) / (water + gas)
    loss = _gas_loss_pa(
        (water + gas) / bore_area_m2(bore_m),
        bore_m,
        length_m,
        roughness_m,
        loss_coefficient,
        density,
        air(wet_gas.temperature_c).viscosity_pa_s,
    )
    return _checked(loss, pressure_pa)


@dataclass(frozen=True, slots=True)
class BackPressure:
    """Back pressure at the engine maker's tapping, part by part.

    dry_run_pa, wet_run_pa, static_column_pa: [Pa]
    total_pa: their sum [Pa]
    margin_pa: below the maker's limit, negative above it [Pa]
    """

    dry_run_pa: float
    wet_run_pa: float
    static_column_pa: float
    total_pa: float
    margin_pa: float


def back_pressure(
    dry_run_pa: float, wet_run_pa: float, static_column_pa: float, limit_pa: float
) -> BackPressure:
    """Sum of the back pressure, against the maker's limit.

    total = dry + wet + static

    dry_run_pa, wet_run_pa: of the runs downstream of the tapping [Pa]
    static_column_pa: of the lift: full of water at start and idle, aerated at rated [Pa]
    limit_pa: at the maker's tapping [Pa]
    Returns the parts, the sum and the margin.
    Source: sum of losses in series.
    """
    total = dry_run_pa + wet_run_pa + static_column_pa
    return BackPressure(dry_run_pa, wet_run_pa, static_column_pa, total, limit_pa - total)


def water_lost_margin_k(gas_temperature_c: float, hose_limit_c: float) -> float:
    """Margin of an exhaust hose when the raw water fails: the full gas temperature is on it.

    margin = T_hose - T_gas

    gas_temperature_c: at the engine's outlet, nothing taken off [C]
    hose_limit_c: that the hose is rated for without water [C]
    Returns the margin, as a rule deeply negative: hence the alarm [K].
    Source: definition.
    """
    return hose_limit_c - gas_temperature_c


def _gas_loss_pa(
    velocity: float,
    bore_m: float,
    length_m: float,
    roughness_m: float,
    loss_coefficient: float,
    density: float,
    viscosity: float,
) -> float:
    if velocity == 0.0:
        return 0.0
    reynolds = reynolds_number(velocity, bore_m, density, viscosity)
    factor = friction_factor(reynolds, roughness_m / bore_m, Friction.COLEBROOK)
    return (factor * length_m / bore_m + loss_coefficient) * density * velocity**2 / 2.0


def _checked(loss_pa: float, pressure_pa: float) -> float:
    if loss_pa > INCOMPRESSIBLE_DROP_RATIO * pressure_pa:
        raise OutOfRange(
            "loss of an exhaust run",
            f"{loss_pa:.0f} Pa",
            f"up to {INCOMPRESSIBLE_DROP_RATIO:.0%} of {pressure_pa:.0f} Pa",
        )
    return loss_pa


def _hottest_c(pressure_pa: float) -> float:
    """The hottest mixture that can be reckoned: just below boiling, or the end of the table."""
    low, high = 1.0, HOTTEST_MIXTURE_C
    if (fresh_water(high).vapour_pressure_pa or 0.0) < pressure_pa:
        return high
    for _ in range(60):
        middle = (low + high) / 2.0
        if (fresh_water(middle).vapour_pressure_pa or 0.0) < pressure_pa:
            low = middle
        else:
            high = middle
    return low


def _falling_root(falling: Callable[[float], float], low: float, high: float) -> float:
    if falling(high) > 0.0:
        raise OutOfRange(
            "injected water", "too little", f"enough to cool the gas below {high:.0f} C"
        )
    for _ in range(200):
        middle = (low + high) / 2.0
        if falling(middle) > 0.0:
            low = middle
        else:
            high = middle
        if high - low < 1e-10:
            return (low + high) / 2.0
    raise NotSolved("temperature after the injection", high - low, 200)
