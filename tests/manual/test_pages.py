"""What every manual holds: a working for each result, links that lead somewhere, both units."""

from __future__ import annotations

from collections import Counter
from urllib.parse import unquote

import pytest

from installgen.analysis.results import ResultOrigin
from installgen.manual.blocks import Caution, DraftBanner
from installgen.units import Quantity, format_one
from tests.manual.manuals import FLEET, manual

HURTS = ("raw-water", "coolant", "lubrication", "fuel", "dc-power", "start-run-stop", "driveline")


@pytest.mark.parametrize("vessel", FLEET)
def test_every_result_has_its_working_on_one_page(vessel: str) -> None:
    made = manual(vessel)
    places = {
        page_id: Counter(made.ids(page_id))
        for page_id in made.html
        if page_id.startswith("calculations-")
    }
    for result in made.source.book.values():
        assert places[f"calculations-{result.system}"][result.id] == 1, result.id
        assert sum(found[result.id] for found in places.values()) == 1, result.id


@pytest.mark.parametrize("vessel", FLEET)
def test_every_link_leads_to_a_place(vessel: str) -> None:
    made = manual(vessel)
    ids = {page_id: set(made.ids(page_id)) for page_id in made.html}
    dead = {
        f"{here} -> {page}#{place}"
        for here, page, place in made.links()
        if page not in ids or (place and unquote(place) not in ids[page])
    }
    assert sorted(dead) == []


@pytest.mark.parametrize("vessel", FLEET)
def test_an_id_is_used_once_a_page(vessel: str) -> None:
    made = manual(vessel)
    for page_id in made.html:
        twice = [name for name, count in Counter(made.ids(page_id)).items() if count > 1]
        assert twice == [], page_id


@pytest.mark.parametrize("vessel", FLEET)
def test_workings_are_linked_both_ways(vessel: str) -> None:
    made = manual(vessel)
    folded = {
        name: {unquote(str(link).partition("#")[2]) for link in details.xpath(".//a/@href")}
        for name, details in made.workings().items()
    }
    for result in made.source.book.values():
        for origin in (item.origin for item in result.inputs):
            if isinstance(origin, ResultOrigin):
                assert origin.result in folded[result.id]
                assert result.id in folded[origin.result]


@pytest.mark.parametrize("vessel", FLEET)
def test_every_result_shows_its_value_in_both_systems(vessel: str) -> None:
    made = manual(vessel)
    workings = made.workings()
    for result in made.source.book.values():
        if not isinstance(result.value, Quantity):
            continue
        shown = workings[result.id].find("summary").text_content()
        assert format_one(result.value, "metric") in shown
        assert format_one(result.value, "us") in shown


@pytest.mark.parametrize("vessel", FLEET)
def test_figures_on_the_pages_stand_in_both_systems(vessel: str) -> None:
    """Where the two systems differ, the other one is in the same cell."""
    made = manual(vessel)
    checked = 0
    for page_id in made.html:
        for link in made.tree(page_id).xpath("//a[contains(@class, 'result')]"):
            result_id = unquote(link.get("href").partition("#")[2])
            value = made.source.book[result_id].value
            if isinstance(value, Quantity) and (
                format_one(value, "metric") != format_one(value, "us")
            ):
                assert link.xpath(".//span[@class='other-unit']"), result_id
                checked += 1
    assert checked > 20


@pytest.mark.parametrize("vessel", FLEET)
def test_assumed_is_said_wherever_it_is_shown(vessel: str) -> None:
    """In the cell, or under a table in which every figure is."""
    made = manual(vessel)
    for page_id in made.html:
        for link in made.tree(page_id).xpath("//a[contains(@class, 'result')]"):
            result = made.source.book[unquote(link.get("href").partition("#")[2])]
            if not (result.assumed and result.assessed):
                continue
            marks = link.xpath("following-sibling::*[@class='mark'][1]")
            note = link.xpath("ancestor::div[@class='table-scroll']/following-sibling::p[1]")
            said = marks or (note and "assumed" in note[0].text_content())
            assert said, f"{page_id}: {result.id}"


@pytest.mark.parametrize("vessel", FLEET)
def test_not_assessed_names_the_reason_and_the_field(vessel: str) -> None:
    made = manual(vessel)
    gaps = [result for result in made.source.book.values() if not result.assessed]
    assert ("not-assessed" in made.html) == bool(gaps or made.source.findings.draft_reasons)
    if not gaps:
        return
    workings, listed = made.workings(), made.text("not-assessed")
    links = {unquote(place) for here, _, place in made.links() if here == "not-assessed"}
    for result in gaps:
        words = workings[result.id].text_content()
        assert "not assessed" in words
        assert result.id in links
        for missing in result.missing:
            assert missing.path in words
            assert missing.path in listed


@pytest.mark.parametrize("vessel", FLEET)
def test_a_draft_says_so_on_every_page(vessel: str) -> None:
    made = manual(vessel)
    draft = made.source.findings.draft
    for page in made.pages.values():
        assert isinstance(page.blocks[0], DraftBanner) == draft, page.id
    assert any(manual(other).source.findings.draft for other in FLEET)
    assert not all(manual(other).source.findings.draft for other in FLEET)


@pytest.mark.parametrize("vessel", FLEET)
def test_where_work_can_hurt_a_caution_defers_to_those_who_know_it(vessel: str) -> None:
    made = manual(vessel)
    deferral = made.source.words.text("safety.deferral")
    for page_id in HURTS:
        cautions = [block for block in made.pages[page_id].blocks if isinstance(block, Caution)]
        assert cautions, page_id
        assert deferral in made.text(page_id), page_id


@pytest.mark.parametrize("vessel", FLEET)
def test_no_table_is_empty_and_none_is_without_a_name(vessel: str) -> None:
    made = manual(vessel)
    for page_id in made.html:
        for table in made.tree(page_id).xpath("//table[caption]"):
            assert table.findtext("caption"), page_id
            assert table.xpath("./tbody/tr"), page_id
            heads = table.xpath("./thead//th[not(@colspan)]")
            assert all(head.text_content().strip() for head in heads)
            for column in range(len(table.xpath("./tbody/tr[1]/*"))):
                cells = [row[column] for row in table.xpath("./tbody/tr")]
                if cells[0].get("class") == "blank":  # to be filled in by hand
                    continue
                assert any(cell.text_content().strip() for cell in cells), page_id


def test_nominal_sizes_and_ratings_stand_as_they_were_written() -> None:
    """A 10 mm stud is no stud of 0.394 in, though the vessel prints US units first."""
    made = manual("brannock")
    text = made.text("connections")
    assert "flat face 10\N{NO-BREAK SPACE}mm" in text
    assert "flat face 0.394" not in text
    ratings = [
        cell.text_content()
        for cell in made.tree("conductors").xpath("//td[@data-label='Insulation']")
    ]
    assert set(ratings) == {"105\N{NO-BREAK SPACE}°C"}
