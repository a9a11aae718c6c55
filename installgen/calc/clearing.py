"""Whether a protective device opens on a fault before the conductor behind it is spoiled."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from installgen.errors import OutOfRange

ADIABATIC_S = 5.0
"""Up to here hardly any heat leaves a conductor (IEC 60364-5-54)."""


def adiabatic_factor(initial_c: float, final_c: float) -> float:
    """Factor k of copper between two temperatures, for insulation that has no published k.

    k = 226 · √(ln((234.5 + θf) / (234.5 + θi)))

    initial_c: of the conductor when the fault begins [°C]
    final_c: the most its insulation stands for seconds [°C]
    Returns k [A·√s/mm²]. Raises OutOfRange unless −50 ≤ initial < final ≤ 500 °C.
    Source: IEC 60949 (constants from a secondary page).
    """
    if not -50 <= initial_c < final_c <= 500:
        raise OutOfRange(
            "the fault temperatures", f"{initial_c:g} to {final_c:g} °C", "rising, −50 to 500 °C"
        )
    return 226 * math.sqrt(math.log((234.5 + final_c) / (234.5 + initial_c)))


def withstand_time_s(area_mm2: float, current_a: float, k_a_sqrt_s_per_mm2: float) -> float:
    """Longest time a conductor stands a fault current.

    t = (k · S / I)²

    area_mm2: S [mm²]; current_a: I [A]; k_a_sqrt_s_per_mm2: k [A·√s/mm²]
    Returns the time [s]; above 5 s it is too short, for no heat is counted as leaving.
    Raises OutOfRange for an area or current that is not above zero.
    Source: IEC 60364-5-54, adiabatic formula.
    """
    if not (area_mm2 > 0 and current_a > 0):
        raise OutOfRange("area or current", f"{area_mm2:g} mm², {current_a:g} A", "more than 0")
    return (k_a_sqrt_s_per_mm2 * area_mm2 / current_a) ** 2


@dataclass(frozen=True)
class Cooling:
    """What a conductor gives off, by what it carries for ever.

    ampacity_a: current that holds it at its rating [A]
    rise_k: of its rating over the air that its ampacity is stated for [K]
    further_k: from its rating to the most its insulation stands for seconds [K]
    """

    ampacity_a: float
    rise_k: float
    further_k: float

    def __post_init__(self) -> None:
        if not (self.ampacity_a > 0 and self.rise_k > 0 and self.further_k > 0):
            raise OutOfRange(
                "the cooling of a conductor",
                f"{self.ampacity_a:g} A, {self.rise_k:g} K, {self.further_k:g} K",
                "more than 0",
            )


def cooled_withstand_time_s(
    area_mm2: float, current_a: float, k_a_sqrt_s_per_mm2: float, cooling: Cooling
) -> float:
    """Longest time a conductor stands a fault current, with the heat that leaves it.

    t = τ · ln((θ∞ − θr) / (θ∞ − θr − θf)), θ∞ = (I/Iz)² · θr, τ = (k·S/Iz)² · θr/θf

    First order, from its rating. It starts like the adiabatic formula, and its ampacity is what
    holds it where it is.

    area_mm2: S [mm²]; current_a: I [A]; k_a_sqrt_s_per_mm2: k [A·√s/mm²]
    cooling: Iz, θr (rise) and θf (further)
    Returns the time; infinite where the current does not heat it so far [s].
    Source: heat balance of a conductor; derived from its ampacity and its factor k.
    """
    settles_k = (current_a / cooling.ampacity_a) ** 2 * cooling.rise_k
    if settles_k <= cooling.rise_k + cooling.further_k:
        return math.inf
    withstood_s = withstand_time_s(area_mm2, cooling.ampacity_a, k_a_sqrt_s_per_mm2)
    constant_s = withstood_s * cooling.rise_k / cooling.further_k
    over_k = settles_k - cooling.rise_k
    return constant_s * math.log(over_k / (over_k - cooling.further_k))


def adiabatic_area_mm2(current_a: float, time_s: float, k_a_sqrt_s_per_mm2: float) -> float:
    """Smallest conductor that stands a fault current for a time.

    S = √(I² · t) / k

    current_a: I [A]; time_s: t, up to 5 s [s]; k_a_sqrt_s_per_mm2: k [A·√s/mm²]
    Returns the area [mm²]. Raises OutOfRange for a time outside 0 to 5 s.
    Source: IEC 60364-5-54, adiabatic formula.
    """
    if not 0 <= time_s <= 5:
        raise OutOfRange("the fault's duration", f"{time_s:g} s", "0 to 5 s")
    return abs(current_a) * math.sqrt(time_s) / k_a_sqrt_s_per_mm2


@dataclass(frozen=True)
class CurvePoint:
    """One point of a time–current curve: at this current the device opens between these times.

    current_a: [A]; shortest_s, longest_s: opening time of the fastest and slowest device [s]
    """

    current_a: float
    shortest_s: float
    longest_s: float


@dataclass(frozen=True)
class TimeCurrentCurve:
    """How long a protective device takes to open, as its maker states it.

    holds_a: current it carries for ever [A]
    points: in rising current, times not rising
    """

    holds_a: float
    points: tuple[CurvePoint, ...]

    def __post_init__(self) -> None:
        shown = f"{self.holds_a:g} A; " + ", ".join(
            f"{p.current_a:g} A {p.shortest_s:g} to {p.longest_s:g} s" for p in self.points
        )
        rising = all(a.current_a < b.current_a for a, b in pairwise(self.points))
        faster = all(
            a.shortest_s >= b.shortest_s and a.longest_s >= b.longest_s
            for a, b in pairwise(self.points)
        )
        bands = all(0 < p.shortest_s <= p.longest_s < math.inf for p in self.points)
        starts = bool(self.points) and 0 < self.holds_a <= self.points[0].current_a
        if not (rising and faster and bands and starts):
            raise OutOfRange(
                "the time–current curve", shown, "currents that rise from the holding current, "
                "times above 0 s that do not rise, shortest before longest",
            )  # fmt: skip


@dataclass(frozen=True)
class OpeningTime:
    """Opening time of the fastest and the slowest device [s]; infinite: it may never open."""

    shortest_s: float
    longest_s: float


def opening_time(curve: TimeCurrentCurve, current_a: float) -> OpeningTime:
    """Time a protective device takes to open at a current.

    On a straight line between the logarithms of current and time of the two points beside it.
    Up to the holding current it never opens; between that and the first point it may open no
    sooner than the first point says, or never; above the last point, no later than it says.

    current_a: steady fault current [A]
    Returns the band [s].
    Source: the device maker's curve; interpolation is common practice.
    """
    first, last = curve.points[0], curve.points[-1]
    if current_a <= curve.holds_a:
        return OpeningTime(math.inf, math.inf)
    if current_a < first.current_a:
        return OpeningTime(first.shortest_s, math.inf)
    for low, high in pairwise(curve.points):
        if low.current_a <= current_a <= high.current_a:
            share = math.log(current_a / low.current_a) / math.log(high.current_a / low.current_a)
            return OpeningTime(
                low.shortest_s * (high.shortest_s / low.shortest_s) ** share,
                low.longest_s * (high.longest_s / low.longest_s) ** share,
            )
    # At the last point, or above it: faster than there, nobody says by how much.
    return OpeningTime(last.shortest_s if current_a == last.current_a else 0.0, last.longest_s)


class Clearing(StrEnum):
    """How a fault ends."""

    FAST = "clears fast"
    SLOWLY = "clears slowly"
    NEVER = "never clears"


@dataclass(frozen=True)
class FaultClearing:
    """How a device and the conductor behind it meet one fault.

    opening: the device's band [s]; withstand_s: of the conductor [s]
    """

    clearing: Clearing
    current_a: float
    opening: OpeningTime
    withstand_s: float

    @property
    def conductor_survives(self) -> bool:
        """Whether the slowest device opens before the conductor's insulation is spoiled."""
        return self.opening.longest_s <= self.withstand_s


