"""Revisions: what changed, who signed, which pages of the binder to swap."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from lxml import html
from lxml.html import HtmlElement

from installgen.errors import SpecErrors
from installgen.manual.made_manual import earlier_manual, make_manual
from installgen.manual.vessel_book import VesselBook, vessel_book
from installgen.spec.earlier import earlier_revisions
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, edited, field


@cache
def _book(specs: Path = SPECS) -> VesselBook:
    library = SpecLibrary.at(specs)
    vessel = library.vessel("brannock")
    earlier = [earlier_manual(revision) for revision in earlier_revisions(library, vessel)]
    return vessel_book(make_manual(vessel, None, earlier), "vessels/brannock/")


def _page(book: VesselBook) -> HtmlElement:
    text = next(written.markdown for written in book.pages if written.page.id == "history")
    return html.fragment_fromstring(text, create_parent="main")


def _table(tree: HtmlElement, caption: str) -> list[list[str]]:
    rows = tree.xpath(f"//table[caption='{caption}']/tbody/tr")
    return [[" ".join(cell.text_content().split()) for cell in row] for row in rows]


def test_each_revision_stands_with_its_date_and_who_signed_for_it() -> None:
    rows = _table(_page(_book()), "Revisions, and who signed for them")
    assert [row[:2] for row in rows] == [["B", "2026-06-18"], ["A", "2026-05-22"]]
    assert "Checker: quality desk, 2026-06-18" in rows[0][2]
    assert "Electrician: electrical shop, 2026-05-18" in rows[1][2]


def test_what_changed_stands_as_it_was_and_as_it_is() -> None:
    tree = _page(_book())
    assert [row[1:3] for row in _table(tree, "Build: coolant")] == [["40 %", "50 %"]]
    sizes = {row[0]: row[1:3] for row in _table(tree, "Build: electrical")}
    assert sizes["electrical · conductors · S2 · size"] == ["1/0 AWG", "2/0 AWG"]
    assert not [row for row in _table(tree, "Build: identity") if "roles" in row[0]]


def test_findings_that_the_revision_cleared_are_told() -> None:
    tree = _page(_book())
    captions = [caption.text_content() for caption in tree.xpath("//table/caption")]
    cleared = next(caption for caption in captions if caption.startswith("Cleared"))
    assert "Double clamps" in [row[0] for row in _table(tree, cleared)]


def test_only_pages_on_which_something_changed_are_to_be_swapped() -> None:
    rows = {row[0]: row[1] for row in _table(_page(_book()), "Pages of the binder")}
    assert rows["Brannock"] == "swap"
    assert rows["Revisions"] == "swap"
    assert rows["Coolant"] == "swap"
    assert rows["Conductor schedule"] == "swap"
    assert "Fuel" not in rows
    assert "Connection register" not in rows


def test_a_changed_sheet_that_was_kept_is_told_from_her_own_spec(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    engines = specs / "earlier/brannock-a/engines"
    engines.mkdir()
    text = (specs / "engines/tolvane-six.yaml").read_text("utf-8")
    assert "oil_full: 23.5 l" in text
    (engines / "tolvane-six.yaml").write_text(
        text.replace("oil_full: 23.5 l", "oil_full: 22 l"), "utf-8"
    )
    rows = [row for row in _table(_page(_book(specs)), "Build: fluids") if "oil full" in row[0]]
    assert [row[1:] for row in rows] == [
        ["22 l (5.81 gal US)", "23.5 l (6.21 gal US)", "the engine sheet"]
    ]


def test_without_an_earlier_revision_there_is_no_such_page(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    path = specs / "vessels/brannock.yaml"
    lines = [t for t in path.read_text("utf-8").splitlines() if not t.startswith("  earlier:")]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    assert "history" not in [written.page.id for written in _book(specs).pages]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("vessels/brannock", "earlier: brannock-a", "earlier: brannock-z"), "brannock-z"),
        (("vessels/brannock", "earlier: brannock-a", "earlier: ../x"), "vessel.earlier"),
        (("earlier/brannock-a/vessels/brannock", "revision: A", "revision: B"), "the revision `B`"),
        (
            (
                "earlier/brannock-a/vessels/brannock",
                "  revision: A",
                "  revision: A\n  earlier: brannock-a",
            ),
            "`brannock-a`, which leads back to itself",
        ),
        (
            ("earlier/brannock-a/vessels/brannock", "length: 11.4 m", "length: -1 m"),
            "specs/earlier/brannock-a/vessels/brannock.yaml:",
        ),
    ],
)
def test_an_earlier_revision_that_cannot_be_read_says_where(
    tmp_path: Path, change: tuple[str, str, str], told: str
) -> None:
    name, old, new = change
    library = SpecLibrary.at(edited(tmp_path, {name: [(old, new)]}))
    with pytest.raises(SpecErrors) as raised:
        earlier_revisions(library, library.vessel("brannock"))
    assert told in str(raised.value)


def test_a_link_is_no_earlier_revision(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    (specs / "earlier/linked").symlink_to(specs / "earlier/brannock-a")
    field(specs, "vessels/brannock", "earlier: brannock-a", "earlier", "linked ")
    library = SpecLibrary.at(specs)
    with pytest.raises(SpecErrors, match="symbolic link"):
        earlier_revisions(library, library.vessel("brannock"))
