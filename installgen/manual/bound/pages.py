"""The pages of a manual in the order of a book, each as HTML of one document."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from installgen.manual.blocks import Page
from installgen.manual.bound.figures import relocated
from installgen.manual.html import HtmlWriter, Shot
from installgen.manual.html_lines import escaped
from installgen.manual.links import EMERGENCIES, DocumentLinks
from installgen.manual.made_manual import MadeManual
from installgen.spec.entry import Unknown


@dataclass(frozen=True)
class BoundPage:
    """A page within one document: its heading has the page's id."""

    page: Page
    html: str


def bound_pages(
    made: MadeManual,
    writer: type[HtmlWriter],
    figures: Mapping[str, str],
    turned: Callable[[str], None] = lambda title: None,
) -> Iterator[BoundPage]:
    """Every page, emergencies first.

    figures: HTML of each drawing as for a page of a site
    turned: told the title of each page before it is written
    """
    m = made.source
    pages = emergencies_first(made.pages)
    ids = frozenset(page.id for page in pages)
    pictures = {
        name: Shot(one.inline, one.width_px, one.height_px) for name, one in made.pictures.items()
    }
    for page in pages:
        turned(page.title)
        links = DocumentLinks(page.id, ids)
        own = Relocated(figures, links)
        blocks = writer(links, m.words, m.first, m.book, figures=own, pictures=pictures).blocks(
            page.blocks
        )
        yield BoundPage(page, f'<h1 id="{escaped(page.id)}">{escaped(page.title)}</h1>{blocks}')


class Relocated(dict[str, str]):
    """Figures for one page of the document, each made when the page asks for it."""

    def __init__(self, figures: Mapping[str, str], links: DocumentLinks) -> None:
        super().__init__()
        self.figures, self.links = figures, links

    def __missing__(self, name: str) -> str:
        return relocated(self.figures[name], self.links)


def emergencies_first(pages: Sequence[Page]) -> list[Page]:
    """The pages with those of emergencies before all others."""
    return sorted(pages, key=lambda page: not is_emergency(page))


def is_emergency(page: Page) -> bool:
    """Whether a page is for emergencies."""
    return EMERGENCIES in (page.id, page.parent)


def running_title(made: MadeManual) -> str:
    """Vessel, hull identification and revision, as they stand at the head of every page."""
    m, identity = made.source, made.vessel.spec.vessel
    hin = m.text("bound.no_hin") if isinstance(identity.hin, Unknown) else identity.hin
    return m.text("bound.running", name=identity.name, hin=hin, revision=identity.revision)
