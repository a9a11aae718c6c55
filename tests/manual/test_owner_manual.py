"""The owner's manual: complete headings, safe texts, cautions before steps, emergencies near."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from installgen.analysis.analyse import analyse
from installgen.errors import SpecErrors
from installgen.findings.check import check
from installgen.findings.draft import draft_reasons
from installgen.findings.owner_headings import HEADINGS
from installgen.manual.blocks import EmergencyLink, Step, Steps
from installgen.manual.html import HtmlWriter
from installgen.manual.links import EMERGENCIES, PageLinks
from installgen.manual.maintenance import dues, soon
from installgen.manual.words import words
from installgen.manual.yard_text import yard_blocks
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import analysed, change_line, edited, remove_line
from tests.manual.manuals import FLEET, Manual, manual

PROCEDURES = ("emergencies", "starting", "bleeding", "lay-up", "maintenance")


def missing(specs: Path, vessel: str) -> set[str]:
    """The headings that keep a draft."""
    analysis = analyse(SpecLibrary.at(specs).vessel(vessel))
    reasons = check(analysis, cures=False).draft_reasons
    return {r.text.split("`")[1] for r in reasons if r.kind == "missing heading"}


# ---- headings -----------------------------------------------------------------------------------


@pytest.mark.parametrize("vessel", FLEET)
def test_every_heading_stands_in_order_and_none_is_silently_empty(vessel: str) -> None:
    made = manual(vessel)
    heads = made.tree("owner").xpath("//h2")
    assert [head.get("id") for head in heads] == list(HEADINGS)
    for head in heads:
        following = head.getnext()
        assert following is not None, head.get("id")
        assert following.tag != "h2", head.get("id")


def test_a_heading_without_text_or_reason_keeps_a_draft(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    assert missing(specs, "brannock") == set()
    remove_line(specs, "vessels/brannock", "{heading: stability,")
    remove_line(specs, "vessels/brannock", "{heading: gas,")
    assert missing(specs, "brannock") == {"stability", "gas"}
    made = manual("brannock", specs)
    assert made.source.findings.draft
    assert "Nothing stands under this heading yet" in made.text("owner")
    assert "`stability`" not in made.text("index")
    assert "stability" in made.text("index")


def test_a_reason_says_who_and_when() -> None:
    text = manual("brannock").text("owner")
    assert "Not applicable, because: No gas is carried aboard. (Builder, 2026-06-18)" in text


def test_a_heading_that_is_generated_goes_with_what_it_is_made_from(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    for kind in ("fire-extinguisher", "fire-port", "bilge-pump", "hand-bilge-pump"):
        remove_line(specs, "vessels/brannock", f"{{kind: {kind},")
    text = (specs / "vessels/brannock.yaml").read_text("utf-8").replace("  equipment:\n", "")
    (specs / "vessels/brannock.yaml").write_text(text, "utf-8")
    assert missing(specs, "brannock") == {"bilge", "fire-fighting"}


def test_draft_reasons_are_one_list(tmp_path: Path) -> None:
    """Rule, field, size and heading, from one function for page and hand-over alike."""
    specs = edited(
        tmp_path,
        {
            "vessels/brannock": [
                ("hin: ZZ-QSL04127E626", "hin: unknown"),
                ("size: 14 AWG", "size: choose"),
            ]
        },
    )
    remove_line(specs, "vessels/brannock", "{heading: waste,")
    analysis = analyse(SpecLibrary.at(specs).vessel("brannock"))
    findings = check(analysis, cures=False)
    assert findings.draft_reasons == draft_reasons(analysis.vessel, findings.items)
    kinds = {reason.kind for reason in findings.draft_reasons}
    assert kinds == {"finding", "unknown field", "proposed size", "missing heading"}
    assert all(reason.place is not None for reason in findings.draft_reasons)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("brannock/persons.md", "../vessels/brannock.yaml", "a folder and a Markdown file in it"),
        ("brannock/persons.md", "/etc/passwd", "a folder and a Markdown file in it"),
        ("brannock/persons.md", "brannock/../../x.md", "a folder and a Markdown file in it"),
        ("brannock/persons.md", "brannock/person.md", "brannock/persons.md"),
        ("text: brannock/persons.md", "not_applicable: none", "who says so, and when"),
        ("heading: persons,", "heading: loading,", "a second heading `loading`"),
    ],
)
def test_a_text_that_cannot_be_taken_is_said_at_its_place(
    tmp_path: Path, old: str, new: str, message: str
) -> None:
    specs = edited(tmp_path, {"vessels/brannock": [(old, new)]})
    with pytest.raises(SpecErrors) as caught:
        SpecLibrary.at(specs).vessel("brannock")
    assert message in str(caught.value)
    assert "specs/vessels/brannock.yaml:" in str(caught.value)


def test_no_link_leads_out_of_the_folder(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    outside = tmp_path / "outside.md"
    outside.write_text("secret", "utf-8")
    path = specs / "text" / "brannock" / "persons.md"
    path.unlink()
    path.symlink_to(outside)
    with pytest.raises(SpecErrors, match="a symbolic link"):
        SpecLibrary.at(specs).vessel("brannock")


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"a\x00b", b"x" * 200_001])
def test_a_file_that_is_no_text_is_refused(tmp_path: Path, data: bytes) -> None:
    specs = edited(tmp_path, {})
    (specs / "text" / "brannock" / "persons.md").write_bytes(data)
    with pytest.raises(SpecErrors):
        SpecLibrary.at(specs).vessel("brannock")


def test_the_yards_markdown_is_shapes_and_words_only() -> None:
    text = (
        "# Big\n\n<script>alert(1)</script> and **strong** `code`\n\n"
        "[a way](http://example.org) [odd](javascript:alert(1)) ![a picture](http://example.org/x.png)\n\n"
        "<img src=x onerror=alert(1)>\n\n- one\n- two\n  - deep\n\n1. first\n2. then\n\n"
        "| a | b |\n|---|---|\n| <b>1</b> | 2 |\n\n&lt;i&gt; {#id} {{ x }} &#x3c;u&#x3e;\n"
    )
    writer = HtmlWriter(PageLinks("owner", {"owner": "owner.html"}), words(), "metric")
    made = writer.blocks(yard_blocks(text, "waste"))
    for sign in ("<script", "<img", "<b>", "<i>", "<u>", "href", "example.org"):
        assert sign not in made, sign
    assert '<h3 id="waste.1">Big</h3>' in made
    assert "<strong>strong</strong>" in made
    assert "a way" in made
    assert "a picture" in made
    assert "<table" in made
    assert '<ol class="procedure">' in made


# ---- steps --------------------------------------------------------------------------------------


@pytest.mark.parametrize("vessel", FLEET)
def test_the_way_to_the_emergencies_is_on_every_other_page(vessel: str) -> None:
    made = manual(vessel)
    assert next(iter(made.pages)) == "index"
    assert list(made.pages)[1] == EMERGENCIES
    for page in made.pages.values():
        found = [block for block in page.blocks[:2] if isinstance(block, EmergencyLink)]
        assert bool(found) == (page.id != EMERGENCIES), page.id


@pytest.mark.parametrize("vessel", FLEET)
def test_a_caution_stands_before_its_step(vessel: str) -> None:
    made = manual(vessel)
    cautions = 0
    for page in PROCEDURES:
        for item in made.tree(page).xpath("//ol[@class='procedure']/li"):
            kinds = [child.get("class") for child in item]
            assert kinds[-1] == "step-do", page
            cautions += len(kinds) - 1
    assert cautions > 8


@pytest.mark.parametrize("vessel", FLEET)
def test_one_thing_in_a_step_and_where_it_sits(vessel: str) -> None:
    """A stranger who has only the text finds what each step names."""
    made = manual(vessel)
    for page in ("emergencies", "starting", "bleeding"):
        for block in made.pages[page].blocks:
            for step in block.items if isinstance(block, Steps) else ():
                assert isinstance(step, Step)
        for item in made.tree(page).xpath("//p[@class='step-do'][.//span[@class='short-code']]"):
            assert item.xpath(".//span[@class='step-where']"), item.text_content()
            assert len(item.text_content()) < 420


def test_a_stranger_starts_stops_and_bleeds_from_the_text_alone() -> None:
    """Each thing that has to be worked is named with its code, in the order of the work."""
    made = manual("brannock")
    for page, order in (
        ("starting", ["V1", "V3", "Q1", "S10", "54", "Q1", "V1"]),
        ("bleeding", ["T1", "V3", "FS1", "lift pump", "fine fuel filter", "injection pump", "S10"]),
        ("emergencies", ["S10", "hand stop", "V3", "BP1", "V1", "H4", "FX2", "Q1", "ST1", "RP1"]),
    ):
        text = " ".join(
            item.text_content() for item in made.tree(page).xpath("//p[@class='step-do']")
        )
        place = 0
        for word in order:
            place = text.find(word, place)
            assert place >= 0, (page, word)


def test_an_engine_that_runs_on_without_current_says_so_first() -> None:
    assert "does not stop it" in manual("pipit").text("emergencies")
    assert "does not stop it" not in manual("brannock").text("emergencies")


def test_only_a_later_way_to_stop_says_that_it_still_runs(tmp_path: Path) -> None:
    usual = manual("pipit").text("emergencies")
    assert "Still running: p" in usual
    specs = edited(tmp_path, {})
    path = specs / "vessels/pipit.yaml"
    text = path.read_text("utf-8")
    start, end = text.index("electrical:"), text.index("\ncontrols:")
    path.write_text(text[:start] + text[end + 1 :], "utf-8")
    bare = manual("pipit", specs).text("emergencies")
    assert "Pull the hand stop right out" in " ".join(bare.split())
    assert "Still running: pull" not in bare


def test_preheating_is_a_step_only_where_something_preheats(tmp_path: Path) -> None:
    assert "PREHEAT" in manual("pipit").text("starting")
    specs = edited(tmp_path, {})
    path = specs / "engines/tolvane-four.yaml"
    text = "".join(
        line
        for line in path.read_text("utf-8").splitlines(keepends=True)
        if "glow-plugs" not in line
    )
    path.write_text(text, "utf-8")
    assert "PREHEAT" not in manual("pipit", specs).text("starting")


# ---- maintenance --------------------------------------------------------------------------------


def test_tasks_come_by_how_soon_they_are_due(tmp_path: Path) -> None:
    assert [soon(one) for one in ("daily", "250 h", "1 month", "250 h or 12 months")] == [
        0.0,
        250.0,
        25.0,
        250.0,
    ]
    analysis = analysed(tmp_path, "brannock")
    found = manual("brannock").source
    assert analysis.vessel.name == found.vessel.name
    times = [soon(due.every) for due in dues(found)]
    assert times == sorted(times)
    assert len(times) > 25


def test_a_task_goes_with_its_part() -> None:
    """The sister's vent returns to the intake, so she has no drip tray to empty."""
    assert "drip tray" in manual("brannock").text("maintenance")
    assert "drip tray" not in manual("corrie").text("maintenance")


