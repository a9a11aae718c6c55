"""Heavier cable: the least copper, of the yard's sizes, that clears what too thin ones cause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from installgen.analysis.dc_cases import nominal_v
from installgen.analysis.dc_model import WireEnd, calc_size
from installgen.calc.conductors import area_mm2
from installgen.findings.checks.paths import heaviest_pieces
from installgen.findings.finding import Change, Cure, Finding
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.findings.trial import SpecPath, Trial, path_of, try_out
from installgen.findings.words import shown
from installgen.spec.entry import known
from installgen.spec.standard_spec import CableStock
from installgen.units import ConductorSize, Current, Fraction, Quantity, Resistance, Voltage

MOST_TRIALS = 6
LIGHT_SHARE = 0.12
"""A conductor that loses less than this of what the heaviest loses is left as it is."""

SAME = 0.01
"""Two conductors whose currents differ by less than this share carry the same."""

MOST_OF_IT = 0.5
"""A piece that takes this share of a loss is where the loss has to be cured."""

SPARE = 1.04
"""How much more is asked for at each trial that did not do it: heavier cable carries more."""


@dataclass(frozen=True)
class _Piece:
    """A conductor that may become heavier.

    sizes: its own size, then the stocked ones above it, by copper
    """

    end: WireEnd
    length_m: float
    sizes: tuple[ConductorSize, ...]

    @property
    def label(self) -> str:
        return self.end.wire.label

    def area_mm2(self, step: int) -> float:
        """Copper so many sizes up [mm2]."""
        return _area_mm2(self.sizes[step])

    def copper(self, step: int) -> float:
        """What the next size up would add [mm2 m]."""
        return (self.area_mm2(step + 1) - self.area_mm2(step)) * self.length_m


@dataclass(frozen=True)
class _Need:
    """What one finding asks for: volts to be saved, of those that each piece loses in its case."""

    volts: float
    losses: Mapping[str, float]


def heavier_cables(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """The least copper of the yard's sizes that clears a group of findings.

    The volts that have to be saved choose, size by size, the conductor that saves most for its
    copper; the vessel is then computed and judged again. Where even the largest sizes do not do
    it, what is left is said.
    """
    elsewhere = _lost_elsewhere(survey, group[0])
    if elsewhere is not None:
        return elsewhere
    pieces = _pieces(survey, group)
    if not any(len(piece.sizes) > 1 for piece in pieces):
        return None
    heaviest = _heaviest_run(survey, pieces, group)
    if heaviest and len(heaviest) < len(pieces):
        cure = _least_copper(survey, rules, before, group, heaviest)
        if cure is not None:
            return cure
    largest = {piece.label: len(piece.sizes) - 1 for piece in pieces}
    most = try_out(survey, rules, before, _changes(pieces, largest))
    if not most.clears(group):
        return _too_little(survey, pieces, largest, most, group)
    found = _least_copper(survey, rules, before, group, pieces)
    return found or _offer(survey, pieces, largest, most, group)


def _least_copper(
    survey: Survey,
    rules: list[BoundRule],
    before: list[Finding],
    group: list[Finding],
    pieces: list[_Piece],
) -> Cure | None:
    """The least copper in some conductors that clears a group; nothing where none does."""
    needs = [_need(survey, pieces, finding) for finding in group]
    steps = {piece.label: 0 for piece in pieces}
    asked = 1.0
    for _ in range(MOST_TRIALS):
        grown = _grow(pieces, needs, steps, asked)
        if grown == steps:
            grown = _one_more(pieces, steps)
        if grown == steps:
            break
        steps = grown
        trial = try_out(survey, rules, before, _changes(pieces, steps))
        if trial.clears(group):
            return _offer(survey, pieces, steps, trial, group)
        asked *= SPARE
    return None


def _heaviest_run(survey: Survey, pieces: list[_Piece], group: list[Finding]) -> list[_Piece]:
    """The conductor that takes most of what is lost, with those that carry the same current.

    They are the two ends of one run, out and back, and get one size.
    """
    case = next((c for c in survey.cases if c.case.id == group[0].case), None)
    if case is None or not pieces:
        return []
    amps = {piece.label: abs(case.current_a(piece.end.element) or 0.0) for piece in pieces}
    first = max(pieces, key=lambda piece: _loss_v(survey, piece.end, group[0]))
    most = amps[first.label]
    return [piece for piece in pieces if abs(amps[piece.label] - most) <= SAME * most]


def _lost_elsewhere(survey: Survey, finding: Finding) -> Cure | None:
    """What is said where a piece that is no conductor of the vessel takes most of what is lost."""
    losses = heaviest_pieces(survey, finding.subject, finding.case)
    if not losses or (losses[0].wire is not None and losses[0].wire.engine is None):
        return None
    whole = sum(piece.lost_v for piece in losses)
    if losses[0].lost_v < MOST_OF_IT * whole:
        return None
    first = survey.vessel.spec.units.first
    told = f"{shown(Voltage(losses[0].lost_v), first)} of {shown(Voltage(whole), first)}"
    return Cure(
        f"the loss lies in {losses[0].name}, which takes {told}, and not in her conductors: lead "
        "the circuit past it, or fit one that loses less"
    )


def _pieces(survey: Survey, group: list[Finding]) -> list[_Piece]:
    """The vessel's conductors that a group points at, in the order of the spec."""
    pointed = {
        place.position
        for finding in group
        for place in finding.places
        if place.path.endswith("size")
    }
    found = []
    losses = {
        end.element: max((_loss_v(survey, end, finding) for finding in group), default=0.0)
        for end in survey.wires
        if end.wire.where("size") in pointed
    }
    heavy = LIGHT_SHARE * max(losses.values(), default=0.0)
    for end in survey.wires:
        length = survey.analysis.dc.model.length_m(end) if survey.analysis.dc else None
        size = end.wire.size
        if (
            end.engine is None
            and isinstance(size, ConductorSize)
            and length is not None
            and losses.get(end.element, -1.0) >= heavy
        ):
            found.append(_Piece(end, length, (size, *_larger(survey, end, size))))
    return found


