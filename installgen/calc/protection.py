"""Protective devices: their rating, their place along the conductor, what they can interrupt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.errors import OutOfRange, OutOfTable
from installgen.tables.electrical import DevicePosition, breaker_capacities, device_positions
from installgen.tables.loader import Mark

METRES_PER_INCH = 0.0254


@dataclass(frozen=True)
class RatingRule:
    """How a rating is placed between the load and what the conductor may carry.

    load_ratio: least rating over continuous load; 1.25 by ABYC E-11 practice (secondary pages)
    ampacity_ratio: largest rating over ampacity that is chosen; 1 leaves no overload unprotected
    legal_ratio: largest rating over ampacity that is lawful; 1.5 by 33 CFR 183.455 (c)(1)
    """

    load_ratio: float = 1.25
    ampacity_ratio: float = 1.0
    legal_ratio: float = 1.5


@dataclass(frozen=True)
class RatingWindow:
    """Ratings a device may have.

    least_a: by the load [A]; largest_a: by the conductor [A]; legal_a: the upper legal limit [A]
    """

    least_a: float
    largest_a: float
    legal_a: float

    @property
    def open(self) -> bool:
        """Whether any rating at all lies inside."""
        return self.least_a <= self.largest_a


class RatingVerdict(StrEnum):
    """Where a rating lies against its window."""

    FITS = "fits"
    BELOW_MARGIN = "above the load, with less than the margin asked"
    BELOW_LOAD = "below the load"
    ABOVE_CONDUCTOR = "above what the conductor may carry, within the legal limit"
    ABOVE_LEGAL = "above the legal limit"


def rating_window(load_a: float, ampacity_a: float, rule: RatingRule) -> RatingWindow:
    """Ratings a device may have for a load and a conductor.

    load · load_ratio ≤ rating ≤ ampacity · ampacity_ratio; the law stops at ampacity · legal_ratio

    load_a: continuous current [A]
    ampacity_a: of the weakest conductor the device protects, every factor applied [A]
    Returns the window [A]; it may be empty. Raises OutOfRange for a negative load or ampacity.
    Source: 33 CFR 183.455 (c); ABYC E-11 (secondary pages).
    """
    if load_a < 0 or ampacity_a < 0:
        raise OutOfRange("the load or ampacity", f"{load_a:g} A, {ampacity_a:g} A", "0 A and more")
    return RatingWindow(
        load_a * rule.load_ratio, ampacity_a * rule.ampacity_ratio, ampacity_a * rule.legal_ratio
    )


def choose_rating(window: RatingWindow, stocked_a: Sequence[float]) -> float | None:
    """The smallest stocked rating inside a window.

    stocked_a: ratings the yard keeps [A]
    Returns a rating [A], or None when none of them fits.
    Source: common practice.
    """
    fitting = [r for r in stocked_a if _not_below(r, window.least_a)]
    fitting = [r for r in fitting if _not_below(window.largest_a, r)]
    return min(fitting, default=None)


def judge_rating(rating_a: float, load_a: float, window: RatingWindow) -> RatingVerdict:
    """Where a fitted rating lies; the worst that is true of it.

    rating_a: of the device [A]; load_a: continuous current [A]; window: from `rating_window`
    Returns the verdict.
    Source: 33 CFR 183.455 (c); ABYC E-11 (secondary pages).
    """
    if not _not_below(window.legal_a, rating_a):
        return RatingVerdict.ABOVE_LEGAL
    if not _not_below(rating_a, load_a):
        return RatingVerdict.BELOW_LOAD
    if not _not_below(window.largest_a, rating_a):
        return RatingVerdict.ABOVE_CONDUCTOR
    if not _not_below(rating_a, window.least_a):
        return RatingVerdict.BELOW_MARGIN
    return RatingVerdict.FITS


class DevicePlace(StrEnum):
    """A breaker's place for the interrupting-capacity table."""

    MAIN = "main"  # the first after the battery
    BRANCH = "branch"  # every later one


