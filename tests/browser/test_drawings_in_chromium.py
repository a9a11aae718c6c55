"""Drawings as a real browser shows them: our font, where we measured it, panning in their box."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from installgen.drawings.figure import figure
from installgen.drawings.metrics import FONTS_FOLDER
from installgen.drawings.render import render
from tests.drawings import samples
from tests.drawings.boxes import text_width_px

pytestmark = pytest.mark.browser

STYLE = "assets/installgen/manual.css"
TEXTS = """() => [...document.querySelectorAll('.drawing-pan svg text')].map(text => ({
    words: text.textContent,
    bold: text.getAttribute('font-weight') === 'bold',
    italic: text.getAttribute('font-style') === 'italic',
    width: text.getComputedTextLength(),
}))"""

PANNED = """box => new Promise(done => {
    let frames = 0;
    const look = () => box.scrollLeft > 0 ? done(true)
        : ++frames > 200 ? done(false) : requestAnimationFrame(look);
    look();
})"""


def page_of(folder: Path) -> str:
    """A page with the samples as figures, in the theme's style, styles in elements forbidden."""
    theme = FONTS_FOLDER.parent
    drawings = [samples.raw_water(), samples.coolant(), samples.circuit()]
    figures = "".join(map(figure, [*render(drawings), samples.plan()]))
    path = folder / "page.html"
    path.write_text(
        '<!doctype html><html lang="en"><meta charset="utf-8"><title>Drawings</title>'
        '<meta name="viewport" content="width=device-width">'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\';'
        ' style-src file:; font-src file:">'
        f'<link rel="stylesheet" href="{(theme / STYLE).as_uri()}">'
        f'<body class="md-typeset" data-md-color-scheme="default">{figures}',
        encoding="utf-8",
    )
    return path.as_uri()


def test_the_browser_shows_the_widths_that_were_measured(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text))
    page.goto(page_of(tmp_path))
    page.evaluate("document.fonts.ready")
    assert page.evaluate("document.fonts.check('12px \"Installgen Sans\"')")
    texts = page.evaluate(TEXTS)
    assert len(texts) > 300
    for text in texts:
        measured = text_width_px(text["words"], 12, text["bold"], text["italic"])
        assert text["width"] <= measured + 1.5, text
        assert text["width"] >= measured * 0.93 - 1.5, text
    assert complaints == []
    context.close()


def test_on_a_telephone_only_the_box_pans(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(page_of(tmp_path))
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    box = page.locator(".drawing-pan").nth(2)
    assert box.evaluate("box => box.scrollWidth > box.clientWidth")
    box.focus()
    page.keyboard.press("ArrowRight")
    assert box.evaluate(PANNED)
    size = page.locator(".drawing-svg text").first.evaluate(
        "text => parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a"
    )
    assert size >= 11
    assert not page.locator(".drawing-columns").first.is_visible()
    context.close()
