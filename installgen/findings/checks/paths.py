"""Which pieces of a path cost the most volts, so that a finding points at them and names them."""

from __future__ import annotations

from dataclasses import replace

from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.path_losses import PieceLoss, path_losses
from installgen.findings.judgement import Judgement
from installgen.findings.survey import Survey
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Entry
from installgen.units import Voltage, show


def case_called(survey: Survey, case_id: str) -> SolvedCase | None:
    """The solved case of that id."""
    return next((found for found in survey.cases if found.case.id == case_id), None)


def heaviest_pieces(survey: Survey, device_id: str, case_id: str) -> list[PieceLoss]:
    """The pieces between a load's two ends and its battery, the one that loses most volts first."""
    found = case_called(survey, case_id)
    dc = survey.analysis.dc
    if found is None or dc is None or found.settled is None:
        return []
    element = next(
        (e for e in found.parts.elements if e.id in (device_id, f"{device_id}:motor")), None
    )
    if element is None:
        return []
    starter = element.id != device_id
    plus = f"{device_id}.battery" if starter else element.ends[0]
    pieces = path_losses(dc.model, found, plus, element.ends[1])
    return sorted(pieces, key=lambda piece: -round(piece.lost_v, 6))


def blame_pieces(survey: Survey, found: Judgement, device_id: str) -> Judgement:
    """A shortfall at the piece that takes most of it, by name; its own fields come last.

    Of the other pieces the vessel's conductors come before those of an engine, which the yard does
    not change.
    """
    pieces = heaviest_pieces(survey, device_id, found.about.case)
    if found.verdict != "fail" or not pieces:
        return found
    first, *others = pieces
    others.sort(key=lambda piece: piece.wire is None or piece.wire.engine is not None)
    at: list[tuple[Entry | None, str]] = [(first.entry, _decides(first))]
    at += [(piece.entry, "size") for piece in others if piece.wire is not None]
    whole = sum(piece.lost_v for piece in pieces)
    units = survey.vessel.spec.units.first
    most = (
        f"most of it is lost in {first.name}: {show(Voltage(first.lost_v), units)} of "
        f"{show(Voltage(whole), units)}"
    )
    about = replace(found.about, at=(*at, *found.about.at))
    return replace(found, about=about, reason="; ".join(filter(None, (found.reason, most))))


def _decides(piece: PieceLoss) -> str:
    """The field that settles what a piece loses."""
    if isinstance(piece.entry, Conductor):
        return "size"
    return "drop" if hasattr(piece.entry, "drop") else ""
