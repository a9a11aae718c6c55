"""Why a manual may not be handed over yet."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Line, Link, Target
from installgen.manual.links import CONDUCTORS, HOME, NOT_ASSESSED
from installgen.manual.unknowns import unknown_fields
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.entry import Choose
from installgen.spec.vessel import entries

ATTENTION = "attention"
"""Anchor of what needs attention, on the first page."""


def draft_reasons(m: VesselManual) -> tuple[Line, ...]:
    """Each reason as a line; none where the manual may be handed over."""
    return tuple(_reasons(m))


def _reasons(m: VesselManual) -> Iterator[Line]:
    unknown = len(unknown_fields(m.vessel))
    if unknown:
        link = Link(
            m.text("draft.unknown_link", count=str(unknown)), Target(NOT_ASSESSED, "fields")
        )
        yield m.say("draft.unknown", link=link)
    proposed = proposed_sizes(m)
    if proposed:
        text = m.text("draft.proposed_link", count=str(proposed))
        yield m.say("draft.proposed", link=Link(text, Target(CONDUCTORS, "vessel")))
    failing = [f for f in m.findings or () if f.severity == "must" and f.verdict == "fail"]
    waiting = [f for f in m.findings or () if f.severity == "must" and f.verdict == "not-assessed"]
    for key, found in (("failing", failing), ("waiting", waiting)):
        open_ones = [finding for finding in found if not finding.exempted]
        if open_ones:
            text = m.text(f"draft.{key}_link", count=str(len(open_ones)))
            yield m.say(f"draft.{key}", link=Link(text, Target(HOME, ATTENTION)))


def proposed_sizes(m: VesselManual) -> int:
    """How many sizes and ratings the tool chose and nobody has confirmed."""
    return sum(
        isinstance(getattr(entry, name), Choose)
        for entry in entries(m.vessel.spec)
        for name in type(entry).model_fields
    )
