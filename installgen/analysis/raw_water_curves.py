"""The pump against its route: both as curves, with the points where they agree, for a plot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from installgen.analysis.raw_water import flow_id, solved
from installgen.analysis.raw_water_network import route_network, water_at
from installgen.analysis.results import Book, MissingInput
from installgen.analysis.route import Route
from installgen.analysis.speeds import SPEEDS, speed_id
from installgen.calc.pipe_network import PumpPiece, RoutePoint, route_curve
from installgen.calc.pump import swept_flow_m3_per_s
from installgen.errors import NotSolved, OutOfRange, OutOfTable
from installgen.spec.vessel import Vessel

AROUND = tuple(0.5 + 0.1 * step for step in range(9))
"""Share of the flow at the operating point for which the route's curve is drawn."""


@dataclass(frozen=True)
class CurvePoint:
    """A flow [m3/s] and the pressure that the pump adds to it [Pa]."""

    flow_m3_per_s: float
    rise_pa: float


@dataclass(frozen=True)
class PumpAgainstRoute:
    """What a plot of pump and route shows.

    routes: what the route asks of the pump at each speed, against the exhaust pressure there
    pumps: what the pump gives at each speed, whole suction
    points: where both agree
    """

    routes: Mapping[str, tuple[CurvePoint, ...]]
    pumps: Mapping[str, tuple[CurvePoint, ...]]
    points: Mapping[str, CurvePoint]


def pump_against_route(book: Book, vessel: Vessel, route: Route) -> PumpAgainstRoute | None:
    """The curves of one route, at idle, cruise and rated.

    book: with the flows in it
    Returns nothing where the route could not be solved; the flow's result says why.
    """
    speeds = [speed for speed in SPEEDS if book[flow_id(route, speed)].assessed]
    if not speeds:
        return None
    try:
        return _curves(book, vessel, route, speeds)
    except (MissingInput, NotSolved, OutOfRange, OutOfTable):
        return None


def _curves(book: Book, vessel: Vessel, route: Route, speeds: Sequence[str]) -> PumpAgainstRoute:
    scratch = book.working("", "", "raw-water", formula="", source="")
    coldest = scratch.spec(vessel.spec.sea, "coldest").c
    pumps: dict[str, tuple[CurvePoint, ...]] = {}
    points: dict[str, CurvePoint] = {}
    routes: dict[str, tuple[CurvePoint, ...]] = {}
    for speed in speeds:
        rpm = scratch.result(speed_id(route.engine, speed)).rpm
        laid = route_network(scratch, route, rpm, water_at(vessel, coldest), speed=speed)
        piece = laid.network.piece(laid.pump)
        assert isinstance(piece, PumpPiece)
        most = swept_flow_m3_per_s(piece.pump, piece.speed_rpm) * (1.0 - piece.pump.slip_ratio)
        nodes = solved(laid).nodes
        flow = scratch.result(flow_id(route, speed)).m3_per_s
        inlet, outlet = nodes[piece.start].pressure_pa, nodes[piece.end].pressure_pa
        assert inlet is not None
        assert outlet is not None
        points[speed] = CurvePoint(flow, outlet - inlet)
        leak = piece.pump.leakage_m3_per_s_pa
        if leak > 0.0:
            lowest = max(0.0, 2.0 * flow - most)
            pumps[speed] = tuple(
                CurvePoint(at, (most - at) / leak) for at in (most, (most + lowest) / 2.0, lowest)
            )
        else:
            pumps[speed] = (CurvePoint(most, 0.0), CurvePoint(most, 2.0 * (outlet - inlet)))
        routes[speed] = tuple(
            CurvePoint(found.flow_m3_per_s, found.outlet_pressure_pa - found.inlet_pressure_pa)
            for found in route_curve(laid.network, laid.pump, [flow * share for share in AROUND])
            if isinstance(found, RoutePoint)
        )
    return PumpAgainstRoute(routes, pumps, points)
