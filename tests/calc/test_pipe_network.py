"""Pipe networks: balances as properties, answers without an operating point, refused networks."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.pipe_network import (
    Closed,
    Fitting,
    FixedFlow,
    MeasuredLoss,
    Network,
    Node,
    NoFlowReason,
    NoOperatingPoint,
    OperatingPoint,
    Piece,
    Pipe,
    PumpPiece,
    RoutePoint,
    VentedLoop,
    route_curve,
    solve_network,
)
from installgen.calc.pump import ImpellerPump, pump_flow_m3_per_s
from installgen.calc.water import seawater
from installgen.errors import NotSolved, OutOfRange

SEA = seawater(15.0)
WEIGHT = SEA.density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2
PUMP = ImpellerPump(0.16e-3, 0.04, 0.12, 100e3, 2400.0, 25e3, 60e3)


def route(
    speed_rpm: float = 2000.0,
    *,
    suction_height_m: float = 0.2,
    crown: Piece | None = None,
    seacock: Piece | None = None,
    branch_bore_m: float = 0.012,
) -> Network:
    """A suction, a pump, a cooler, a crown, an injection, and a branch overboard."""
    nodes = (
        Node("sea", -0.4, WEIGHT * 0.4),
        Node("a", -0.4),
        Node("b", suction_height_m),
        Node("c", suction_height_m),
        Node("d", 0.5),
        Node("e", 0.9),
        Node("f", 0.9),
        Node("injection", 0.3, 3e3),
        Node("seal", -0.2, WEIGHT * 0.2),
    )
    pieces = (
        seacock or Fitting("seacock", "sea", "a", 0.05, 0.8),
        Pipe("suction", "a", "b", 0.045, 2.0, 3e-5, 1.0),
        PumpPiece("pump", "b", "c", PUMP, speed_rpm, 0.038, 0.038),
        MeasuredLoss("cooler", "c", "d", 5e-3, 20e3, 0.04, 0.04),
        Pipe("riser", "d", "e", 0.04, 0.8, 3e-5, 0.6),
        crown or Fitting("crown", "e", "f", 0.04, 0.2),
        Pipe("down leg", "f", "injection", 0.04, 0.9, 3e-5, 1.5),
        Pipe("seal feed", "d", "seal", branch_bore_m, 3.0, 3e-5, 2.0),
    )
    return Network(nodes, pieces, SEA)


def solved(network: Network) -> OperatingPoint:
    point = solve_network(network)
    assert isinstance(point, OperatingPoint)
    return point


NETWORKS = st.builds(
    route,
    st.just(0.0) | st.floats(250.0, 3000.0),
    suction_height_m=st.floats(-0.4, 1.5),
    branch_bore_m=st.floats(0.004, 0.03),
    crown=st.sampled_from([None, VentedLoop("crown", "e", "f")]),
)


@settings(deadline=None)
@given(NETWORKS)
def test_mass_is_kept_at_every_joint(network: Network) -> None:
    point = solved(network)
    for node in network.nodes:
        if node.pressure_pa is not None:
            continue
        into = math.fsum(
            point.pieces[piece.name].mass_flow_kg_per_s
            * ((piece.end == node.name) - (piece.start == node.name))
            for piece in network.pieces
        )
        assert into == pytest.approx(0.0, abs=1e-7)


@settings(deadline=None)
@given(NETWORKS)
def test_energy_is_kept_along_every_piece(network: Network) -> None:
    # What every piece takes from the water, and the pump gives to it, is what the ends exchange.
    point = solved(network)
    if not all(state.runs_full for state in point.nodes.values()):
        return
    lost = 0.0
    for name, state in point.pieces.items():
        assert state.loss_pa is not None
        lost += state.loss_pa * state.flow_m3_per_s
        if name != "pump":
            assert state.loss_pa * state.flow_m3_per_s >= -1e-6
    given_by_ends = 0.0
    for node in network.nodes:
        if node.pressure_pa is None:
            continue
        out = math.fsum(
            point.pieces[piece.name].flow_m3_per_s
            * ((piece.start == node.name) - (piece.end == node.name))
            for piece in network.pieces
        )
        given_by_ends += out * (node.pressure_pa + WEIGHT * node.elevation_m)
    assert lost == pytest.approx(given_by_ends, rel=1e-6, abs=1e-4)


@settings(deadline=None)
@given(NETWORKS)
def test_losses_follow_darcy_and_weisbach(network: Network) -> None:
    point = solved(network)
    for piece in network.pieces:
        state = point.pieces[piece.name]
        if not isinstance(piece, Pipe) or state.loss_pa is None or state.friction_factor is None:
            continue
        velocity = state.flow_m3_per_s / (math.pi * piece.bore_m**2 / 4)
        k = state.friction_factor * piece.length_m / piece.bore_m + piece.loss_coefficient
        head = SEA.density_kg_per_m3 * velocity * abs(velocity) / 2
        assert state.loss_pa == pytest.approx(k * head, rel=1e-5, abs=5e-3)


@settings(deadline=None)
@given(st.floats(250.0, 2800.0))
def test_the_pump_stands_on_its_own_line(speed_rpm: float) -> None:
    network = route(speed_rpm)
    network = replace(
        network,
        pieces=tuple(
            replace(p, start_bore_m=None, end_bore_m=None) if isinstance(p, PumpPiece) else p
            for p in network.pieces
        ),
    )
    point = solved(network)
    inlet, outlet = point.nodes["b"].pressure_pa, point.nodes["c"].pressure_pa
    assert inlet is not None
    assert outlet is not None
    expected = pump_flow_m3_per_s(PUMP, speed_rpm, inlet, outlet)
    assert point.pieces["pump"].flow_m3_per_s == pytest.approx(expected, rel=1e-6)


@settings(deadline=None)
@given(st.floats(300.0, 2800.0), st.floats(1.01, 1.3))
def test_more_speed_gives_more_flow(speed_rpm: float, more: float) -> None:
    slow, fast = (solved(route(rpm)).pieces["pump"] for rpm in (speed_rpm, speed_rpm * more))
    assert fast.flow_m3_per_s > slow.flow_m3_per_s


def test_static_pressure_is_below_total_by_the_velocity_head() -> None:
    point = solved(route())
    suction = point.pieces["suction"]
    assert suction.end_velocity_m_per_s is not None
    head = SEA.density_kg_per_m3 * suction.end_velocity_m_per_s**2 / 2
    total = point.nodes["b"].pressure_pa
    assert total is not None
    assert suction.end_pressure_pa == pytest.approx(total - head)
    assert point.nodes["b"].absolute_pressure_pa == pytest.approx(total + 101_325.0)
    # The narrower port of the pump runs faster, so its vacuum is deeper.
    inlet = point.pieces["pump"].start_pressure_pa
    assert inlet is not None
    assert suction.end_pressure_pa is not None
    assert inlet < suction.end_pressure_pa


def test_at_an_end_the_pressure_is_that_of_the_space() -> None:
    point = solved(route())
    assert point.pieces["down leg"].end_pressure_pa == 3e3
    assert point.nodes["injection"].pressure_pa == 3e3


def test_nothing_flows_between_ends_of_one_head() -> None:
    network = Network(
        (
            Node("port", -0.4, WEIGHT * 0.4),
            Node("joint", 0.1),
            Node("starboard", -0.2, WEIGHT * 0.2),
        ),
        (
            Pipe("one", "port", "joint", 0.04, 1.0, 3e-5),
            Pipe("two", "joint", "starboard", 0.04, 1.0, 3e-5),
        ),
        SEA,
    )
    point = solved(network)
    assert point.pieces["one"].flow_m3_per_s == pytest.approx(0.0, abs=1e-9)
    assert point.nodes["joint"].pressure_pa == pytest.approx(-WEIGHT * 0.1, abs=0.01)


def test_a_stopped_pump_lets_the_sea_in() -> None:
    # Injection below the waterline, no vented loop: the sea runs through the still impeller.
    network = route(0.0)
    nodes = tuple(
        Node("injection", -0.2, 0.0) if node.name == "injection" else node for node in network.nodes
    )
    flooding = solved(replace(network, nodes=nodes))
    assert flooding.pieces["down leg"].flow_m3_per_s > 0.0


def test_an_open_vented_loop_admits_air_and_stops_the_siphon() -> None:
    vented = solved(route(500.0, crown=VentedLoop("crown", "e", "f")))
    full = solved(route(500.0))
    assert full.nodes["f"].pressure_pa is not None
    assert full.nodes["f"].pressure_pa < 0.0
    assert vented.nodes["e"].pressure_pa == pytest.approx(0.0, abs=1e-3)
    assert vented.nodes["f"].pressure_pa == 0.0
    assert not vented.nodes["f"].runs_full
    assert vented.pieces["down leg"].loss_pa is None
    # No recovery by the down leg: the pump works against more, and slips more.
    assert vented.pieces["pump"].flow_m3_per_s < full.pieces["pump"].flow_m3_per_s


def test_a_vented_loop_under_pressure_changes_nothing() -> None:
    plain = solved(route(2500.0, crown=Fitting("crown", "e", "f", 0.04, 0.0)))
    vented = solved(route(2500.0, crown=VentedLoop("crown", "e", "f")))
    assert vented.nodes["f"].runs_full
    assert vented.pieces["pump"].flow_m3_per_s == pytest.approx(plain.pieces["pump"].flow_m3_per_s)


def test_closed_seacock() -> None:
    answer = solve_network(route(seacock=Closed("seacock", "sea", "a")))
    assert answer == NoOperatingPoint(NoFlowReason.CLOSED, "seacock")


def test_a_suction_too_high_to_draw() -> None:
    answer = solve_network(route(suction_height_m=8.0))
    assert isinstance(answer, NoOperatingPoint)
    assert answer.reason is NoFlowReason.NO_SUCTION
    assert answer.place == "pump"
    assert answer.limit_pa == -60e3
    assert answer.pressure_pa is not None
    assert answer.pressure_pa <= answer.limit_pa


def test_an_outlet_too_high_to_reach() -> None:
    network = route(100.0)
    nodes = tuple(
        Node(node.name, 400.0, 0.0) if node.pressure_pa is not None and node.name != "sea" else node
        for node in network.nodes
    )
    answer = solve_network(replace(network, nodes=nodes))
    assert isinstance(answer, NoOperatingPoint)
    assert answer.reason is NoFlowReason.DEAD_HEAD


def test_water_that_would_boil() -> None:
    strong = replace(PUMP, full_flow_vacuum_pa=None, no_flow_vacuum_pa=None)
    network = route(3000.0)
    pieces = tuple(
        replace(p, pump=strong)
        if isinstance(p, PumpPiece)
        else replace(p, bore_m=0.02)
        if p.name == "suction" and isinstance(p, Pipe)
        else p
        for p in network.pieces
    )
    answer = solve_network(replace(network, pieces=pieces))
    assert isinstance(answer, NoOperatingPoint)
    assert answer.reason is NoFlowReason.VAPOUR
    assert answer.place == "b"
    assert answer.pressure_pa is not None
    assert answer.limit_pa is not None
    assert answer.pressure_pa < answer.limit_pa < -99e3


def test_a_closed_side_valve_leaves_a_dead_leg() -> None:
    network = route()
    pieces = tuple(
        Closed("valve", "d", "seal") if p.name == "seal feed" else p for p in network.pieces
    )
    assert solved(replace(network, pieces=pieces)).pieces["valve"].flow_m3_per_s == 0.0


def test_a_part_behind_closed_valves_has_no_pressure() -> None:
    network = route()
    nodes = (*network.nodes, Node("lost", 0.0), Node("lost too", 0.0))
    pieces = (
        *network.pieces,
        Closed("valve", "d", "lost"),
        Pipe("dead leg", "lost", "lost too", 0.02, 1.0, 3e-5),
    )
    point = solved(Network(nodes, pieces, SEA))
    assert point.nodes["lost"].pressure_pa is None
    assert point.pieces["dead leg"].flow_m3_per_s == 0.0
    assert point.pieces["dead leg"].loss_pa is None


def test_each_piece_may_carry_its_own_water() -> None:
    warm = seawater(50.0)
    network = route()
    pieces = tuple(
        replace(p, liquid=warm) if p.name in ("riser", "down leg") and isinstance(p, Pipe) else p
        for p in network.pieces
    )
    point = solved(replace(network, pieces=pieces))
    cold, hot = point.pieces["crown"], point.pieces["riser"]
    assert hot.mass_flow_kg_per_s == pytest.approx(cold.mass_flow_kg_per_s)
    ratio = SEA.density_kg_per_m3 / warm.density_kg_per_m3
    assert hot.flow_m3_per_s == pytest.approx(cold.flow_m3_per_s * ratio)


def test_route_curve_is_what_the_pump_sees() -> None:
    network = route(branch_bore_m=0.006)
    point = solved(network)
    flow = point.pieces["pump"].flow_m3_per_s
    low, at, high = route_curve(network, "pump", [0.5 * flow, flow, 1.2 * flow])
    for answer in (low, at, high):
        assert isinstance(answer, RoutePoint)
    assert isinstance(at, RoutePoint)
    assert at.inlet_pressure_pa == pytest.approx(point.nodes["b"].pressure_pa, abs=0.1)
    assert at.outlet_pressure_pa == pytest.approx(point.nodes["c"].pressure_pa, abs=0.1)


def test_tubes_in_parallel_are_one_piece() -> None:
    ends = (Node("in", 0.0, 20e3), Node("out", 0.0, 0.0))
    bundle = Network(ends, (Pipe("bundle", "in", "out", 0.008, 0.5, 1e-5, 1.5, count=30),), SEA)
    one = Network(ends, (Pipe("bundle", "in", "out", 0.008, 0.5, 1e-5, 1.5),), SEA)
    flows = [solved(network).pieces["bundle"].flow_m3_per_s for network in (bundle, one)]
    assert flows[0] == pytest.approx(30 * flows[1])


A, B = Node("a", 0.0, 0.0), Node("b", 0.0)


@pytest.mark.parametrize(
    ("nodes", "pieces", "message"),
    [
        ((A, A, B), (), "name of a node"),
        ((A, B), (Pipe("x", "a", "b", 0.1, 1, 0), Pipe("x", "a", "b", 0.1, 1, 0)), "of a piece"),
        ((A, B), (Pipe("x", "a", "nowhere", 0.1, 1, 0),), "nowhere"),
        ((A, B), (Pipe("x", "b", "b", 0.1, 1, 0),), "another node"),
        ((B,), (), "ends with a pressure"),
        ((A, B), (Pipe("x", "a", "b", 0.0, 1, 0),), "bore of x"),
        ((A, B), (Pipe("x", "a", "b", 0.1, -1, 0),), "length of x"),
        ((A, B), (Pipe("x", "a", "b", 0.1, 1, -1),), "roughness of x"),
        ((A, B), (Pipe("x", "a", "b", 0.1, 1, 0, count=0),), "number of bores of x"),
        ((A, B), (Fitting("x", "a", "b", 0.1, -0.5),), "loss coefficient of x"),
        ((A, B), (MeasuredLoss("x", "a", "b", 0.0, 1e3),), "flow of x"),
        ((A, B), (MeasuredLoss("x", "a", "b", 1e-3, float("nan")),), "drop of x"),
        ((A, B), (PumpPiece("x", "a", "b", PUMP, -1.0),), "speed of x"),
        ((A, Node("b", 1.0)), (VentedLoop("x", "a", "b"),), "height of the ends of x"),
    ],
)
def test_refuses_networks_that_cannot_be(
    nodes: tuple[Node, ...], pieces: tuple[Piece, ...], message: str
) -> None:
    with pytest.raises(OutOfRange, match=message):
        Network(nodes, pieces, SEA)


def test_refuses_a_pump_that_leads_nowhere() -> None:
    network = Network((A, B), (PumpPiece("pump", "a", "b", PUMP, 1000.0),), SEA)
    with pytest.raises(OutOfRange, match="way from pump"):
        solve_network(network)


def test_says_so_when_nothing_determines_the_split_of_a_flow() -> None:
    network = Network(
        (A, B, Node("c", 0.0, 1e3)),
        (
            Fitting("x", "a", "b", 0.1, 0.0),
            Fitting("y", "a", "b", 0.1, 0.0),
            Pipe("z", "b", "c", 0.1, 1.0, 0.0),
        ),
        SEA,
    )
    with pytest.raises(NotSolved, match="pipe network"):
        solve_network(network)


def test_a_fixed_flow_is_a_pump_without_slip() -> None:
    network = Network(
        (A, B, Node("c", 2.0, 0.0)),
        (FixedFlow("x", "a", "b", 2e-3), Pipe("y", "b", "c", 0.03, 3.0, 1e-5)),
        SEA,
    )
    assert solved(network).pieces["y"].flow_m3_per_s == pytest.approx(2e-3)
