"""A yard's books while they are served: what takes longest is published one build later.

Of a vessel that changed, the pages on faults and on her revisions stay as they were for one build,
and so do the pages that compare her with her sisters. The build after it makes them anew.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass

from installgen.beside import Beside
from installgen.manual.blocks import Page
from installgen.manual.links import FAULTS, HISTORY
from installgen.manual.made_manual import BegunManual
from installgen.manual.pages.all_pages import late_pages
from installgen.manual.vessel_book import VesselBook, vessel_book

Comparison = tuple[Page, Mapping[str, str]]
"""The page, and its drawings by their ids."""

Named = tuple[str, str]
"""A vessel's id and name."""


@dataclass(frozen=True)
class _Known:
    """A vessel's book, what it was made from, and what is left to do for it."""

    made_from: Hashable
    book: VesselBook
    unfinished: BegunManual | None = None


class TwoSteps:
    """What the builds of one server know of each other.

    beside: follows the faults of changed wiring meanwhile, where the machine has a core for it
    """

    def __init__(self, beside: Beside | None = None) -> None:
        self.beside = beside
        self._books: dict[str, _Known] = {}
        self._comparisons: dict[tuple[Named, Named], Comparison] = {}

    @property
    def unfinished(self) -> frozenset[str]:
        """Vessels of which some pages are still as they were."""
        return frozenset(name for name, known in self._books.items() if known.unfinished)

    def book(
        self, vessel_id: str, folder: str, made_from: Hashable, begin: Callable[[], BegunManual]
    ) -> VesselBook:
        """A vessel's book, late pages as they were where she has just changed.

        folder: where her pages are
        made_from: everything that her book depends on
        begin: begins her manual
        """
        known = self._books.get(vessel_id)
        if known is None or known.made_from != made_from:
            known = _made(begin(), folder, made_from, known.book if known else None)
        elif known.unfinished:
            known = _Known(made_from, vessel_book(known.unfinished.finished(), folder))
        self._books[vessel_id] = known
        return known.book

    def comparison(
        self, first: VesselBook, second: VesselBook, compare: Callable[[], Comparison]
    ) -> Comparison:
        """The page that compares two vessels, as it was where either is unfinished."""
        # Its title is in the contents beside every page, so a new name is told at once.
        pair = (first.id, first.name), (second.id, second.name)
        if pair not in self._comparisons or self.unfinished.isdisjoint((first.id, second.id)):
            self._comparisons[pair] = compare()
        return self._comparisons[pair]

    def forget_all_but(self, vessels: frozenset[str]) -> None:
        """Forget the books of vessels that the yard no longer has."""
        self._books = {name: known for name, known in self._books.items() if name in vessels}
        named = {(name, known.book.name) for name, known in self._books.items()}
        self._comparisons = {
            pair: made for pair, made in self._comparisons.items() if named.issuperset(pair)
        }


def _made(
    begun: BegunManual, folder: str, made_from: Hashable, before: VesselBook | None
) -> _Known:
    """The book of a vessel, finished at once where no book from before has her late pages."""
    late = late_pages([written.page for written in before.pages] if before else [])
    m = begun.source
    needed = {FAULTS: m.analysis.dc is not None, HISTORY: bool(m.earlier)}
    there = {kind: bool(pages) for kind, pages in late.items()}
    if before is None or there != needed or not any(needed.values()):
        return _Known(made_from, vessel_book(begun.finished(), folder))
    ids = {page.id for pages in late.values() for page in pages}
    kept = {written.page.id: written for written in before.pages if written.page.id in ids}
    return _Known(made_from, vessel_book(begun.with_late(late), folder, kept), begun)
