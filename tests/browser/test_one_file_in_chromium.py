"""The one-file manual in a real browser: search, codes, deep links, dark, paper, no script."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from installgen.manual.made_manual import make_manual
from installgen.manual.onefile.document import one_file
from installgen.spec.load import SpecLibrary
from tests.browser.test_site_in_chromium import LUMINANCE, TOO_WIDE
from tests.conftest import PROJECT, Window

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("one file")]

FIRST_RESULT = "#found li a"


@pytest.fixture
def small(handed_over: Path) -> str:
    """The file of a small vessel that is no draft."""
    return (handed_over / "tern" / "manual.html").as_uri()


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The files of the emptiest and the largest demonstration vessel."""
    folder = tmp_path_factory.mktemp("onefile")
    specs = SpecLibrary.at(PROJECT / "specs")
    made = {}
    for vessel in ("pipit", "sallow"):
        path = folder / f"{vessel}.html"
        path.write_text(one_file(make_manual(specs.vessel(vessel))), "utf-8")
        made[vessel] = path.as_uri()
    return made


def shown(page: Page) -> list[str]:
    """The pages of the manual that can be seen."""
    found: list[str] = page.evaluate(
        "[...document.querySelectorAll('.leaf')].filter(leaf => leaf.offsetHeight > 0)"
        ".map(leaf => leaf.dataset.page)"
    )
    return found


def look_for(page: Page, words: str) -> None:
    """Type into the search and wait for what it finds."""
    page.locator("#find").fill(words)
    page.locator("#found").wait_for()


def test_it_opens_quietly_at_its_contents(desktop: Window, small: str) -> None:
    desktop.page.goto(small)
    assert shown(desktop.page) == ["contents"]
    assert desktop.page.locator("h1:visible").inner_text() == "Tern"
    assert desktop.complaints == []


def test_a_short_code_leads_to_its_row(desktop: Window, small: str) -> None:
    page = desktop.page
    page.goto(small)
    page.keyboard.press("/")
    page.keyboard.type("s10")
    page.locator("#found").wait_for()
    assert page.locator(FIRST_RESULT).first.inner_text().startswith("S10")
    page.keyboard.press("Enter")
    page.locator("#found").wait_for(state="hidden")
    assert shown(page) == ["conductors"]
    assert page.locator("[id='conductors--S10']").is_visible()
    assert desktop.complaints == []


@pytest.mark.parametrize(
    ("words", "found"),
    [("strainer", "Raw-water strainer"), ("radio", "VHF radio"), ("raw-water inlet", "inlet")],
)
def test_words_are_found(desktop: Window, small: str, words: str, found: str) -> None:
    desktop.page.goto(small)
    look_for(desktop.page, words)
    assert found in desktop.page.locator(FIRST_RESULT).first.inner_text()


def test_a_torque_leads_to_where_it_is_printed(desktop: Window, fleet: dict[str, str]) -> None:
    page = desktop.page
    page.goto(fleet["sallow"])
    answers = []
    for torque in ("17 N m", "17Nm", "17\u00a0N·m", "12.5 lb ft"):
        look_for(page, torque)
        page.wait_for_timeout(300)
        answers.append(page.locator(FIRST_RESULT).all_inner_texts())
    # Each excerpt is cut around what was typed, so only where it leads must agree.
    places = [[found.split("\n")[0] for found in one] for one in answers]
    assert places[0]
    assert places == [places[0]] * 4
    assert all("17 N·m (12.5 lbf·ft)" in found for one in answers for found in one)


def test_a_word_of_several_may_be_missing(desktop: Window, fleet: dict[str, str]) -> None:
    desktop.page.goto(fleet["sallow"])
    look_for(desktop.page, "gear oil drain")
    assert "Oil drain" in desktop.page.locator(FIRST_RESULT).first.inner_text()


def test_nothing_is_said_to_be_found_where_nothing_is(desktop: Window, small: str) -> None:
    desktop.page.goto(small)
    look_for(desktop.page, "xylophone")
    assert desktop.page.locator("#found").inner_text().strip() == "Nothing found."


