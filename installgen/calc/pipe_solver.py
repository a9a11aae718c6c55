"""Newton's method for the equations of a pipe network."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from installgen.calc.pipe_equations import Equation
from installgen.calc.pipe_pieces import Network
from installgen.errors import NotSolved

MAX_ITERATIONS = 60
TOLERANCE = 1e-3
"""Greatest remaining error: this many pascals, or this times 1e-5 of a pump's flow."""


Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Solution:
    """What the iteration found.

    pressures_pa: one a node, in the order of the network [Pa]
    mass_flows_kg_per_s: one an equation [kg/s]
    iterations: that it took
    residual: greatest remaining error, see `TOLERANCE`
    """

    pressures_pa: tuple[float, ...]
    mass_flows_kg_per_s: tuple[float, ...]
    iterations: int
    residual: float


def newton(network: Network, parts: Sequence[Equation], isolated: frozenset[str]) -> Solution:
    """Solve the equations of a pipe network.

    network: for its nodes
    parts: one equation a piece
    isolated: nodes that no equation reaches
    Returns pressures and flows. Raises NotSolved when the iteration does not end or when nothing
    determines the split of a flow.
    Source: Newton's method with a backtracking line search.
    """
    joints = [
        i
        for i, node in enumerate(network.nodes)
        if node.pressure_pa is None and node.name not in isolated
    ]
    column = {i: k for k, i in enumerate(joints)}
    fixed = [node.pressure_pa or 0.0 for node in network.nodes]
    flow_unit = min((part.scale for part in parts if part.scale < 1.0), default=1e-6)
    size = len(joints) + len(parts)

    def pressures(x: Vector) -> list[float]:
        out = list(fixed)
        for i, k in column.items():
            out[i] = float(x[k])
        return out

    def evaluate(x: Vector) -> tuple[Vector, Vector]:
        left, slopes = np.zeros(size), np.zeros((size, size))
        at = pressures(x)
        for row, part in enumerate(parts, start=len(joints)):
            flow = float(x[row])
            value, by_flow, by_start, by_end = part.residual(flow, at[part.start], at[part.end])
            left[row] = value / part.scale
            slopes[row, row] = by_flow / part.scale
            for node, sign, slope in (
                (part.start, -1.0, by_start),
                (part.end, 1.0, by_end),
            ):
                k = column.get(node)
                if k is not None:
                    slopes[row, k] += slope / part.scale
                    left[k] += sign * flow / flow_unit
                    slopes[k, row] += sign / flow_unit
        return left, slopes

    x = np.array([0.0] * len(joints) + [part.guess_kg_per_s for part in parts])
    left, slopes = evaluate(x)
    error = float(np.max(np.abs(left), initial=0.0))
    for iteration in range(MAX_ITERATIONS):
        if error <= TOLERANCE:
            flows = tuple(float(flow) for flow in x[len(joints) :])
            return Solution(tuple(pressures(x)), flows, iteration, error)
        try:
            step = np.asarray(np.linalg.solve(slopes, -left), dtype=np.float64)
        except np.linalg.LinAlgError:
            raise NotSolved("pipe network", error, iteration) from None
        x, left, slopes = _line_search(evaluate, x, left, step)
        error = float(np.max(np.abs(left), initial=0.0))
    raise NotSolved("pipe network", error, MAX_ITERATIONS)


def _line_search(
    evaluate: Callable[[Vector], tuple[Vector, Vector]], x: Vector, left: Vector, step: Vector
) -> tuple[Vector, Vector, Vector]:
    """The longest of a few shortened steps that brings the sum of squares down."""
    start = float(left @ left)
    share = 1.0
    for _ in range(8):
        candidate = x + share * step
        new_left, slopes = evaluate(candidate)
        if float(new_left @ new_left) < start:
            return candidate, new_left, slopes
        share /= 2.0
    candidate = x + step  # over a kink every short step may be worse, and the next one better
    return candidate, *evaluate(candidate)
