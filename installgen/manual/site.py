"""The yard's library as files and a table of contents, ready for whatever publishes it."""

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache as memoized
from functools import partial
from importlib.resources import files as files_of
from pathlib import Path, PurePosixPath

from installgen.beside import Beside
from installgen.manual.blocks import Page
from installgen.manual.build_cache import BuildCache
from installgen.manual.checks_page import checks_page
from installgen.manual.comparing import yard_comparison
from installgen.manual.comparison_page import sisters
from installgen.manual.fleet_page import findings_target, fleet_page
from installgen.manual.html import HtmlWriter
from installgen.manual.links import FINDINGS, PageLinks
from installgen.manual.made_manual import (
    BegunManual,
    MadeManual,
    begin_manual,
    earlier_manual,
)
from installgen.manual.markdown import page_markdown
from installgen.manual.standard_page import standard_page
from installgen.manual.two_steps import TwoSteps
from installgen.manual.vessel_book import PHOTOS, VesselBook, vessel_book
from installgen.manual.vessel_book import TABLES as BOOK_TABLES
from installgen.manual.vessel_manual import EarlierManual
from installgen.manual.words import Words, words
from installgen.manual.yard_pages import HOME, TABLES, index_page, tables_page, vessel_target
from installgen.spec.earlier import earlier_of_all
from installgen.spec.load import SpecLibrary
from installgen.spec.reference import reference_markdown
from installgen.spec.vessel import Vessel

REFERENCE = "reference"
REFERENCE_TITLE = "Field by field"
GUIDES = {"writing-a-spec.md": "Writing a spec", "methods.md": "Methods and sources"}
"""Pages that come with the program, by file, and their titles."""


@dataclass(frozen=True)
class SiteFile:
    """One file of the site.

    uri: address below the site's root with forward slashes, such as `vessels/tern/raw-water.md`,
        `.svg` or `.json`; a Markdown file becomes a page
    content: text, or bytes
    title: a page's title; empty where the file is no page or its text says it
    """

    uri: str
    content: str | bytes
    title: str = ""


@dataclass(frozen=True)
class NavEntry:
    """One line of the table of contents: a page (`uri`), or a heading over `children`."""

    title: str
    uri: str | None
    children: tuple["NavEntry", ...] = ()


@dataclass(frozen=True)
class Site:
    """Everything generated for one site, in a fixed order."""

    files: tuple[SiteFile, ...]
    nav: tuple[NavEntry, ...]


def yard_site(
    specs_folder: Path,
    *,
    report: Callable[[str], None] | None = None,
    cache: BuildCache | None = None,
    thorough: bool = True,
    steps: TwoSteps | None = None,
) -> Site:
    """The library of every vessel in `specs_folder`; its home page is `index.md`.

    report: told in a few words what is being worked on
    cache: lets a later build in the same process reuse what has not changed
    thorough: also finds the cause of each figure in which two sisters differ, the pages to swap
        between revisions and what would clear a finding, which takes seconds
    steps: has what takes longest published one build later, while it is served
    Raises SpecErrors with every mistake of every spec.
    """
    cache = cache or BuildCache()
    library = cache.get(("library", specs_folder), lambda: SpecLibrary.at(specs_folder))
    layouts = cache.get("layouts", Layouts)
    vessels = library.vessels()
    revisions = earlier_of_all(library, vessels)
    fleet = []
    for vessel in vessels:
        digests = [_digests(specs_folder, vessel)]
        earlier = []
        for revision in revisions[vessel.id]:
            digests.append(_digests(specs_folder, revision.vessel))
            # What is kept is a promise: it is made only for a vessel that is made again herself.
            promise = partial(memoized, partial(earlier_manual, revision))
            key = ("earlier", vessel.id, digests[-1], revision.kept)
            earlier.append(cache.get(key, promise))
        beside = steps.beside if steps else None
        begin = partial(_begun, vessel, layouts, report, earlier, thorough, beside)
        made_from = (tuple(digests), thorough)
        if steps:
            fleet.append(steps.book(vessel.id, _folder(vessel.id), made_from, begin))
        else:
            whole = partial(_whole_book, begin, _folder(vessel.id))
            fleet.append(cache.get(("vessel", vessel.id, made_from), whole))
    if steps:
        steps.forget_all_but(frozenset(revisions))
    catalogue = words()
    addresses = {HOME: "index.html", TABLES: "tables.html"}
    addresses |= {vessel_target(book.id): f"{_folder(book.id)}index.html" for book in fleet}
    own = [index_page(fleet, catalogue)]
    figures: dict[str, str] = {}
    books = {book.id: book for book in fleet}
    for first, second in sisters(vessels):
        both = (_digests(specs_folder, first), _digests(specs_folder, second))
        sister_books = books[first.id], books[second.id]
        compare_them = partial(yard_comparison, library, *sister_books, layouts, thorough)
        sides = ("compare", first.id, second.id, both, thorough)
        make = partial(cache.get, sides, compare_them)
        page, drawn = steps.comparison(*sister_books, make) if steps else make()
        own.append(page)
        figures |= drawn
    own += _rules_pages(fleet, catalogue)
    own.append(tables_page(catalogue))
    addresses |= {page.id: f"{page.id}.html" for page in own}
    addresses |= {findings_target(book.id): f"{_folder(book.id)}{FINDINGS}.html" for book in fleet}
    files = [_yard_file(page, addresses, catalogue, figures) for page in own]
    files.append(SiteFile(f"{REFERENCE}.md", reference_markdown(), REFERENCE_TITLE))
    files += [SiteFile(name, guide(name), title) for name, title in GUIDES.items()]
    for book in fleet:
        files += [
            SiteFile(f"{_folder(book.id)}{written.page.id}.md", written.markdown, written.title)
            for written in book.pages
        ]
        files += _beside(book, _folder(book.id))
    return Site(tuple(files), _nav(fleet, own, catalogue))