def test_a_deep_link_shows_its_page_alone(desktop: Window, small: str) -> None:
    page = desktop.page
    page.goto(f"{small}#raw-water--engine.raw-water.strainer")
    assert shown(page) == ["raw-water"]
    page.get_by_role("link", name="Contents").first.click()
    page.wait_for_function("document.querySelector('[data-page=contents]').offsetHeight > 0")
    assert shown(page) == ["contents"]


def test_a_link_into_a_working_unfolds_it(desktop: Window, small: str) -> None:
    page = desktop.page
    page.goto(small)
    working = page.locator("details.working").first
    name = working.get_attribute("id")
    page.goto(f"{small}#{name}")
    page.locator("details.working[open]").first.wait_for()


def test_a_hostile_name_stays_text(desktop: Window, small: str) -> None:
    page = desktop.page
    page.goto(small)
    look_for(page, "&amp;")
    assert "<b>&amp;</b>" in page.locator("#found").inner_text()
    assert page.locator("#found b").count() == 0


def test_dark_is_dark_without_any_choice(telephone: Window, small: str) -> None:
    telephone.page.goto(small)
    assert telephone.page.locator("body").evaluate(LUMINANCE) < 0.2


def test_paper_shows_every_page_in_black(telephone: Window, small: str) -> None:
    page = telephone.page
    page.goto(small)
    page.emulate_media(media="print", color_scheme="dark")
    assert len(shown(page)) == page.locator(".leaf").count() > 5
    assert page.locator(".bar").is_hidden()
    assert page.locator("body").evaluate(LUMINANCE) > 0.9


@pytest.fixture
def without_script(browser: Browser) -> Iterator[Page]:
    """A telephone whose file viewer runs no script."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    yield context.new_page()
    context.close()


def test_it_can_be_read_without_script(without_script: Page, small: str) -> None:
    page = without_script
    page.goto(small)
    assert page.locator("#find").is_hidden()
    conductors = page.locator("[data-page=conductors]")
    assert conductors.is_visible()
    page.locator(".contents a", has_text="Conductor schedule").click()
    assert page.url.endswith("#conductors")
    box = page.locator("h1#conductors").bounding_box()
    assert box
    assert 0 <= box["y"] < 740


@pytest.mark.parametrize("vessel", ["pipit", "sallow"])
def test_emptiest_and_largest_fit_a_telephone(
    vessel: str, telephone: Window, fleet: dict[str, str]
) -> None:
    page = telephone.page
    page.goto(fleet[vessel])
    assert page.locator(".bar-draft").count() == (vessel == "pipit")
    page.get_by_role("link", name="Emergencies").first.click()
    page.wait_for_function("document.querySelector('.leaf.shown').dataset.page === 'emergencies'")
    assert page.evaluate("scrollY") == 0
    too_wide = {}
    for leaf in page.locator(".leaf").evaluate_all("all => all.map(leaf => leaf.dataset.page)"):
        page.evaluate("id => { location.hash = id }", leaf)
        page.wait_for_function(
            "id => document.querySelector('.leaf.shown').dataset.page === id", arg=leaf
        )
        if page.evaluate("document.documentElement.scrollWidth") > 360:
            too_wide[leaf] = page.evaluate(TOO_WIDE)
    assert too_wide == {}
    assert telephone.complaints == []


def test_the_largest_is_searched(telephone: Window, fleet: dict[str, str]) -> None:
    page = telephone.page
    page.goto(fleet["sallow"])
    look_for(page, "PS2")
    page.locator(FIRST_RESULT).first.click()
    page.locator("#found").wait_for(state="hidden")
    assert page.locator("[id='conductors--PS2']").is_visible()


@pytest.mark.parametrize("place", ["contents", "raw-water", "conductors", "codes"])
def test_no_page_breaks_accessibility(place: str, telephone: Window, small: str) -> None:
    telephone.page.goto(f"{small}#{place}")
    results = Axe().run(telephone.page)
    assert results.violations_count == 0, results.generate_report()
