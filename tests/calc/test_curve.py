"""A curve is read between its points and nowhere else."""

import math

import pytest

from installgen.calc.curve import Curve
from installgen.errors import OutOfRange, OutOfTable

BURN = Curve("the fuel curve", "speed", ((800.0, 2.0), (1600.0, 10.0), (2600.0, 40.0)))


def test_between_points() -> None:
    assert BURN.at(1200) == 6
    assert BURN.at(2100) == 25
    assert BURN.span == (800, 2600)


@pytest.mark.parametrize(("speed", "burn"), [(800, 2), (1600, 10), (2600, 40)])
def test_at_points(speed: float, burn: float) -> None:
    assert BURN.at(speed) == burn


@pytest.mark.parametrize("speed", [799.9, 2600.1, math.nan])
def test_refuses_outside(speed: float) -> None:
    with pytest.raises(OutOfTable, match="speed 800 to 2600"):
        BURN.at(speed)


def test_one_point_is_a_curve_of_one_point() -> None:
    single = Curve("the fuel curve", "speed", ((1800.0, 12.0),))
    assert single.at(1800) == 12
    with pytest.raises(OutOfTable):
        single.at(1801)


@pytest.mark.parametrize(
    "points",
    [
        (),
        ((1.0, math.inf),),
        ((1.0, 2.0), (1.0, 3.0)),
        ((2.0, 2.0), (1.0, 3.0)),
    ],
)
def test_refuses_bad_points(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(OutOfRange):
        Curve("the fuel curve", "speed", points)


def test_first_reaching() -> None:
    freezing = Curve("freezing", "percent", ((20.0, -8.0), (40.0, -24.0), (60.0, -50.0), (80, -45)))
    assert freezing.first_reaching(-16) == 30
    assert freezing.first_reaching(-5) == 20
    # -47 is met twice, going down at 57.7 and coming up at 72; the weaker mixture counts.
    assert freezing.first_reaching(-47) == pytest.approx(40 + 20 * 23 / 26)
    with pytest.raises(OutOfTable, match="down to -50"):
        freezing.first_reaching(-51)
