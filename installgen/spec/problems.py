"""Problems at the place of an entry."""

from __future__ import annotations

from installgen.errors import Position, Problem
from installgen.spec.entry import Entry


def problem_at(
    entry: Entry, field: str, found: str, expected: str, instead: str | None = None
) -> Problem:
    """A problem at a field of an entry, or at the entry where the field is left out."""
    position = entry.where(field) or Position("?", 1, 1)
    return Problem(
        position, entry.path_to(field), found, expected, f"`{instead}`" if instead else ""
    )
