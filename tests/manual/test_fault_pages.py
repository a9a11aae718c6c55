"""Finding faults and expected readings as pages: askable questions, ends that say what to do."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import html
from lxml.html import HtmlElement

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.manual.blocks import Block, Page, Screen, Screens, Table
from installgen.manual.html import HtmlWriter
from installgen.manual.links import PageLinks
from installgen.manual.pages.fault_finding import fault_finding_page, symptom_pages
from installgen.manual.pages.readings import reading_pages, readings_page
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, Edits, change_line, edited, emergency_button
from tests.manual.manuals import manual

pytestmark = pytest.mark.xdist_group("manual")


def _screens(page: Page) -> tuple[Screen, ...]:
    return next((block.items for block in page.blocks if isinstance(block, Screens)), ())


def _symptom_pages() -> list[Page]:
    return [page for page in manual("brannock").pages.values() if _screens(page)]


def _sections(page: Page) -> dict[str, HtmlElement]:
    tree = manual("brannock").tree(page.id)
    return {section.get("id"): section for section in tree.xpath("//section")}


def _alone(folder: Path, edits: Edits, vessel: str = "brannock") -> VesselManual:
    """A manual of which only some pages are made."""
    analysis = analyse(SpecLibrary.at(edited(folder, edits)).vessel(vessel))
    return VesselManual(analysis, check(analysis, cures=False))


def _words(m: VesselManual, blocks: list[Block]) -> str:
    class Anywhere(PageLinks):
        def href(self, target: object) -> str:
            return "#"

    return HtmlWriter(Anywhere("", {}), m.words, m.first, m.book).blocks(blocks)


def test_every_step_is_reached_from_the_first() -> None:
    pages = _symptom_pages()
    assert len(pages) >= 8
    for page in pages:
        screens = {screen.anchor: screen for screen in _screens(page)}
        waiting = [next(iter(screens))]
        for anchor in waiting:
            for choice in screens[anchor].choices:
                assert choice.target.page == page.id
                if choice.target.anchor not in waiting:
                    waiting.append(choice.target.anchor)
        assert set(waiting) == set(screens) or len(screens) == 1, page.id


def test_a_question_says_what_to_do_where_to_read_and_what_it_should_show() -> None:
    for page in _symptom_pages():
        for section in _sections(page).values():
            terms = [term.text_content() for term in section.xpath(".//dt")]
            if terms:
                assert {"Do", "Meter", "Should show"} <= set(terms), page.id
                said = section.text_content()
                assert "black lead on the negative post of BT1 Start battery" in said
                assert "Red lead on" in said
                if "Engine block" not in said:
                    assert "Where it is" in terms, said


def test_where_the_engine_may_turn_a_warning_stands_before_the_question() -> None:
    cranked = 0
    for page in _symptom_pages():
        for section in _sections(page).values():
            said = section.text_content()
            if "A helper cranks" in said:
                cranked += 1
                assert section.xpath("./div[@class='warning']")
                assert said.index("WARNING".capitalize()) < said.index("A helper cranks")
    assert cranked > 10


def test_an_end_says_what_is_wrong_and_links_to_it() -> None:
    for page in _symptom_pages():
        ends = [s for s in _sections(page).values() if not s.xpath(".//dt") and s.xpath(".//li")]
        assert ends, page.id
        for section in ends:
            items = section.xpath("./ul[not(contains(@class, 'choices'))]/li")
            assert items or section.get("id") == "none"
            for item in items:
                assert item.xpath(".//a"), item.text_content()


def test_a_conductor_at_fault_is_said_with_both_ends() -> None:
    page = manual("brannock").tree("fault-does-not-crank")
    row = page.xpath("//tr[@id='suspect.engine.W6']")[0].text_content()
    for words in ("W6", "yellow with red stripe", "P2", "K1", "86", "Make the joint anew"):
        assert words in row


def test_a_fuse_names_the_conductors_behind_it_whose_short_may_have_blown_it() -> None:
    page = manual("brannock").tree("fault-does-not-crank")
    row = page.xpath("//tr[@id='suspect.engine.ignition-fuse']")[0]
    assert {"conductors.html#engine.W4", "conductors.html#E1"} <= set(row.xpath(".//a/@href"))
    assert "conductors.html#engine.W3" not in row.xpath(".//a/@href")


def test_what_cranks_and_does_not_start_is_looked_for_in_the_fuel_too() -> None:
    whole = manual("brannock")
    tree = whole.tree("fault-cranks-does-not-start")
    said = tree.text_content()
    for words in ("Fuel tank", "Fuel shut-off", "Water separator", "Lift pump", "Bleed screw"):
        assert words in said
    assert "fuel.html#fuel-shutoff" in tree.xpath("//a/@href")
    assert "Hand stop" in said


def test_no_preheat_is_said_where_none_is_connected() -> None:
    assert "She has no preheat that is connected." in manual("brannock").text("faults")
    assert "no preheat" not in manual("pipit").text("faults")


def test_what_cannot_be_studied_is_not_assessed(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    change_line(specs, "vessels/brannock", "{label: E3,", "length: 5.1 m", "length: unknown")
    m = _alone(tmp_path, {})
    assert m.faults == ()
    said = _words(m, list(fault_finding_page(m)))
    assert "Not assessed for engine" in said
    assert "length" in said


def test_each_state_has_a_page_with_a_blank_for_every_terminal() -> None:
    whole = manual("brannock")
    pages = [name for name in whole.pages if name.startswith("readings-")]
    assert len(pages) == 6
    for name in pages:
        tables = [block for block in whole.pages[name].blocks if isinstance(block, Table)]
        rows = [row for table in tables for row in table.rows]
        assert len(rows) > 60
        assert all(table.columns[-1].blank for table in tables)
        assert name in {page for _, page, _ in whole.links()}


def test_the_value_of_the_commissioning_day_stands_beside() -> None:
    row = next(
        row
        for row in manual("brannock").tree("readings-off").xpath("//tbody/tr")
        if "Start battery" in row.text_content()
    )
    assert "12.7 V" in row.text_content()
    assert "2026-06-11" in row.text_content()
    cranking = manual("brannock").text("readings-cranking")
    assert "10.4 V" in cranking
    assert "14.2 V" not in cranking


def test_no_reading_deviates_as_built() -> None:
    said = manual("brannock").text("readings")
    assert "No reading deviates" in said
    for words in ("12.7 V", "multimeter, yard no. 4", "2026-06-11", "electrician"):
        assert words in said


def test_a_reading_out_of_its_band_is_listed_first(tmp_path: Path) -> None:
    """A second reading, far below what a battery at rest can show, taken without an instrument."""
    wrong = "{of: start-bank.positive, value: 11.0 V, case: ignition-on, date: 2026-06-12}"
    added = ("not_fitted:\n", f"  - {wrong}\nnot_fitted:\n")
    m = _alone(tmp_path, {"vessels/brannock": [added]})
    blocks = list(readings_page(m))
    table = next(block for block in blocks if isinstance(block, Table))
    said = _words(m, blocks)
    assert "deviate from what was computed: 1" in said
    assert table.rows[0].cells[2] == "11.0 V"
    assert "Not written: start-bank.positive (instrument, read by, loading)." in said


CASES = """electrical:
  system: 24 V
  cases:
    - {id: all-off, engines: []}
    - {id: port-turns, engines: [{engine: port, state: cranking}]}
    - {id: starboard-turns, engines: [{engine: starboard, state: cranking}]}
