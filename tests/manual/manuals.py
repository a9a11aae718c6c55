"""Manuals of the demonstration vessels, whole or with a piece of their spec changed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from lxml import html
from lxml.html import HtmlElement

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.manual.blocks import Page
from installgen.manual.html import HtmlWriter, Shot
from installgen.manual.links import PageLinks
from installgen.manual.pages.all_pages import vessel_pages
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.load import SpecLibrary

SPECS = Path(__file__).parents[2] / "specs"
FLEET = SpecLibrary.at(SPECS).folder.ids("vessels")


class WrittenPages(Mapping[str, str]):
    """The HTML of each page, by its id; written when a test asks for it."""

    def __init__(self, source: VesselManual, pages: Mapping[str, Page]) -> None:
        self.source, self.pages = source, pages
        self.addresses = {page_id: f"{page_id}.html" for page_id in pages}
        self.shots = {name: Shot(f"photos/{name}", 4, 3) for name in source.vessel.photos}
        self.written: dict[str, str] = {}

    def __getitem__(self, page_id: str) -> str:
        if page_id not in self.written:
            m = self.source
            links = PageLinks(page_id, self.addresses)
            writer = HtmlWriter(links, m.words, m.first, m.book, pictures=self.shots)
            self.written[page_id] = writer.blocks(self.pages[page_id].blocks)
        return self.written[page_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self.pages)

    def __len__(self) -> int:
        return len(self.pages)


@dataclass(frozen=True)
class Manual:
    """A vessel's manual with every page written as HTML, by the page's id."""

    source: VesselManual
    pages: Mapping[str, Page]
    html: Mapping[str, str]
    trees: dict[str, HtmlElement] = field(default_factory=dict)

    def tree(self, page_id: str) -> HtmlElement:
        """One page as a tree of elements."""
        if page_id not in self.trees:
            made = html.fragment_fromstring(self.html[page_id], create_parent="main")
            self.trees[page_id] = made
        return self.trees[page_id]

    def workings(self) -> dict[str, HtmlElement]:
        """Every working by the id of its result."""
        return {
            details.get("id"): details
            for page_id in self.html
            if page_id.startswith("calculations-")
            for details in self.tree(page_id).xpath("//details[@class='working']")
        }

    def text(self, page_id: str) -> str:
        """The words of one page."""
        return str(self.tree(page_id).text_content())

    def ids(self, page_id: str) -> list[str]:
        """Every id on one page."""
        return re.findall(r'\bid="([^"]*)"', self.html[page_id])

    def links(self) -> Iterator[tuple[str, str, str]]:
        """Every link as the page it is on, the page it leads to, the place there."""
        for page_id in self.html:
            for link in self.tree(page_id).xpath("//a/@href"):
                path, _, fragment = str(link).partition("#")
                yield page_id, path.removesuffix(".html") or page_id, fragment


@cache
def manual(vessel_id: str, specs: Path = SPECS) -> Manual:
    """The manual of a vessel; drawings are left out, they have tests of their own."""
    analysis = analyse(SpecLibrary.at(specs).vessel(vessel_id))
    # Trying cures is slow where a test has left a vessel with much to cure.
    source = VesselManual(analysis, check(analysis, cures=specs == SPECS))
    pages = {page.id: page for page in vessel_pages(source)}
    return Manual(source, pages, WrittenPages(source, pages))
