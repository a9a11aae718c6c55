"""The cheapest combination of options, one for each piece, that keeps every limit: exact."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from installgen.errors import NotSolved

TOLERANCE = 1e-9
"""Relative; a sum equal to its limit keeps it in spite of rounding."""

_MOST_STATES = 2_000_000
_MOST_COMPARED = 6_000
_FIRST_LOOK = 300


@dataclass(frozen=True)
class Option:
    """One way to make a piece.

    cost: what is to be least; uses: what it takes of each limit; neither is negative
    """

    cost: float
    uses: tuple[float, ...]


@dataclass(frozen=True)
class _Piece:
    """A piece's options worth a look, cheapest first, as columns."""

    index: NDArray[np.int64]
    cost: NDArray[np.float64]
    uses: NDArray[np.float64]


@dataclass(frozen=True)
class _States:
    """Choices for the first pieces, as columns: total cost, total uses, option of each piece."""

    cost: NDArray[np.float64]
    uses: NDArray[np.float64]
    chosen: NDArray[np.int64]

    def keep(self, rows: NDArray[np.int64] | NDArray[np.bool_]) -> _States:
        return _States(self.cost[rows], self.uses[rows], self.chosen[rows])


def least_cost(pieces: Sequence[Sequence[Option]], limits: Sequence[float]) -> list[int] | None:
    """Choose one option for each piece so that all limits hold at least cost.

    minimise Σ cost subject to Σ uses[j] ≤ limits[j] for each j

    Pieces are taken one after another, and of the choices made so far those are dropped that
    another beats in cost and every use, or that the prices of the linear relaxation prove dearer
    than a combination already known. A first look at the most hopeful few finds that combination.
    Of several best ones the least total use wins, then the earlier options.

    pieces: the options of each; limits: one for each use
    Returns the position of the chosen option for each piece; None when no combination holds.
    Raises NotSolved when too many choices remain to be compared.
    Source: dynamic programming with Lagrangian bounds (textbook method).
    """
    if any(not options for options in pieces):
        return None
    if not limits:
        return [_cheapest(options) for options in pieces]
    columns = [_worth_a_look(options, len(limits)) for options in pieces]
    order = sorted(range(len(pieces)), key=lambda i: (-_spread(columns[i]), i))
    search = _Search([columns[i] for i in order], np.array(limits, dtype=float))
    known = search.stepwise_cost()
    first_look = search.best(known, _FIRST_LOOK)
    if first_look is not None:
        known = min(known, first_look[0])
    best = search.best(known, None)
    if best is None:
        return None
    chosen = [0] * len(pieces)
    for position, option in zip(order, best[1], strict=True):
        chosen[position] = option
    return chosen


class _Search:
    """One search, with the bounds that its sweeps share."""

    def __init__(self, pieces: list[_Piece], limits: NDArray[np.float64]) -> None:
        self.pieces = pieces
        self.limits = limits + TOLERANCE * np.abs(limits)
        self.prices = _prices(pieces, limits)
        # What the pieces from each one on take at least, of the limits and of the priced cost.
        self.rest_uses = [np.zeros(len(limits))]
        self.rest_cost = [0.0]
        for piece in reversed(pieces):
            self.rest_uses.insert(0, self.rest_uses[0] + piece.uses.min(axis=0))
            priced = float((piece.cost + piece.uses @ self.prices).min())
            self.rest_cost.insert(0, self.rest_cost[0] + priced)

    def best(self, known_cost: float, width: int | None) -> tuple[float, list[int]] | None:
        """The best combination no dearer than one known; with a width, of the likeliest only."""
        states = _States(
            np.zeros(1), np.zeros((1, len(self.limits))), np.zeros((1, 0), dtype=np.int64)
        )
        for depth, piece in enumerate(self.pieces):
            states = _grown(states, piece)
            uses_at_last = states.uses + self.rest_uses[depth + 1]
            slack = (self.limits - states.uses) @ self.prices
            bound = states.cost + self.rest_cost[depth + 1] - slack
            possible = (bound <= known_cost * (1 + TOLERANCE)) & np.all(
                uses_at_last <= self.limits, axis=1
            )
            states, bound = states.keep(possible), bound[possible]
            if not len(bound):
                return None
            if width is not None and len(bound) > width:
                states = states.keep(np.argsort(bound, kind="stable")[:width])
            if len(states.cost) <= _MOST_COMPARED:
                states = _unbeaten(states)
            if len(states.cost) > _MOST_STATES:
                raise NotSolved("the choice of conductors", math.inf, len(states.cost))
        return _first(states)

    def stepwise_cost(self) -> float:
        """Cost of a fair combination: from the cheapest, step where most excess goes for least.

        Infinite when no step is left, which does not prove that no combination holds.
        """
        levels = [0] * len(self.pieces)
        while True:
            uses = np.zeros(len(self.limits))
            cost = 0.0
            for piece, level in zip(self.pieces, levels, strict=True):
                uses = uses + piece.uses[level]
                cost += float(piece.cost[level])
            excess = np.maximum(uses - self.limits, 0)
            if not excess.any():
                return cost
            steps: list[tuple[float, int]] = []
            for i, (piece, level) in enumerate(zip(self.pieces, levels, strict=True)):
                if level + 1 < len(piece.cost):
                    relief = piece.uses[level] - piece.uses[level + 1]
                    gain = float(np.where(excess > 0, np.minimum(excess, relief), 0).sum())
                    price = float(piece.cost[level + 1] - piece.cost[level])
                    steps.append((gain / price if price else math.inf, -i))
            if not steps:
                return math.inf
            levels[-max(steps)[1]] += 1