def test_spares_are_those_of_the_fitted_pattern() -> None:
    reference, sister = manual("brannock"), manual("corrie")
    assert "TV-44120" in reference.text("maintenance")
    assert "TV-44220" not in reference.text("maintenance")
    assert "TV-44220" in sister.text("maintenance")


def test_an_interval_that_means_nothing_is_a_mistake(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"engines/tolvane-six": [("every: daily", "every: often")]})
    with pytest.raises(SpecErrors, match="250 h or 12 months"):
        SpecLibrary.at(specs).vessel("brannock")


def fire(made: Manual) -> str:
    """What the emergencies page says of a fire."""
    text = " ".join(made.text(EMERGENCIES).split())
    start = text.index("Everybody goes on deck")
    return text[start : text.index("A battery that burns")]


def test_nobody_is_sent_into_a_fire_to_an_isolator(tmp_path: Path) -> None:
    inside = fire(manual("sallow"))
    for name in ("Q1 Port battery isolator", "Q2 Starboard battery isolator"):
        assert f"{name} stands inside the engine space: do not go to it." in inside
        assert f"Turn {name}" not in inside
    assert "Q3" not in inside, "a switch that joins the banks and stays off"
    specs = edited(tmp_path, {})
    change_line(specs, "vessels/sallow", "{id: port-isolator,", "engine-space", "wheelhouse")
    one_out = fire(manual("sallow", specs))
    assert "Turn Q1 Port battery isolator off. Where: Wheelhouse" in one_out.replace(
        "off.W", "off. W"
    )
    assert "Q2" not in one_out


