"""Driveline: gear and engine face to face, shaft speed and torque, rotation, propeller hand."""

from __future__ import annotations

from typing import Literal

from installgen.analysis.results import Book, MissingInput
from installgen.analysis.speeds import SPEEDS, figure_id, speed_id
from installgen.calc import driveline as calc
from installgen.spec.engine_sheet import Belt
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Gear
from installgen.units import Power, RotationalSpeed, Torque, Velocity

_ROTATION = {
    "clockwise": calc.Rotation.CLOCKWISE,
    "counter-clockwise": calc.Rotation.COUNTERCLOCKWISE,
}
_SENSE = {"same-as-engine": calc.GearSense.SAME, "opposite-to-engine": calc.GearSense.OPPOSITE}


def analyse_driveline(book: Book, vessel: Vessel) -> None:
    """Enter the driveline of every engine that has a gear."""
    for engine in vessel.engines:
        if engine.entry.gear is not None:
            _mounting(book, engine, engine.entry.gear)
            _shaft(book, engine, engine.entry.gear)
            _rotation(book, engine, engine.entry.gear)
        for belt in engine.sheet.belts:
            if belt.pulley is not None:
                for speed in SPEEDS:
                    _belt(book, engine, belt, speed)
    _twins(book, vessel)


def _mounting(book: Book, engine: FittedEngine, gear: Gear) -> None:
    with book.working(
        f"{engine.name}.driveline.mounting",
        "Gear and engine face to face",
        "driveline",
        formula="housing against housing, flywheel against coupling",
        source="SAE J617 (housings), SAE J620 (flywheels)",
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        build = engine.sheet.build
        match = calc.mounting_match(
            w.spec(build, "housing", "engine housing"),
            w.spec(build, "flywheel", "engine flywheel"),
            w.spec(gear, "housing", "gear housing"),
            w.spec(gear, "flywheel", "gear coupling"),
        )
        w.value = f"housing: {match.housing}; flywheel: {match.flywheel}"
        w.note(f"Coupling in housing: {match.flywheel_room}.")


def _shaft(book: Book, engine: FittedEngine, gear: Gear) -> None:
    for speed in SPEEDS:
        _turns(book, engine, gear, speed, "ahead")
        if gear.ratio_astern is not None:
            _turns(book, engine, gear, speed, "astern")
        with book.working(
            f"{engine.name}.driveline.{speed}.shaft-power",
            f"Power behind the gear at {speed}",
            "driveline",
            formula="P·η",
            source="definition; efficiency as the vessel spec gives it",
            case=speed,
            engine=engine.name,
        ) as w:
            power = w.result(figure_id(engine, speed, "power")).w
            w.value = Power(
                calc.shaft_power_w(power, w.spec(gear, "efficiency", "gear efficiency").ratio)
            )
        with book.working(
            f"{engine.name}.driveline.{speed}.shaft-torque",
            f"Shaft torque at {speed}",
            "driveline",
            formula="T·ratio·η",
            source="definition",
            case=speed,
            engine=engine.name,
        ) as w:
            torque = w.result(f"{engine.name}.rating.{speed}.torque").n_m
            ratio = w.spec(gear, "ratio_ahead", "ratio ahead").ratio
            efficiency = w.spec(gear, "efficiency", "gear efficiency").ratio
            w.value = Torque(calc.shaft_torque_n_m(torque, ratio, efficiency))


def _turns(
    book: Book, engine: FittedEngine, gear: Gear, speed: str, way: Literal["ahead", "astern"]
) -> None:
    with book.working(
        f"{engine.name}.driveline.{speed}.shaft-speed{'' if way == 'ahead' else '-astern'}",
        f"Shaft speed at {speed}, {way}",
        "driveline",
        formula="n / ratio",
        source="definition",
        case=speed,
        engine=engine.name,
    ) as w:
        rpm = w.result(speed_id(engine, speed)).rpm
        ratio = w.spec(gear, f"ratio_{way}", f"ratio {way}").ratio
        w.value = RotationalSpeed(calc.shaft_speed_rpm(rpm, ratio))


def _belt(book: Book, engine: FittedEngine, belt: Belt, speed: str) -> None:
    with book.working(
        f"{engine.name}.driveline.{speed}.belt-{belt.id}",
        f"Speed of the {(belt.name or belt.id).lower()} at {speed}",
        "driveline",
        formula="π·d·n",
        source="geometry",
        case=speed,
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        pulley = w.spec(belt, "pulley", "pitch diameter of the crankshaft's pulley").m
        rpm = w.result(speed_id(engine, speed)).rpm
        w.value = Velocity(calc.belt_speed_m_per_s(pulley, rpm))


def hand_id(engine: FittedEngine) -> str:
    """Id of the hand of propeller that drives an engine's shaft ahead."""
    return f"{engine.name}.driveline.propeller-hand"


def _twins(book: Book, vessel: Vessel) -> None:
    """How a pair of propellers turns."""
    sides = {engine.entry.at: engine for engine in vessel.engines}
    if len(vessel.engines) != 2 or set(sides) != {"port", "starboard"}:
        return
    with book.working(
        "driveline.twins",
        "How the tops of the propellers move, going ahead",
        "driveline",
        formula="outward when the starboard one is right-handed and the port one left-handed",
        source="common practice",
        subject="driveline",
    ) as w:
        hands = []
        for side in ("port", "starboard"):
            engine = sides[side]
            if hand_id(engine) not in book:
                raise MissingInput(f"the gear of {engine.name} is not given")
            hands.append(calc.Hand(w.result(hand_id(engine), f"{side}: hand that goes ahead")))
        turning = calc.twin_turning(*hands)
        w.value = f"{turning}"
        if turning is calc.TwinTurning.SAME_WAY:
            w.note("Both propellers walk her the same way.")


def _rotation(book: Book, engine: FittedEngine, gear: Gear) -> None:
    with book.working(
        hand_id(engine),
        "Hand of propeller that goes ahead",
        "driveline",
        formula="engine rotation from aft, turned by the gear; right-hand turns clockwise from aft",
        source="common practice",
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        facing = w.spec(engine.sheet.build, "rotation", "engine rotation, facing the flywheel")
        sense = w.spec(gear, "turns_shaft", "output against input, ahead")
        aft = calc.seen_from_aft(_ROTATION[facing], calc.FlywheelEnd.AFT)
        ahead = calc.shaft_rotation(aft, _SENSE[sense]).ahead
        w.value = f"{calc.propeller_hand(ahead)}"
        w.note(f"The shaft turns {ahead} ahead, seen from aft. The flywheel is taken to point aft.")
        fitted = engine.entry.propeller
        hand = w.optional(fitted, "hand", "hand of the propeller fitted")
        if hand is not None and not str(w.value).startswith(hand):
            w.note("The propeller fitted is of the other hand.")
    with book.working(
        f"{engine.name}.driveline.rotation-astern",
        "Rotation of the shaft astern, seen from aft",
        "driveline",
        formula="the other way than ahead",
        source="a reversing gear turns the shaft the other way (common practice)",
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        right = str(w.result(hand_id(engine))).startswith("right")
        ahead = calc.Rotation.CLOCKWISE if right else calc.Rotation.COUNTERCLOCKWISE
        w.value = f"{ahead.reversed}"
