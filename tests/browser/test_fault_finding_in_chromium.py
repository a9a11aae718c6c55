"""Finding a fault in a real browser: one question at a time, with script and without."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.conftest import Window, watched_window

pytestmark = pytest.mark.browser

WET_THUMB_PX = 44
"""Least height of what is to be touched: WCAG 2.2, target size (enhanced), in CSS pixels."""

SHOWN = ".screens > .screen:visible"


@pytest.fixture
def address(built_site: Path) -> str:
    """The page for an engine that does not crank."""
    return (built_site / "vessels/brannock/fault-does-not-crank.html").as_uri()


@pytest.fixture(params=["script", "no script"])
def telephone_either_way(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Window]:
    """A window 360 pixels wide, with script and without."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740}, java_script_enabled=request.param == "script"
    )
    yield watched_window(context)
    context.close()


def _shown(page: Page) -> str:
    """The one step that is shown."""
    assert page.locator(SHOWN).count() == 1
    return page.locator(SHOWN).get_attribute("id") or ""


def test_one_question_at_a_time_down_to_an_end_and_back(
    telephone_either_way: Window, address: str
) -> None:
    page = telephone_either_way.page
    page.goto(address)
    assert _shown(page) == "step-1"
    asked = [_shown(page)]
    while page.locator(SHOWN).locator(".choices:not(.quiet):not(.back) a").count():
        answer = page.locator(SHOWN).locator(".choices:not(.quiet):not(.back) a").last
        target = (answer.get_attribute("href") or "").removeprefix("#")
        answer.click()
        assert _shown(page) == target
        asked.append(target)
    assert len(asked) > 2
    assert page.locator(SHOWN).locator("ul:not(.choices) > li").count()
    page.go_back()
    assert _shown(page) == asked[-2]
    page.locator(SHOWN).locator(f".choices.back a[href='#{asked[-3]}']").click()
    assert _shown(page) == asked[-3]
    assert telephone_either_way.complaints == []


def test_a_point_out_of_reach_leads_to_another_question(
    telephone_either_way: Window, address: str
) -> None:
    page = telephone_either_way.page
    page.goto(address)
    first = page.locator(SHOWN).locator("h2").inner_text()
    page.get_by_text("I cannot get at this point").locator("visible=true").click()
    assert _shown(page) != "step-1"
    assert page.locator(SHOWN).locator("h2").inner_text() != first
    assert page.locator(SHOWN).locator("dl").count() == 1


def test_answers_are_large_enough_for_a_wet_thumb(telephone: Window, address: str) -> None:
    telephone.page.goto(address)
    answers = telephone.page.locator(SHOWN).locator(".choices:not(.quiet):not(.back) a")
    assert answers.count() >= 2
    for number in range(answers.count()):
        box = answers.nth(number).bounding_box()
        assert box is not None
        assert box["height"] >= WET_THUMB_PX
        assert box["x"] + box["width"] <= 360


def test_a_link_leads_straight_to_a_step(telephone: Window, address: str) -> None:
    telephone.page.goto(f"{address}#step-3")
    assert _shown(telephone.page) == "step-3"
    assert telephone.page.locator(SHOWN).bounding_box()["y"] < 740  # type: ignore[index]


def test_paper_shows_every_step_in_words(desktop: Window, address: str) -> None:
    page = desktop.page
    page.goto(address)
    page.emulate_media(media="print")
    steps = page.locator(".screens > .screen:not(.aside)")
    assert steps.count() > 20
    assert page.locator(SHOWN).count() == steps.count()
    for hidden in (".choices.back", ".choices .no-paper"):
        assert page.locator(f"{hidden} >> visible=true").count() == 0
    assert page.locator(f"{SHOWN} .to-step >> visible=true").count() > 20


def test_readings_fit_a_telephone_and_keep_their_blanks_on_paper(
    telephone: Window, built_site: Path
) -> None:
    page = telephone.page
    page.goto((built_site / "vessels/brannock/readings-cranking.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    for table in page.locator(".table-scroll").all():
        assert table.evaluate("box => box.scrollWidth <= box.clientWidth + 1")
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 718, "height": 1000})  # A4 between margins of 10 mm
    assert page.locator("td.blank").first.is_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 718
