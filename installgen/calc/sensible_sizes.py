"""Sizes that make good a path's loss where it arises: no conductor grows for another's loss.

The open pieces of a path may lose what the rest leaves of its limit, but never less than their own
share of it, by length. Where the rest takes more than its share, an open piece grows by a few
stocked sizes at most to make up for it, and not beyond the conductor that takes most of the rest;
else the loss has to be cured where it is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from installgen.calc.conductor_selection import (
    DropPath,
    FixedPiece,
    PathOutcome,
    PieceOutcome,
    Selection,
    select_conductors,
)
from installgen.calc.conductors import ConductorSize, area_mm2
from installgen.calc.size_criteria import Criterion, OpenPiece, SizeJudgement, judge_sizes

MOST_MORE = 3
"""Stocked sizes by which a piece grows at most for what is lost elsewhere."""

MUCH = 0.25
"""A piece that takes this share of what its path's open pieces lose has a part in it."""


@dataclass(frozen=True)
class Sensible:
    """Sizes for the pieces that have one.

    pieces: outcomes by label, of those that a stocked size was found for
    unresolved: for each piece without a size, the path or the criterion that none keeps
    stand_in: the largest stocked size, in the place of those
    elsewhere: paths that are over their limit for a loss that is not in open pieces
    """

    pieces: Mapping[str, PieceOutcome]
    unresolved: Mapping[str, str] = field(default_factory=dict)
    stand_in: Mapping[str, ConductorSize] = field(default_factory=dict)
    elsewhere: tuple[PathOutcome, ...] = ()


def choose_sensibly(
    pieces: Sequence[OpenPiece], fixed: Sequence[FixedPiece], paths: Sequence[DropPath]
) -> Sensible:
    """Choose sizes for all open pieces together.

    pieces, fixed, paths: as in `select_conductors`
    Returns sizes, and what could not be resolved.
    Source: `select_conductors`; shares by length are common practice.
    """
    one_case = [replace(path, cases=(case,)) for path in paths for case in path.cases]
    unresolved: dict[str, str] = {}
    stand_in: dict[str, ConductorSize] = {}
    rest, stands = list(pieces), list(fixed)
    while True:
        ours = [path for path in one_case if {piece.label for piece in rest} & set(path.members)]
        least = select_conductors(rest, stands, [_fair(path, rest, stands) for path in ours])
        dropped = _without_size(rest) or ({} if least.found else _too_thin(least, rest))
        if not dropped:
            break
        for piece in [piece for piece in rest if piece.label in dropped]:
            unresolved[piece.label] = dropped[piece.label]
            largest = _largest(piece)
            if largest is not None:
                stand_in[piece.label] = largest.size
            stands.append(_standing(piece, largest))
            rest.remove(piece)
    selection = _with_more(rest, stands, ours, least)
    return Sensible(
        {outcome.piece.label: outcome for outcome in selection.pieces},
        unresolved,
        stand_in,
        tuple(outcome for outcome in _against(selection, ours) if not outcome.met),
    )


def _fair(path: DropPath, pieces: Sequence[OpenPiece], fixed: Sequence[FixedPiece]) -> DropPath:
    """The path with a limit that leaves its open pieces their share of it at least."""
    open_m = sum(piece.length_m for piece in pieces if piece.label in path.members)
    standing = [piece for piece in fixed if piece.label in path.members]
    fixed_m = sum(piece.length_m for piece in standing)
    fixed_v = math.fsum(piece.lost_v(path.cases[0]) for piece in standing)
    share_v = path.limit_v * open_m / (open_m + fixed_m)
    return replace(path, limit_v=max(path.limit_v, fixed_v + share_v))


