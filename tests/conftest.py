"""Fixtures shared by the tests: the built site, and a browser to look at it."""

import fcntl
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from installgen.collector import collect_seldom

PROJECT = Path(__file__).parent.parent
HANDOVER_SPECS = PROJECT / "tests" / "handover" / "specs"
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

collect_seldom()


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
def built_site(shared_folder: Path) -> Path:
    """The demonstration fleet's manual, built once from this checkout, without a warning."""

    def build(site: Path) -> None:
        built = run_mkdocs("build", "--strict", "--site-dir", str(site))
        assert built.returncode == 0, built.stderr

    return made_once(shared_folder / "site", build)


@pytest.fixture(scope="session")
def handed_over(shared_folder: Path) -> Path:
    """The folder in which a small vessel of a test yard was handed over, once."""

    def make(out: Path) -> None:
        made = hand_over("tern", out)
        assert made.returncode == 0, made.stderr

    return made_once(shared_folder / "handover", make)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of this run have in common."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


def made_once(folder: Path, make: Callable[[Path], None]) -> Path:
    """A folder that the first worker to ask for it fills, while the others wait."""
    with folder.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            begun = folder.with_suffix(".begun")
            begun.mkdir()
            make(begun)
            begun.rename(folder)
    return folder


def hand_over(
    vessel: str, out: Path, *options: str, specs: Path = HANDOVER_SPECS, **environment: str
) -> subprocess.CompletedProcess[str]:
    """Hand a vessel over as a user would."""
    return subprocess.run(
        [
            *(sys.executable, "-m", "installgen", "--specs", str(specs)),
            *("handover", vessel, "--out", str(out), *options),
        ],
        cwd=PROJECT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )


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


@dataclass(frozen=True)
class Window:
    """A browser page of a fresh profile, and whatever went wrong in it or left the site."""

    page: Page
    complaints: list[str]


@pytest.fixture
def desktop(browser: Browser) -> Iterator[Window]:
    """A window 1280 pixels wide, light."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield watched_window(context)
    context.close()


@pytest.fixture
def telephone(browser: Browser) -> Iterator[Window]:
    """A window 360 pixels wide, dark."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme="dark")
    yield watched_window(context)
    context.close()


def watched_window(context: BrowserContext) -> Window:
    """A window that notes errors, breaches of the content policy and requests to outside."""
    window = Window(context.new_page(), [])
    note = window.complaints.append
    inside = ("file:", "data:", "about:")
    window.page.on("pageerror", lambda error: note(f"error: {error}"))
    window.page.on(
        "console", lambda said: note(said.text) if said.type in ("error", "warning") else None
    )
    window.page.on(
        "request", lambda sent: None if sent.url.startswith(inside) else note(f"asks {sent.url}")
    )
    return window
