"""The starting procedure and the first screen: how long to crank, and which seacock to shut."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import html

from installgen.manual.made_manual import MadeManual
from installgen.manual.onefile.document import one_file
from installgen.units import Time
from tests.analysis.specs import edited
from tests.manual.manuals import FLEET, Manual, manual


def panel(made: Manual, page: str) -> str:
    """The panel that tells of cranking; on the first page it stands before anything else."""
    found = made.tree(page).xpath("//div[@class='warning'][contains(., 'Shut ')]")
    return str(found[0].text_content())


@pytest.mark.parametrize("vessel", FLEET)
def test_first_screen_and_procedure_say_the_same(vessel: str) -> None:
    made = manual(vessel)
    first = panel(made, "index").replace("Starting and stopping, step by step", "")
    assert first == panel(made, "starting")
    html = made.html["index"]
    assert html.index('class="warning"') < html.index('class="identity"')


@pytest.mark.parametrize("vessel", ["brannock", "corrie", "sallow"])
def test_limit_of_each_engine_with_its_seacock(vessel: str) -> None:
    made = manual(vessel)
    text = panel(made, "index")
    book = made.source.book
    for engine in made.source.vessel.engines:
        limit = book[f"{engine.name}.exhaust.cranking-limit"].value
        assert isinstance(limit, Time)
        assert f"all attempts together: {limit.s:.0f}\N{NO-BREAK SPACE}s" in text
        cock = made.source.analysis.routes[engine.name].steps[0]
        assert cock.kind == "seacock"
        assert f"Shut {cock.code} {cock.name}" in text
    links = made.tree("index").xpath(
        "//div[@class='warning'][1]//a[contains(@class, 'result')]/@href"
    )
    assert any("cranking-limit" in str(link) for link in links)


def test_unknown_limit_keeps_the_seacock_shut() -> None:
    made = manual("pipit")
    assert "not assessed" in panel(made, "index")
    assert "Shut V1 Raw-water seacock (Engine box) before you crank at all" in panel(made, "index")
    before = made.tree("starting").xpath("//ol")[0].text_content()
    assert "Shut V1 Raw-water seacock until the engine fires" in before
    assert "Open V1" not in before


def test_a_seacock_for_both_engines_says_so(tmp_path: Path) -> None:
    other = ("code: V2, bore: 32 mm", "code: V1, bore: 32 mm")
    made = manual("sallow", edited(tmp_path, {"vessels/sallow": [other]}))
    assert "also feeds the starboard engine" in panel(made, "index")
    assert "also feeds the" not in panel(manual("sallow"), "index")


def test_keys_of_two_stations_are_one_step() -> None:
    text = manual("sallow").text("starting")
    assert "Turn SK1 Port key switch, lower station or SK3 Port key switch, upper station" in text
    assert "Press SB1" in text
    off = "turn SK1 Port key switch, lower station and SK3 Port key switch, upper station to OFF"
    assert off in text
    assert "Leave Q3 Emergency paralleling switch off" in text
    assert "pull the hand stop right out" in text


@pytest.mark.parametrize("vessel", ["corrie", "pipit", "sallow"])
def test_the_first_screen_of_the_one_file_says_it_before_its_contents(vessel: str) -> None:
    made = manual(vessel)
    file = one_file(MadeManual(made.source, tuple(made.pages.values()), {}))
    leaf = html.fromstring(file).xpath("//article[@data-page='contents']")[0]
    warning, contents = leaf.xpath(".//div[@class='warning'] | .//nav[@class='contents']")
    assert contents.get("class") == "contents"
    text = str(warning.text_content())
    for engine in made.source.vessel.engines:
        assert made.source.engine_name(engine) in text
        assert made.source.analysis.routes[engine.name].steps[0].code in text
    assert "Local codes" in text


def test_who_looks_for_a_fault_while_cranking_is_told_too() -> None:
    made = manual("sallow")
    for engine, other in (("port", "Starboard"), ("starboard", "Port")):
        text = panel(made, f"fault-{engine}-cranks-does-not-start")
        assert "longest cranking, all attempts together" in text
        assert f"{other} engine" not in text