def _larger(survey: Survey, end: WireEnd, size: ConductorSize) -> list[ConductorSize]:
    """The stocked sizes above a conductor's own that may take its place, by copper."""
    stock = {row.size for row in survey.standard.stock.cables if _serves(row, end, size)}
    return sorted((one for one in stock if _area_mm2(one) > _area_mm2(size)), key=_area_mm2)


def _serves(row: CableStock, end: WireEnd, size: ConductorSize) -> bool:
    """Whether a stocked cable may take a conductor's place: list, insulation, lug for its stud."""
    rated, stud = known(end.wire.insulation), known(end.wire.stud)
    if row.size.system != size.system or (rated is not None and row.insulation.c < rated.c):
        return False
    return stud is None or any(abs(own.mm - stud.mm) < 0.01 for own in row.studs)


def _area_mm2(size: ConductorSize) -> float:
    return area_mm2(calc_size(size))


def _need(survey: Survey, pieces: list[_Piece], finding: Finding) -> _Need:
    """The volts a finding is short of; nothing where it is not short of volts."""
    losses = {piece.label: _loss_v(survey, piece.end, finding) for piece in pieces}
    figure, limit = finding.figure, finding.limit
    if isinstance(figure, Fraction) and isinstance(limit, Fraction):
        return _Need((figure.ratio - limit.ratio) * (nominal_v(survey.vessel) or 0.0), losses)
    if isinstance(figure, Voltage) and isinstance(limit, Voltage):
        return _Need(limit.v - figure.v, losses)
    if isinstance(figure, Resistance) and isinstance(limit, Resistance):
        current = survey.book.get(f"dc.{finding.case}.{finding.subject}.current")
        amps = current.value.a if current and isinstance(current.value, Current) else 0.0
        return _Need((figure.ohm - limit.ohm) * amps, losses)
    return _Need(0.0, losses)


def _loss_v(survey: Survey, end: WireEnd, finding: Finding) -> float:
    """Volts lost along a conductor in the case of a finding [V]."""
    case = next((c for c in survey.cases if c.case.id == finding.case), None)
    current = case.current_a(end.element) if case is not None else None
    resistance = survey.book.get(f"conductor.{end.element}.resistance")
    value = resistance.value if resistance is not None else None
    if current is None or not isinstance(value, Resistance):
        return 0.0
    return abs(current) * value.ohm


