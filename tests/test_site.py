"""The demonstration fleet's site as files: whole, self-contained, and the same every time."""

import json
import posixpath
import re
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from lxml import etree, html

from installgen.drawings.metrics import advances_per_mille
from tests.conftest import PROJECT, run_mkdocs

# Attributes that make a browser fetch or follow something.
ADDRESSES = ("href", "src", "{http://www.w3.org/1999/xlink}href", "xlink:href", "poster", "data")
SVG = "http://www.w3.org/2000/svg"
FONT_STYLES = ("Regular", "Bold", "Italic")
TEXT_FILES = (".html", ".css", ".js", ".json", ".svg", ".xml", ".txt", ".csv")


@dataclass
class PageFacts:
    """What the checks need to know of one HTML or SVG file."""

    ids: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    inline_code: list[str] = field(default_factory=list)


def read_page(path: Path) -> PageFacts:
    """The facts of a page or of a drawing kept as its own file."""
    facts = PageFacts()
    tree = etree.parse(path) if path.suffix == ".svg" else html.parse(path)
    for element in tree.iter(etree.Element):
        where = f"<{element.tag}> line {element.sourceline}"
        facts.ids += [element.attrib["id"]] if "id" in element.attrib else []
        facts.ids += (
            [element.attrib["name"]] if element.tag == "a" and "name" in element.attrib else []
        )
        for name, value in element.attrib.items():
            if name in ADDRESSES:
                facts.links.append(value)
            elif name == "srcset":
                facts.links += [part.split()[0] for part in value.split(",")]
            elif name == "style" or name.startswith("on"):
                facts.inline_code.append(f"{where}: {name}={value}")
            facts.links += re.findall(r"url\(['\"]?([^'\")]+)", value)
        inline = element.tag == "script" and "src" not in element.attrib
        if element.tag == "style" or (inline and element.get("type") != "application/json"):
            facts.inline_code.append(where)
    return facts


@pytest.fixture(scope="session")
def pages(built_site: Path) -> dict[str, PageFacts]:
    """Every page and drawing of the site by its address."""
    return {
        path.relative_to(built_site).as_posix(): read_page(path)
        for path in sorted(built_site.rglob("*"))
        if path.suffix in (".html", ".svg")
    }


def test_every_link_leads_somewhere(built_site: Path, pages: dict[str, PageFacts]) -> None:
    dead = set()
    for address, page in pages.items():
        for link in page.links:
            parts = urlsplit(link)
            if parts.scheme == "data":
                continue
            target = (
                posixpath.normpath(posixpath.join(posixpath.dirname(address), unquote(parts.path)))
                if parts.path
                else address
            )
            anchor = unquote(parts.fragment)
            if parts.scheme or parts.netloc:
                dead.add(f"{address}: leaves the site: {link}")
            elif not (built_site / target).is_file():
                dead.add(f"{address}: no such file: {link}")
            elif anchor and target in pages and anchor not in pages[target].ids:
                dead.add(f"{address}: no such place: {link}")
    assert sorted(dead) == []


def test_the_link_check_finds_what_is_dead(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        '<p id="a"><a href="gone.html#x">1</a><img src="http://example.invalid/i.png">'
        '<svg><a xlink:href="#b"><text fill="url(#c)" onclick="x()">2</text></a></svg>'
        '<style>p{}</style><script>1</script><b style="color:red">3</b>'
    )
    facts = read_page(page)
    assert facts.ids == ["a"]
    assert facts.links == ["gone.html#x", "http://example.invalid/i.png", "#b", "#c"]
    assert len(facts.inline_code) == 4


def test_an_id_is_used_once_a_page(pages: dict[str, PageFacts]) -> None:
    twice = {
        f"{address}#{name}"
        for address, page in pages.items()
        for name, count in Counter(page.ids).items()
        if count > 1
    }
    assert sorted(twice) == []


def test_no_page_carries_inline_code(pages: dict[str, PageFacts]) -> None:
    inline = {
        f"{address}: {what}"
        for address, page in pages.items()
        if address.endswith(".html")
        for what in page.inline_code
    }
    assert sorted(inline) == []


def test_every_page_states_its_content_policy(
    built_site: Path, pages: dict[str, PageFacts]
) -> None:
    for address in pages:
        if address.endswith(".html"):
            head = (built_site / address).read_text("utf-8").split("</head>")[0]
            assert head.index("Content-Security-Policy") < head.index("<link")


def test_style_sheets_ask_for_nothing_outside(built_site: Path) -> None:
    for path in built_site.rglob("*.css"):
        for address in re.findall(r"url\(['\"]?([^'\")]+)", path.read_text("utf-8")):
            if not address.startswith(("data:", "#")):
                assert (path.parent / address).is_file(), f"{path.name}: {address}"


def test_every_page_is_searchable(built_site: Path, pages: dict[str, PageFacts]) -> None:
    index = json.loads((built_site / "search/search_index.json").read_text("utf-8"))
    found = {entry["location"].split("#")[0] or "index.html" for entry in index["docs"]}
    assert found >= {address for address in pages if address.endswith(".html")}
    script = (built_site / "search/search_index.js").read_text("utf-8")
    assert json.loads(script.removeprefix("var __index = ")) == index


def test_nothing_of_the_machine_is_published(built_site: Path) -> None:
    for path in built_site.rglob("*"):
        if path.suffix in TEXT_FILES:
            text = path.read_text("utf-8")
            assert str(PROJECT) not in text, path
            assert str(built_site) not in text, path


def test_two_builds_are_the_same_bytes(built_site: Path, tmp_path: Path) -> None:
    again = tmp_path / "site"
    built = run_mkdocs("build", "--site-dir", str(again), PYTHONHASHSEED="1")
    assert built.returncode == 0, built.stderr
    first = {path.relative_to(built_site) for path in built_site.rglob("*") if path.is_file()}
    assert first == {path.relative_to(again) for path in again.rglob("*") if path.is_file()}
    differing = [
        str(name)
        for name in sorted(first)
        if (built_site / name).read_bytes() != (again / name).read_bytes()
    ]
    assert differing == []


# A figure as a program prints it; one that is meant so would be written as a power of ten.
EXPONENT = re.compile(r"(?<![\w.#-])\d+(?:\.\d+)?[eE][+-]\d+\b")


def words_of(path: Path) -> str:
    """What a reader of a page or of a drawing sees."""
    tree = etree.parse(path) if path.suffix == ".svg" else html.parse(path)
    etree.strip_elements(tree, "script", "style", f"{{{SVG}}}style", with_tail=False)
    return " ".join(tree.getroot().itertext())


def test_our_fonts_have_every_sign_and_no_figure_is_in_exponents(
    built_site: Path, pages: dict[str, PageFacts]
) -> None:
    present = set.intersection(*(set(advances_per_mille(style)) for style in FONT_STYLES))
    lacking: dict[str, str] = {}
    exponents: list[str] = []
    for name in pages:
        text = words_of(built_site / name)
        lacking |= dict.fromkeys(set(text) - present - set("\n\t"), name)
        exponents += [f"{name}: {found}" for found in EXPONENT.findall(text)]
    assert lacking == {}
    assert exponents == []