def fault_clearing(
    curve: TimeCurrentCurve | None,
    current_a: float,
    *,
    area_mm2: float,
    k_a_sqrt_s_per_mm2: float,
    fast_s: float,
    ampacity_a: float = 0.0,
    cooling: Cooling | None = None,
) -> FaultClearing:
    """Meet one fault with a device's curve and the conductor behind it.

    Judged by the slowest device: fast within `fast_s`, slowly when it opens later, never when it
    may not open at all. Without a device the fault never clears.

    curve: of the device; None where there is none, as on a cranking conductor
    current_a: steady fault current [A]
    area_mm2: smallest conductor behind the device [mm²]
    k_a_sqrt_s_per_mm2: of that conductor [A·√s/mm²]
    fast_s: the yard's limit for fast [s]
    ampacity_a: what that conductor carries for ever, every factor applied; 0 when not known [A]
    cooling: what leaves the conductor beyond five seconds; without it nothing does
    Returns the verdict with both times.
    Source: IEC 60364-5-54 adiabatic formula; beyond 5 s `cooled_withstand_time_s`; the device
    maker's curve.
    """
    opening = OpeningTime(math.inf, math.inf) if curve is None else opening_time(curve, current_a)
    if math.isinf(opening.longest_s):
        clearing = Clearing.NEVER
    else:
        clearing = Clearing.FAST if opening.longest_s <= fast_s else Clearing.SLOWLY
    if current_a <= ampacity_a:
        return FaultClearing(clearing, current_a, opening, math.inf)
    withstand_s = withstand_time_s(area_mm2, current_a, k_a_sqrt_s_per_mm2)
    # What never opens heats for ever, so nothing but the ampacity counts.
    if cooling is not None and withstand_s > ADIABATIC_S and clearing is not Clearing.NEVER:
        cooled_s = cooled_withstand_time_s(area_mm2, current_a, k_a_sqrt_s_per_mm2, cooling)
        withstand_s = max(withstand_s, cooled_s)
    return FaultClearing(clearing, current_a, opening, withstand_s)


def overload_clearing(
    curve: TimeCurrentCurve,
    rating_a: float,
    *,
    area_mm2: float,
    k_a_sqrt_s_per_mm2: float,
    fast_s: float,
    ampacity_a: float = 0.0,
    multiples: Sequence[float] = (1.1, 1.35, 1.5, 2.0),
) -> tuple[FaultClearing, ...]:
    """Meet overloads a little above the rating: the case that sets fire to a boat.

    multiples: of the rating; between 1.1 and 2 a device opens late or not at all
    The rest is as in `fault_clearing`. Returns one verdict for each multiple.
    Source: the device maker's curve; the multiples are common practice.
    """
    return tuple(
        fault_clearing(
            curve,
            multiple * rating_a,
            area_mm2=area_mm2,
            k_a_sqrt_s_per_mm2=k_a_sqrt_s_per_mm2,
            fast_s=fast_s,
            ampacity_a=ampacity_a,
        )
        for multiple in multiples
    )
