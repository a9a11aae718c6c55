"""The site of one vessel as it is handed over, opened as files, without a network."""

from pathlib import Path

import pytest

from tests.conftest import Window

pytestmark = pytest.mark.browser


def test_it_is_hers_alone_and_searched_offline(desktop: Window, handed_over: Path) -> None:
    page = desktop.page
    page.goto((handed_over / "tern" / "site" / "index.html").as_uri())
    assert page.locator("h1").inner_text().startswith("Tern")
    page.keyboard.press("/")
    page.keyboard.type("strainer")
    page.locator(".md-search-result__link").first.click()
    page.wait_for_url("**/site/*.html*")
    assert desktop.complaints == []


@pytest.mark.parametrize("name", ["site/raw-water.html", "manual.html#raw-water"])
def test_a_photograph_is_seen_beside_what_it_shows(
    name: str, telephone: Window, handed_over: Path
) -> None:
    page = telephone.page
    path, _, place = name.partition("#")
    page.goto((handed_over / "tern" / path).as_uri() + (f"#{place}" if place else ""))
    image = page.locator("figure.photograph img")
    assert image.get_attribute("alt") == "The strainer"
    # It was taken lying on its side.
    assert image.evaluate("image => [image.naturalWidth, image.naturalHeight]") == [240, 320]
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    assert telephone.complaints == []
