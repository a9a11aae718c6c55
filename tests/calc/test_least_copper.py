"""The search for the cheapest combination, against trying all of them and against a MILP solver."""

import itertools
import math
import random
import time

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from installgen.calc.least_copper import Option, least_cost

AREAS_MM2 = (0.823, 1.309, 2.081, 3.309, 5.26, 8.37, 13.3, 21.15, 33.6, 53.5, 67.4, 107.2)


def instance(
    pieces: int, limits: int, sizes: int, seed: int
) -> tuple[list[list[Option]], list[float]]:
    """Conductors of random length and current; each limit between the least and four times it."""
    draw = random.Random(seed)
    lengths = [draw.uniform(0.3, 6) for _ in range(pieces)]
    currents = [
        [draw.uniform(5, 150) if draw.random() < 0.6 else 0.0 for _ in range(limits)]
        for _ in range(pieces)
    ]
    options = [
        [
            Option(length * area, tuple(current * length * 0.0175 / area for current in row))
            for area in draw.sample(AREAS_MM2, sizes)
        ]
        for length, row in zip(lengths, currents, strict=True)
    ]
    least = [math.fsum(min(o.uses[j] for o in piece) for piece in options) for j in range(limits)]
    return options, [value * draw.uniform(0.98, 4) for value in least]


def total(options: list[list[Option]], chosen: list[int]) -> tuple[float, list[float]]:
    taken = [piece[i] for piece, i in zip(options, chosen, strict=True)]
    uses = [math.fsum(column) for column in zip(*(o.uses for o in taken), strict=True)]
    return math.fsum(o.cost for o in taken), uses


@pytest.mark.parametrize("seed", range(60))
def test_as_good_as_trying_everything(seed: int) -> None:
    limits_count = seed % 4 + 1
    options, limits = instance(4, limits_count, 5, seed)
    best = min(
        (
            cost
            for chosen in itertools.product(*(range(len(piece)) for piece in options))
            for cost, uses in [total(options, list(chosen))]
            if all(u <= limit * (1 + 1e-9) for u, limit in zip(uses, limits, strict=True))
        ),
        default=None,
    )
    chosen = least_cost(options, limits)
    if best is None:
        assert chosen is None
    else:
        assert chosen is not None
        cost, uses = total(options, chosen)
        assert cost == pytest.approx(best, rel=1e-12)
        assert all(u <= limit * (1 + 1e-9) for u, limit in zip(uses, limits, strict=True))


@pytest.mark.parametrize(("limits_count", "seed"), [(1, 1), (2, 2), (3, 3), (5, 4), (8, 5)])
def test_twelve_pieces_of_twelve_sizes_against_a_solver(limits_count: int, seed: int) -> None:
    options, limits = instance(12, limits_count, 12, seed)
    limits = [limit * 1.1 for limit in limits]  # keep it solvable
    costs = [o.cost for piece in options for o in piece]
    uses = np.array([o.uses for piece in options for o in piece]).T
    one_of_each = np.kron(np.eye(12), np.ones(12))
    answer = milp(
        costs,
        constraints=[
            LinearConstraint(uses / np.array(limits)[:, None], -np.inf, np.ones(limits_count)),
            LinearConstraint(one_of_each, 1, 1),
        ],
        integrality=np.ones(144),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0},
    )
    assert answer.success
    started = time.perf_counter()
    chosen = least_cost(options, limits)
    assert time.perf_counter() - started < 5
    assert chosen is not None
    assert total(options, chosen)[0] == pytest.approx(answer.fun, rel=1e-7)


def test_nothing_holds() -> None:
    assert least_cost([[Option(1, (2.0,)), Option(2, (1.0,))]], [0.5]) is None
    assert least_cost([[]], [1.0]) is None


def test_without_limits_the_cheapest_wins() -> None:
    assert least_cost([[Option(2, ()), Option(1, ())], [Option(3, ())]], []) == [1, 0]


def test_a_sum_equal_to_its_limit_holds() -> None:
    # 0.1 + 0.2 is 0.30000000000000004 in floats.
    assert least_cost([[Option(1, (0.1,))], [Option(1, (0.2,))]], [0.3]) == [0, 0]


def test_equal_cost_is_settled_by_use_then_by_order() -> None:
    either = [Option(1, (2.0,)), Option(1, (1.0,)), Option(1, (1.0,))]
    assert least_cost([either], [5.0]) == [1]
    same = [Option(1, (2.0,)), Option(2, (1.0,))]
    assert least_cost([same, same], [3.0]) == [0, 1]
