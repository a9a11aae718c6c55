"""Where the sea can siphon in, and where a vented loop must stand against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.errors import OutOfRange


def needs_vented_loop(lowest_injection_height_m: float, required_height_m: float) -> bool:
    """Whether water can siphon into the engine through the injection point.

    lowest_injection_height_m: of the injection, at the worst heel and trim and loaded [m]
    required_height_m: above the waterline, that the engine maker asks for [m]
    Returns True when the injection is below it.
    Source: common practice; makers ask for 150 to 305 mm.
    """
    return lowest_injection_height_m < required_height_m


class JointKind(StrEnum):
    """What stands at a point of the raw-water route, as far as siphoning is concerned."""

    INTAKE = "intake"
    PUMP = "pump"
    EXCHANGER = "exchanger"
    VENTED_LOOP = "vented loop"
    INJECTION = "injection"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class RouteJoint:
    """A point of the route in the order of the water.

    kind: what stands there
    height_m: above the waterline, at the worst heel and trim [m]
    """

    kind: JointKind
    height_m: float


class VentedLoopVerdict(StrEnum):
    """Where the vented loop is, against where it must be."""

    NOT_NEEDED = "not needed"
    RIGHT = "right"
    MISSING = "missing"
    ON_SUCTION = "on suction"  # it would let the pump draw air
    WRONG_PLACE = "wrong place"  # not between exchanger and injection
    TOO_LOW = "too low"


@dataclass(frozen=True, slots=True)
class VentedLoopCheck:
    """Result of `vented_loop`.

    verdict: as named
    loop: number of the joint that was judged; None when there is none
    after, before: the loop belongs after joint `after` and before joint `before`
    margin_m: height of the crown over what is required [m]; None without a loop
    """

    verdict: VentedLoopVerdict
    loop: int | None
    after: int
    before: int
    margin_m: float | None


def vented_loop(
    route: Sequence[RouteJoint], required_injection_m: float, required_crown_m: float
) -> VentedLoopCheck:
    """Judge the vented loop of a raw-water route.

    It is needed when the injection is lower than the maker asks, and stands on the pressure side
    between the last exchanger and the injection, its crown high enough at the worst heel and trim.

    route: joints in the order of the water, with one pump before one injection
    required_injection_m: least height of an injection that needs no loop [m]
    required_crown_m: least height of the crown [m]
    Returns the verdict, the place and the margin. A loop on the suction is named first, needed or
    not, as it lets the pump draw air.
    Raises OutOfRange for a route without its pump or injection, or with them the wrong way round.
    Source: common practice; makers' manuals.
    """
    kinds = [joint.kind for joint in route]
    for kind in (JointKind.PUMP, JointKind.INJECTION):
        if kinds.count(kind) != 1:
            raise OutOfRange(f"number of joints of kind {kind}", f"{kinds.count(kind)}", "1")
    pump, injection = kinds.index(JointKind.PUMP), kinds.index(JointKind.INJECTION)
    if injection < pump:
        raise OutOfRange("order of pump and injection", "injection first", "pump first")
    after = max(
        (i for i, kind in enumerate(kinds[:injection]) if kind is JointKind.EXCHANGER and i > pump),
        default=pump,
    )
    loops = [i for i, kind in enumerate(kinds) if kind is JointKind.VENTED_LOOP]

    def check(verdict: VentedLoopVerdict, loop: int | None) -> VentedLoopCheck:
        margin = None if loop is None else route[loop].height_m - required_crown_m
        return VentedLoopCheck(verdict, loop, after, injection, margin)

    for loop in loops:
        if loop < pump:
            return check(VentedLoopVerdict.ON_SUCTION, loop)
    right = [loop for loop in loops if after < loop < injection]
    if right:
        best = max(right, key=lambda loop: route[loop].height_m)
        high = route[best].height_m >= required_crown_m
        if high:
            return check(VentedLoopVerdict.RIGHT, best)
        if needs_vented_loop(route[injection].height_m, required_injection_m):
            return check(VentedLoopVerdict.TOO_LOW, best)
    if not needs_vented_loop(route[injection].height_m, required_injection_m):
        return check(VentedLoopVerdict.NOT_NEEDED, None)
    if loops:
        return check(VentedLoopVerdict.WRONG_PLACE, loops[0])
    return check(VentedLoopVerdict.MISSING, None)


def can_siphon_in(
    opening_lowest_m: float, place_lowest_m: float, vented_crown_lowest_m: float | None
) -> bool:
    """Whether the sea can siphon through a hose from an opening in the hull to a place aboard.

    opening_lowest_m: height of the opening, at the worst heel and trim [m]
    place_lowest_m: height of the place that the hose leads to, at the worst heel and trim [m]
    vented_crown_lowest_m: height of the crown of its open vented loop, at the worst heel and trim
        [m]; None without one: an unvented crown stops no siphon once water has gone over it
    Returns True when both can be under water level and no vented crown stays above it.
    Source: hydrostatics.
    """
    if vented_crown_lowest_m is not None and vented_crown_lowest_m > 0.0:
        return False
    return opening_lowest_m < 0.0 and place_lowest_m < 0.0