def vessel_site(made: MadeManual) -> Site:
    """The manual of one vessel as a site of its own; nothing in it is of any other vessel."""
    book = vessel_book(made, "")
    pages = tuple(
        SiteFile(f"{written.page.id}.md", written.markdown, written.title) for written in book.pages
    )
    home = _vessel_nav(book, "")
    first = NavEntry(home.title, home.uri)
    return Site((*pages, *_beside(book, "")), (first, *home.children))


def _beside(book: VesselBook, folder: str) -> list[SiteFile]:
    """Files that a vessel's pages lead to or show."""
    tables = [SiteFile(f"{folder}{BOOK_TABLES}/{name}", text) for name, text in book.tables.items()]
    photos = [SiteFile(f"{folder}{PHOTOS}/{name}", data) for name, data in book.photos.items()]
    return [*tables, *photos]


def _rules_pages(fleet: Sequence[VesselBook], catalogue: Words) -> Iterator[Page]:
    """The rules by vessel, each standard that is in use, and the checks."""
    standards = {book.analysis.vessel.standard.standard.id: book for book in fleet}
    in_use = [standards[name].analysis.vessel.standard for name in sorted(standards)]
    if fleet:
        yield fleet_page([book.findings for book in fleet], catalogue)
    for standard in in_use:
        yield standard_page(standard, catalogue)
    yield checks_page(in_use, catalogue)


def _whole_book(begin: Callable[[], BegunManual], folder: str) -> VesselBook:
    return vessel_book(begin().finished(), folder)


def _begun(
    vessel: Vessel,
    layouts: "Layouts",
    report: Callable[[str], None] | None,
    earlier: Sequence[Callable[[], EarlierManual]],
    thorough: bool,
    beside: Beside | None,
) -> BegunManual:
    if report is not None:
        report(f"{vessel.name}: computing and drawing")
    before = [make() for make in earlier]
    return begin_manual(vessel, layouts, before, thorough=thorough, beside=beside)


class Layouts(dict[str, str]):
    """Layouts of drawings, by what they were laid out from."""

    def put(self, key: str, text: str) -> None:
        """Keep a layout."""
        self[key] = text


def _folder(vessel_id: str) -> str:
    """Where a vessel's pages are. A page of the yard is called neither so nor after a vessel."""
    return f"vessels/{vessel_id}/"


def _digests(specs_folder: Path, vessel: Vessel) -> tuple[str, ...]:
    """What the files say that a vessel is resolved from."""
    paths = [specs_folder / Path(*PurePosixPath(name).parts[1:]) for name in vessel.files]
    return tuple(hashlib.sha256(path.read_bytes()).hexdigest() for path in paths)


def _yard_file(
    page: Page, addresses: Mapping[str, str], catalogue: Words, figures: Mapping[str, str]
) -> SiteFile:
    writer = HtmlWriter(PageLinks(page.id, addresses), catalogue, "metric", figures=figures)
    return SiteFile(f"{page.id}.md", page_markdown(page, writer, page.title), page.title)


def _nav(
    fleet: Sequence[VesselBook], own: Sequence[Page], catalogue: Words
) -> tuple[NavEntry, ...]:
    """The list of vessels, each vessel's pages, then what the yard has besides."""
    home, *rest = (NavEntry(page.title, f"{page.id}.md") for page in own)
    manuals = NavEntry(
        catalogue.text("yard.by_vessel"), None, tuple(_vessel_nav(b, _folder(b.id)) for b in fleet)
    )
    reference = NavEntry(REFERENCE_TITLE, f"{REFERENCE}.md")
    guides = (NavEntry(title, name) for name, title in GUIDES.items())
    return (home, *([manuals] if fleet else []), *rest, *guides, reference)


def guide(name: str) -> str:
    """The text of a page that comes with the program."""
    return (files_of("installgen") / "guide" / name).read_text("utf-8")


def _vessel_nav(book: VesselBook, folder: str) -> NavEntry:
    pages = [written.page for written in book.pages]
    home, *others = pages
    entries = []
    for page in others:
        if page.parent:
            continue
        uri = f"{folder}{page.id}.md"
        below = [
            NavEntry(child.title, f"{folder}{child.id}.md")
            for child in others
            if child.parent == page.id
        ]
        entries.append(NavEntry(page.title, uri, tuple(below)))
    return NavEntry(book.name, f"{folder}{home.id}.md", tuple(entries))
