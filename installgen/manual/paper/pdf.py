"""The PDF of a manual: WeasyPrint sets our HTML with our own style sheet and fonts.

The same manual gives the same bytes: no clock, no random identifier, fonts of our own.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable
from contextlib import redirect_stdout
from dataclasses import dataclass
from importlib.resources import files
from io import StringIO
from types import ModuleType
from typing import Literal

from installgen.drawings.metrics import FONTS_FOLDER
from installgen.drawings.paper import Paper
from installgen.errors import InstallgenError
from installgen.manual.made_manual import MadeManual
from installgen.manual.paper.document import paper_html

PaperSize = Literal["a4", "letter"]

HOW_TO_INSTALL = (
    "The PDF needs WeasyPrint and the library Pango, and {what}. Install them: `apt install "
    "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0` on Debian or Ubuntu, `dnf install "
    "pango` on Fedora, `brew install pango` on macOS; and `pip install weasyprint`. "
    "Everything else can be made without them."
)
FONTS = "fonts:"


@dataclass(frozen=True)
class Sheet:
    """A size of paper: its name in CSS, its margins, and what a drawing with its caption gets."""

    css: str
    margin: str
    turned_margin: str
    drawing: Paper


SHEETS: dict[PaperSize, Sheet] = {
    "a4": Sheet("A4", "20mm 15mm 18mm", "20mm 15mm 18mm", Paper((180.0, 222.0), (267.0, 140.0))),
    "letter": Sheet(
        "letter", "19mm 18mm 17mm", "19mm 16mm 17mm", Paper((180.0, 206.0), (247.0, 148.0))
    ),
}


class NoPdf(InstallgenError):
    """The PDF cannot be made."""


def pdf_of(
    made: MadeManual, size: PaperSize = "a4", report: Callable[[str], None] = lambda text: None
) -> bytes:
    """The manual as a tagged PDF (PDF/UA-1) with bookmarks.

    report: told in a few words what is being worked on
    Raises NoPdf where WeasyPrint is not there or could not use something.
    """
    weasyprint = _weasyprint()
    sheet = SHEETS[size]
    html = paper_html(made, sheet.drawing, report)
    style = (files("installgen.manual.paper") / "paper.css").read_text("utf-8")
    style += (
        f"@page {{ size: {sheet.css}; margin: {sheet.margin} }}"
        f"@page turned {{ size: {sheet.css} landscape; margin: {sheet.turned_margin} }}"
    )
    return set_pages(weasyprint, html, style, report)


def set_pages(
    weasyprint: ModuleType, html: str, style: str, report: Callable[[str], None]
) -> bytes:
    """Set a document. Raises NoPdf where something was missing or not understood."""
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    fetcher = _own_files(weasyprint)
    heard = _Heard(report)
    library = logging.getLogger("weasyprint")
    library.addHandler(heard)
    progress = logging.getLogger("weasyprint.progress")
    level = progress.level
    progress.setLevel(logging.INFO)
    try:
        sheet = weasyprint.CSS(string=style, font_config=fonts, url_fetcher=fetcher)
        document = weasyprint.HTML(string=html, url_fetcher=fetcher)
        made: bytes = document.write_pdf(
            stylesheets=[sheet],
            font_config=fonts,
            pdf_variant="pdf/ua-1",
            pdf_identifier=hashlib.sha256(html.encode()).digest()[:16],
        )
    finally:
        progress.setLevel(level)
        library.removeHandler(heard)
    if heard.complaints:
        raise NoPdf("the PDF is not whole: " + "; ".join(dict.fromkeys(heard.complaints)))
    return made


class _Heard(logging.Handler):
    """Passes on what the library works on, and keeps what it complains of."""

    def __init__(self, report: Callable[[str], None]) -> None:
        super().__init__(logging.INFO)
        self.report = report
        self.complaints: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        if record.levelno >= logging.ERROR:
            self.complaints.append(record.getMessage())
        elif record.levelno == logging.INFO:
            self.report(f"PDF: {record.getMessage().partition(' - ')[2]}")


def _weasyprint() -> ModuleType:
    """The library; it is slow to import, and its own libraries may not be there."""
    try:
        # It prints advice of its own when it does not find its libraries.
        with redirect_stdout(StringIO()):
            import weasyprint
    except ImportError as error:
        raise NoPdf(HOW_TO_INSTALL.format(what="WeasyPrint is not installed")) from error
    except OSError as error:
        raise NoPdf(HOW_TO_INSTALL.format(what="Pango was not found")) from error
    library: ModuleType = weasyprint
    return library


def _own_files(weasyprint: ModuleType) -> object:
    """Fetches our fonts and data that the document carries; nothing else, whatever it asks."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFiles(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> object:
            if url.startswith("data:"):
                return super().fetch(url, headers)
            name = url.removeprefix(FONTS)
            if url.startswith(FONTS) and name in {path.name for path in FONTS_FOLDER.iterdir()}:
                return URLFetcherResponse(url, (FONTS_FOLDER / name).read_bytes())
            raise ValueError(f"{url} is not part of the manual")

    return OwnFiles()
