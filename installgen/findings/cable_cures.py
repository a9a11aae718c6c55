"""Heavier cable: the least of the yard's sizes that clears what too thin ones cause."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from installgen.analysis.dc_model import WireEnd, calc_size
from installgen.calc.conductors import area_mm2
from installgen.findings.finding import Change, Cure, Finding
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.findings.trial import SpecPath, Trial, path_of, try_out
from installgen.findings.words import shown
from installgen.spec.entry import known
from installgen.spec.standard_spec import CableStock
from installgen.units import ConductorSize

LIGHT_SHARE = 0.12
"""A conductor that loses less than this of what the heaviest loses is left as it is."""


@dataclass(frozen=True)
class _Piece:
    """A conductor that may become heavier, with the stocked sizes above its own, by copper."""

    end: WireEnd
    size: ConductorSize
    larger: tuple[ConductorSize, ...]


def heavier_cables(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """The least step up in the yard's sizes that clears a group of findings.

    The conductors that lose the most grow together, each to a stocked size whose lug fits its
    stud. Where even the largest do not do it, what is left then is said.
    """
    pieces = [piece for piece in _pieces(survey, group) if piece.larger]
    if not pieces:
        return None
    most = max(len(piece.larger) for piece in pieces)
    tries: dict[int, Trial] = {}

    def clears(step: int) -> bool:
        tries[step] = try_out(survey, rules, before, _changes(pieces, _sizes(pieces, step)))
        return tries[step].clears(group)

    step = _first_step(pieces, group)
    if not clears(step):
        if step == most or not clears(most):
            return _too_little(survey, pieces, tries[max(tries)], max(tries), group)
        low, high = step, most
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if clears(middle) else (middle, high)
        step = high
    return _offer(survey, pieces, tries[step], step, group)


def _sizes(pieces: list[_Piece], step: int) -> dict[str, ConductorSize]:
    """The size of each piece, so many sizes up, or the largest that there is."""
    return {p.end.element: p.larger[min(step, len(p.larger)) - 1] for p in pieces}


def _pieces(survey: Survey, group: list[Finding]) -> list[_Piece]:
    """The vessel's conductors that a group points at, those of little loss left out."""
    by_place = {end.wire.where("size"): end for end in survey.wires if end.engine is None}
    losses: dict[str, float] = {}
    ends: dict[str, WireEnd] = {}
    for finding in group:
        for place in finding.places:
            end = by_place.get(place.position) if place.path.endswith(".size") else None
            if end is not None:
                ends.setdefault(end.element, end)
                loss = _loss_v(survey, end, finding)
                losses[end.element] = max(losses.get(end.element, 0.0), loss)
    heaviest = max(losses.values(), default=0.0)
    kept = [ends[name] for name, loss in losses.items() if loss >= LIGHT_SHARE * heaviest]
    found = [_piece(survey, end) for end in kept]
    return [piece for piece in found if piece is not None]


def _loss_v(survey: Survey, end: WireEnd, finding: Finding) -> float:
    """Volts lost along a conductor in the case of a finding [V]."""
    case = next((c for c in survey.cases if c.case.id == finding.case), None)
    current = case.current_a(end.element) if case is not None else None
    resistance = survey.book.get(f"conductor.{end.element}.resistance")
    value: Any = resistance.value if resistance is not None else None
    return 0.0 if current is None or value is None else abs(current) * float(value.ohm)


def _piece(survey: Survey, end: WireEnd) -> _Piece | None:
    size = known(end.wire.size) if isinstance(end.wire.size, ConductorSize) else None
    if size is None:
        return None
    stock = sorted(
        {row.size for row in survey.standard.stock.cables if _serves(row, end, size)},
        key=_area_mm2,
    )
    own = _area_mm2(size)
    return _Piece(end, size, tuple(one for one in stock if _area_mm2(one) > own))


def _serves(row: CableStock, end: WireEnd, size: ConductorSize) -> bool:
    """Whether a stocked cable may take a conductor's place: list, insulation, lug for its stud."""
    rated, stud = known(end.wire.insulation), known(end.wire.stud)
    if row.size.system != size.system or (rated is not None and row.insulation.c < rated.c):
        return False
    return stud is None or any(abs(own.mm - stud.mm) < 0.01 for own in row.studs)


def _area_mm2(size: ConductorSize) -> float:
    return area_mm2(calc_size(size))


def _first_step(pieces: list[_Piece], group: list[Finding]) -> int:
    """How many sizes up to begin with: the copper grows by what the worst figure is over."""
    over = max((1.0 - (f.margin_share or 0.0) for f in group if f.sense == "at most"), default=1.0)
    steps = []
    for piece in pieces:
        asked = _area_mm2(piece.size) * over
        enough = [n for n, one in enumerate(piece.larger, 1) if _area_mm2(one) >= asked * 0.98]
        steps.append(enough[0] if enough else len(piece.larger))
    return max(1, min(steps, default=1))


def _changes(pieces: list[_Piece], sizes: dict[str, ConductorSize]) -> dict[SpecPath, Any]:
    return {path_of(piece.end.wire, "size"): sizes[piece.end.element] for piece in pieces}


def _cables(pieces: list[_Piece], step: int) -> str:
    """Labels by size: `S1, S2: 70 mm²`."""
    by_size: dict[str, list[str]] = {}
    for piece in pieces:
        size = _sizes([piece], step)[piece.end.element]
        by_size.setdefault(str(size), []).append(piece.end.wire.label)
    return "; ".join(f"{', '.join(labels)}: {size}" for size, labels in by_size.items())


def _gives(survey: Survey, trial: Trial, group: list[Finding]) -> str:
    """What the group's figures are in a trial."""
    first = survey.vessel.spec.units.first
    told = []
    for finding in group:
        now = trial.again(finding)
        if now is not None and now.figure is not None:
            told.append(f"{finding.name} {shown(now.figure, first)}")
    return ", ".join(dict.fromkeys(told))


def _offer(
    survey: Survey, pieces: list[_Piece], trial: Trial, step: int, group: list[Finding]
) -> Cure:
    sizes = _sizes(pieces, step)
    studs = sorted({str(p.end.wire.stud) for p in pieces if known(p.end.wire.stud) is not None})
    lugs = f"; the yard keeps lugs for the studs ({', '.join(studs)})" if studs else ""
    changes = tuple(
        Change(p.end.wire.path_to("size"), str(sizes[p.end.element]), p.end.wire.where("size"))
        for p in pieces
    )
    text = f"{_cables(pieces, step)} gives {_gives(survey, trial, group)}{lugs}"
    return Cure(text, changes, checked=True)


def _too_little(
    survey: Survey, pieces: list[_Piece], trial: Trial, step: int, group: list[Finding]
) -> Cure:
    left = [one for one in group if (now := trial.again(one)) and now.verdict == "fail"]
    if left:
        told = _gives(survey, trial, left)
        text = f"no stocked size does it: {_cables(pieces, step)} still gives {told}"
        return Cure(f"{text}; shorten the run, or ask")
    worse = ", ".join(dict.fromkeys(f"{one.name} ({one.check})" for one in trial.worse))
    return Cure(f"{_cables(pieces, step)} would do it, but then fails: {worse}")
