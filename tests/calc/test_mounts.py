"""Mount loads and alignment by hand, and the laws of statics as properties."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.mounts import face_misalignment_ratio, mount_loads_kg
from installgen.errors import OutOfRange

FOUR = [(1.0, 0.3), (1.0, -0.3), (-0.5, 0.3), (-0.5, -0.3)]


def test_beam_by_hand() -> None:
    # 600 kg, 0.5 m ahead of the rear pair 1.5 m behind the front one: a third on the front pair.
    assert mount_loads_kg(600.0, (0.0, 0.0), FOUR) == pytest.approx((100.0, 100.0, 200.0, 200.0))


def test_torque_by_hand() -> None:
    # 588.399 N·m over a track of 0.6 m is 980.665 N, 100 kg, shared by two mounts a side.
    loads = mount_loads_kg(600.0, (0.25, 0.0), FOUR, 588.399)
    assert loads == pytest.approx((200.0, 100.0, 200.0, 100.0))


def test_twice_the_torque_lifts_a_mount() -> None:
    assert min(mount_loads_kg(600.0, (0.25, 0.0), FOUR, 4 * 588.399)) < 0.0


@given(
    mass=st.floats(50.0, 5000.0),
    x=st.floats(-1.0, 1.0),
    y=st.floats(-0.4, 0.4),
    torque=st.floats(-5e3, 5e3),
    spread=st.lists(
        st.tuples(st.floats(-0.2, 0.2), st.floats(-0.05, 0.05)), min_size=4, max_size=4
    ),
)
def test_forces_and_moments_balance(
    mass: float, x: float, y: float, torque: float, spread: list[tuple[float, float]]
) -> None:
    mounts = [(a + dx, b + dy) for (a, b), (dx, dy) in zip(FOUR, spread, strict=True)]
    loads = mount_loads_kg(mass, (x, y), mounts, torque)
    close = pytest.approx
    size = mass + abs(torque)
    assert sum(loads) == close(mass, abs=1e-6 * size)
    assert sum(n * px for n, (px, _) in zip(loads, mounts, strict=True)) == close(
        mass * x, abs=1e-6 * size
    )
    assert sum(n * py for n, (_, py) in zip(loads, mounts, strict=True)) == close(
        mass * y + torque / 9.80665, abs=1e-6 * size
    )


@pytest.mark.parametrize("mounts", [FOUR[:2], [(0.0, 0.1), (0.0, 0.2), (0.0, 0.3)]])
def test_mounts_in_one_line_carry_nothing(mounts: list[tuple[float, float]]) -> None:
    with pytest.raises(OutOfRange):
        mount_loads_kg(600.0, (0.0, 0.0), mounts)


def test_a_thousandth_an_inch() -> None:
    # Common practice: 0.001 in for each inch; a 4 in coupling with 0.004 in between top and bottom.
    gaps = [0.006 * 0.0254, 0.002 * 0.0254, 0.003 * 0.0254, 0.004 * 0.0254]
    assert face_misalignment_ratio(gaps, 4.0 * 0.0254) == pytest.approx(0.001)
