"""Friction factor over all regimes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installgen.calc.friction import (
    Friction,
    bore_area_m2,
    friction_factor,
    friction_factor_slope,
    friction_loss_pa,
    velocity_m_per_s,
)
from installgen.errors import OutOfRange

ROUGHNESS = st.floats(0.0, 0.05)


def test_laminar() -> None:
    assert friction_factor(1000.0, 0.01) == 0.064


@settings(deadline=None)
@given(ROUGHNESS, st.sampled_from(Friction))
def test_regimes_meet_without_a_step(roughness: float, friction: Friction) -> None:
    for edge in (2000.0, 4000.0):
        below = friction_factor(edge * (1 - 1e-9), roughness, friction)
        above = friction_factor(edge * (1 + 1e-9), roughness, friction)
        assert below == pytest.approx(above, rel=1e-6)


@settings(deadline=None)
@given(st.floats(10.0, 1e7), ROUGHNESS, st.sampled_from(Friction))
def test_slope_is_the_derivative(reynolds: float, roughness: float, friction: Friction) -> None:
    step = 1e-4 * reynolds
    if any(abs(reynolds - edge) < 2 * step for edge in (2000.0, 4000.0)):
        return
    rise = friction_factor(reynolds + step, roughness, friction) - friction_factor(
        reynolds - step, roughness, friction
    )
    slope = friction_factor_slope(reynolds, roughness, friction)
    scale = friction_factor(reynolds, roughness, friction) / reynolds
    assert slope == pytest.approx(rise / (2 * step), rel=1e-3, abs=1e-5 * scale)


@settings(deadline=None)
@given(st.floats(500.0, 1e7), ROUGHNESS)
def test_more_flow_loses_more(reynolds: float, roughness: float) -> None:
    # The loss goes with f Re^2, also through the transition.
    more = reynolds * 1.01
    assert friction_factor(more, roughness) * more**2 > (
        friction_factor(reynolds, roughness) * reynolds**2
    )


@settings(deadline=None)
@given(st.floats(4000.0, 1e7), st.floats(0.0, 0.02))
def test_rougher_loses_more(reynolds: float, roughness: float) -> None:
    assert friction_factor(reynolds, roughness + 1e-3) > friction_factor(reynolds, roughness)


def test_loss_has_the_sign_of_the_flow() -> None:
    forth = friction_loss_pa(1e-3, 0.03, 2.0, 3e-5, 1025.0, 1.2e-3)
    assert forth > 0.0
    assert friction_loss_pa(-1e-3, 0.03, 2.0, 3e-5, 1025.0, 1.2e-3) == -forth
    assert friction_loss_pa(0.0, 0.03, 2.0, 3e-5, 1025.0, 1.2e-3) == 0.0


def test_tubes_side_by_side() -> None:
    assert bore_area_m2(0.01, 40) == pytest.approx(40 * bore_area_m2(0.01))
    assert velocity_m_per_s(4e-3, 0.01, 40) == pytest.approx(velocity_m_per_s(1e-4, 0.01))


@pytest.mark.parametrize(
    ("reynolds", "roughness", "message"),
    [(0.0, 0.001, "Reynolds"), (-5.0, 0.001, "Reynolds"), (1e5, 0.06, "roughness")],
)
def test_refuses(reynolds: float, roughness: float, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        friction_factor(reynolds, roughness)


def test_refuses_no_bore() -> None:
    with pytest.raises(OutOfRange, match="bore"):
        velocity_m_per_s(1e-3, 0.0)
