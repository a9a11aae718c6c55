"""A finding's place is the text that determines it: written otherwise, the figure is another one.

The suite takes every so-many-th place of a figure; all of them with INSTALLGEN_WHOLE=1.
"""

from __future__ import annotations

import os

from installgen.findings.check import check
from installgen.findings.finding import Finding
from installgen.spec.entry import PathKey, written
from installgen.spec.nodes import ScalarNode
from installgen.units import Quantity
from tests.findings.fields import as_written, changed, fields

VESSEL = "brannock"
EVERY = 1 if os.environ.get("INSTALLGEN_WHOLE") else 23


def _placed() -> dict[str, list[Finding]]:
    """Findings with a figure, by the field of her own spec at which they stand."""
    known = {written(path) for path, _ in fields(VESSEL)}
    found: dict[str, list[Finding]] = {}
    for finding in check(as_written(VESSEL), cures=False).items:
        place = finding.place
        if place is None or place.position is None or place.path not in known:
            continue
        own = place.position.file == f"specs/vessels/{VESSEL}.yaml"
        if own and isinstance(finding.figure, Quantity):
            found.setdefault(place.path, []).append(finding)
    return found


def _told(finding: Finding) -> str:
    return f"{finding.verdict} {finding.figure!r} {finding.limit!r} {finding.reason}"


def test_another_text_at_its_place_is_another_figure() -> None:
    placed = _placed()
    assert len(placed) > 50
    leaves: dict[str, tuple[tuple[PathKey, ...], ScalarNode]] = {
        written(path): (path, node) for path, node in fields(VESSEL)
    }
    unmoved = []
    for place in sorted(placed)[::EVERY]:
        change = changed(VESSEL, *leaves[place])
        if change is None:
            continue
        after = {f.id: f for f in check(change.analysis, cures=False).items}
        unmoved += [
            f"{finding.id} at {place} = {change.value}"
            for finding in placed[place]
            if finding.id in after and _told(after[finding.id]) == _told(finding)
        ]
    assert not unmoved, "\n".join(unmoved)
