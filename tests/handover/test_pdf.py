"""The PDF: what stands on its pages, its bookmarks and tags, what breaks over pages."""

import re
import shutil
import subprocess
import sys
from functools import cache
from importlib.resources import files
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest
from pypdf.generic import Destination

from installgen.drawings.metrics import advances_per_mille
from installgen.drawings.paper import Paper
from installgen.manual.blocks import Folded
from installgen.manual.links import DocumentLinks
from installgen.manual.made_manual import MadeManual, make_manual
from installgen.manual.paper.document import paper_html
from installgen.manual.paper.pdf import NoPdf, pdf_of, set_pages
from installgen.manual.paper.writer import PaperWriter
from installgen.spec.load import SpecLibrary
from tests.conftest import HANDOVER_SPECS

pytestmark = pytest.mark.xdist_group("handover")

STYLE = "@page { size: A4; margin: 20mm } table { width: 100% } tr { break-inside: avoid }"


@cache
def made(vessel: str) -> MadeManual:
    """A vessel of the test yard, computed and described."""
    return make_manual(SpecLibrary.at(HANDOVER_SPECS).vessel(vessel))


@pytest.fixture(scope="module")
def book(handed_over: Path) -> pypdf.PdfReader:
    """The PDF of the vessel that is no draft."""
    return pypdf.PdfReader(handed_over / "tern" / "manual.pdf")


@pytest.fixture(scope="module")
def texts(book: pypdf.PdfReader) -> list[str]:
    """The words of each page, its head and foot with them."""
    return [re.sub(r"\s+", " ", page.extract_text()) for page in book.pages]


def bookmarks(book: pypdf.PdfReader) -> dict[str, int]:
    """The page (from 0) of each bookmark of the first level, in order."""
    return {
        str(entry.title): int(book.get_destination_page_number(entry) or 0)
        for entry in book.outline
        if isinstance(entry, Destination)
    }


def test_bookmarks_name_every_page_of_the_manual_in_order(
    book: pypdf.PdfReader, texts: list[str]
) -> None:
    found = bookmarks(book)
    titles = [page.title for page in made("tern").pages if not page.parent]
    assert set(titles) <= set(found)
    assert list(found)[-1] == "Index of short codes"
    assert all(first <= second for first, second in pairwise(found.values()))
    for title, number in found.items():
        assert title in texts[number]


def test_contents_tell_the_pages_that_things_stand_on(
    book: pypdf.PdfReader, texts: list[str]
) -> None:
    found = bookmarks(book)
    contents = texts[found["Contents"]]
    for title, number in found.items():
        if title != "Contents":
            assert re.search(rf"{re.escape(title)}[ .]* {number + 1}\b", contents), title


def test_every_page_names_hull_and_revision(texts: list[str]) -> None:
    for number, text in enumerate(texts, start=1):
        assert "Tern · ZZ-TST00123D626 · revision B" in text, number
        assert "DRAFT" not in text


def test_every_page_of_a_draft_says_so(tmp_path: Path) -> None:
    (tmp_path / "draft.pdf").write_bytes(pdf_of(made("dunlin"), "letter"))
    draft = pypdf.PdfReader(tmp_path / "draft.pdf")
    assert len(draft.pages) > 5
    texts = [re.sub(r"\s+", " ", page.extract_text()) for page in draft.pages]
    for text in texts:
        assert "DRAFT: not to be handed over" in text
    cover = next(text for text in texts if "Why this is a draft" in text)
    assert "engines[1].serial" in cover
    assert [float(side) for side in draft.pages[0].mediabox.upper_right] == [612.0, 792.0]


def test_codes_are_listed_in_order_with_their_page(book: pypdf.PdfReader, texts: list[str]) -> None:
    index = texts[bookmarks(book)["Index of short codes"]]
    assert index.index(" S1 ") < index.index(" S2 ") < index.index(" S10 ")
    page = bookmarks(book)["Conductor schedule"] + 1
    assert re.search(rf"S10 .*?Conductor schedule {page}\b", index)
    assert re.search(r"ST1 Raw-water strainer", index)


def test_text_of_a_spec_stays_text(texts: list[str]) -> None:
    assert any("Helm <b>&amp;</b> console" in text for text in texts)