def test_a_blower_is_switched_off_only_where_it_is_known_by_what(tmp_path: Path) -> None:
    assert "blower" not in fire(manual("sallow")), "fed through more than its own fuse"
    specs = edited(tmp_path, {})
    path = specs / "vessels/brannock.yaml"
    text = path.read_text("utf-8")
    devices = (
        "    - {id: fan, kind: load, name: Extraction blower, code: E77, current: 5 A, "
        "place: engine-space}\n"
        "    - {id: fan-breaker, kind: breaker, name: Blower breaker, code: F77, rating: 10 A, "
        "place: wheelhouse}\n"
    )
    wire = (
        "    - {label: X77, from: fan-breaker.out, to: fan.positive, length: 3 m, size: 2.5 mm², "
        "colour: red, function: blower, place: wheelhouse}\n"
    )
    head, tail = text.split("  devices:\n", 1)
    middle, end = tail.split("  conductors:\n", 1)
    path.write_text(f"{head}  devices:\n{devices}{middle}  conductors:\n{wire}{end}", "utf-8")
    assert "Switch off the extraction blower at F77 Blower breaker." in fire(
        manual("brannock", specs)
    )


def test_work_asks_for_every_battery_to_be_cut() -> None:
    twin, one = manual("sallow"), manual("brannock")
    for page in ("start-run-stop", "dc-power", "driveline", "index"):
        said = twin.text(page)
        assert "Turn all battery isolators off" in said
        assert "Q1 Port battery isolator, Q2 Starboard battery isolator." in said
        assert "Turn the battery isolator off before" in one.text(page)


@pytest.mark.parametrize("vessel", FLEET)
def test_she_is_put_out_of_gear_before_she_is_cranked(vessel: str) -> None:
    for page in ("starting", "bleeding"):
        said = manual(vessel).text(page)
        cranked = [found.start() for found in re.finditer(r" to START\b", said)]
        assert cranked
        for before, at in pairwise([0, *cranked]):
            assert "in neutral." in said[before:at], page
            assert "A turning propeller kills." in said[before:at], page


OPEN_ISOLATOR = re.compile(
    r"\bisolators? open\b|\bopen(?:ing)? (?:\w+ ){0,3}isolators?\b", re.IGNORECASE
)


@pytest.mark.parametrize("vessel", FLEET)
def test_an_isolator_is_turned_off_never_opened(vessel: str) -> None:
    """To an owner a thing that is open is one that lets something through."""
    made = manual(vessel)
    for page in (*PROCEDURES, "index", "start-run-stop", "dc-power", "connections", "driveline"):
        assert OPEN_ISOLATOR.findall(made.text(page)) == [], page
