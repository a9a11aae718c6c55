"""The demonstration fleet's site in a real browser, opened as files, without a network."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.conftest import Window

pytestmark = pytest.mark.browser

LUMINANCE = """element => {
  const [r, g, b] = getComputedStyle(element).backgroundColor.match(/[0-9.]+/g).map(Number);
  return (0.2126 * r + 0.7152 * g + 0.0722 * b) / 255;
}"""
# Wider than the window, and not within a box that clips or pans it.
TOO_WIDE = """() => {
  const boxed = (element) => {
    for (let up = element.parentElement; up && up !== document.body; up = up.parentElement)
      if (getComputedStyle(up).overflowX !== 'visible') return true;
    return false;
  };
  return [...document.body.querySelectorAll('*')]
    .filter((element) => element.getBoundingClientRect().right > innerWidth + 0.5)
    .filter((element) => !boxed(element))
    .map((element) => `${element.localName}.${element.getAttribute('class')}`);
}"""
MANY = re.compile(r"^(calculations|fault|readings)-.*")


@pytest.fixture(scope="session")
def addresses(built_site: Path) -> list[str]:
    """Every page of the site as a file address."""
    return [path.as_uri() for path in sorted(built_site.rglob("*.html"))]


@pytest.fixture(scope="session")
def one_of_each_kind(built_site: Path) -> list[str]:
    """One page of each kind: the longest of that name, and the shortest of those alike in dozens.

    These are workings, symptoms and readings; workings are the largest pages by far.
    """
    kinds: dict[str, list[Path]] = {}
    for path in sorted(built_site.rglob("*.html")):
        kinds.setdefault(MANY.sub(r"\1", path.name), []).append(path)
    return [
        (min if kind in ("calculations", "fault", "readings") else max)(paths, key=size).as_uri()
        for kind, paths in kinds.items()
    ]


def size(path: Path) -> int:
    """Bytes of a page."""
    return path.stat().st_size


def test_every_kind_of_page_opens_quietly(desktop: Window, one_of_each_kind: list[str]) -> None:
    for address in one_of_each_kind:
        desktop.page.goto(address)
    assert desktop.complaints == []


def test_no_kind_of_page_scrolls_sideways_on_a_telephone(
    telephone: Window, one_of_each_kind: list[str]
) -> None:
    assert sideways(telephone.page, one_of_each_kind) == {}
    assert telephone.complaints == []


def test_no_page_scrolls_sideways_on_a_telephone_without_script(
    browser: Browser, addresses: list[str], one_of_each_kind: list[str]
) -> None:
    context = browser.new_context(
        viewport={"width": 360, "height": 740}, color_scheme="dark", java_script_enabled=False
    )
    # Pages of workings are alike in hundreds, and the largest by far: one of them will do.
    seen = [a for a in addresses if "/calculations-" not in a or a in one_of_each_kind]
    assert sideways(context.new_page(), seen) == {}
    context.close()


def sideways(page: Page, addresses: list[str]) -> dict[str, object]:
    """The pages that are wider than the window of a telephone, and what makes them so."""
    too_wide = {}
    for address in addresses:
        page.goto(address)
        if page.evaluate("document.documentElement.scrollWidth") > 360:
            too_wide[address] = page.evaluate(TOO_WIDE)
    return too_wide


def test_a_sequence_of_nine_steps_fits_a_desktop(desktop: Window, built_site: Path) -> None:
    desktop.page.goto((built_site / "vessels/sallow/start-run-stop.html").as_uri())
    panned = desktop.page.evaluate(
        """() => [...document.querySelectorAll('.table-scroll')]
          .filter((box) => box.scrollWidth > box.clientWidth)
          .map((box) => box.querySelector('caption').innerText)"""
    )
    assert panned == []


def test_search_works_from_a_file(desktop: Window, addresses: list[str]) -> None:
    page = desktop.page
    page.goto(addresses[0])
    page.keyboard.press("/")
    page.keyboard.type("vessels")
    page.locator(".md-search-result__item").first.wait_for()
    assert "matching" in page.locator(".md-search-result__meta").inner_text()
    page.locator(".md-search-result__link").first.click()
    page.wait_for_url("**/*.html*")
    assert desktop.complaints == []


@pytest.mark.parametrize(
    ("words", "page"),
    [
        ("S1", "conductors.html"),
        ("S10", "start-run-stop.html"),
        ("RP1", "raw-water.html"),
        ("EL1", "connections.html"),
        ("V1", "raw-water.html"),
        ("torque", "install-torques.html"),
        ("17 N m", "install-torques.html"),
        ("12.5 lb ft", "install-torques.html"),
        ("gear oil drain", "connections.html"),
    ],
)
def test_search_answers_with_the_thing_itself(
    desktop: Window, built_site: Path, words: str, page: str
) -> None:
    desktop.page.goto((built_site / "vessels" / "brannock" / "index.html").as_uri())
    desktop.page.keyboard.press("/")
    desktop.page.keyboard.type(words)
    first = desktop.page.locator(".md-search-result__link").first
    expect(first).to_have_attribute("href", re.compile(f"/vessels/brannock/{page}"), timeout=15_000)


def test_dark_is_dark_from_the_first_paint(telephone: Window, addresses: list[str]) -> None:
    telephone.page.goto(addresses[0], wait_until="commit")
    telephone.page.locator("h1").wait_for()
    assert telephone.page.locator("body").evaluate(LUMINANCE) < 0.2


def test_light_and_dark_can_be_chosen(desktop: Window, addresses: list[str]) -> None:
    page = desktop.page
    page.goto(addresses[0])
    assert page.locator("body").evaluate(LUMINANCE) > 0.8
    page.get_by_title("Switch to dark").click()
    assert page.locator("body").evaluate(LUMINANCE) < 0.2
    page.goto(addresses[-1])
    assert page.locator("body").evaluate(LUMINANCE) < 0.2


def test_paper_shows_the_content_alone(desktop: Window, addresses: list[str]) -> None:
    page = desktop.page
    page.goto(addresses[0])
    page.emulate_media(media="print")
    assert page.locator("h1").is_visible()
    for part in (".md-header", ".md-sidebar--primary", ".md-footer"):
        assert page.locator(part).first.is_hidden()


@pytest.mark.parametrize("half", [0, 1])
@pytest.mark.parametrize("width", ["desktop", "telephone"])
def test_no_kind_of_page_breaks_accessibility(
    width: str,
    half: int,
    one_of_each_kind: list[str],
    addresses: list[str],
    request: pytest.FixtureRequest,
) -> None:
    """Every rule of axe; the size of targets has to be asked for. What holds is not listed.

    The desktop takes the longest page of a kind, the telephone that of one vessel.
    """
    window: Window = request.getfixturevalue(width)
    options = {"rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"]}
    found = {}
    for address in one_of_each_kind[half::2]:
        other = re.sub("/vessels/[^/]*/", "/vessels/brannock/", address)
        if width == "telephone" and other in addresses:
            address = other
        window.page.goto(address)
        results = Axe().run(window.page, options=options)
        if results.violations_count:
            found[address] = results.generate_report()
    assert found == {}
