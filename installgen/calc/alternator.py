"""What an alternator can deliver at a speed and a temperature."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from installgen.calc.curve import Curve
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import OutOfRange, OutOfTable


@dataclass(frozen=True)
class OutputCurves:
    """Full-field output over alternator speed, at one temperature or several.

    name: of the alternator, for messages
    cut_in_rpm: alternator speed below which it delivers nothing [rpm]
    by_temperature_c: (temperature in degC, current in A over alternator rpm), rising temperatures
    """

    name: str
    cut_in_rpm: float
    by_temperature_c: tuple[tuple[float, Curve], ...]

    def __post_init__(self) -> None:
        zero_or_more(f"the cut-in speed of {self.name}", self.cut_in_rpm, "rpm")
        temperatures_c = [temperature_c for temperature_c, _ in self.by_temperature_c]
        if not temperatures_c or temperatures_c != sorted(set(temperatures_c)):
            raise OutOfRange(
                f"the temperatures of the output curves of {self.name}",
                f"{temperatures_c}",
                "one temperature or more, rising",
            )


def alternator_speed_rpm(engine_speed_rpm: float, pulley_ratio: float) -> float:
    """Speed of the alternator.

    N = N_engine * ratio

    engine_speed_rpm: crankshaft [rpm]
    pulley_ratio: crankshaft pulley over alternator pulley, pitch diameters [-]
    Returns the speed [rpm].
    Source: belt drive without slip.
    """
    zero_or_more("the speed of the engine", engine_speed_rpm, "rpm")
    more_than_zero("the pulley ratio", pulley_ratio, "")
    return engine_speed_rpm * pulley_ratio


def output_limit_a(output: OutputCurves, speed_rpm: float, temperature_c: float) -> float:
    """Most current at a speed and temperature, whatever the regulator asks.

    Linear between the points of a curve and between the curves of neighbouring temperatures.

    output: the alternator's curves
    speed_rpm: of the alternator, see `alternator_speed_rpm` [rpm]
    temperature_c: of the alternator or its cooling air, as the curves state it [degC]
    Returns the limit; 0 below the cut-in speed [A].
    Raises OutOfTable outside the curves: nothing is extrapolated to a hotter engine space.
    Source: the maker's curves.
    """
    zero_or_more("the speed of the alternator", speed_rpm, "rpm")
    if speed_rpm < output.cut_in_rpm:
        return 0.0
    curves = output.by_temperature_c
    for known_c, curve in curves:
        if known_c == temperature_c:
            return curve.at(speed_rpm)
    for (cooler_c, cooler), (hotter_c, hotter) in pairwise(curves):
        if cooler_c < temperature_c < hotter_c:
            part = (temperature_c - cooler_c) / (hotter_c - cooler_c)
            return (1.0 - part) * cooler.at(speed_rpm) + part * hotter.at(speed_rpm)
    raise OutOfTable(
        f"the output of {output.name}",
        f"{temperature_c:g} C",
        f"{curves[0][0]:g} C to {curves[-1][0]:g} C",
    )


def derated(curve: Curve, hot_ratio: float) -> Curve:
    """Output curve of a hot alternator from that of a cold one.

    I_hot = ratio * I_cold

    curve: current over alternator speed, cold [A]
    hot_ratio: hot output over cold; commonly 0.75 to 0.85 (common practice) [-]
    Returns the hot curve [A].
    """
    within("the ratio of hot to cold output", hot_ratio, 0.0, 1.0, "")
    return Curve(
        f"{curve.name}, hot",
        curve.argument,
        tuple((speed_rpm, hot_ratio * current_a) for speed_rpm, current_a in curve.points),
    )
