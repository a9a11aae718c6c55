"""Fixtures shared by the tests: the built site, and a browser to look at it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

PROJECT = Path(__file__).parent.parent
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def run_mkdocs(
    *arguments: str, folder: Path = PROJECT, **environment: str
) -> subprocess.CompletedProcess[str]:
    """Run MkDocs as a user would; what it says is in `stderr`."""
    return subprocess.run(
        [sys.executable, "-m", "mkdocs", *arguments],
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", **environment},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration fleet's manual, built once from this checkout, without a warning."""
    site = tmp_path_factory.mktemp("site")
    built = run_mkdocs("build", "--strict", "--site-dir", str(site))
    assert built.returncode == 0, built.stderr
    return site


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A real Chromium; where continuous integration runs it must be there."""
    if CHROMIUM is None and not os.environ.get("CI"):
        pytest.skip("Chromium is not installed")
    assert CHROMIUM, "Chromium is not installed"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def desktop(browser: Browser) -> Iterator[Page]:
    """A page in a fresh window, 1280 pixels wide, light."""
    yield from fresh_page(browser.new_context(viewport={"width": 1280, "height": 900}))


@pytest.fixture
def telephone(browser: Browser) -> Iterator[Page]:
    """A page in a fresh window, 360 pixels wide, dark."""
    yield from fresh_page(
        browser.new_context(viewport={"width": 360, "height": 740}, color_scheme="dark")
    )


def fresh_page(context: BrowserContext) -> Iterator[Page]:
    """A page that collects in `page.complaints` whatever goes wrong in it or leaves the site."""
    page = context.new_page()
    page.complaints = complaints = []  # type: ignore[attr-defined]
    page.on("pageerror", lambda error: complaints.append(f"error: {error}"))
    page.on(
        "console",
        lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None,
    )
    page.on(
        "request",
        lambda asked: (
            None
            if asked.url.startswith(("file:", "data:", "about:"))
            else complaints.append(f"asks outside: {asked.url}")
        ),
    )
    page.add_init_script(
        "addEventListener('securitypolicyviolation', (event) => console.error("
        "`policy: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}`))"
    )
    yield page
    context.close()
