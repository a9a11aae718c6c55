"""Two vessels of the yard compared for a page: build, figures, causes, rules, text, drawings."""

from __future__ import annotations

from collections.abc import Mapping

from installgen.analysis.analyse import Analysis
from installgen.drawings.render import LayoutCache
from installgen.drawings.side_by_side import differing_drawings
from installgen.findings.compare import compare
from installgen.findings.consequences import Side, consequences
from installgen.findings.finding import Findings
from installgen.manual.blocks import Page
from installgen.manual.comparison_page import Compared, comparison_figures, comparison_page
from installgen.manual.links import FAULTS, FINDINGS, HOME, NOT_ASSESSED
from installgen.manual.page_text import PageChange, PageTexts, spoken_changes
from installgen.manual.pages.all_pages import system_pages
from installgen.manual.vessel_book import VesselBook
from installgen.manual.vessel_manual import VesselManual
from installgen.manual.words import words
from installgen.spec.load import SpecLibrary

NOT_READ = (HOME, FINDINGS, NOT_ASSESSED)
"""Pages whose sentences only repeat what the comparison says elsewhere."""


def yard_comparison(
    library: SpecLibrary,
    first: VesselBook,
    second: VesselBook,
    layouts: LayoutCache | None = None,
    thorough: bool = True,
) -> tuple[Page, Mapping[str, str]]:
    """The page that compares two vessels of a yard, and its drawings by their ids.

    thorough: whether to find the causes, by computing the first again with each difference
    """
    a, b = first.analysis, second.analysis
    found = compare(a, b, findings=(first.findings, second.findings))
    reasons = consequences(Side(library, a), Side(library, b), found) if thorough else None
    pairs = tuple(differing_drawings(a, b, found))
    faults = [written.page.id for written in first.pages if written.page.parent == FAULTS]
    texts = spoken_changes(_texts(first), _texts(second), [*NOT_READ, *faults])
    compared = Compared(found, reasons, tuple(texts), pairs)
    page = comparison_page(a.vessel, b.vessel, compared, words())
    return page, comparison_figures(pairs, a.vessel, b.vessel, layouts)


def differing_sentences(
    first: tuple[Analysis, Findings], second: tuple[Analysis, Findings]
) -> list[PageChange]:
    """Steps, cautions and sentences that only one of two manuals has, page by page.

    Without the pages on faults, which tell of one wiring alone.
    """
    return spoken_changes(_spoken_texts(*first), _spoken_texts(*second), [*NOT_READ, FAULTS])


def _spoken_texts(analysis: Analysis, findings: Findings) -> PageTexts:
    # Nothing of these pages hangs on the faults of the wiring, which take long to follow.
    manual = VesselManual(analysis, findings, studied=())
    return PageTexts(manual, system_pages(manual))


def _texts(book: VesselBook) -> PageTexts:
    manual = VesselManual(book.analysis, book.findings)
    return PageTexts(manual, [written.page for written in book.pages])
