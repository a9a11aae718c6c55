"""Driveline: gear ratio and rotation, shaft speed and torque, belts, housing and flywheel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.tables.driveline import Flywheel, FlywheelHousing, flywheel_housings, flywheels


class Rotation(StrEnum):
    """How a shaft turns, seen from aft looking forward unless told otherwise."""

    CLOCKWISE = "clockwise"
    COUNTERCLOCKWISE = "counterclockwise"

    @property
    def reversed(self) -> Rotation:
        """The other way."""
        clockwise = self is Rotation.CLOCKWISE
        return Rotation.COUNTERCLOCKWISE if clockwise else Rotation.CLOCKWISE


class FlywheelEnd(StrEnum):
    """Which way an engine's flywheel points in the vessel."""

    AFT = "aft"
    FORWARD = "forward"


class GearSense(StrEnum):
    """How a gear's output turns against its input, ahead."""

    SAME = "same as the engine"
    OPPOSITE = "opposite to the engine"


class Hand(StrEnum):
    """Hand of a propeller; a right-hand one turns clockwise seen from aft, going ahead."""

    RIGHT = "right"
    LEFT = "left"


class TwinTurning(StrEnum):
    """How the tops of a pair of propellers move, going ahead."""

    OUTWARD = "outward over the top"
    INWARD = "inward over the top"
    SAME_WAY = "both the same way"


class MountingFit(StrEnum):
    """Whether two mounting faces go together."""

    SAME = "same size"
    SAME_BUT_HOLES = "same size, but one has metric and one has inch holes"
    DIFFERENT = "different sizes"


class FlywheelRoom(StrEnum):
    """Whether a flywheel size and a housing size go together as the standards pair them."""

    FITS = "fits"
    DEPTH_DIFFERS = "depth from crank flange to housing face differs between the two standards"
    TOO_LARGE = "coupling is larger than the housing's pilot bore"


@dataclass(frozen=True)
class ShaftRotation:
    """How a propeller shaft turns, seen from aft."""

    ahead: Rotation
    astern: Rotation


@dataclass(frozen=True)
class MountingMatch:
    """Engine and gear face to face."""

    housing: MountingFit
    flywheel: MountingFit
    flywheel_room: FlywheelRoom


def shaft_speed_rpm(engine_speed_rpm: float, reduction_ratio: float) -> float:
    """Speed of the propeller shaft.

    n_s = n / i

    engine_speed_rpm: of the engine [rpm]
    reduction_ratio: engine turns for one turn of the shaft [-]
    Returns the speed [rpm]. Raises OutOfRange.
    Source: definition of the ratio.
    """
    zero_or_more("the engine speed", engine_speed_rpm, "rpm")
    more_than_zero("the reduction ratio", reduction_ratio, "")
    return engine_speed_rpm / reduction_ratio


def shaft_power_w(engine_power_w: float, gear_efficiency_ratio: float) -> float:
    """Power behind the gear.

    P_s = P eta

    engine_power_w: at the crankshaft [W]
    gear_efficiency_ratio: of the gear; about 0.97 is usual [-]
    Returns the power [W]. Raises OutOfRange.
    Source: definition of efficiency.
    """
    zero_or_more("the engine power", engine_power_w, "W")
    more_than_zero("the gear's efficiency", gear_efficiency_ratio, "")
    within("the gear's efficiency", gear_efficiency_ratio, 0, 1, "")
    return engine_power_w * gear_efficiency_ratio


def shaft_torque_n_m(
    engine_torque_n_m: float, reduction_ratio: float, gear_efficiency_ratio: float
) -> float:
    """Torque in the propeller shaft.

    T_s = T i eta

    engine_torque_n_m: at the crankshaft [N m]
    reduction_ratio: engine turns for one turn of the shaft [-]
    gear_efficiency_ratio: of the gear [-]
    Returns the torque [N m]. Raises OutOfRange.
    Source: power balance of the gear.
    """
    zero_or_more("the engine torque", engine_torque_n_m, "N m")
    more_than_zero("the reduction ratio", reduction_ratio, "")
    more_than_zero("the gear's efficiency", gear_efficiency_ratio, "")
    within("the gear's efficiency", gear_efficiency_ratio, 0, 1, "")
    return engine_torque_n_m * reduction_ratio * gear_efficiency_ratio


def apparent_slip_ratio(boat_m_per_s: float, pitch_m: float, shaft_speed_rpm: float) -> float:
    """How far a boat falls behind what her propeller would cover in a solid.

    s = 1 - v / (p n)

    boat_m_per_s: [m/s]
    pitch_m: of the propeller, more than 0 [m]
    shaft_speed_rpm: more than 0 [rpm]
    Returns the apparent slip, negative when a current carries her [-]. Raises OutOfRange.
    Source: definition.
    """
    more_than_zero("the pitch", pitch_m, "m")
    more_than_zero("the shaft speed", shaft_speed_rpm, "rpm")
    return 1.0 - boat_m_per_s / (pitch_m * shaft_speed_rpm / 60.0)


def seen_from_aft(facing_flywheel: Rotation, flywheel_end: FlywheelEnd) -> Rotation:
    """An engine's rotation seen from aft, from the one its maker states facing the flywheel.

    facing_flywheel: as its maker states it
    flywheel_end: which way the flywheel points in this vessel
    Returns the rotation seen from aft.
    """
    return facing_flywheel if flywheel_end is FlywheelEnd.AFT else facing_flywheel.reversed


