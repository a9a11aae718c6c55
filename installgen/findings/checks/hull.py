"""Openings in the hull: valves, plugs, and whether the sea can siphon in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.openings import HullOpening
from installgen.findings.judgement import (
    About,
    Judgement,
    figure_of,
    holds,
    lacking,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey


def _about(opening: HullOpening, *fields: str) -> About:
    name = f"{opening.name} {opening.code}".strip()
    engine = opening.engines[0] if opening.engines else ""
    return About(opening.id, name, tuple((opening.entry, f) for f in fields), engine)


@named_check("raw-water")
def opening_siphon(survey: Survey) -> Iterator[Judgement]:
    """Through no opening in the hull can the sea siphon in at the worst heel and trim."""
    for opening in survey.analysis.openings:
        about = _about(opening, "at", "")
        result_id = f"{opening.id}.siphon"
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
            continue
        ok = str(value).startswith("cannot")
        asked = "a loop, or an end, that stays above the waterline"
        yield replace(holds(ok, str(value), asked, about), results=(result_id,))


@named_check("raw-water")
def opening_valve(survey: Survey) -> Iterator[Judgement]:
    """An opening that lies below the waterline at rest, or goes under, can be shut at the hull.

    Exhaust outlets and shaft seals are left to their own rules.
    """
    for opening in survey.analysis.openings:
        if opening.kind in ("exhaust", "shaft-seal"):
            continue
        valve = getattr(opening.entry, "valve", None)
        about = _about(opening, "valve", "at")
        where = figure_of(survey.book, f"{opening.id}.against-waterline", about)
        if isinstance(where, Judgement):
            yield where
        elif str(where) == "below it at rest" and valve is None:
            yield lacking(about, opening.entry, "valve")
        else:
            shuts = valve not in (None, "none")
            ok = shuts or str(where) != "below it at rest"
            found = f"{where}; valve: {valve or 'not given'}"
            yield holds(ok, found, "a valve where it lies below the waterline", about)


@named_check("raw-water")
def opening_plug(survey: Survey) -> Iterator[Judgement]:
    """Beside every opening that the yard lists itself hangs a plug that fits it."""
    for opening in survey.analysis.openings:
        if opening.kind == "other":
            about = _about(opening, "plug")
            plug = getattr(opening.entry, "plug", "")
            yield (
                holds(True, str(plug), "a plug", about)
                if plug
                else lacking(about, opening.entry, "plug")
            )