def _grow(
    pieces: list[_Piece], needs: list[_Need], steps: dict[str, int], asked: float
) -> dict[str, int]:
    """Sizes that save the volts asked for; each next one is what saves most for its copper."""
    grown = dict(steps)
    for need in needs:
        while _saved(pieces, need, grown) < need.volts * asked:
            best = max(
                (piece for piece in pieces if grown[piece.label] + 1 < len(piece.sizes)),
                key=lambda piece: (
                    _gain(piece, need, grown[piece.label]) / piece.copper(grown[piece.label])
                ),
                default=None,
            )
            if best is None or _gain(best, need, grown[best.label]) <= 0.0:
                break
            grown[best.label] += 1
    return grown


def _saved(pieces: list[_Piece], need: _Need, steps: Mapping[str, int]) -> float:
    """Volts that are no longer lost [V]."""
    return sum(
        need.losses[p.label] * (1.0 - p.area_mm2(0) / p.area_mm2(steps[p.label])) for p in pieces
    )


def _gain(piece: _Piece, need: _Need, step: int) -> float:
    """Volts that the next size up saves [V]."""
    loss = need.losses[piece.label] * piece.area_mm2(0)
    return loss / piece.area_mm2(step) - loss / piece.area_mm2(step + 1)


def _one_more(pieces: list[_Piece], steps: Mapping[str, int]) -> dict[str, int]:
    """Every piece one size up, where it is not volts that are missing."""
    return {p.label: min(steps[p.label] + 1, len(p.sizes) - 1) for p in pieces}


def _changed(pieces: list[_Piece], steps: Mapping[str, int]) -> list[tuple[_Piece, ConductorSize]]:
    return [(p, p.sizes[steps[p.label]]) for p in pieces if steps[p.label] > 0]


def _changes(pieces: list[_Piece], steps: Mapping[str, int]) -> dict[SpecPath, Any]:
    return {path_of(p.end.wire, "size"): size for p, size in _changed(pieces, steps)}


def _written(size: ConductorSize) -> str:
    """A size as somebody types it."""
    return str(size).replace("\N{NO-BREAK SPACE}", " ")


def _cables(pieces: list[_Piece], steps: Mapping[str, int]) -> str:
    """Labels by size: `S1, S2: 70 mm²`."""
    by_size: dict[str, list[str]] = {}
    for piece, size in _changed(pieces, steps):
        by_size.setdefault(_written(size), []).append(piece.label)
    return "; ".join(f"{', '.join(labels)}: {size}" for size, labels in by_size.items())


def _gives(survey: Survey, trial: Trial, group: list[Finding]) -> str:
    """What the group's figures are in a trial, with a limit that the change has moved."""
    first = survey.vessel.spec.units.first
    told = []
    for finding in group:
        now = trial.again(finding)
        if now is not None and now.figure is not None:
            moved = isinstance(now.limit, Quantity) and now.limit != finding.limit
            limit = f" of {shown(now.limit, first)} allowed" if moved else ""
            told.append(f"{finding.name} {shown(now.figure, first)}{limit}")
    return ", ".join(dict.fromkeys(told))


def _offer(
    survey: Survey,
    pieces: list[_Piece],
    steps: Mapping[str, int],
    trial: Trial,
    group: list[Finding],
) -> Cure:
    changed = _changed(pieces, steps)
    studs = sorted({str(p.end.wire.stud) for p, _ in changed if known(p.end.wire.stud) is not None})
    lugs = f"; the yard keeps lugs for the studs ({', '.join(studs)})" if studs else ""
    changes = tuple(
        Change(p.end.wire.path_to("size"), _written(size), p.end.wire.where("size"))
        for p, size in changed
    )
    text = f"{_cables(pieces, steps)} gives {_gives(survey, trial, group)}{lugs}"
    return Cure(text, changes, checked=True)


def _too_little(
    survey: Survey,
    pieces: list[_Piece],
    steps: Mapping[str, int],
    trial: Trial,
    group: list[Finding],
) -> Cure:
    left = [one for one in group if (now := trial.again(one)) and now.verdict == "fail"]
    if left:
        told = _gives(survey, trial, left)
        text = f"no stocked size does it: {_cables(pieces, steps)} still gives {told}"
        return Cure(f"{text}; shorten the run, or ask")
    worse = ", ".join(dict.fromkeys(f"{one.name} ({one.check})" for one in trial.worse))
    return Cure(f"{_cables(pieces, steps)} would do it, but then fails: {worse}")
