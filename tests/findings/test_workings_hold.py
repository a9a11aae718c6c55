"""Every result that a change moves has the changed field in its working; every other one is the
same to the last byte.

Of the fields of a vessel the suite takes every so-many-th; all of them with INSTALLGEN_WHOLE=1.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

from installgen.analysis.results import Book, ResultOrigin, SpecOrigin
from tests.findings.fields import Changed, as_written, changed, fields, key, written_so

WHOLE = bool(os.environ.get("INSTALLGEN_WHOLE"))
EVERY = 1 if WHOLE else 29
VESSELS = ("brannock", "pipit", "sallow") if WHOLE else ("brannock",)
SHARES = 8
NAMES = ("id", "label")
"""What results and drawings are called by: another name is another result."""


@pytest.mark.parametrize("share", range(SHARES))
@pytest.mark.parametrize("vessel", VESSELS)
def test_what_moved_has_the_field_in_its_working(vessel: str, share: int) -> None:
    taken = [leaf for leaf in fields(vessel) if key(leaf[0]) not in NAMES]
    without = []
    for path, node in taken[::EVERY][share::SHARES]:
        change = changed(vessel, path, node)
        if change is not None:
            without += list(_without(vessel, change))
    assert not without, "\n".join(without)


def test_what_a_faster_cruise_charges_with_is_in_the_working() -> None:
    """The greatest current of an alternator's lead is at rated speed until cruise overtakes it."""
    path, node = next(leaf for leaf in fields("brannock") if key(leaf[0]) == "cruise")
    change = written_so("brannock", path, node, "2340 rpm")
    lead = "conductor.engine.W12.current"
    assert told(as_written("brannock").book, lead) != told(change.analysis.book, lead)
    assert not list(_without("brannock", change))


def _without(vessel: str, change: Changed) -> Iterator[str]:
    before, after = as_written(vessel).book, change.analysis.book
    workings = Reach(before), Reach(after)
    field = f"specs/vessels/{vessel}.yaml", change.path
    missing = [
        name
        for name in {**before, **after}
        if told(before, name) != told(after, name)
        and not any(working.holds(name, field) for working in workings)
    ]
    if missing:
        yield f"{change.path} = {change.value}: {len(missing)}, {', '.join(missing[:3])}"


def told(book: Book, name: str) -> str:
    """A result to the last digit."""
    result = book.get(name)
    return "" if result is None else f"{result.value!r} {result.not_assessed}"


class Reach:
    """The texts that each result of a book comes from, through all the results it uses."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.known: dict[str, frozenset[tuple[str, str]]] = {}

    def holds(self, name: str, field: tuple[str, str]) -> bool:
        """Whether a field, or the entry or list that holds it, is in a result's working."""
        file, path = field
        return any(
            known_file == file and (path == known or path.startswith((f"{known}.", f"{known}[")))
            for known_file, known in self.of(name)
        )

    def of(self, name: str) -> frozenset[tuple[str, str]]:
        """Files and paths that a result comes from."""
        if name not in self.known:
            self.known[name] = frozenset()
            self.known[name] = frozenset(self._places(name))
        return self.known[name]

    def _places(self, name: str) -> Iterator[tuple[str, str]]:
        result = self.book.get(name)
        if result is None:
            return
        for item in result.inputs:
            if isinstance(item.origin, SpecOrigin):
                yield item.origin.position.file, item.origin.path
            elif isinstance(item.origin, ResultOrigin):
                yield from self.of(item.origin.result)
        for missing in result.missing:
            if missing.position is not None:
                yield missing.position.file, missing.path
