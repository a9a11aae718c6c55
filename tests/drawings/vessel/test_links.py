"""Every link of every drawing leads to a page of the same manual and a place on it."""

import re
from functools import cache
from urllib.parse import unquote

import pytest

from installgen.manual.made_manual import make_manual
from installgen.manual.vessel_book import vessel_book
from tests.drawings.vessel.fleet import VESSELS, analysed, laid_out, rendered

ANCHOR = re.compile(r'\bid="([^"]*)"|\{#([^}\s]*)')


@cache
def anchors(vessel: str) -> dict[str, set[str]]:
    """The anchors of each page of a vessel's manual."""
    book = vessel_book(make_manual(analysed(vessel).vessel), f"vessels/{vessel}/")
    return {
        written.page.id: {a or b for a, b in ANCHOR.findall(written.markdown)}
        for written in book.pages
    }


@pytest.mark.parametrize("vessel", VESSELS)
def test_links_lead_somewhere(vessel: str) -> None:
    pages = anchors(vessel)
    found = 0
    for name, one in laid_out(vessel).items():
        for address in re.findall(r'href="([^"]*)"', one.svg):
            page, _, anchor = address.partition("#")
            assert page.removesuffix(".html") in pages, (name, address)
            place = unquote(anchor)
            assert not place or place in pages[page.removesuffix(".html")], (name, address)
            found += 1
    assert found > 100


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_drawing_stands_on_a_page(vessel: str) -> None:
    shown = set().union(*anchors(vessel).values())
    assert {f"{name}-figure" for name in rendered(vessel)} <= shown
