"""Every part that a page is made of, in a real browser: look, keyboard, zoom, paper."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from installgen.drawings.figure import figure
from installgen.drawings.render import render
from tests.conftest import Window, run_mkdocs
from tests.drawings.samples import circuit

pytestmark = pytest.mark.browser

CONFIGURATION = """
site_name: Parts
theme: {name: material}
plugins: [search, installgen]
"""


@pytest.fixture(scope="session")
def parts(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a page that holds every part; its drawing is wider than any window."""
    folder = tmp_path_factory.mktemp("parts")
    (folder / "specs" / "vessels").mkdir(parents=True)
    (folder / "docs").mkdir()
    (folder / "mkdocs.yml").write_text(CONFIGURATION)
    text = Path(__file__).with_name("parts.md").read_text("utf-8")
    (drawing,) = render([circuit()])
    # The sample's links lead to pages that are not here.
    drawn = re.sub(r'href="[^"]*"', 'href="#tables"', figure(drawing))
    (folder / "docs" / "parts.md").write_text(text.replace("DRAWING", drawn), "utf-8")
    built = run_mkdocs("build", folder=folder)
    assert built.returncode == 0, built.stderr
    return (folder / "site" / "parts.html").as_uri()


@pytest.mark.parametrize("size", ["desktop", "telephone"])
def test_no_part_breaks_accessibility(
    size: str, parts: str, request: pytest.FixtureRequest
) -> None:
    window: Window = request.getfixturevalue(size)
    window.page.goto(parts)
    assert window.complaints == []
    results = Axe().run(window.page)
    assert results.violations_count == 0, results.generate_report()


def test_a_wide_drawing_pans_in_its_own_box(telephone: Window, parts: str) -> None:
    telephone.page.goto(parts)
    pan = telephone.page.locator(".drawing-pan")
    assert pan.evaluate("pan => pan.scrollWidth > 2 * pan.clientWidth")
    assert telephone.page.evaluate("document.documentElement.scrollWidth") == 360


def test_a_drawing_begins_at_its_first_part(telephone: Window, parts: str) -> None:
    telephone.page.goto(parts)
    pan = telephone.page.locator(".drawing-pan").bounding_box()
    node = telephone.page.locator(".drawing-node").first.bounding_box()
    assert pan
    assert node
    assert pan["x"] <= node["x"]
    assert node["x"] + node["width"] <= pan["x"] + pan["width"]


def test_a_drawing_is_zoomed_by_its_buttons(desktop: Window, parts: str) -> None:
    page = desktop.page
    page.goto(parts)
    width = "svg => svg.getBoundingClientRect().width"
    svg = page.locator(".drawing-pan > svg")
    first = svg.evaluate(width)
    page.get_by_label("Larger").click()
    assert svg.evaluate(width) == pytest.approx(first * 1.25, rel=0.01)
    page.get_by_label("Smaller").click()
    assert svg.evaluate(width) == pytest.approx(first, rel=0.01)
    page.get_by_label("Show the whole drawing").click()
    assert page.locator(".drawing-pan").evaluate("pan => pan.scrollWidth - pan.clientWidth") == 0


def test_a_drawing_fills_the_window_and_gives_it_back(desktop: Window, parts: str) -> None:
    page = desktop.page
    page.goto(parts)
    page.get_by_label("Fill the window with the drawing").click()
    box = page.locator("figure.drawing").bounding_box()
    assert box == {"x": 0, "y": 0, "width": 1280, "height": 900}
    page.keyboard.press("Escape")
    box = page.locator("figure.drawing").bounding_box()
    assert box
    assert box["width"] < 900


def test_lettering_of_drawings_stays_legible(telephone: Window, parts: str) -> None:
    telephone.page.goto(parts)
    scale = telephone.page.locator(".drawing-pan > svg").evaluate(
        "svg => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width"
    )
    assert 12 * scale >= 11


def test_a_link_into_a_folded_working_unfolds_it(desktop: Window, parts: str) -> None:
    desktop.page.goto(parts)
    assert desktop.page.locator("#within").is_hidden()
    desktop.page.goto(f"{parts}#within")
    assert desktop.page.locator("#within").is_visible()


def test_a_verdict_is_a_sign_and_a_word(desktop: Window, parts: str) -> None:
    desktop.page.goto(parts)
    signs = desktop.page.locator("#pass .verdict").evaluate_all(
        "all => all.map((one) => getComputedStyle(one, '::before').content)"
    )
    assert len({sign for sign in signs if sign not in ("none", '""')}) == 4


def test_a_row_becomes_a_card_on_a_telephone(telephone: Window, parts: str) -> None:
    telephone.page.goto(parts)
    card = telephone.page.locator("#s1")
    assert card.evaluate("row => getComputedStyle(row).display") == "block"
    label = card.locator("td").first.evaluate("cell => getComputedStyle(cell, '::before').content")
    assert label == '"From"'


def test_paper_shows_what_is_folded_and_no_buttons(
    desktop: Window, parts: str, tmp_path: Path
) -> None:
    page = desktop.page
    page.goto(parts)
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator("#within").is_visible()
    assert page.locator(".drawing-zoom").is_hidden()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert not page.locator("details.working").evaluate("one => one.open")


def test_the_keyboard_reaches_the_skip_link_and_a_table(desktop: Window, parts: str) -> None:
    page = desktop.page
    page.goto(parts)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.matches('.md-skip')")
    page.locator(".table-scroll").first.focus()
    assert page.evaluate("document.activeElement.matches('.table-scroll')")
