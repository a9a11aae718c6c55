"""Lengths that are cut and bought for a finished run."""

from __future__ import annotations

from installgen.calc.ranges import more_than_zero, within, zero_or_more

LARGEST_WASTE = 0.9


def cut_m(finished_m: float, slack: float, each_end_m: float) -> float:
    """What is cut for a run [m]: the run with its slack, and what is trimmed at both ends.

    finished_m: as run [m]; slack: as a share of the run; each_end_m: at each end [m]
    """
    more_than_zero("finished length", finished_m, "m")
    zero_or_more("slack", slack, "")
    zero_or_more("allowance at each end", each_end_m, "m")
    return finished_m * (1.0 + slack) + 2.0 * each_end_m


def bought_m(cut_total_m: float, waste: float) -> float:
    """What is bought [m] so that a share of it may be off-cuts.

    cut_total_m: all pieces together [m]; waste: off-cuts as a share of what is bought, at most 0.9
    """
    zero_or_more("length of all pieces", cut_total_m, "m")
    within("waste", waste, 0.0, LARGEST_WASTE, "")
    return cut_total_m / (1.0 - waste)
