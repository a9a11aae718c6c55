"""Engine ratings: power in three units, torque, mean pressure, and what nameplates agree on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from installgen.calc.curve import Curve
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import OutOfRange

WATT_PER_BRAKE_HORSEPOWER = 550 * 0.3048 * 0.45359237 * 9.80665
"""550 foot pounds-force a second, 745.69987 W. Source: definition."""

WATT_PER_METRIC_HORSEPOWER = 75 * 9.80665
"""75 kilogram-force metres a second, 735.49875 W. Source: definition."""


class PowerUnit(StrEnum):
    """Units in which a rating is stated."""

    KILOWATT = "kW"
    BRAKE_HORSEPOWER = "bhp"
    METRIC_HORSEPOWER = "metric hp"


_WATT = {
    PowerUnit.KILOWATT: 1000.0,
    PowerUnit.BRAKE_HORSEPOWER: WATT_PER_BRAKE_HORSEPOWER,
    PowerUnit.METRIC_HORSEPOWER: WATT_PER_METRIC_HORSEPOWER,
}


class PowerBasis(StrEnum):
    """Where a stated power was measured."""

    CRANKSHAFT = "crankshaft"
    PROPELLER_SHAFT = "propeller shaft"
    NOT_STATED = "not stated"


class Agreement(StrEnum):
    """Whether two stated powers say the same."""

    AGREE = "agree"
    EXPLAINED_BY_BASIS = "explained by the stated basis"
    DISAGREE = "disagree"


class Explanation(StrEnum):
    """What could explain that two stated powers disagree; a question to ask, never a repair."""

    FIRST_IS_METRIC = "the first figure agrees if it is metric horsepower"
    SECOND_IS_METRIC = "the second figure agrees if it is metric horsepower"
    FIRST_AFTER_GEAR = "the first figure could be after the gear"
    SECOND_AFTER_GEAR = "the second figure could be after the gear"
    OTHER_CLASS = "the figures are of different rating classes"
    OTHER_SPEED = "the figures are at different speeds"


@dataclass(frozen=True)
class StatedPower:
    """One power as a plate, sheet or sales name states it.

    name: where it stands, such as `nameplate`
    value: in `unit`
    unit: as stated
    basis: where it was measured
    speed_rpm: engine speed it is stated at, if any [rpm]
    rating_class: duty class as stated; empty where none is
    """

    name: str
    value: float
    unit: PowerUnit
    basis: PowerBasis = PowerBasis.NOT_STATED
    speed_rpm: float | None = None
    rating_class: str = ""

    @property
    def power_w(self) -> float:
        """The stated power [W]."""
        return power_w(self.value, self.unit)


@dataclass(frozen=True)
class PowerPair:
    """Two stated powers beside each other; nothing is averaged.

    difference_percent: of the larger one, never negative [%]
    explanations: questions worth asking when they disagree
    """

    first: StatedPower
    second: StatedPower
    difference_percent: float
    agreement: Agreement
    explanations: tuple[Explanation, ...]


def power_w(value: float, unit: PowerUnit) -> float:
    """Power in watts from a stated figure.

    value: in `unit`, above zero
    unit: kW, brake horsepower or metric horsepower
    Returns the power [W]. Raises OutOfRange.
    Source: definitions of the units.
    """
    more_than_zero("the power", value, unit)
    return value * _WATT[unit]


def power_in(power_w: float, unit: PowerUnit) -> float:
    """Power in one of the units of the trade.

    power_w: power [W]
    unit: kW, brake horsepower or metric horsepower
    Returns the figure in `unit`.
    Source: definitions of the units.
    """
    return power_w / _WATT[unit]


def difference_percent(first_w: float, second_w: float) -> float:
    """By how much two powers differ, of the larger.

    100 |a - b| / max(a, b)

    first_w: one power [W]
    second_w: the other [W]
    Returns the difference [%]. Raises OutOfRange.
    """
    more_than_zero("the power", first_w, "W")
    more_than_zero("the power", second_w, "W")
    return 100 * abs(first_w - second_w) / max(first_w, second_w)


def compare_stated_powers(
    stated: Sequence[StatedPower],
    limit_percent: float,
    gear_loss_low_percent: float,
    gear_loss_high_percent: float,
) -> tuple[PowerPair, ...]:
    """Every two stated powers of one engine beside each other.

    Over the limit they disagree, unless one is stated at the propeller shaft, the other at the
    crankshaft, and the gear's usual loss lies between them.

    stated: the figures, two or more; fewer give no pair
    limit_percent: how far figures that agree may differ [%]
    gear_loss_low_percent: least usual loss of a gear [%]
    gear_loss_high_percent: greatest usual loss of a gear [%]
    Returns each pair with its difference, verdict and what could explain it. Raises OutOfRange.
    Source: common practice: 1 % to agree, about 3 % lost in the gear.
    """
    zero_or_more("the limit of agreement", limit_percent, "%")
    within("the least gear loss", gear_loss_low_percent, 0, gear_loss_high_percent, "%")
    gear_loss = (gear_loss_low_percent, gear_loss_high_percent)
    return tuple(_pair(a, b, limit_percent, gear_loss) for a, b in combinations(stated, 2))


def _pair(
    first: StatedPower, second: StatedPower, limit_percent: float, gear_loss: tuple[float, float]
) -> PowerPair:
    difference = difference_percent(first.power_w, second.power_w)
    if difference <= limit_percent:
        return PowerPair(first, second, difference, Agreement.AGREE, ())
    agreement = Agreement.DISAGREE
    if _explained_by_basis(first, second, difference, gear_loss):
        agreement = Agreement.EXPLAINED_BY_BASIS
    explanations = _explanations(first, second, limit_percent, difference, gear_loss)
    return PowerPair(first, second, difference, agreement, explanations)


def _explained_by_basis(
    first: StatedPower, second: StatedPower, difference: float, gear_loss: tuple[float, float]
) -> bool:
    larger, smaller = sorted((first, second), key=lambda s: s.power_w, reverse=True)
    return (
        larger.basis is PowerBasis.CRANKSHAFT
        and smaller.basis is PowerBasis.PROPELLER_SHAFT
        and gear_loss[0] <= difference <= gear_loss[1]
    )


def _explanations(
    first: StatedPower,
    second: StatedPower,
    limit_percent: float,
    difference: float,
    gear_loss: tuple[float, float],
) -> tuple[Explanation, ...]:
    found: list[Explanation] = []
    if _agrees_as_metric(first, second, limit_percent):
        found.append(Explanation.FIRST_IS_METRIC)
    if _agrees_as_metric(second, first, limit_percent):
        found.append(Explanation.SECOND_IS_METRIC)
    if gear_loss[0] <= difference <= gear_loss[1]:
        first_is_smaller = first.power_w < second.power_w
        smaller, larger = (first, second) if first_is_smaller else (second, first)
        contradicted = (
            smaller.basis is PowerBasis.CRANKSHAFT or larger.basis is PowerBasis.PROPELLER_SHAFT
        )
        if not contradicted:
            found.append(
                Explanation.FIRST_AFTER_GEAR if first_is_smaller else Explanation.SECOND_AFTER_GEAR
            )
    if first.rating_class and second.rating_class and first.rating_class != second.rating_class:
        found.append(Explanation.OTHER_CLASS)
    if first.speed_rpm and second.speed_rpm and first.speed_rpm != second.speed_rpm:
        found.append(Explanation.OTHER_SPEED)
    return tuple(found)


def _agrees_as_metric(suspect: StatedPower, other: StatedPower, limit_percent: float) -> bool:
    if suspect.unit is not PowerUnit.BRAKE_HORSEPOWER:
        return False
    as_metric_w = power_w(suspect.value, PowerUnit.METRIC_HORSEPOWER)
    return difference_percent(as_metric_w, other.power_w) <= limit_percent


def torque_n_m(power_w: float, speed_rpm: float) -> float:
    """Torque of a turning shaft.

    T = P / (2 pi n / 60)

    power_w: power [W]
    speed_rpm: of the same shaft [rpm]
    Returns the torque [N m]. Raises OutOfRange.
    Source: definition of power.
    """
    zero_or_more("the power", power_w, "W")
    more_than_zero("the speed", speed_rpm, "rpm")
    return power_w / (2 * math.pi * speed_rpm / 60)


def shaft_power_from_torque_w(torque_n_m: float, speed_rpm: float) -> float:
    """Power that a torque gives at a speed.

    P = T 2 pi n / 60

    torque_n_m: torque [N m]
    speed_rpm: of the same shaft [rpm]
    Returns the power [W]. Raises OutOfRange.
    Source: definition of power.
    """
    zero_or_more("the torque", torque_n_m, "N m")
    zero_or_more("the speed", speed_rpm, "rpm")
    return torque_n_m * 2 * math.pi * speed_rpm / 60


def displacement_m3(bore_m: float, stroke_m: float, cylinder_count: int) -> float:
    """Swept volume of all cylinders.

    V = z pi/4 B^2 S

    bore_m: of each cylinder [m]
    stroke_m: of each piston [m]
    cylinder_count: number of cylinders
    Returns the displacement [m3]. Raises OutOfRange.
    Source: geometry.
    """
    more_than_zero("the bore", bore_m, "m")
    more_than_zero("the stroke", stroke_m, "m")
    more_than_zero("the number of cylinders", cylinder_count, "")
    return cylinder_count * math.pi / 4 * bore_m**2 * stroke_m


def revolutions_per_cycle(strokes_per_cycle: int) -> int:
    """Turns of the crankshaft for one working stroke of a cylinder.

    strokes_per_cycle: 2 or 4
    Returns 1 or 2. Raises OutOfRange.
    """
    if strokes_per_cycle not in (2, 4):
        raise OutOfRange("the strokes in a cycle", str(strokes_per_cycle), "2 or 4")
    return strokes_per_cycle // 2


def mean_effective_pressure_pa(
    power_w: float, speed_rpm: float, displacement_m3: float, strokes_per_cycle: int
) -> float:
    """Brake mean effective pressure: work of one cycle over the displacement.

    p = P n_c / (V n / 60), n_c = 2 for four strokes and 1 for two

    power_w: at the crankshaft [W]
    speed_rpm: of the engine [rpm]
    displacement_m3: of all cylinders [m3]
    strokes_per_cycle: 2 or 4
    Returns the pressure [Pa]. Raises OutOfRange.
    Source: definition.
    """
    zero_or_more("the power", power_w, "W")
    more_than_zero("the speed", speed_rpm, "rpm")
    more_than_zero("the displacement", displacement_m3, "m³")
    turns = revolutions_per_cycle(strokes_per_cycle)
    return power_w * turns / (displacement_m3 * speed_rpm / 60)


def mean_piston_speed_m_per_s(stroke_m: float, speed_rpm: float) -> float:
    """Mean speed of the pistons.

    c = 2 S n / 60

    stroke_m: of each piston [m]
    speed_rpm: of the engine [rpm]
    Returns the speed [m/s]. Raises OutOfRange.
    Source: definition.
    """
    more_than_zero("the stroke", stroke_m, "m")
    zero_or_more("the speed", speed_rpm, "rpm")
    return 2 * stroke_m * speed_rpm / 60


def propeller_power_w(
    rated_power_w: float, rated_speed_rpm: float, speed_rpm: float, exponent: float
) -> float:
    """Power a propeller takes at part speed, on a curve through the rated point.

    P = P_r (n / n_r)^e

    rated_power_w: taken at the rated speed [W]
    rated_speed_rpm: of the engine [rpm]
    speed_rpm: of the engine, not above the rated speed [rpm]
    exponent: of the propeller curve; 3 for displacement hulls, lower for planing ones [-]
    Returns the power [W].
    Valid: from standstill to the rated speed, exponent 1 to 4; outside raises OutOfRange.
    Source: propeller law; the exponent is common practice and belongs to the vessel.
    """
    more_than_zero("the rated power", rated_power_w, "W")
    more_than_zero("the rated speed", rated_speed_rpm, "rpm")
    within("the speed on the propeller curve", speed_rpm, 0, rated_speed_rpm, "rpm")
    within("the exponent of the propeller curve", exponent, 1, 4, "")
    return float(rated_power_w * (speed_rpm / rated_speed_rpm) ** exponent)


def power_margin_w(full_load: Curve, speed_rpm: float, demand_w: float) -> float:
    """What the engine could give beyond what is asked of it at one speed.

    dP = P_full(n) - P

    full_load: the sheet's full-load power over speed [W over rpm]
    speed_rpm: of the engine [rpm]
    demand_w: power taken [W]
    Returns the margin, negative when more is asked than there is [W].
    Raises OutOfTable outside the sheet's curve.
    """
    return full_load.at(speed_rpm) - demand_w
