"""Loss coefficients by name; their figures are checked in `tests/published`."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installgen.calc.fittings import (
    bend_loss_coefficient,
    change_of_bore_loss_coefficient,
    contraction_loss_coefficient,
    enlargement_loss_coefficient,
    fitting_loss_coefficient,
    flow_coefficient_loss,
    mitre_loss_coefficient,
    on_other_bore,
    rough_friction_factor,
    roughness_m,
    spigot_bore_m,
    spigot_loss_coefficient,
)
from installgen.errors import OutOfRange, OutOfTable
from installgen.tables import fluids

BORES = st.floats(0.006, 0.25)


def test_every_kind_of_the_table_has_a_loss() -> None:
    for row in fluids.fitting_loss().rows:
        assert fitting_loss_coefficient(row.kind, 0.05) > 0.0


def test_entrances_and_exit_do_not_hang_on_the_bore() -> None:
    for kind, k in (("entrance flush", 0.5), ("entrance projecting", 0.78), ("exit", 1.0)):
        assert fitting_loss_coefficient(kind, 0.02) == fitting_loss_coefficient(kind, 0.2) == k


def test_roughness_by_name() -> None:
    assert roughness_m("rubber hose") == pytest.approx(3e-5)
    assert roughness_m("commercial steel") == pytest.approx(0.0018 * 0.0254)
    with pytest.raises(OutOfTable, match="corrugated hose"):
        roughness_m("corrugated hose")


def test_unknown_fitting() -> None:
    with pytest.raises(OutOfTable, match="magic elbow"):
        fitting_loss_coefficient("magic elbow", 0.05)


@settings(deadline=None)
@given(BORES, st.floats(1.0, 20.0))
def test_two_bends_in_one_lose_no_more_than_apart(bore_m: float, radius_ratio: float) -> None:
    one = bend_loss_coefficient(bore_m, 90.0, radius_ratio)
    assert one < bend_loss_coefficient(bore_m, 180.0, radius_ratio)


@settings(deadline=None)
@given(BORES, st.floats(0.2, 1.0), st.floats(1.0, 180.0))
def test_a_change_of_bore_costs_at_most_a_velocity_head(
    bore_m: float, share: float, angle_deg: float
) -> None:
    narrow = bore_m * share
    assert 0.0 <= contraction_loss_coefficient(bore_m, narrow, angle_deg) <= 0.5
    assert 0.0 <= enlargement_loss_coefficient(narrow, bore_m, angle_deg) <= 1.0


def test_a_joint_takes_the_side_that_the_water_meets() -> None:
    assert change_of_bore_loss_coefficient(0.05, 0.05) == 0.0
    assert change_of_bore_loss_coefficient(0.05, 0.038) == contraction_loss_coefficient(0.05, 0.038)
    assert change_of_bore_loss_coefficient(0.038, 0.05) == enlargement_loss_coefficient(0.038, 0.05)


@given(st.floats(0.0, 50.0), BORES, BORES)
def test_there_and_back_on_another_bore(k: float, bore_m: float, other_m: float) -> None:
    there = on_other_bore(k, bore_m, other_m)
    assert on_other_bore(there, other_m, bore_m) == pytest.approx(k)


def test_spigot() -> None:
    # A 50 mm spigot of 3 mm wall has a bore of 44 mm: b = 0.88, K = (0.5 (1 - b2) + (1 - b2)2)/b4
    # = (0.1128 + 0.0509) / 0.5997 = 0.273.
    bore = spigot_bore_m(0.050, 0.003)
    assert bore == pytest.approx(0.044)
    assert spigot_loss_coefficient(0.050, bore) == pytest.approx(0.273, abs=5e-4)
    assert spigot_loss_coefficient(0.050, 0.050) == 0.0


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: bend_loss_coefficient(0.0, 90.0, 1.5), "bore"),
        (lambda: bend_loss_coefficient(0.05, 90.0, 0.5), "radius"),
        (lambda: bend_loss_coefficient(0.05, 90.0, 25.0), "radius"),
        (lambda: bend_loss_coefficient(0.05, 0.0, 1.5), "angle"),
        (lambda: mitre_loss_coefficient(0.05, 120.0), "angle"),
        (lambda: contraction_loss_coefficient(0.03, 0.05), "small bore"),
        (lambda: enlargement_loss_coefficient(0.05, 0.03), "small bore"),
        (lambda: enlargement_loss_coefficient(0.03, 0.05, 200.0), "angle"),
        (lambda: flow_coefficient_loss(0.0, 0.05), "Kv"),
        (lambda: on_other_bore(1.0, 0.05, 0.0), "bore"),
        (lambda: rough_friction_factor(-1.0), "bore"),
        (lambda: spigot_bore_m(0.02, 0.01), "wall"),
        (lambda: spigot_loss_coefficient(0.04, 0.05), "spigot"),
    ],
)
def test_refuses(ask: object, message: str) -> None:
    assert callable(ask)
    with pytest.raises(OutOfRange, match=message):
        ask()
