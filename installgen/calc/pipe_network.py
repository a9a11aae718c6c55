"""Steady flow of water through a network of pipes, pumps and fittings.

Unknown are the pressure of each joint and the mass flow of each piece. Each joint adds a mass
balance, each piece its own equation (`pipe_equations`); Newton's method with a line search solves
all of them at once, as series and branched networks need the same thing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.friction import (
    Friction,
    bore_area_m2,
    friction_factor,
    reynolds_number,
)
from installgen.calc.pipe_equations import Equation, equations
from installgen.calc.pipe_pieces import (
    Closed,
    Fitting,
    FixedFlow,
    MeasuredLoss,
    Network,
    Node,
    Piece,
    Pipe,
    PumpPiece,
    VentedLoop,
    end_bores_m,
)
from installgen.calc.pipe_solver import Solution, newton
from installgen.calc.pump import swept_flow_m3_per_s
from installgen.calc.reach import reached
from installgen.errors import OutOfRange

__all__ = [
    "Closed",
    "Fitting",
    "FixedFlow",
    "Friction",
    "MeasuredLoss",
    "Network",
    "NoFlowReason",
    "NoOperatingPoint",
    "Node",
    "NodeState",
    "OperatingPoint",
    "Piece",
    "PieceState",
    "Pipe",
    "PumpPiece",
    "RoutePoint",
    "VentedLoop",
    "route_curve",
    "solve_network",
]


@dataclass(frozen=True, slots=True)
class NodeState:
    """What a node shows at the operating point.

    pressure_pa: total pressure, gauge [Pa]; None where no open path leads to an end
    absolute_pressure_pa: the same, absolute [Pa]
    runs_full: False beyond a vented loop that lets air in; the pressure there is that of the air
    """

    pressure_pa: float | None
    absolute_pressure_pa: float | None
    runs_full: bool = True


@dataclass(frozen=True, slots=True)
class PieceState:
    """What a piece carries at the operating point; the flow counts from start to end.

    flow_m3_per_s, mass_flow_kg_per_s: [m3/s], [kg/s]
    loss_pa: total pressure lost, height allowed for [Pa]; negative in a pump, which adds it; None
        where a node has no pressure or does not run full
    start_velocity_m_per_s, end_velocity_m_per_s: [m/s]; None where no bore is known
    start_pressure_pa, end_pressure_pa: static pressure in the stream, gauge [Pa]; at an end of the
        network that of the space it opens into; None where the node has none
    reynolds, friction_factor: of a pipe with flow in it [-]; else None
    """

    flow_m3_per_s: float
    mass_flow_kg_per_s: float
    loss_pa: float | None
    start_velocity_m_per_s: float | None = None
    end_velocity_m_per_s: float | None = None
    start_pressure_pa: float | None = None
    end_pressure_pa: float | None = None
    reynolds: float | None = None
    friction_factor: float | None = None


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """A steady state of the whole network.

    nodes, pieces: states by name
    iterations: that the solver took
    residual: greatest remaining error, see `pipe_solver.TOLERANCE`
    """

    nodes: Mapping[str, NodeState]
    pieces: Mapping[str, PieceState]
    iterations: int
    residual: float


class NoFlowReason(StrEnum):
    """Why a network has no operating point."""

    CLOSED = "closed"  # no open path from a pump to an end
    NO_SUCTION = "no suction"  # the pump cannot draw the water to itself
    DEAD_HEAD = "dead head"  # the pump cannot press the water out
    VAPOUR = "vapour"  # the water would boil or tear


@dataclass(frozen=True, slots=True)
class NoOperatingPoint:
    """The network cannot run steadily, which is an answer and not an error.

    reason: why
    place: the piece or node where
    pressure_pa: gauge pressure that it would take there [Pa]; None when nothing could be solved
    limit_pa: gauge pressure that it may not pass there [Pa]; None where there is no such figure
    """

    reason: NoFlowReason
    place: str
    pressure_pa: float | None = None
    limit_pa: float | None = None


@dataclass(frozen=True, slots=True)
class RoutePoint:
    """What the route asks of the pump at one flow.

    flow_m3_per_s: [m3/s]
    inlet_pressure_pa, outlet_pressure_pa: total pressures at the pump, gauge [Pa]
    """

    flow_m3_per_s: float
    inlet_pressure_pa: float
    outlet_pressure_pa: float


def solve_network(
    network: Network, friction: Friction | str = Friction.COLEBROOK
) -> OperatingPoint | NoOperatingPoint:
    """Steady operating point of a network.

    at each joint:       sum of mass flows = 0
    in a pipe:           p1 - p2 + rho g (z1 - z2) = (f L/d + K) rho v|v| / 2
    in a measured piece: p1 - p2 + rho g (z1 - z2) = dp0 (Q/Q0)^2
    in a pump:           Q = D n (1 - s0) phi(p1) - c (p2 - p1 - rho g (z1 - z2))
    at a vented crown:   p1 = max(p2, 0)

    network: see `pipe_pieces`
    friction: `colebrook`, or `swamee-jain` to compare with EPANET
    Returns the operating point, or why there is none.
    Raises NotSolved when the iteration does not end, OutOfRange from the friction factor and for a
    part of the network whose pressure nothing determines.
    Source: mass and energy balance; Darcy-Weisbach.
    """
    closed = _closed_place(network)
    if closed is not None:
        return NoOperatingPoint(NoFlowReason.CLOSED, closed)
    isolated = _isolated(network)
    friction = Friction(friction)
    parts = [e for e in equations(network, friction) if network.nodes[e.start].name not in isolated]
    solution = newton(network, parts, isolated)
    stalled = _stalled_pump(parts, solution)
    if stalled is not None:
        return stalled
    point = _operating_point(network, parts, isolated, solution, friction)
    return _boiling(network, point) or point


def route_curve(
    network: Network,
    pump: str,
    flows_m3_per_s: Sequence[float],
    friction: Friction | str = Friction.COLEBROOK,
) -> tuple[RoutePoint | NoOperatingPoint, ...]:
    """Pressures that a route asks of its pump over a range of flows, for a plot.

    network: with the pump in it
    pump: name of its piece
    flows_m3_per_s: to go through in place of the pump [m3/s]
    friction: as in `solve_network`
    Returns one point a flow, or why that flow cannot be. Raises as `solve_network` does.
    """
    taken = network.piece(pump)
    out: list[RoutePoint | NoOperatingPoint] = []
    for flow in flows_m3_per_s:
        fixed = FixedFlow(pump, taken.start, taken.end, flow)
        pieces = tuple(fixed if piece is taken else piece for piece in network.pieces)
        point = solve_network(replace(network, pieces=pieces), friction)
        if isinstance(point, NoOperatingPoint):
            out.append(point)
            continue
        inlet, outlet = (point.nodes[name].pressure_pa for name in (taken.start, taken.end))
        assert inlet is not None
        assert outlet is not None
        out.append(RoutePoint(flow, inlet, outlet))
    return tuple(out)


def _closed_place(network: Network) -> str | None:
    """The closed piece that cuts a pump off from every end, if there is one."""
    reached = _reached(network)
    for pump in network.pieces:
        if not isinstance(pump, PumpPiece | FixedFlow):
            continue
        for port in (pump.start, pump.end):
            if port in reached:
                continue
            part = _part(network, port)
            for piece in network.pieces:
                if isinstance(piece, Closed) and {piece.start, piece.end} & part:
                    return piece.name
            raise OutOfRange(
                f"way from {pump.name} to an end", "none", "pieces that lead to an end"
            )
    return None


def _isolated(network: Network) -> frozenset[str]:
    return frozenset(node.name for node in network.nodes) - _reached(network)


def _reached(network: Network) -> frozenset[str]:
    """Nodes with an open path to an end, not through a piece that sets its own flow."""
    found: set[str] = set()
    for node in network.nodes:
        if node.pressure_pa is not None and node.name not in found:
            found |= _part(network, node.name)
    return frozenset(found)


def _part(network: Network, start: str) -> set[str]:
    neighbours: dict[str, list[str]] = {node.name: [] for node in network.nodes}
    for piece in network.pieces:
        if not isinstance(piece, Closed | PumpPiece | FixedFlow):
            neighbours[piece.start].append(piece.end)
            neighbours[piece.end].append(piece.start)
    return reached(neighbours, [start])


def _stalled_pump(parts: Sequence[Equation], solution: Solution) -> NoOperatingPoint | None:
    pressures = solution.pressures_pa
    for part, flow in zip(parts, solution.mass_flows_kg_per_s, strict=True):
        piece = part.piece
        if not isinstance(piece, PumpPiece) or piece.speed_rpm == 0.0:
            continue
        swept = swept_flow_m3_per_s(piece.pump, piece.speed_rpm) * part.liquid.density_kg_per_m3
        if flow > 1e-6 * swept:
            continue
        inlet, outlet = pressures[part.start], pressures[part.end]
        none = piece.pump.no_flow_vacuum_pa
        if none is not None and -inlet >= none * (1.0 - 1e-6):
            return NoOperatingPoint(NoFlowReason.NO_SUCTION, piece.name, inlet, -none)
        return NoOperatingPoint(NoFlowReason.DEAD_HEAD, piece.name, outlet)
    return None


def _operating_point(
    network: Network,
    parts: Sequence[Equation],
    isolated: frozenset[str],
    solution: Solution,
    friction: Friction,
) -> OperatingPoint:
    pressures, flows = solution.pressures_pa, solution.mass_flows_kg_per_s
    partly = _partly_full(network, parts, pressures, flows)
    nodes: dict[str, NodeState] = {}
    for node, pressure in zip(network.nodes, pressures, strict=True):
        if node.name in isolated:
            nodes[node.name] = NodeState(None, None)
        elif node.name in partly:
            nodes[node.name] = NodeState(0.0, network.atmosphere_pa, runs_full=False)
        else:
            nodes[node.name] = NodeState(pressure, network.atmosphere_pa + pressure)
    flow_of = {part.piece.name: flow for part, flow in zip(parts, flows, strict=True)}
    pieces = {
        piece.name: _piece_state(network, piece, flow_of.get(piece.name, 0.0), nodes, friction)
        for piece in network.pieces
    }
    return OperatingPoint(nodes, pieces, solution.iterations, solution.residual)


def _partly_full(
    network: Network, parts: Sequence[Equation], pressures: Sequence[float], flows: Sequence[float]
) -> set[str]:
    """Joints beyond an open vented loop where a full pipe would be under vacuum."""
    partly: set[int] = set()
    todo = [p.end for p in parts if isinstance(p.piece, VentedLoop) and pressures[p.end] < 0.0]
    while todo:
        node = todo.pop()
        if node in partly:
            continue
        partly.add(node)
        for part, flow in zip(parts, flows, strict=True):
            into = part.end if part.start == node and flow > 0.0 else None
            into = part.start if part.end == node and flow < 0.0 else into
            if into is not None and pressures[into] < 0.0 and not isinstance(part.piece, PumpPiece):
                todo.append(into)
    return {network.nodes[i].name for i in partly if network.nodes[i].pressure_pa is None}


def _piece_state(
    network: Network,
    piece: Piece,
    mass_flow: float,
    nodes: Mapping[str, NodeState],
    friction: Friction,
) -> PieceState:
    liquid = (None if isinstance(piece, Closed) else piece.liquid) or network.liquid
    rho = liquid.density_kg_per_m3
    flow = mass_flow / rho
    count = piece.count if isinstance(piece, Pipe) else 1
    start_velocity, end_velocity = (
        None if bore is None else flow / bore_area_m2(bore, count) for bore in end_bores_m(piece)
    )

    def static_pa(name: str, velocity: float | None) -> float | None:
        state = nodes[name]
        joint = network.node(name).pressure_pa is None
        if state.pressure_pa is None or velocity is None or not joint or not state.runs_full:
            return state.pressure_pa
        return state.pressure_pa - rho * velocity**2 / 2.0

    reynolds = factor = None
    if isinstance(piece, Pipe) and flow != 0.0:
        velocity = flow / bore_area_m2(piece.bore_m, piece.count)
        reynolds = reynolds_number(velocity, piece.bore_m, rho, liquid.viscosity_pa_s)
        factor = friction_factor(reynolds, piece.roughness_m / piece.bore_m, friction)
    return PieceState(
        flow_m3_per_s=flow,
        mass_flow_kg_per_s=mass_flow,
        loss_pa=_loss_pa(network, piece, rho, nodes),
        start_velocity_m_per_s=start_velocity,
        end_velocity_m_per_s=end_velocity,
        start_pressure_pa=static_pa(piece.start, start_velocity),
        end_pressure_pa=static_pa(piece.end, end_velocity),
        reynolds=reynolds,
        friction_factor=factor,
    )


def _loss_pa(
    network: Network, piece: Piece, density_kg_per_m3: float, nodes: Mapping[str, NodeState]
) -> float | None:
    start, end = nodes[piece.start], nodes[piece.end]
    if start.pressure_pa is None or end.pressure_pa is None:
        return None
    if not (start.runs_full and end.runs_full):
        return None
    drop_m = network.node(piece.start).elevation_m - network.node(piece.end).elevation_m
    fall_pa = density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 * drop_m
    return start.pressure_pa - end.pressure_pa + fall_pa


def _boiling(network: Network, point: OperatingPoint) -> NoOperatingPoint | None:
    """The place of the least pressure, if it is below the vapour pressure there."""
    lowest: tuple[float, str, float] | None = None
    for piece in network.pieces:
        liquid = (None if isinstance(piece, Closed) else piece.liquid) or network.liquid
        if liquid.vapour_pressure_pa is None:
            continue
        limit = liquid.vapour_pressure_pa - network.atmosphere_pa
        state = point.pieces[piece.name]
        for name, pressure in (
            (piece.start, state.start_pressure_pa),
            (piece.end, state.end_pressure_pa),
        ):
            if pressure is not None and pressure < limit:
                here = (pressure - limit, name, pressure)
                lowest = here if lowest is None else min(lowest, here)
    if lowest is None:
        return None
    below, name, pressure = lowest
    return NoOperatingPoint(NoFlowReason.VAPOUR, name, pressure, pressure - below)