def _with_more(
    pieces: Sequence[OpenPiece],
    fixed: Sequence[FixedPiece],
    paths: Sequence[DropPath],
    least: Selection,
) -> Selection:
    """The selection with pieces a few sizes larger where that keeps a path's own limit.

    With the fewest sizes more that keep every limit; where none keep them all, those that can be
    kept are.
    """
    unmet = [outcome.path for outcome in _against(least, paths) if not outcome.met]
    if not unmet:
        return least
    chosen = {outcome.piece.label: outcome.chosen for outcome in least.pieces}

    def grown(more: int) -> list[OpenPiece]:
        return [
            replace(
                piece,
                stocked=_up_to(piece, size.size, more, _heaviest_mm2(piece, fixed, unmet)),
            )
            for piece in pieces
            if (size := chosen[piece.label]) is not None
        ]

    for more in range(1, MOST_MORE + 1):
        capped = grown(more)
        within = select_conductors(capped, fixed, paths)
        if within.found:
            return within
    limits = [
        path if outcome.met else _fair(path, pieces, fixed)
        for path, outcome in zip(paths, _against(within, paths), strict=True)
    ]
    selection = select_conductors(capped, fixed, limits)
    return selection if selection.found else least


def _against(selection: Selection, paths: Sequence[DropPath]) -> list[PathOutcome]:
    """The paths of a selection against limits of their own."""
    return [
        replace(outcome, path=path) for outcome, path in zip(selection.paths, paths, strict=True)
    ]


def _heaviest_mm2(
    piece: OpenPiece, fixed: Sequence[FixedPiece], unmet: Sequence[DropPath]
) -> float:
    """The copper of what takes most of the rest of its paths that are over their limit [mm2].

    Nil where that is no conductor, infinite where its paths keep their limits.
    """
    found = math.inf
    for path in unmet:
        if piece.label in path.members:
            standing = [one for one in fixed if one.label in path.members]
            heaviest = max(standing, key=lambda one: one.lost_v(path.cases[0]), default=None)
            found = min(found, 0.0 if heaviest is None else heaviest.area_mm2)
    return found


def _up_to(
    piece: OpenPiece, size: ConductorSize, more: int, largest_mm2: float
) -> tuple[ConductorSize, ...]:
    """The stocked sizes up to some above one, as far as they are no larger than allowed."""
    sizes = sorted(dict.fromkeys(piece.stocked), key=area_mm2)
    place = sizes.index(size)
    grown = [one for one in sizes[place + 1 : place + 1 + more] if area_mm2(one) <= largest_mm2]
    return (*sizes[: place + 1], *grown)


def _without_size(pieces: Sequence[OpenPiece]) -> dict[str, str]:
    """Pieces that no stocked size serves, whatever their paths ask; with what none keeps."""
    found = {}
    for piece in pieces:
        judged = judge_sizes(piece, None)
        if all(size.fails or size.resistance_ohm is None for size in judged):
            largest = judged[-1] if judged else None
            criteria = largest.fails if largest is not None else (Criterion.STOCK,)
            found[piece.label] = ", ".join(str(c) for c in criteria) or str(Criterion.STOCK)
    return found


def _too_thin(least: Selection, pieces: Sequence[OpenPiece]) -> dict[str, str]:
    """Pieces whose largest stocked size still loses too much on a path of theirs."""
    found: dict[str, str] = {}
    for outcome in least.paths:
        if outcome.met:
            continue
        losses = {
            piece.label: abs(piece.current_a.get(outcome.case, 0.0)) * _least_ohm(piece)
            for piece in pieces
            if piece.label in outcome.path.members
        }
        whole = sum(losses.values())
        for label, lost in losses.items():
            if lost >= MUCH * whole:
                found.setdefault(label, f"{Criterion.DROP} of {outcome.path.name}")
    return found


def _least_ohm(piece: OpenPiece) -> float:
    largest = _largest(piece)
    ohm = None if largest is None else largest.resistance_ohm
    return 0.0 if ohm is None else ohm


def _largest(piece: OpenPiece) -> SizeJudgement | None:
    """The largest stocked size with a published resistance."""
    judged = [size for size in judge_sizes(piece, None) if size.resistance_ohm is not None]
    return judged[-1] if judged else None


def _standing(piece: OpenPiece, size: SizeJudgement | None) -> FixedPiece:
    ohm = size.resistance_ohm if size is not None and size.resistance_ohm is not None else 0.0
    copper = 0.0 if size is None else size.copper_mm2
    return FixedPiece(piece.label, ohm, piece.current_a, piece.length_m, copper)
