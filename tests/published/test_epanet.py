"""Heads and flows of pipe networks against EPANET 2.2, to 0.5 %, with its friction correlation."""

import pytest

from installgen.calc.pipe_network import Friction, Network, OperatingPoint, solve_network
from tests.published.epanet import comparable, run_epanet, total_heads_m
from tests.published.networks import branched_route, random_network, series_route

pytestmark = pytest.mark.filterwarnings("ignore")  # wntr and its libraries warn of themselves

WITHIN = 0.005


def assert_agrees(network: Network) -> OperatingPoint:
    """Every flow to 0.5 %, every head to 0.5 % of the span of heads in the network."""
    point = solve_network(network, Friction.SWAMEE_JAIN)
    assert isinstance(point, OperatingPoint)
    assert comparable(network, point)
    epanet = run_epanet(network)
    heads = total_heads_m(network, point)
    span = max(heads.values()) - min(heads.values())
    for name, head in heads.items():
        assert head == pytest.approx(epanet.heads_m[name], abs=WITHIN * span), name
    # A trickle through a long branch is compared with a thousandth of the greatest flow.
    largest = max(abs(state.flow_m3_per_s) for state in point.pieces.values())
    for name, state in point.pieces.items():
        assert state.flow_m3_per_s == pytest.approx(
            epanet.flows_m3_per_s[name], rel=WITHIN, abs=WITHIN * 1e-3 * largest
        ), name
    return point


@pytest.mark.parametrize("speed_rpm", [700.0, 1600.0, 2400.0])
def test_series_route(speed_rpm: float) -> None:
    point = assert_agrees(series_route(speed_rpm))
    assert all(state.runs_full for state in point.nodes.values())


@pytest.mark.parametrize("speed_rpm", [700.0, 1600.0, 2400.0])
def test_branched_route(speed_rpm: float) -> None:
    assert_agrees(branched_route(speed_rpm))


def test_vented_crown_is_a_valve_that_sustains_the_atmosphere() -> None:
    # At low speed the down leg would pull a vacuum at the crown; EPANET's PSV holds it at zero.
    slow = assert_agrees(series_route(300.0, vented=True))
    assert not slow.nodes["m"].runs_full
    fast = assert_agrees(series_route(2400.0, vented=True))
    assert fast.nodes["m"].runs_full


@pytest.mark.parametrize("seed", range(24))
def test_random_networks(seed: int) -> None:
    assert_agrees(random_network(seed))


def test_colebrook_differs_from_epanet_by_the_correlation_alone() -> None:
    # 10 m of 32 mm, 1.5 l/s, 1.5 um, 1.022e-6 m2/s: EPANET 1.12212 m, Colebrook 1.12897 m.
    from installgen.calc.friction import friction_loss_pa

    weight = 1000.0 * 9.80665
    losses = {
        kind: friction_loss_pa(1.5e-3, 0.032, 10.0, 1.5e-6, 1000.0, 1.022e-3, kind) / weight
        for kind in Friction
    }
    assert losses[Friction.SWAMEE_JAIN] == pytest.approx(1.12212, rel=1.5e-3)
    assert losses[Friction.COLEBROOK] == pytest.approx(1.12897, rel=1.5e-3)
