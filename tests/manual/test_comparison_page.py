"""The page that lays two vessels side by side, and what two manuals say otherwise."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lxml import html
from lxml.html import HtmlElement

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.findings.compare import compare
from installgen.findings.consequences import Side, consequences
from installgen.manual.comparison_page import Compared, comparison_page, page_id, sisters
from installgen.manual.html import HtmlWriter
from installgen.manual.links import PageLinks
from installgen.manual.page_text import PageTexts, page_changes, spoken_changes
from installgen.manual.pages.all_pages import vessel_pages
from installgen.manual.vessel_manual import VesselManual
from installgen.manual.words import words
from installgen.manual.yard_pages import vessel_target
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, edited, field


@cache
def _side(specs: Path, name: str) -> Side:
    library = SpecLibrary.at(specs)
    return Side(library, analyse(library.vessel(name)))


def _compared(first: Side, second: Side, *, causes: bool = False) -> Compared:
    a, b = first.analysis, second.analysis
    found = compare(a, b, findings=(check(a, cures=False), check(b, cures=False)))
    return Compared(found, consequences(first, second, found) if causes else None)


def _tree(first: Side, second: Side, compared: Compared) -> HtmlElement:
    a, b = first.analysis.vessel, second.analysis.vessel
    page = comparison_page(a, b, compared, words())
    addresses = {vessel_target(v.id): f"vessels/{v.id}/index.html" for v in (a, b)}
    addresses[page.id] = f"{page_id(a.id, b.id)}.html"
    writer = HtmlWriter(PageLinks(page.id, addresses), words(), "metric")
    return html.fragment_fromstring(writer.blocks(page.blocks), create_parent="main")


def _row(tree: HtmlElement, first_cell: str) -> list[str]:
    row = tree.xpath(f"//tr[*[1][normalize-space()='{first_cell}']]")[0]
    return [" ".join(cell.text_content().split()) for cell in row]


def test_sisters_have_the_same_engines() -> None:
    vessels = SpecLibrary.at(SPECS).vessels()
    assert [(a.id, b.id) for a, b in sisters(vessels)] == [("brannock", "corrie")]


def test_a_judged_figure_stands_with_its_margin_and_its_causes(tmp_path: Path) -> None:
    """The starter circuit may have 2 mΩ: what it gains, over 2 mΩ, is the margin it loses."""
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "1.6 m")
    first, second = _side(SPECS, "brannock"), _side(specs, "brannock")
    tree = _tree(first, second, _compared(first, second, causes=True))
    cells = _row(tree, "Resistance of the starter circuit")
    result = "engine.start-run-stop.starter-circuit"
    values = [side.analysis.book[result].value for side in (first, second)]
    lost = (values[1].value - values[0].value) / 0.002  # type: ignore[union-attr]
    assert cells[3] == f"\N{MINUS SIGN}{lost:.1%}".replace("%", " %")
    assert cells[4] == "S2 length"


def test_findings_raised_stand_with_both_verdicts(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{id: hose-2,", "clamps", "single")
    first, second = _side(SPECS, "brannock"), _side(specs, "brannock")
    tree = _tree(first, second, _compared(first, second))
    assert _row(tree, "Double clamps")[-2:] == ["pass", "fail"]
    assert "Raised: 1" in tree.text_content()


def test_guesses_are_called_guesses() -> None:
    first, second = _side(SPECS, "pipit"), _side(SPECS, "sallow")
    tree = _tree(first, second, _compared(first, second))
    assert _row(tree, "Engine") == ["Engine", "engine", "port", "a guess: they are alike"]


def test_two_that_are_the_same_say_so() -> None:
    side = _side(SPECS, "corrie")
    assert "Nothing differs." in _tree(side, side, _compared(side, side)).text_content()


# ---- what manuals say ---------------------------------------------------------------------------


def _texts(side: Side) -> PageTexts:
    manual = VesselManual(side.analysis, check(side.analysis, cures=False))
    return PageTexts(manual, vessel_pages(manual))


def test_the_same_vessel_has_the_same_pages(tmp_path: Path) -> None:
    """A comment on top moves every line of her spec, and no word of her manual."""
    specs = edited(tmp_path, {})
    path = specs / "vessels/corrie.yaml"
    path.write_text(f"# moved down\n{path.read_text('utf-8')}", "utf-8")
    assert not page_changes(_texts(_side(SPECS, "corrie")), _texts(_side(specs, "corrie")))


def test_a_change_shows_on_its_pages_and_on_no_other(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/corrie", "{id: separator,", "part_number", "QS-F-900")
    changes = page_changes(_texts(_side(SPECS, "corrie")), _texts(_side(specs, "corrie")))
    assert "fuel" in {change.id for change in changes}
    assert "raw-water" not in {change.id for change in changes}
    fuel = next(change for change in changes if change.id == "fuel")
    assert any("QS-F-214" in line for line in fuel.gone)
    assert any("QS-F-900" in line for line in fuel.new)


def test_a_page_that_is_gone_or_new_says_so() -> None:
    side = _side(SPECS, "corrie")
    whole = _texts(side)
    shorter = PageTexts(whole.manual, [page for page in whole.pages if page.id != "fuel"])
    assert [(c.id, c.kind) for c in page_changes(whole, shorter)] == [("fuel", "gone")]
    assert [(c.id, c.kind) for c in page_changes(shorter, whole)] == [("fuel", "new")]


def test_only_sentences_are_told_of_what_the_manuals_say() -> None:
    found = spoken_changes(_texts(_side(SPECS, "brannock")), _texts(_side(SPECS, "corrie")))
    lines = [line for change in found for line in (*change.gone, *change.new)]
    assert lines
    assert not [line for line in lines if " · " in line]