def _cheapest(options: Sequence[Option]) -> int:
    return min(range(len(options)), key=lambda i: (options[i].cost, i))


def _worth_a_look(options: Sequence[Option], limit_count: int) -> _Piece:
    """The options, cheapest first, without those that another beats in cost and every use."""
    kept: list[tuple[int, Option]] = []
    for index, option in sorted(enumerate(options), key=lambda o: (o[1].cost, o[1].uses, o[0])):
        if not any(
            all(a <= b for a, b in zip(better.uses, option.uses, strict=True)) for _, better in kept
        ):
            kept.append((index, option))
    return _Piece(
        np.array([index for index, _ in kept], dtype=np.int64),
        np.array([option.cost for _, option in kept]),
        np.array([option.uses for _, option in kept], dtype=float).reshape(-1, limit_count),
    )


def _spread(piece: _Piece) -> float:
    return float(piece.cost[-1] - piece.cost[0])


def _grown(states: _States, piece: _Piece) -> _States:
    """Every state with every option of the next piece."""
    count, options = len(states.cost), len(piece.cost)
    return _States(
        (states.cost[:, None] + piece.cost[None, :]).ravel(),
        (states.uses[:, None, :] + piece.uses[None, :, :]).reshape(count * options, -1),
        np.hstack(
            [
                np.repeat(states.chosen, options, axis=0),
                np.tile(piece.index, count).reshape(-1, 1),
            ]
        ),
    )


def _unbeaten(states: _States) -> _States:
    """The states that no other beats in cost and in every use."""
    ordered = states.keep(np.lexsort((states.uses.sum(axis=1), states.cost)))
    alive = np.ones(len(ordered.cost), dtype=np.bool_)
    for i in range(len(alive)):
        if alive[i]:
            alive[i + 1 :] &= ~np.all(ordered.uses[i + 1 :] >= ordered.uses[i], axis=1)
    return ordered.keep(alive)


def _first(states: _States) -> tuple[float, list[int]]:
    """The best of finished states: least cost, then least total use, then the earlier options."""
    least = float(states.cost.min())
    states = states.keep(states.cost <= least * (1 + 1e-12))
    total = states.uses.sum(axis=1)
    states = states.keep(total <= float(total.min()) * (1 + 1e-12))
    return least, min(states.chosen.tolist())


def _prices(pieces: Sequence[_Piece], limits: NDArray[np.float64]) -> NDArray[np.float64]:
    """Prices of the limits in the linear relaxation; any price that is not negative is a bound."""
    from scipy.optimize import linprog

    one_of_each = np.zeros((len(pieces), sum(len(piece.cost) for piece in pieces)))
    column = 0
    for i, piece in enumerate(pieces):
        one_of_each[i, column : column + len(piece.cost)] = 1
        column += len(piece.cost)
    solution = linprog(
        c=np.concatenate([piece.cost for piece in pieces]),
        A_ub=np.vstack([piece.uses for piece in pieces]).T,
        b_ub=limits,
        A_eq=one_of_each,
        b_eq=np.ones(len(pieces)),
        method="highs",
    )
    if not solution.success:
        return np.zeros(len(limits))
    prices: NDArray[np.float64] = -np.asarray(solution.ineqlin.marginals, dtype=float)
    return np.maximum(prices, 0.0)
