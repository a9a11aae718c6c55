"""Problems at the place of an entry."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from installgen.errors import Position, Problem
from installgen.spec.entry import Entry
from installgen.spec.folder import natural_order, nearest

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


@dataclass(frozen=True, order=True)
class MissingName(Problem):
    """A name that nothing is called. called: what it names, by kind, as far as it is a name."""

    called: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, order=True)
class DoubleName(Problem):
    """A name that two have. kind: what they are."""

    kind: str = ""


def missing_name(problem: Problem, called: Iterable[tuple[str, str]]) -> MissingName:
    """A problem as that of a name that nothing is called."""
    return MissingName(
        problem.position,
        problem.path,
        problem.found,
        problem.expected,
        problem.instead,
        tuple(called),
    )


def named(entry: Entry, field: str, names: Iterable[str], kind: str = "") -> list[Problem]:
    """A problem where a field names something that is not among the names of a kind."""
    name = getattr(entry, field)
    known = list(names)
    if name is None or name in known:
        return []
    problem = problem_at(entry, field, f"`{name}`", one_of(known), nearest(name, known))
    return [missing_name(problem, [(kind or field, name)])]


def one_of(names: Iterable[str]) -> str:
    """What may be written, in human words: the names, or the first of many."""
    listed = sorted(set(names), key=natural_order)
    if not listed:
        return "a name that is given (none is)"
    more = ", …" if len(listed) > MOST_LISTED else ""
    return f"one of {', '.join(listed[:MOST_LISTED])}{more}"


def unique(items: Iterable[Entry], field: str, what: str, kind: str = "") -> list[Problem]:
    """A problem for each entry whose name another has already."""
    seen: dict[str, Entry] = {}
    problems: list[Problem] = []
    for item in items:
        name = str(getattr(item, field))
        first = seen.setdefault(name, item)
        if first is not item:
            found = f"a second {what} `{name}`"
            expected = f"each name once; the first is at {first.where(field)}"
            one = problem_at(item, field, found, expected)
            problems.append(
                DoubleName(one.position, one.path, one.found, one.expected, "", kind or what)
            )
    return problems


def told_once(problems: Iterable[Problem], is_lost: Callable[[str], bool]) -> list[Problem]:
    """Problems without those that follow from another of them.

    Where a name stands twice, what it should have been called is missed elsewhere: that is said
    with the name itself, not once more at each place.
    is_lost: whether a name may well be one, of something that cannot be read
    """
    kept, doubled = list[Problem](), list[DoubleName]()
    missed: dict[tuple[str, str], list[MissingName]] = {}
    for one in problems:
        if isinstance(one, DoubleName):
            doubled.append(one)
        elif isinstance(one, MissingName):
            if not any(is_lost(name) for _, name in one.called):
                for called in one.called:
                    missed.setdefault(called, []).append(one)
                kept.append(one)
        else:
            kept.append(one)
    for one in doubled:
        same_kind = [called for called in missed if called[0] == one.kind]
        meant = max(same_kind, key=lambda called: len(missed[called]), default=None)
        followers = missed.pop(meant) if meant is not None else []
        kept = [other for other in kept if other not in followers]
        kept.append(_with_followers(one, meant[1] if meant else "", followers))
    return [_plain(one) for one in kept]


def _with_followers(one: DoubleName, meant: str, followers: list[MissingName]) -> Problem:
    if not followers:
        return one
    count = f"{len(followers)} places name" if len(followers) > 1 else "one place names"
    first = min(follower.position for follower in followers)
    expected = (
        f"{one.expected}; {count} `{meant}`, which nothing is called (the first is at {first}): "
        "perhaps it is this one"
    )
    return replace(one, expected=expected)


def _plain(one: Problem) -> Problem:
    return Problem(one.position, one.path, one.found, one.expected, one.instead)
