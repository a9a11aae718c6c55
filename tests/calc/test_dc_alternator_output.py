"""Output of an alternator by speed and temperature."""

import pytest

from installgen.calc.alternator import (
    OutputCurves,
    alternator_speed_rpm,
    derated,
    output_limit_a,
)
from installgen.calc.curve import Curve
from installgen.errors import OutOfRange, OutOfTable

COLD = Curve("output", "alternator speed", ((1000.0, 0.0), (2000.0, 60.0), (6000.0, 100.0)))
OUTPUT = OutputCurves("alternator", 1000.0, ((25.0, COLD), (90.0, derated(COLD, 0.8))))


def test_speed_by_the_belt() -> None:
    assert alternator_speed_rpm(700.0, 2.5) == 1750.0
    with pytest.raises(OutOfRange):
        alternator_speed_rpm(700.0, 0.0)


@pytest.mark.parametrize(
    ("speed_rpm", "temperature_c", "current_a"),
    [
        (999.0, 25.0, 0.0),
        (1500.0, 25.0, 30.0),
        (4000.0, 25.0, 80.0),
        (4000.0, 90.0, 64.0),
        (4000.0, 57.5, 72.0),  # half-way between 80 and 64
    ],
)
def test_output(speed_rpm: float, temperature_c: float, current_a: float) -> None:
    assert output_limit_a(OUTPUT, speed_rpm, temperature_c) == pytest.approx(current_a, rel=1e-12)


@pytest.mark.parametrize(("speed_rpm", "temperature_c"), [(6001.0, 25.0), (4000.0, 95.0)])
def test_nothing_is_extrapolated(speed_rpm: float, temperature_c: float) -> None:
    with pytest.raises(OutOfTable):
        output_limit_a(OUTPUT, speed_rpm, temperature_c)


def test_curves_must_rise_in_temperature() -> None:
    with pytest.raises(OutOfRange, match="one temperature or more, rising"):
        OutputCurves("alternator", 1000.0, ((90.0, COLD), (25.0, COLD)))
    with pytest.raises(OutOfRange, match=r"ratio of hot to cold output is 1\.2"):
        derated(COLD, 1.2)