def shaft_rotation(engine_seen_from_aft: Rotation, gear_ahead: GearSense) -> ShaftRotation:
    """How the propeller shaft turns ahead and astern.

    engine_seen_from_aft: rotation of the engine seen from aft
    gear_ahead: the gear's output against its input, ahead
    Returns both rotations seen from aft; astern is always the other way.
    """
    same = gear_ahead is GearSense.SAME
    ahead = engine_seen_from_aft if same else engine_seen_from_aft.reversed
    return ShaftRotation(ahead, ahead.reversed)


def propeller_hand(ahead: Rotation) -> Hand:
    """The hand a propeller must have to drive ahead.

    ahead: rotation of the shaft, ahead, seen from aft
    Returns right for clockwise.
    """
    return Hand.RIGHT if ahead is Rotation.CLOCKWISE else Hand.LEFT


def twin_turning(port: Hand, starboard: Hand) -> TwinTurning:
    """How a pair of propellers turns.

    port: hand of the port propeller
    starboard: hand of the starboard propeller
    Returns outward when the starboard one is right-handed and the port one left-handed.
    """
    if port is starboard:
        return TwinTurning.SAME_WAY
    return TwinTurning.OUTWARD if starboard is Hand.RIGHT else TwinTurning.INWARD


def belt_ratio(driving_diameter_m: float, driven_diameter_m: float) -> float:
    """Turns of the driven pulley for one of the driving pulley, no slip.

    r = d_1 / d_2

    driving_diameter_m: pitch diameter of the pulley on the engine [m]
    driven_diameter_m: pitch diameter of the pulley that is driven [m]
    Returns the ratio [-]. Raises OutOfRange.
    Source: geometry.
    """
    more_than_zero("the driving pulley", driving_diameter_m, "m")
    more_than_zero("the driven pulley", driven_diameter_m, "m")
    return driving_diameter_m / driven_diameter_m


def driven_speed_rpm(driving_speed_rpm: float, belt_ratio: float) -> float:
    """Speed of a pulley driven by belt.

    n_2 = n_1 r

    driving_speed_rpm: of the driving pulley, the engine's for a crank pulley [rpm]
    belt_ratio: turns of the driven pulley for one of the driving one [-]
    Returns the speed [rpm]. Raises OutOfRange.
    """
    zero_or_more("the speed of the driving pulley", driving_speed_rpm, "rpm")
    more_than_zero("the belt ratio", belt_ratio, "")
    return driving_speed_rpm * belt_ratio


def belt_speed_m_per_s(pulley_diameter_m: float, pulley_speed_rpm: float) -> float:
    """Speed of a belt.

    v = pi d n / 60

    pulley_diameter_m: pitch diameter of either pulley [m]
    pulley_speed_rpm: of the same pulley [rpm]
    Returns the speed [m/s]. Raises OutOfRange.
    Source: geometry.
    """
    more_than_zero("the pulley", pulley_diameter_m, "m")
    zero_or_more("the pulley's speed", pulley_speed_rpm, "rpm")
    return math.pi * pulley_diameter_m * pulley_speed_rpm / 60


def mounting_match(
    engine_housing: str, engine_flywheel: str, gear_housing: str, gear_flywheel: str
) -> MountingMatch:
    """Whether a gear bolts to an engine.

    engine_housing: SAE number, such as `3`, or `3M` for metric holes
    engine_flywheel: size in inches, such as `11-1/2`
    gear_housing: SAE number that the gear is made for
    gear_flywheel: flywheel size that the gear's coupling is made for
    Returns how the housings, the flywheels, and coupling in housing go together.
    Raises OutOfTable for a size that is not in the standards.
    Source: SAE J617, SAE J620.
    """
    engine, engine_metric = _housing(engine_housing)
    gear, gear_metric = _housing(gear_housing)
    housing = MountingFit.DIFFERENT
    if engine.sae_no == gear.sae_no:
        same_holes = engine_metric == gear_metric
        housing = MountingFit.SAME if same_holes else MountingFit.SAME_BUT_HOLES
    wheel = flywheels().row(size=engine_flywheel)
    coupling = flywheels().row(size=gear_flywheel)
    flywheel = MountingFit.SAME if wheel.size == coupling.size else MountingFit.DIFFERENT
    return MountingMatch(housing, flywheel, flywheel_room(engine, coupling))


def flywheel_room(housing: FlywheelHousing, flywheel: Flywheel) -> FlywheelRoom:
    """Whether a coupling of a flywheel size goes through a housing's pilot bore at its depth.

    housing: row of SAE J617
    flywheel: row of SAE J620
    Returns fits, or what differs; a different depth may be right, the engine's drawing tells.
    Source: SAE J617, SAE J620.
    """
    if flywheel.pilot_bore_mm >= housing.pilot_bore_mm:
        return FlywheelRoom.TOO_LARGE
    if flywheel.crank_face_depth_mm != housing.crank_face_depth_mm:
        return FlywheelRoom.DEPTH_DIFFERS
    return FlywheelRoom.FITS


def _housing(sae_no: str) -> tuple[FlywheelHousing, bool]:
    metric = sae_no.endswith("M")
    return flywheel_housings().row(sae_no=sae_no.removesuffix("M")), metric
