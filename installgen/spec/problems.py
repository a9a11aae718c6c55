"""Problems at the place of an entry."""

from __future__ import annotations

from collections.abc import Iterable

from installgen.errors import Position, Problem
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest

MOST_LISTED = 20
"""Names that a message lists; of more, the first."""


def problem_at(
    entry: Entry, field: str, found: str, expected: str, instead: str | None = None
) -> Problem:
    """A problem at a field of an entry, or at the entry where the field is left out."""
    position = entry.where(field) or Position("?", 1, 1)
    return Problem(
        position, entry.path_to(field), found, expected, f"`{instead}`" if instead else ""
    )


def named(entry: Entry, field: str, names: Iterable[str]) -> list[Problem]:
    """A problem where a field names something that is not among the names."""
    name = getattr(entry, field)
    known = list(names)
    if name is None or name in known:
        return []
    return [problem_at(entry, field, f"`{name}`", one_of(known), nearest(name, known))]


def one_of(names: Iterable[str]) -> str:
    """What may be written, in human words: the names, or the first of many."""
    listed = sorted(set(names))
    if not listed:
        return "a name that is given (none is)"
    more = ", …" if len(listed) > MOST_LISTED else ""
    return f"one of {', '.join(listed[:MOST_LISTED])}{more}"


def unique(items: Iterable[Entry], field: str, what: str) -> list[Problem]:
    """A problem for each entry whose name another has already."""
    seen: dict[str, Entry] = {}
    problems = []
    for item in items:
        name = str(getattr(item, field))
        first = seen.setdefault(name, item)
        if first is not item:
            problems.append(
                problem_at(
                    item,
                    field,
                    f"a second {what} `{name}`",
                    f"each name once; the first is at {first.where(field)}",
                )
            )
    return problems
