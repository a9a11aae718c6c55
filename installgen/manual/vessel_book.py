"""One vessel's manual as the pages of a site, every one written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from installgen.analysis.analyse import Analysis
from installgen.findings.finding import Findings
from installgen.manual.blocks import Page
from installgen.manual.html import HtmlWriter, Shot
from installgen.manual.links import PageLinks
from installgen.manual.made_manual import MadeManual
from installgen.manual.markdown import page_markdown
from installgen.manual.pages.installer import tables_csv
from installgen.units import Voltage
from installgen.units.display import NBSP

TABLES, PHOTOS = "tables", "photos"
"""Folders of a vessel's tables and photographs, below that of her pages."""


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
    photos: her photographs as they are published, by name
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
    photos: Mapping[str, bytes]


def vessel_book(
    made: MadeManual, folder: str, kept: Mapping[str, WrittenPage] = MappingProxyType({})
) -> VesselBook:
    """The manual of a vessel as pages of a site, in one folder below the site's root.

    kept: pages that are written already, by their ids
    """
    m, vessel, pages = made.source, made.vessel, made.pages
    figures = made.figures()
    addresses = {page.id: f"{folder}{page.id}.html" for page in pages}
    tables = tables_csv(m)
    files = {name: f"{TABLES}/{name}" for name in tables}
    pictures = {
        name: Shot(f"{PHOTOS}/{name}", one.width_px, one.height_px)
        for name, one in made.pictures.items()
    }
    written = []
    for page in pages:
        if page.id in kept:
            written.append(kept[page.id])
            continue
        writer = HtmlWriter(
            PageLinks(page.id, addresses),
            m.words,
            m.first,
            m.book,
            figures=figures,
            files=files,
            pictures=pictures,
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
        analysis=m.analysis,
        findings=m.findings,
        tables=tables,
        photos={name: one.data for name, one in made.pictures.items()},
    )
