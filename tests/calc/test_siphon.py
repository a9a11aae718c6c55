"""Where the sea can siphon in, and the vented loop against it."""

import pytest

from installgen.calc.siphon import (
    JointKind,
    RouteJoint,
    VentedLoopVerdict,
    can_siphon_in,
    needs_vented_loop,
    vented_loop,
)
from installgen.errors import OutOfRange

K = JointKind


def route(*joints: tuple[JointKind, float]) -> list[RouteJoint]:
    return [RouteJoint(kind, height) for kind, height in joints]


USUAL = ((K.INTAKE, -0.5), (K.OTHER, -0.1), (K.PUMP, 0.1), (K.EXCHANGER, 0.4), (K.EXCHANGER, 0.3))


@pytest.mark.parametrize(
    ("rest", "verdict", "loop"),
    [
        (((K.INJECTION, 0.35),), VentedLoopVerdict.NOT_NEEDED, None),
        (((K.INJECTION, 0.20),), VentedLoopVerdict.MISSING, None),
        (((K.VENTED_LOOP, 0.6), (K.INJECTION, 0.1)), VentedLoopVerdict.RIGHT, 5),
        (((K.VENTED_LOOP, 0.6), (K.INJECTION, 0.9)), VentedLoopVerdict.RIGHT, 5),
        (((K.VENTED_LOOP, 0.29), (K.INJECTION, 0.1)), VentedLoopVerdict.TOO_LOW, 5),
        (((K.INJECTION, 0.1), (K.VENTED_LOOP, 0.9)), VentedLoopVerdict.WRONG_PLACE, 6),
    ],
)
def test_vented_loop(
    rest: tuple[tuple[JointKind, float], ...], verdict: VentedLoopVerdict, loop: int | None
) -> None:
    check = vented_loop(route(*USUAL, *rest), 0.305, 0.305)
    assert check.verdict is verdict
    assert check.loop == loop
    assert check.after == 4  # the last exchanger
    kinds = [joint.kind for joint in route(*USUAL, *rest)]
    assert kinds[check.before] is K.INJECTION


def test_vented_loop_margin() -> None:
    check = vented_loop(route(*USUAL, (K.VENTED_LOOP, 0.45), (K.INJECTION, 0.1)), 0.305, 0.305)
    assert check.margin_m == pytest.approx(0.145)


def test_vented_loop_between_pump_and_exchanger_is_in_the_wrong_place() -> None:
    joints = ((K.INTAKE, -0.5), (K.PUMP, 0.1), (K.VENTED_LOOP, 0.8), (K.EXCHANGER, 0.4))
    check = vented_loop(route(*joints, (K.INJECTION, 0.1)), 0.305, 0.305)
    assert check.verdict is VentedLoopVerdict.WRONG_PLACE


def test_vented_loop_on_the_suction_is_named_first() -> None:
    joints = ((K.INTAKE, -0.5), (K.VENTED_LOOP, 0.8), (K.PUMP, 0.1), (K.EXCHANGER, 0.4))
    for height in (0.1, 0.9):
        check = vented_loop(route(*joints, (K.INJECTION, height)), 0.305, 0.305)
        assert check.verdict is VentedLoopVerdict.ON_SUCTION
        assert check.loop == 1


def test_without_an_exchanger_the_loop_belongs_after_the_pump() -> None:
    check = vented_loop(route((K.INTAKE, -0.5), (K.PUMP, 0.1), (K.INJECTION, 0.1)), 0.3, 0.3)
    assert (check.after, check.before) == (1, 2)


@pytest.mark.parametrize(
    "joints",
    [
        ((K.PUMP, 0.1),),
        ((K.INJECTION, 0.1),),
        ((K.PUMP, 0.1), (K.PUMP, 0.1), (K.INJECTION, 0.1)),
        ((K.INJECTION, 0.1), (K.PUMP, 0.1)),
    ],
)
def test_refuses_routes_without_sense(joints: tuple[tuple[JointKind, float], ...]) -> None:
    with pytest.raises(OutOfRange):
        vented_loop(route(*joints), 0.3, 0.3)


def test_needs_a_loop_below_the_makers_height() -> None:
    assert needs_vented_loop(0.149, 0.150)
    assert not needs_vented_loop(0.150, 0.150)


@pytest.mark.parametrize(
    ("opening", "place", "crown", "siphons"),
    [
        (-0.1, -0.2, None, True),
        (0.1, -0.2, None, False),
        (-0.1, 0.2, None, False),
        (-0.1, -0.2, 0.3, False),
        (-0.1, -0.2, -0.05, True),  # the crown goes under when heeled
    ],
)
def test_siphon_of_a_discharge(
    opening: float, place: float, crown: float | None, siphons: bool
) -> None:
    assert can_siphon_in(opening, place, crown) is siphons