def prospective_current_a(emf_v: float, resistance_ohm: float) -> float:
    """Current of a dead short at a device, fed by one battery.

    I = E / R

    emf_v: of the strongest battery, warm and full [V]
    resistance_ohm: its internal resistance and the cold path to the device and back [ohm]
    Returns the current [A]. Raises OutOfRange for a resistance that is not above zero.
    Source: Ohm's law.
    """
    if not resistance_ohm > 0:
        raise OutOfRange("the short-circuit resistance", f"{resistance_ohm:g} Ω", "more than 0 Ω")
    return emf_v / resistance_ohm


@dataclass(frozen=True)
class InterruptingNeed:
    """Interrupting capacity asked by a table."""

    capacity_a: float
    source: str
    mark: Mark


def interrupting_capacity_by_cca(total_cca_a: float, place: DevicePlace) -> InterruptingNeed:
    """Interrupting capacity a breaker needs by the cranking current of the batteries.

    A second line beside the prospective current of the strongest battery, for 12 to 24 V.

    total_cca_a: of all batteries connected together; those in parallel add [A]
    Returns the capacity [A]. Raises OutOfTable above 2200 A: there the battery maker's
    short-circuit current is needed.
    Source: ABYC E-11 Table V.A (secondary page).
    """
    table = breaker_capacities()
    for row in table.rows:
        if row.cca_above_a < total_cca_a <= row.cca_to_a:
            capacity_a = row.main_a if place is DevicePlace.MAIN else row.branch_a
            return InterruptingNeed(capacity_a, row.source, row.mark)
    raise OutOfTable(
        table.title, f"{total_cca_a:g} A of cold-cranking current", "above 0 to 2200 A"
    )


@dataclass(frozen=True)
class PositionRule:
    """One rule on a device's distance from its source, with the conditions it is tied to."""

    name: str
    limit_m: float
    sheathed_all_the_way: bool
    straight_from_battery: bool
    source: str
    mark: Mark


def published_position_rules() -> tuple[PositionRule, ...]:
    """The published rules: 7 in, 40 in sheathed, 72 in sheathed straight from a battery."""
    return tuple(_position_rule(row) for row in device_positions().rows)


@dataclass(frozen=True)
class Position:
    """A device's place along its conductor.

    rule: the rule that allows the longest distance on this device's conditions
    distance_m: along the conductor from the source [m]
    """

    rule: PositionRule
    distance_m: float

    @property
    def met(self) -> bool:
        """Whether the device sits within its rule's distance."""
        return self.distance_m <= self.rule.limit_m * (1 + 1e-9)


def device_position(
    distance_m: float,
    *,
    sheathed_all_the_way: bool,
    straight_from_battery: bool,
    rules: Sequence[PositionRule],
) -> Position:
    """Judge how far from its source of power a protective device sits.

    distance_m: along the conductor from the source to the device [m]
    sheathed_all_the_way: in a sheath or enclosure over the whole of that distance
    straight_from_battery: the source is the battery's own terminal
    rules: the yard's, or `published_position_rules`
    Returns the most generous rule whose conditions hold. Raises OutOfTable when none applies.
    Source: 33 CFR 183.455 (b).
    """
    if distance_m < 0:
        raise OutOfRange("the device's distance", f"{distance_m:g} m", "0 m and more")
    holding = [
        rule
        for rule in rules
        if (sheathed_all_the_way or not rule.sheathed_all_the_way)
        and (straight_from_battery or not rule.straight_from_battery)
    ]
    if not holding:
        raise OutOfTable("the rules on a device's place", "this conductor", "other conditions")
    return Position(max(holding, key=lambda rule: rule.limit_m), distance_m)


def _position_rule(row: DevicePosition) -> PositionRule:
    return PositionRule(
        row.rule,
        row.limit_in * METRES_PER_INCH,
        row.sheathed_all_the_way,
        row.straight_from_battery,
        row.source,
        row.mark,
    )


def _not_below(value: float, least: float) -> bool:
    return value >= least * (1 - 1e-9)
