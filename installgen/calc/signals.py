"""Signals that stand for a reading: speed pulses and the resistance of senders."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from installgen.errors import OutOfRange


def flywheel_signal_hz(teeth: int, speed_rpm: float) -> float:
    """Frequency of a pick-up on the ring gear.

    f = teeth · n / 60

    teeth: of the ring gear; speed_rpm: of the engine [1/min]
    Returns the frequency [Hz]. Raises OutOfRange for less than one tooth or a negative speed.
    Source: definition; common practice.
    """
    _check(teeth, "the number of teeth", speed_rpm)
    return teeth * speed_rpm / 60


def alternator_signal_hz(pole_pairs: int, pulley_ratio: float, speed_rpm: float) -> float:
    """Frequency at an alternator's phase terminal.

    f = pole pairs · ratio · n / 60, without belt slip

    pole_pairs: pairs, not poles
    pulley_ratio: alternator revolutions for one of the engine (crankshaft over alternator pulley)
    speed_rpm: of the engine [1/min]
    Returns the frequency [Hz]. Raises OutOfRange.
    Source: definition of a synchronous machine's frequency, f = p · n / 60.
    """
    _check(pole_pairs, "the number of pole pairs", speed_rpm)
    if not pulley_ratio > 0:
        raise OutOfRange("the pulley ratio", f"{pulley_ratio:g}", "more than 0")
    return pole_pairs * pulley_ratio * speed_rpm / 60


def indicated_speed_rpm(signal_hz: float, gauge_pulses_per_revolution: float) -> float:
    """What a pulse-counting gauge shows with a given setting.

    n = 60 · f / setting

    signal_hz: at the gauge [Hz]; gauge_pulses_per_revolution: its setting [pulses per revolution]
    Returns the speed shown [1/min]. Raises OutOfRange for a setting that is not above zero.
    Source: definition.
    """
    if not gauge_pulses_per_revolution > 0:
        raise OutOfRange("the gauge's setting", f"{gauge_pulses_per_revolution:g}", "more than 0")
    return 60 * signal_hz / gauge_pulses_per_revolution


@dataclass(frozen=True)
class SenderPoint:
    """One line of a sender's table: at this reading it has this resistance.

    reading: in the unit of the quantity it senses
    resistance_ohm: [ohm]
    """

    reading: float
    resistance_ohm: float


@dataclass(frozen=True)
class SenderTable:
    """Resistance of a sender over its reading, as its maker states it.

    name: for messages
    points: in rising reading; the resistance rises all the way or falls all the way
    """

    name: str
    points: tuple[SenderPoint, ...]

    def __post_init__(self) -> None:
        pairs = list(pairwise(self.points))
        rising = all(a.resistance_ohm < b.resistance_ohm for a, b in pairs)
        falling = all(a.resistance_ohm > b.resistance_ohm for a, b in pairs)
        usable = all(
            math.isfinite(p.reading) and math.isfinite(p.resistance_ohm) and p.resistance_ohm >= 0
            for p in self.points
        )
        ordered = all(a.reading < b.reading for a, b in pairs)
        if not (len(self.points) >= 2 and usable and ordered and (rising or falling)):
            shown = ", ".join(f"{p.reading:g}: {p.resistance_ohm:g} Ω" for p in self.points)
            raise OutOfRange(
                f"the table of {self.name}",
                shown or "empty",
                "two points or more, readings that rise, resistances that only rise or only fall",
            )


def sender_resistance_ohm(table: SenderTable, reading: float) -> float:
    """Resistance of a sender at a reading, on the line between the two points beside it.

    reading: in the unit of the table
    Returns the resistance [ohm]. Raises OutOfRange outside the table.
    Source: the sender maker's table.
    """
    points = [(p.reading, p.resistance_ohm) for p in table.points]
    return _between(points, reading, f"the reading of {table.name}", "")


def sender_reading(table: SenderTable, resistance_ohm: float) -> float:
    """Reading that a resistance stands for, on the line between the two points beside it.

    resistance_ohm: measured at the sender, disconnected [ohm]
    Returns the reading in the unit of the table. Raises OutOfRange outside the table.
    Source: the sender maker's table.
    """
    points = sorted((p.resistance_ohm, p.reading) for p in table.points)
    return _between(points, resistance_ohm, f"the resistance of {table.name}", " Ω")


def _between(points: list[tuple[float, float]], x: float, what: str, unit: str) -> float:
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise OutOfRange(what, f"{x:g}{unit}", f"{points[0][0]:g} to {points[-1][0]:g}{unit}")


def _check(count: int, what: str, speed_rpm: float) -> None:
    if count < 1:
        raise OutOfRange(what, str(count), "1 and more")
    if not (math.isfinite(speed_rpm) and speed_rpm >= 0):
        raise OutOfRange("the engine speed", f"{speed_rpm:g} 1/min", "0 and more")
