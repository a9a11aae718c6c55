"""Friction in round pipes and hoses running full: Darcy-Weisbach."""

from __future__ import annotations

import math
from enum import StrEnum
from functools import lru_cache

from installgen.calc.ranges import more_than_zero, within

LAMINAR_BELOW = 2000.0
"""Reynolds number up to which the flow is taken as laminar [-]."""

TURBULENT_ABOVE = 4000.0
"""Reynolds number from which the flow is taken as turbulent [-]."""


class Friction(StrEnum):
    """The correlation used for turbulent flow."""

    COLEBROOK = "colebrook"
    SWAMEE_JAIN = "swamee-jain"


def velocity_m_per_s(flow_m3_per_s: float, bore_m: float, count: int = 1) -> float:
    """Mean velocity of a flow in round bores.

    v = Q / (n pi d^2 / 4)

    flow_m3_per_s: total flow, signed [m3/s]
    bore_m: bore of each [m]
    count: number of equal bores side by side [-]
    Returns the velocity [m/s]. Raises OutOfRange for a bore or count that is not positive.
    Source: continuity.
    """
    return flow_m3_per_s / bore_area_m2(bore_m, count)


def bore_area_m2(bore_m: float, count: int = 1) -> float:
    """Area of round bores side by side.

    A = n pi d^2 / 4

    bore_m: bore of each [m]
    count: number of equal bores [-]
    Returns the area [m2]. Raises OutOfRange for a bore or count that is not positive.
    Source: geometry.
    """
    more_than_zero("the bore", bore_m, "m")
    more_than_zero("the number of bores", count, "")
    return count * math.pi * bore_m**2 / 4.0


def reynolds_number(
    velocity_m_per_s: float, bore_m: float, density_kg_per_m3: float, viscosity_pa_s: float
) -> float:
    """Reynolds number of pipe flow.

    Re = rho |v| d / mu

    velocity_m_per_s: mean velocity, signed [m/s]
    bore_m: [m]
    density_kg_per_m3: [kg/m3]
    viscosity_pa_s: dynamic viscosity [Pa s]
    Returns the Reynolds number [-].
    Source: definition.
    """
    return density_kg_per_m3 * abs(velocity_m_per_s) * bore_m / viscosity_pa_s


def friction_factor(
    reynolds: float, relative_roughness: float, friction: Friction = Friction.COLEBROOK
) -> float:
    """Darcy friction factor.

    laminar, Re <= 2000:      f = 64 / Re
    turbulent, Re >= 4000:    1/sqrt(f) = -2 log10(e/(3.7 d) + 2.51/(Re sqrt(f)))  (Colebrook), or
                              f = 0.25 / log10(e/(3.7 d) + 5.74/Re^0.9)^2          (Swamee-Jain)
    between:                  the cubic in Re that meets both with value and slope (Dunlop)

    reynolds: [-]
    relative_roughness: absolute roughness over bore, 0 to 0.05 [-]
    friction: correlation for turbulent flow
    Returns the friction factor [-]. Raises OutOfRange for Re <= 0 or roughness outside.
    Source: Colebrook 1939; Swamee and Jain 1976; Dunlop 1991 as in the EPANET 2.2 user manual,
    appendix D. Swamee-Jain is there to compare with EPANET, not to design with.
    """
    more_than_zero("the Reynolds number", reynolds, "")
    return _factor_and_slope(reynolds, relative_roughness, Friction(friction))[0]


def friction_factor_slope(
    reynolds: float, relative_roughness: float, friction: Friction = Friction.COLEBROOK
) -> float:
    """Change of the friction factor with the Reynolds number, df/dRe.

    reynolds, relative_roughness, friction: as in `friction_factor`
    Returns the slope [-]. Raises OutOfRange likewise.
    Source: derivative of the formulas of `friction_factor`.
    """
    more_than_zero("the Reynolds number", reynolds, "")
    return _factor_and_slope(reynolds, relative_roughness, Friction(friction))[1]


def friction_loss_pa(
    flow_m3_per_s: float,
    bore_m: float,
    length_m: float,
    roughness_m: float,
    density_kg_per_m3: float,
    viscosity_pa_s: float,
    friction: Friction = Friction.COLEBROOK,
) -> float:
    """Pressure lost to friction along a straight pipe.

    dp = f (L / d) rho v |v| / 2

    flow_m3_per_s: signed [m3/s]
    bore_m, length_m, roughness_m: [m]
    density_kg_per_m3: [kg/m3]
    viscosity_pa_s: dynamic viscosity [Pa s]
    friction: correlation for turbulent flow
    Returns the loss, with the sign of the flow [Pa].
    Raises OutOfRange as `friction_factor` does.
    Source: Darcy-Weisbach.
    """
    if flow_m3_per_s == 0.0:
        return 0.0
    velocity = velocity_m_per_s(flow_m3_per_s, bore_m)
    reynolds = reynolds_number(velocity, bore_m, density_kg_per_m3, viscosity_pa_s)
    factor = friction_factor(reynolds, roughness_m / bore_m, friction)
    return factor * length_m / bore_m * density_kg_per_m3 * velocity * abs(velocity) / 2.0


def _factor_and_slope(reynolds: float, roughness: float, friction: Friction) -> tuple[float, float]:
    within("the roughness over the bore", roughness, 0.0, 0.05, "")
    if reynolds <= LAMINAR_BELOW:
        return 64.0 / reynolds, -64.0 / reynolds**2
    if reynolds >= TURBULENT_ABOVE:
        return _turbulent(reynolds, roughness, friction)
    f0, s0 = 64.0 / LAMINAR_BELOW, -64.0 / LAMINAR_BELOW**2
    f1, s1 = _turbulent_edge(roughness, friction)
    width = TURBULENT_ABOVE - LAMINAR_BELOW
    t = (reynolds - LAMINAR_BELOW) / width
    c2 = 3.0 * (f1 - f0) - width * (2.0 * s0 + s1)
    c3 = 2.0 * (f0 - f1) + width * (s0 + s1)
    value = f0 + t * (width * s0 + t * (c2 + t * c3))
    slope = (width * s0 + t * (2.0 * c2 + 3.0 * t * c3)) / width
    return value, slope


@lru_cache(maxsize=512)
def _turbulent_edge(roughness: float, friction: Friction) -> tuple[float, float]:
    return _turbulent(TURBULENT_ABOVE, roughness, friction)


def _turbulent(reynolds: float, roughness: float, friction: Friction) -> tuple[float, float]:
    from fluids.friction import Clamond

    ln10 = math.log(10.0)
    if friction is Friction.SWAMEE_JAIN:
        smooth = 5.74 / reynolds**0.9
        inside = roughness / 3.7 + smooth
        log = math.log10(inside)
        return 0.25 / log**2, -0.5 / log**3 * (-0.9 * smooth / reynolds) / (inside * ln10)
    factor = float(Clamond(reynolds, roughness))
    x = 1.0 / math.sqrt(factor)
    per_x = 2.51 / reynolds
    inside = roughness / 3.7 + per_x * x
    by_reynolds = 2.0 / ln10 * (-per_x * x / reynolds) / inside
    by_x = 1.0 + 2.0 / ln10 * per_x / inside
    slope_x = -by_reynolds / by_x
    return factor, -2.0 / x**3 * slope_x