"""


def test_engines_that_begin_in_one_case_have_pages_of_their_own(tmp_path: Path) -> None:
    named = {"port.off": "all-off", "starboard.off": "all-off", "port.preheating": "port-turns"}
    named["port.cranking"] = "port-turns"
    edits = [(f"case: {old},", f"case: {new},") for old, new in named.items()]
    edits.append(("electrical:\n  system: 24 V\n", CASES))
    analysis = analyse(SpecLibrary.at(edited(tmp_path, {"vessels/sallow": edits})).vessel("sallow"))
    m = VesselManual(analysis, check(analysis, cures=False))
    assert [page.id for page in reading_pages(m)] == [
        "readings-port-all-off",
        "readings-port-port-turns",
        "readings-starboard-all-off",
        "readings-starboard-starboard-turns",
    ]


def test_an_engine_of_two_is_stopped_by_the_valve_in_its_own_fuel_alone() -> None:
    whole = manual("sallow")
    valves = {"port": "V3 Port fuel shut-off", "starboard": "V4 Starboard fuel shut-off"}
    for page_id in whole.html:
        for engine, other in (("port", "starboard"), ("starboard", "port")):
            if page_id.startswith("fault-") and f"-{engine}-" in f"-{page_id}-":
                assert valves[other] not in whole.text(page_id), page_id
        if page_id.endswith("will-not-stop"):
            said = whole.text(page_id)
            assert [v in said for v in valves.values()] == [
                "port" in page_id,
                "starboard" in page_id,
            ]


def test_a_valve_on_one_of_two_ways_is_not_said_to_stop_the_engine(tmp_path: Path) -> None:
    line = "    - {id: port-second, kind: supply, from: starboard-separator, to: port.fuel-supply, "
    line += "bore: 12 mm, length: 2 m, hose: fuel-a1}\n"
    twin = (SPECS / "vessels/sallow.yaml").read_text("utf-8")
    first = next(one for one in twin.splitlines(keepends=True) if "to: port.fuel-supply" in one)
    m = manual("sallow", edited(tmp_path, {"vessels/sallow": [(first, first + line)]}))
    said = m.text("fault-port-will-not-stop")
    assert "V4 Starboard fuel shut-off: fuel comes by more than one way" in said
    assert "shut-off: shut, it stops the engine" not in said


def test_an_emergency_stop_is_read_and_asked_for(tmp_path: Path) -> None:
    emergency_button(edited(tmp_path, {}))
    m = _alone(tmp_path, {}, "pipit")
    page = next(page for page in symptom_pages(m) if "will-not-stop" in page.id)
    text = str(html.fragment_fromstring(_words(m, list(page.blocks)), "div").text_content())
    # The key stays where it is under way; only the button is worked.
    assert "A helper works the emergency stop while you read" in text
    assert "Key switch: run, SB9 Emergency stop: pressed" in text
