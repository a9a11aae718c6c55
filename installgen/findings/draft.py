"""Why a manual is a draft: one list, for every page, every sheet and the hand-over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from installgen.findings.finding import DraftReason, Finding, Place
from installgen.findings.owner_headings import owner_headings
from installgen.findings.required import required_unknown
from installgen.findings.words import sentence
from installgen.spec.entry import Choose, Entry
from installgen.spec.vessel import Vessel, entries


def draft_reasons(vessel: Vessel, findings: Iterable[Finding]) -> tuple[DraftReason, ...]:
    """Everything that keeps a vessel's manual from being handed over; empty where nothing does.

    findings: what her standard says of her
    A must-rule that fails or is not assessed and has no valid exemption, a required field that
    says `unknown`, a size that is still proposed, a heading under which nothing stands.
    """
    return (
        *_rules(vessel, findings),
        *_unknown(vessel),
        *_proposed(vessel),
        *_headings(vessel),
    )


def _rules(vessel: Vessel, findings: Iterable[Finding]) -> Iterator[DraftReason]:
    for finding in findings:
        if finding.holds_back:
            text = f"{finding.name}: {sentence(finding, vessel.spec.units.first)}"
            yield DraftReason("finding", text, finding.place)


def _unknown(vessel: Vessel) -> Iterator[DraftReason]:
    for field in required_unknown(vessel):
        place = Place(field.path, field.position)
        yield DraftReason("unknown field", f"`{field.path}` is `unknown`", place)


def _proposed(vessel: Vessel) -> Iterator[DraftReason]:
    parts: tuple[Entry, ...] = (vessel.spec, *(engine.sheet for engine in vessel.engines))
    seen: set[Place] = set()
    for entry in (entry for part in parts for entry in entries(part)):
        for name in type(entry).model_fields:
            if isinstance(getattr(entry, name), Choose):
                path = entry.path_to(name)
                place = Place(path, entry.where(name))
                if place not in seen:
                    seen.add(place)
                    text = f"`{path}` is proposed; write what was fitted"
                    yield DraftReason("proposed size", text, place)


def _headings(vessel: Vessel) -> Iterator[DraftReason]:
    manual = vessel.spec.owners_manual
    where = manual.where() or vessel.spec.where()
    for state in owner_headings(vessel):
        if state.missing:
            text = (
                f"the heading `{state.name}` has neither a text nor a reason why it does not apply"
            )
            place = Place("owners_manual.headings", where)
            yield DraftReason("missing heading", text, place)
