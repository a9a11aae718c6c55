"""The yard's library as files and a table of contents, ready for whatever publishes it."""

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from pathlib import Path

from installgen.manual.build_cache import BuildCache


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
) -> Site:
    """The library of every vessel in `specs_folder`; its home page is `index.md`.

    report: told in a few words what is being worked on
    cache: lets a later build in the same process reuse what has not changed
    Raises SpecErrors with every mistake of every spec.
    """
    # The generated pages are not written yet: this page lists the specs that were found.
    names = sorted(path.stem for path in (specs_folder / "vessels").glob("*.yaml"))
    rows = "".join(f"<li>{escape(name)}</li>" for name in names) or "<li>none</li>"
    page = f"# Vessels\n\nSpecs found:\n\n<ul>{rows}</ul>\n"
    return Site(
        files=(SiteFile("index.md", page, "Vessels"),),
        nav=(NavEntry("Vessels", "index.md"),),
    )
