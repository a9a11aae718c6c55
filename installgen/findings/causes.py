"""What stands behind the findings: one text to change or one figure to find, listed once."""

from __future__ import annotations

from collections.abc import Iterable

from installgen.findings.finding import (
    BEFORE_ALL,
    SEVERITIES,
    VERDICTS,
    Cause,
    Finding,
    Place,
    Verdict,
)

ROOTS = {"size-found"} | BEFORE_ALL
"""Checks whose finding explains whatever else fails at the same text."""


def causes(items: Iterable[Finding]) -> tuple[Cause, ...]:
    """The causes of every finding that does not pass, in order of work.

    Findings that fail at the same text have one cause. Findings that are not assessed for want of
    the same fields have one as well, however many fields these are.
    """
    groups: dict[tuple[str, Verdict], list[Finding]] = {}
    places: dict[tuple[str, Verdict], Place | None] = {}
    for finding in items:
        if finding.verdict == "pass" or finding.exempt:
            continue
        key, place = _key(finding)
        group = (key, finding.verdict)
        groups.setdefault(group, []).append(finding)
        places.setdefault(group, place)
    made = [
        Cause(
            key=key,
            kind=verdict,
            severity=min((f.severity for f in findings), key=SEVERITIES.index),
            place=places[key, verdict],
            findings=tuple(sorted(findings, key=lambda f: f.check not in ROOTS)),
        )
        for (key, verdict), findings in groups.items()
    ]
    return tuple(sorted(made, key=_order))


def _key(finding: Finding) -> tuple[str, Place | None]:
    """The cause of one finding, with where it stands."""
    if finding.verdict == "not assessed" and finding.missing:
        first = finding.missing[0]
        paths = sorted({missing.path for missing in finding.missing})
        return " ".join(paths), Place(first.path, first.position)
    place = finding.place
    if place is None:
        return finding.id, None
    where = place.position
    key = f"{place.path} {where.file}" if where is not None else place.path
    return key, place


def _order(cause: Cause) -> tuple[object, ...]:
    where = cause.place.position if cause.place is not None else None
    return (
        SEVERITIES.index(cause.severity),
        VERDICTS.index(cause.kind),
        cause.first.check not in BEFORE_ALL,
        (where.file, where.line, where.column) if where is not None else ("", 0, 0),
        cause.key,
    )
