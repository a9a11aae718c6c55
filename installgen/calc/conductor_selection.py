"""Sizes for the conductors still open, chosen together for least copper among stocked sizes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from installgen.calc.ampacity import MetricAmpacityTable
from installgen.calc.conductors import ConductorSize
from installgen.calc.least_copper import TOLERANCE, Option, least_cost
from installgen.calc.size_criteria import Criterion, OpenPiece, SizeJudgement, judge_sizes
from installgen.errors import OutOfRange


@dataclass(frozen=True)
class FixedPiece:
    """A conductor, joint, switch, fuse or diode whose loss stands.

    resistance_ohm: at working temperature [ohm]; current_a: by case [A]
    length_m, area_mm2: of a conductor; nil of anything else [m, mm2]
    drop_v: by case, in place of current times resistance, as a diode has it [V]
    """

    label: str
    resistance_ohm: float
    current_a: Mapping[str, float]
    length_m: float = 0.0
    area_mm2: float = 0.0
    drop_v: Mapping[str, float] = field(default_factory=dict)

    def lost_v(self, case: str) -> float:
        """What it takes of a path in a case [V]."""
        ohmic_v = abs(self.current_a.get(case, 0.0)) * self.resistance_ohm
        return self.drop_v.get(case, ohmic_v)


@dataclass(frozen=True)
class DropPath:
    """A path from source to load and back, and what it may lose.

    members: labels of its pieces, open and fixed, joints and switches included
    limit_v: for the whole path [V]
    cases: in which the limit holds
    """

    name: str
    members: tuple[str, ...]
    limit_v: float
    cases: tuple[str, ...]


@dataclass(frozen=True)
class PieceOutcome:
    """What came out for one open piece.

    chosen: None when no combination does it
    own_sizes: the smallest stocked size each criterion alone would take; None when none does. The
    drop's own size is that of the least copper when nothing but the paths' limits counts.
    governing: what the next smaller stocked size would fail
    judged: every stocked size, by rising copper
    """

    piece: OpenPiece
    chosen: SizeJudgement | None
    own_sizes: Mapping[Criterion, ConductorSize | None]
    governing: tuple[Criterion, ...]
    judged: tuple[SizeJudgement, ...]

    @property
    def nothing_fits(self) -> bool:
        """Whether no stocked size passes this piece's own criteria, whatever its paths ask."""
        return all(size.fails or size.resistance_ohm is None for size in self.judged)


@dataclass(frozen=True)
class PathOutcome:
    """The drop of one path in one case; with no combination found, the least the stock allows.

    drop_v: whole [V]; fixed_v: the part of it in pieces that stand [V]
    """

    path: DropPath
    case: str
    drop_v: float
    fixed_v: float

    @property
    def met(self) -> bool:
        """Whether the path keeps its limit."""
        return self.drop_v <= self.path.limit_v * (1 + TOLERANCE)


@dataclass(frozen=True)
class Selection:
    """The least-copper combination, or why there is none.

    found: every piece has a size, every path keeps its limit
    copper_mm2_m: Σ area · length of the chosen sizes [mm²·m]; zero when none was found
    """

    found: bool
    pieces: tuple[PieceOutcome, ...]
    paths: tuple[PathOutcome, ...]
    copper_mm2_m: float


def select_conductors(
    pieces: Sequence[OpenPiece],
    fixed: Sequence[FixedPiece],
    paths: Sequence[DropPath],
    metric_table: MetricAmpacityTable | None = None,
) -> Selection:
    """Choose the sizes of all open pieces together.

    minimise Σ length · area subject to, for each path and case, Σ I · R ≤ limit, and for each
    piece its ampacity, mechanical minimum and protective device

    pieces: to be chosen; fixed: the rest of the paths; paths: their limits, pieces may be shared
    metric_table: as in `ampacity`
    Returns sizes with each criterion's own size and what governs; when no stocked size does it,
    the same without sizes. Raises OutOfRange, ValueError for labels that do not match.
    Source: Ohm's law; the criteria as in their functions.
    """
    _check(pieces, fixed, paths)
    judged = {piece.label: judge_sizes(piece, metric_table) for piece in pieces}
    search = _Paths(pieces, fixed, paths, judged)
    chosen = search.least(lambda size: not size.fails)
    drop_alone = search.least(lambda _: True)
    sizes = chosen or search.least_drop()
    outcomes = tuple(
        PieceOutcome(
            piece,
            chosen[piece.label] if chosen else None,
            _own_sizes(piece, judged[piece.label], drop_alone),
            search.governing(piece, chosen) if chosen else (),
            judged[piece.label],
        )
        for piece in pieces
    )
    copper = math.fsum(chosen[p.label].copper_mm2 * p.length_m for p in pieces) if chosen else 0.0
    return Selection(bool(chosen) or not pieces, outcomes, search.outcomes(sizes), copper)


_Sizes = dict[str, SizeJudgement]
"""A size for each open piece, by label."""

_Filter = Callable[[SizeJudgement], bool]


