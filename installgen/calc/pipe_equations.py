"""The equation that each piece of a pipe network adds, with its slopes for Newton's method."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.friction import Friction, bore_area_m2, friction_factor, friction_factor_slope
from installgen.calc.pipe_pieces import (
    Closed,
    Fitting,
    FixedFlow,
    MeasuredLoss,
    Network,
    Piece,
    Pipe,
    PumpPiece,
    VentedLoop,
)
from installgen.calc.pump import pump_flow_m3_per_s, swept_flow_m3_per_s
from installgen.calc.water import Liquid

STILL_VELOCITY_M_PER_S = 1e-5
"""Below this velocity a quadratic loss goes over into a linear one, so that it has a slope at 0."""

Residual = tuple[float, float, float, float]
"""What is left over, and its change with mass flow, start pressure and end pressure."""


@dataclass(frozen=True, slots=True)
class Equation:
    """One piece as an equation between its mass flow and the pressures of its nodes.

    piece: the piece; start, end: numbers of its nodes
    liquid: what flows in it
    residual: (mass flow, start pressure, end pressure) -> Residual, zero when satisfied
    scale: what counts as one unit of the residual [Pa or kg/s]
    guess_kg_per_s: first guess of the mass flow [kg/s]
    """

    piece: Piece
    start: int
    end: int
    liquid: Liquid
    residual: Callable[[float, float, float], Residual]
    scale: float
    guess_kg_per_s: float


def equations(network: Network, friction: Friction) -> list[Equation]:
    """The equations of all pieces that are not closed.

    network: nodes are numbered in its order
    friction: correlation for turbulent flow
    Returns one equation a piece.
    """
    number = {node.name: i for i, node in enumerate(network.nodes)}
    out = []
    for piece in network.pieces:
        if isinstance(piece, Closed):
            continue
        liquid = piece.liquid or network.liquid
        start, end = number[piece.start], number[piece.end]
        drop = network.nodes[start].elevation_m - network.nodes[end].elevation_m
        fall_pa = liquid.density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 * drop
        residual, scale, guess = _equation(piece, liquid, fall_pa, friction)
        out.append(Equation(piece, start, end, liquid, residual, scale, guess))
    return out


def _equation(
    piece: Piece, liquid: Liquid, fall_pa: float, friction: Friction
) -> tuple[Callable[[float, float, float], Residual], float, float]:
    rho = liquid.density_kg_per_m3
    match piece:
        case Pipe():
            area = bore_area_m2(piece.bore_m, piece.count)
            return _resistance(_pipe_loss(piece, liquid, friction), fall_pa), 1.0, rho * area
        case Fitting():
            area = bore_area_m2(piece.bore_m)
            loss = _square_loss(
                piece.loss_coefficient / (2.0 * rho * area**2), rho * area * STILL_VELOCITY_M_PER_S
            )
            return _resistance(loss, fall_pa), 1.0, rho * area
        case MeasuredLoss():
            known = piece.flow_m3_per_s * rho
            loss = _square_loss(piece.drop_pa / known**2, known * STILL_VELOCITY_M_PER_S)
            return _resistance(loss, fall_pa), 1.0, known
        case PumpPiece():
            swept = swept_flow_m3_per_s(piece.pump, piece.speed_rpm) * rho
            return (
                _pump(piece, rho, fall_pa),
                _flow_scale(swept),
                swept * (1.0 - piece.pump.slip_ratio),
            )
        case FixedFlow():
            mass_flow = piece.flow_m3_per_s * rho
            return _fixed(mass_flow), _flow_scale(mass_flow), mass_flow
        case VentedLoop():
            return _vented, 1.0, 0.1
        case Closed():
            raise AssertionError("a closed piece has no equation")


def _flow_scale(mass_flow_kg_per_s: float) -> float:
    return 1e-5 * max(abs(mass_flow_kg_per_s), 0.1)


Loss = Callable[[float], tuple[float, float]]
"""Mass flow -> pressure lost and its slope."""


def _resistance(loss: Loss, fall_pa: float) -> Callable[[float, float, float], Residual]:
    def residual(mass_flow: float, start_pa: float, end_pa: float) -> Residual:
        lost, slope = loss(mass_flow)
        return start_pa - end_pa + fall_pa - lost, -slope, 1.0, -1.0

    return residual


def _square_loss(per_square: float, still: float) -> Loss:
    def loss(mass_flow: float) -> tuple[float, float]:
        size = math.hypot(mass_flow, still)
        return per_square * mass_flow * size, per_square * (size + mass_flow**2 / size)

    return loss


def _pipe_loss(pipe: Pipe, liquid: Liquid, friction: Friction) -> Loss:
    rho, mu = liquid.density_kg_per_m3, liquid.viscosity_pa_s
    area = bore_area_m2(pipe.bore_m, pipe.count)
    minor = _square_loss(
        pipe.loss_coefficient / (2.0 * rho * area**2), rho * area * STILL_VELOCITY_M_PER_S
    )
    per_factor = pipe.length_m / pipe.bore_m / (2.0 * rho * area**2)
    reynolds_per_flow = pipe.bore_m / (area * mu)
    still = STILL_VELOCITY_M_PER_S * rho * area
    roughness = pipe.roughness_m / pipe.bore_m

    def loss(mass_flow: float) -> tuple[float, float]:
        lost, slope = minor(mass_flow)
        size = max(abs(mass_flow), still)
        reynolds = reynolds_per_flow * size
        factor = friction_factor(reynolds, roughness, friction)
        if size == still:  # laminar there: the loss is linear in the flow
            straight = per_factor * factor * still
            return lost + straight * mass_flow, slope + straight
        steepness = friction_factor_slope(reynolds, roughness, friction)
        return (
            lost + per_factor * factor * mass_flow * size,
            slope + per_factor * (2.0 * factor * size + steepness * reynolds_per_flow * size**2),
        )

    return loss


def _pump(
    piece: PumpPiece, rho: float, fall_pa: float
) -> Callable[[float, float, float], Residual]:
    pump, speed = piece.pump, piece.speed_rpm
    leakage = pump.leakage_m3_per_s_pa
    head = 0.0
    if piece.start_bore_m is not None:
        head = 1.0 / (2.0 * rho * bore_area_m2(piece.start_bore_m) ** 2)
    fall_off = 0.0
    if pump.full_flow_vacuum_pa is not None and pump.no_flow_vacuum_pa is not None:
        span = pump.no_flow_vacuum_pa - pump.full_flow_vacuum_pa
        fall_off = swept_flow_m3_per_s(pump, speed) * (1.0 - pump.slip_ratio) / span

    def residual(mass_flow: float, start_pa: float, end_pa: float) -> Residual:
        inlet_pa = start_pa - head * mass_flow**2
        rise_pa = end_pa - start_pa - fall_pa
        flow = pump_flow_m3_per_s(pump, speed, inlet_pa, inlet_pa + rise_pa)
        by_inlet = 0.0
        full, none = pump.full_flow_vacuum_pa, pump.no_flow_vacuum_pa
        if full is not None and none is not None and full < -inlet_pa < none:
            by_inlet = fall_off
        return (
            mass_flow - rho * flow,
            1.0 + rho * by_inlet * 2.0 * head * mass_flow,
            -rho * (by_inlet + leakage),
            rho * leakage,
        )

    return residual


def _fixed(mass_flow_kg_per_s: float) -> Callable[[float, float, float], Residual]:
    def residual(mass_flow: float, _start_pa: float, _end_pa: float) -> Residual:
        return mass_flow - mass_flow_kg_per_s, 1.0, 0.0, 0.0

    return residual


def _vented(_mass_flow: float, start_pa: float, end_pa: float) -> Residual:
    if end_pa > 0.0:
        return start_pa - end_pa, 0.0, 1.0, -1.0
    return start_pa, 0.0, 1.0, 0.0