def test_it_is_tagged_for_those_who_listen(book: pypdf.PdfReader) -> None:
    catalog = book.trailer["/Root"]
    assert catalog["/Lang"] == "en"
    assert catalog["/MarkInfo"]["/Marked"]
    assert catalog["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"pdfuaid" in catalog["/Metadata"].get_object().get_data()
    assert book.metadata is not None
    assert book.metadata.title == "Tern · Installation manual"


def test_drawings_are_lines_and_every_letter_is_of_our_font(book: pypdf.PdfReader) -> None:
    names = set()
    pictures = set()
    for page in book.pages:
        pictures |= {image.name for image in page.images}
        fonts = page["/Resources"]["/Font"]
        names |= {str(font.get_object()["/BaseFont"]) for font in fonts.values()}
    assert len(pictures) == 1  # the photograph
    ours = {name for name in names if "Installgen-Sans" in name.replace(" ", "-")}
    assert len(ours) >= 3
    html = paper_html(made("tern"), Paper())
    assert {sign for sign in html if sign not in advances_per_mille("Regular")} <= {"\n"}
    assert names == ours


def test_a_long_table_repeats_its_head_and_loses_no_row(tmp_path: Path) -> None:
    weasyprint = pytest.importorskip("weasyprint")
    rows = "".join(f"<tr><th>row-{n}-begins</th><td>row-{n}-ends</td></tr>" for n in range(200))
    html = (
        '<html lang="en"><title>Long</title><body><table><thead><tr><th>Head of all</th>'
        f"<th>Other</th></tr></thead><tbody>{rows}</tbody></table>"
    )
    (tmp_path / "long.pdf").write_bytes(set_pages(weasyprint, html, STYLE, lambda text: None))
    texts = [page.extract_text() for page in pypdf.PdfReader(tmp_path / "long.pdf").pages]
    assert len(texts) > 3
    assert all("Head of all" in text for text in texts)
    for n in range(200):
        assert sum(f"row-{n}-begins" in text and f"row-{n}-ends" in text for text in texts) == 1


def test_a_link_to_nowhere_is_an_error() -> None:
    weasyprint = pytest.importorskip("weasyprint")
    html = '<html lang="en"><title>T</title><body><p><a href="#gone">x</a></p>'
    with pytest.raises(NoPdf, match="gone"):
        set_pages(weasyprint, html, STYLE, lambda text: None)


def test_nothing_is_fetched_from_anywhere() -> None:
    weasyprint = pytest.importorskip("weasyprint")
    passwords = Path("/etc/passwd").as_uri()
    html = f'<html lang="en"><title>T</title><body><img alt="x" src="{passwords}">'
    with pytest.raises(NoPdf, match="not part of the manual"):
        set_pages(weasyprint, html, STYLE, lambda text: None)


def test_without_the_library_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(NoPdf, match="apt install libpango"):
        pdf_of(made("tern"))


def test_drawings_say_how_large_they_are() -> None:
    html = paper_html(made("tern"), Paper((120.0, 80.0), (80.0, 120.0)))
    sizes = re.findall(r'<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm"', html)
    assert len(sizes) >= 2
    assert all(float(width) <= 120.0 and float(height) <= 120.0 for width, height in sizes)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_no_word_runs_off_the_paper(handed_over: Path) -> None:
    told = subprocess.run(
        ["pdftotext", "-bbox", str(handed_over / "tern" / "manual.pdf"), "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    width, off, words = 0.0, [], 0
    for line in told.splitlines():
        if page := re.search(r'<page width="([\d.]+)"', line):
            width = float(page[1])
        elif word := re.search(r'xMin="(-?[\d.]+)".* xMax="(-?[\d.]+)".*>(.*)</word>', line):
            words += 1
            if float(word[1]) < 30 or float(word[2]) > width - 30:
                off.append(word[3])
    assert words > 1000
    assert off == []


def test_a_long_list_in_a_table_runs_on_and_breaks_over_pages() -> None:
    writer = PaperWriter(DocumentLinks("", frozenset()), made("tern").source.words, "metric")
    few, many = (
        writer.line(Folded("more", tuple(f"name {n}" for n in range(count)))) for count in (3, 40)
    )
    assert few == "name 0<br>name 1<br>name 2"
    assert "name 0; name 1; " in many
    weasyprint = pytest.importorskip("weasyprint")
    style = (files("installgen.manual.paper") / "paper.css").read_text("utf-8")
    row = f"<tr><th>Why</th><td>{many * 60}</td></tr>"
    html = (
        '<html lang="en"><title>T</title><body><h2>Stays with its table</h2><table class="data">'
        f"<thead><tr><th>Reason</th><th>Waits</th></tr></thead><tbody>{row}</tbody></table>"
    )
    pdf = set_pages(weasyprint, html, style, lambda text: None)
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    assert len(pages) > 1
    assert "name 0" in pages[0].extract_text()
