"""One vessel's manual made: analysed, drawn, every page written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from installgen.analysis.analyse import Analysis, analyse
from installgen.drawings.figure import figure
from installgen.drawings.render import LayoutCache
from installgen.drawings.vessel.vessel_drawings import drawings_for, plans_for, rendered_for
from installgen.findings.check import check
from installgen.findings.finding import Findings
from installgen.manual.blocks import Page
from installgen.manual.fault_drawings import rendered_faults
from installgen.manual.html import HtmlWriter
from installgen.manual.links import PageLinks
from installgen.manual.markdown import page_markdown
from installgen.manual.pages.all_pages import system_pages, vessel_pages
from installgen.manual.pages.installer import tables_csv
from installgen.manual.vessel_manual import EarlierManual, VesselManual
from installgen.spec.earlier import Revision
from installgen.spec.vessel import Vessel
from installgen.units import Voltage
from installgen.units.display import NBSP

TABLES = "tables"
"""Folder of a vessel's tables, below that of her pages."""


@dataclass(frozen=True)
class WrittenPage:
    """A page as Markdown, under a title that names the vessel too."""

    page: Page
    title: str
    markdown: str


@dataclass(frozen=True)
class VesselBook:
    """The pages of one vessel, and what the yard's list says of her.

    engines: maker and model of each
    system: nominal voltage; nothing where she has no electrical entry
    draft: whether the manual may not be handed over yet
    failing: must-rules that fail
    gaps: results without a value
    tables: the installer's set as CSV, by file name
    """

    id: str
    name: str
    type: str
    revision: str
    engines: tuple[str, ...]
    system: Voltage | None
    draft: bool
    failing: int
    gaps: int
    pages: tuple[WrittenPage, ...]
    analysis: Analysis
    findings: Findings
    tables: Mapping[str, str]


def vessel_book(
    vessel: Vessel,
    folder: str,
    layouts: LayoutCache | None = None,
    earlier: Sequence[Revision] = (),
) -> VesselBook:
    """The manual of a vessel, its pages to be published in one folder below the site's root.

    layouts: keeps the layouts of drawings from one making to the next
    earlier: her revisions before this one, the latest first
    """
    analysis = analyse(vessel)
    figures = {
        drawing_id: figure(rendered)
        for drawing_id, rendered in rendered_for(analysis, layouts).items()
    }
    m = VesselManual(
        analysis,
        check(analysis),
        frozenset(figures),
        drawn=_drawn(analysis) if earlier else {},
        earlier=tuple(_earlier(revision) for revision in earlier),
    )
    trees = rendered_faults(m, layouts)
    # The steps say the same in words, so a drawing of them needs no table.
    figures |= {name: figure(one, with_tables=False) for name, one in trees.items()}
    m = replace(m, drawings=frozenset(figures), studied=m.faults)
    pages = vessel_pages(m)
    addresses = {page.id: f"{folder}{page.id}.html" for page in pages}
    tables = tables_csv(m)
    files = {name: f"{TABLES}/{name}" for name in tables}
    written = []
    for page in pages:
        writer = HtmlWriter(
            PageLinks(page.id, addresses), m.words, m.first, m.book, figures=figures, files=files
        )
        title = (
            page.title if page.title == m.vessel.name else f"{page.title}{NBSP}· {m.vessel.name}"
        )
        written.append(WrittenPage(page, title, page_markdown(page, writer, title)))
    electrical = vessel.spec.electrical
    return VesselBook(
        id=vessel.id,
        name=vessel.name,
        type=vessel.spec.vessel.type,
        revision=vessel.spec.vessel.revision,
        engines=tuple(f"{e.sheet.engine.maker} {e.sheet.engine.model}" for e in vessel.engines),
        system=electrical.system if electrical is not None else None,
        draft=m.findings.draft,
        failing=m.findings.count("must", "fail"),
        gaps=sum(not result.assessed for result in m.book.values()),
        pages=tuple(written),
        analysis=analysis,
        findings=m.findings,
        tables=tables,
    )


def _earlier(revision: Revision) -> EarlierManual:
    """The pages of an earlier revision, to be compared; nothing is drawn for them."""
    analysis = analyse(revision.vessel)
    drawn = _drawn(analysis)
    m = VesselManual(analysis, check(analysis, cures=False), frozenset(drawn), drawn=drawn)
    return EarlierManual(m, system_pages(m), revision.kept)


def _drawn(analysis: Analysis) -> dict[str, object]:
    """What each drawing says, by its id."""
    plans = {name: plan.drawing for name, plan in plans_for(analysis).items()}
    return {**drawings_for(analysis), **plans}
