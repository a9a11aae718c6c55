"""The yard's pages of rules: by vessel, each standard, the named checks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lxml import html
from lxml.html import HtmlElement

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.findings.finding import Findings
from installgen.findings.registry import checks
from installgen.findings.rule_table import rule_table
from installgen.manual.blocks import Page
from installgen.manual.checks_page import checks_page
from installgen.manual.fleet_page import findings_target, fleet_page
from installgen.manual.html import HtmlWriter
from installgen.manual.links import CHECKS, RULES_BY_VESSEL, PageLinks, standard_page_id
from installgen.manual.standard_page import standard_page
from installgen.manual.words import words
from installgen.spec.load import SpecLibrary
from installgen.spec.standard_spec import StandardSpec
from tests.analysis.specs import SPECS, edited
from tests.findings.scenario_files import judged
from tests.findings.test_rules import NEXT
from tests.manual.manuals import manual

VESSELS = ("brannock", "pipit")
SINGLE = "exhaust[engine].pieces[exhaust-hose-1].clamps = single"
CLAIM = "exemptions = [{check: exhaust-clamps, reason: no room, role: builder}]"


def _tree(page: Page, *standards: StandardSpec) -> HtmlElement:
    addresses = {name: f"{name}.html" for name in (page.id, CHECKS, RULES_BY_VESSEL)}
    addresses |= {findings_target(vessel): f"vessels/{vessel}/findings.html" for vessel in VESSELS}
    names = [standard_page_id(standard.standard.id) for standard in standards]
    addresses |= {name: f"{name}.html" for name in names}
    writer = HtmlWriter(PageLinks(page.id, addresses), words(), "metric")
    return html.fragment_fromstring(writer.blocks(page.blocks), create_parent="main")


@cache
def _fleet() -> tuple[Findings, ...]:
    return tuple(judged(vessel) for vessel in VESSELS)


def _cells(tree: HtmlElement, anchor: str) -> list[str]:
    row = tree.xpath(f"//tr[@id='{anchor}']")[0]
    return [" ".join(cell.text_content().split()) for cell in row]


def test_the_fleet_page_has_each_rule_once_with_a_verdict_for_each_vessel() -> None:
    tree = _tree(fleet_page(_fleet(), words()))
    rows = tree.xpath("//tr[@id]")
    assert len(rows) == len({row.get("id") for row in rows}) == len(rule_table(_fleet()))
    assert _cells(tree, "rule.cranking-speed")[2:] == ["pass", "fail"]
    assert _cells(tree, "rule.hin-form")[2:] == ["pass", "not assessed"]
    assert _cells(tree, "rule.double-clamps")[2:] == [
        "pass",
        "not assessed (4)",
    ]
    link = tree.xpath("//tr[@id='rule.cranking-speed']//a/@href")
    assert link == ["vessels/pipit/findings.html#must"]


def test_a_rule_that_holds_everywhere_is_folded() -> None:
    tree = _tree(fleet_page(_fleet(), words()))
    folded = set(tree.xpath("//details//tr/@id"))
    assert "rule.fuse-voltage" in folded
    assert "rule.cranking-speed" not in folded


def test_an_exempt_rule_says_so() -> None:
    fleet = [judged("brannock", SINGLE, CLAIM)]
    assert _cells(_tree(fleet_page(fleet, words())), "rule.exhaust-clamps")[2:] == ["exempt"]


def test_one_that_is_open_counts_more_than_one_that_is_exempt() -> None:
    claim = CLAIM.replace("role: builder", "of: engine.exhaust.exhaust-hose-1, role: builder")
    riser = "exhaust[engine].pieces[riser].clamps = single"
    row = next(
        row
        for row in rule_table([judged("brannock", SINGLE, riser, claim)])
        if row.id == "exhaust-clamps"
    )
    assert row.aboard["brannock"].word == "fail"
    assert row.aboard["brannock"].standing == 1


def test_every_limit_of_a_standard_says_where_it_came_from(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    (specs / "standards/quenby-slip-next.yaml").write_text(NEXT, "utf-8")
    own = SpecLibrary.at(specs).standard("quenby-slip-next")
    tree = _tree(standard_page(own, words()), own)
    changed = _cells(tree, "rule.circuit-drop.critical")
    assert changed[2:4] == ["1 %", "A proposal"]
    line = 1 + NEXT.splitlines().index(next(t for t in NEXT.splitlines() if "circuit-drop" in t))
    assert changed[-1] == f"quenby-slip-next:{line}"
    taken = _cells(tree, "rule.circuit-drop.other")
    assert taken[2] == "10 %"
    assert taken[-1].startswith("quenby-slip:")
    assert not tree.xpath("//tr[@id='rule.house-bank']")
    for table in tree.xpath("//table"):
        for row in table.xpath(".//tbody/tr"):
            assert row[-1].text_content().startswith("quenby-slip"), row.text_content()


def test_every_check_is_described_with_the_rules_that_ask_for_it() -> None:
    standard = SpecLibrary.at(SPECS).standard("quenby-slip")
    tree = _tree(checks_page([standard], words()), standard)
    assert {row.get("id") for row in tree.xpath("//tr[@id]")} == set(checks())
    asked = _cells(tree, "circuit-drop")
    assert "critical, other" in asked
    assert asked[-1] == "quenby-slip, critical, 3 %, mustquenby-slip, other, 10 %, must"
    links = tree.xpath("//tr[@id='circuit-drop']//a/@href")
    assert links[0] == "standard-quenby-slip.html#rule.circuit-drop.critical"


def test_every_rule_of_a_proposed_standard_can_be_drawn_up(tmp_path: Path) -> None:
    """A fleet of two standards: a rule that only one of them has is a dash in the other."""
    specs = edited(tmp_path, {})
    (specs / "standards/quenby-slip-next.yaml").write_text(NEXT, "utf-8")
    library = SpecLibrary.at(specs)
    fleet = [
        check(analyse(library.vessel("brannock", "quenby-slip-next")), cures=False),
        judged("pipit"),
    ]
    row = next(row for row in rule_table(fleet) if row.id == "house-bank")
    assert set(row.aboard) == {"pipit"}


def test_a_manual_shows_each_exemption_and_whether_it_counts(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    path = specs / "vessels/brannock.yaml"
    text = path.read_text("utf-8").replace("clamps: double, highest", "clamps: single, highest", 1)
    claims = (
        "{check: exhaust-clamps, reason: no room, role: builder, until: 2026-12}",
        "{check: house-bank, reason: one bank, role: owner}",
        "{check: ampacity, reason: none needed, role: builder}",
    )
    path.write_text(text + "exemptions:\n" + "".join(f"  - {claim}\n" for claim in claims), "utf-8")
    made = manual("brannock", specs)
    rows = [
        [" ".join(cell.text_content().split()) for cell in row]
        for row in made.tree("findings").xpath(
            "//table[caption='Exemptions that the vessel claims']/tbody/tr"
        )
    ]
    assert [(row[0], row[-1]) for row in rows] == [
        ("exhaust-clamps", "counts, for 1"),
        (
            "house-bank",
            "The exemption does not count: the standard lets only builder or checker or "
            "surveyor claim one, not `owner`.",
        ),
        ("ampacity", "covers nothing that would need it"),
    ]
    assert "Ends of exemptions are judged on 2026-06-18." in made.text("findings")