class _Paths:
    """The open pieces on their paths: what each size would take of each limit."""

    def __init__(
        self,
        pieces: Sequence[OpenPiece],
        fixed: Sequence[FixedPiece],
        paths: Sequence[DropPath],
        judged: Mapping[str, tuple[SizeJudgement, ...]],
    ) -> None:
        self.pieces = {piece.label: piece for piece in pieces}
        self.fixed = {piece.label: piece for piece in fixed}
        self.limits = [(path, case) for path in paths for case in path.cases]
        self.judged = judged
        self.units: dict[str, list[OpenPiece]] = {}
        for piece in pieces:
            self.units.setdefault(piece.group or f"alone {piece.label}", []).append(piece)

    def least(self, usable: _Filter) -> _Sizes | None:
        """The least-copper sizes among the usable ones that keep every limit."""
        options = [self._unit_sizes(unit, usable) for unit in self.units.values()]
        left = [path.limit_v - self._fixed_v(path, case) for path, case in self.limits]
        if any(value < 0 for value in left):
            return None
        answer = least_cost([[self._option(sizes) for sizes in unit] for unit in options], left)
        if answer is None:
            return None
        return {
            label: size
            for unit, index in zip(options, answer, strict=True)
            for label, size in unit[index].items()
        }

    def least_drop(self) -> _Sizes:
        """The sizes of least resistance that pass their own criteria, or any where none passes."""
        sizes: _Sizes = {}
        for unit in self.units.values():
            choices = self._unit_sizes(unit, lambda size: not size.fails)
            choices = choices or self._unit_sizes(unit, lambda _: True)
            if choices:
                best: _Sizes = min(choices, key=_total_ohm)
                sizes.update(best)
        return sizes

    def outcomes(self, sizes: _Sizes) -> tuple[PathOutcome, ...]:
        """Every path in every case; infinite where a piece has no size with a resistance."""
        return tuple(
            PathOutcome(path, case, self._drop_v(path, case, sizes), self._fixed_v(path, case))
            for path, case in self.limits
        )

    def governing(self, piece: OpenPiece, chosen: _Sizes) -> tuple[Criterion, ...]:
        """What the piece, with its group, would fail in the next smaller stocked size."""
        unit = next(unit for unit in self.units.values() if piece in unit)
        copper = chosen[piece.label].copper_mm2
        smaller = [
            sizes
            for sizes in self._unit_sizes(unit, lambda _: True)
            if sizes[piece.label].copper_mm2 < copper
        ]
        if not smaller:
            return (Criterion.STOCK,)
        next_smaller = max(smaller, key=lambda sizes: sizes[piece.label].copper_mm2)
        failed = {criterion for size in next_smaller.values() for criterion in size.fails}
        if not all(outcome.met for outcome in self.outcomes({**chosen, **next_smaller})):
            failed.add(Criterion.DROP)
        return tuple(criterion for criterion in Criterion if criterion in failed)

    def _unit_sizes(self, unit: Sequence[OpenPiece], usable: _Filter) -> list[_Sizes]:
        """The sizes that every piece of a unit may have, by rising copper."""
        usable_sizes = [
            {j.size: j for j in self.judged[p.label] if j.resistance_ohm is not None and usable(j)}
            for p in unit
        ]
        return [
            {p.label: sizes[size] for p, sizes in zip(unit, usable_sizes, strict=True)}
            for size in usable_sizes[0]
            if all(size in sizes for sizes in usable_sizes)
        ]

    def _option(self, sizes: _Sizes) -> Option:
        cost = math.fsum(s.copper_mm2 * self.pieces[label].length_m for label, s in sizes.items())
        uses = tuple(
            math.fsum(
                abs(self.pieces[label].current_a.get(case, 0.0)) * _ohm(size) * count
                for label, size in sizes.items()
                if (count := path.members.count(label))
            )
            for path, case in self.limits
        )
        return Option(cost, uses)

    def _fixed_v(self, path: DropPath, case: str) -> float:
        members = (self.fixed[label] for label in path.members if label in self.fixed)
        return math.fsum(member.lost_v(case) for member in members)

    def _drop_v(self, path: DropPath, case: str, sizes: _Sizes) -> float:
        drop_v = self._fixed_v(path, case)
        for label in path.members:
            if label in self.pieces:
                current_a = abs(self.pieces[label].current_a.get(case, 0.0))
                size = sizes.get(label)
                drop_v += current_a * (_ohm(size) if size else math.inf) if current_a else 0.0
        return drop_v


def _own_sizes(
    piece: OpenPiece, judged: Sequence[SizeJudgement], drop_alone: _Sizes | None
) -> dict[Criterion, ConductorSize | None]:
    asked = {
        Criterion.AMPACITY: piece.carries_a is not None,
        Criterion.PROTECTION: piece.device is not None,
        Criterion.MINIMUM: True,
    }
    own: dict[Criterion, ConductorSize | None] = {
        Criterion.DROP: drop_alone[piece.label].size if drop_alone else None
    }
    for criterion in (criterion for criterion, wanted in asked.items() if wanted):
        own[criterion] = next((j.size for j in judged if criterion not in j.fails), None)
    return own


def _total_ohm(sizes: _Sizes) -> float:
    return math.fsum(_ohm(size) for size in sizes.values())


def _ohm(size: SizeJudgement) -> float:
    return math.inf if size.resistance_ohm is None else size.resistance_ohm


def _check(
    pieces: Sequence[OpenPiece], fixed: Sequence[FixedPiece], paths: Sequence[DropPath]
) -> None:
    labels = [piece.label for piece in pieces] + [piece.label for piece in fixed]
    twice = sorted({label for label in labels if labels.count(label) > 1})
    if twice:
        raise ValueError(f"two pieces are labelled {', '.join(twice)}")
    unknown = sorted({label for path in paths for label in path.members} - set(labels))
    if unknown:
        raise ValueError(f"no piece is labelled {', '.join(unknown)}")
    for piece in pieces:
        if not (math.isfinite(piece.length_m) and piece.length_m > 0):
            raise OutOfRange(f"the length of {piece.label}", f"{piece.length_m:g} m", "above 0 m")
