"""A manual says nothing of what its vessel lacks: pages and words go with the part."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.analysis.specs import SPECS, edited
from tests.manual.manuals import Manual, manual

JUDGING = ("index", "findings", "not-assessed", "owner")
"""Pages that say what is missing, and so may name it; and the one with the yard's own texts."""


def without_section(folder: Path, name: str, *keys: str) -> Path:
    """A copy of the specs without whole sections of one file."""
    specs = edited(folder, {})
    path = specs / f"{name}.yaml"
    text = path.read_text("utf-8")
    for key in keys:
        section = re.search(rf"^{key}:.*\n(?:[ \-].*\n|\n)*", text, flags=re.MULTILINE)
        assert section, f"{name} has no section {key}"
        text = text.replace(section[0], "")
        for part in re.findall(r"\bid: ([\w-]+)", section[0]):  # its maintenance tasks go with it
            text = re.sub(rf"^  - \{{id: [\w-]+, of: {part},.*\n", "", text, flags=re.MULTILINE)
    path.write_text(text, "utf-8")
    return specs


def said(made: Manual, *skip: str) -> str:
    """All words of a manual; pages that judge what is missing are left out."""
    return "\n".join(
        made.text(page_id) for page_id in made.html if page_id not in (*skip, *JUDGING[1:])
    )


@pytest.mark.parametrize(
    ("file", "sections", "pages", "words"),
    [
        ("vessels/brannock", ["exhaust"], [], ["muffler", "cranking limit", "Exhaust gas is"]),
        (
            "vessels/brannock",
            ["raw_water", "exhaust", "openings"],
            ["raw-water", "calculations-exhaust"],
            ["seacock", "Raw-water strainer", "muffler"],
        ),
        ("vessels/brannock", ["openings"], [], ["Bilge pump outlet", "lanyard"]),
        ("vessels/brannock", ["air"], [], ["louvre", "Openings to the outside"]),
        ("vessels/brannock", ["fuel"], [], ["Fuel tank", "Endurance", "Usable fuel"]),
        (
            "vessels/brannock",
            ["coolant"],
            [],
            ["Expansion tank", "Tolvane Long Life", "poisonous:"],
        ),
        (
            "vessels/brannock",
            ["electrical"],
            [],
            ["Start battery", "Battery isolator", "Key switch"],
        ),
        ("engines/tolvane-six", ["belts"], [], ["belt"]),
        ("engines/tolvane-six", ["alarms"], [], ["alarm sounds"]),
        ("engines/tolvane-six", ["jumpers"], [], ["Loop-back", "in the place of this link"]),
        ("engines/tolvane-six", ["parts"], [], ["eight screws", "splined hub"]),
    ],
)
def test_what_is_deleted_leaves_no_word(
    tmp_path: Path, file: str, sections: list[str], pages: list[str], words: list[str]
) -> None:
    whole, less = manual("brannock"), manual("brannock", without_section(tmp_path, file, *sections))
    for page_id in pages:
        assert page_id in whole.html
        assert page_id not in less.html
    for word in words:
        assert word in said(whole, "index"), f"{word!r} proves nothing"
        found = [page for page in less.html if page not in JUDGING and word in less.text(page)]
        assert found == [], word


def test_each_system_that_is_not_there_has_one_line_on_the_first_page(tmp_path: Path) -> None:
    specs = without_section(tmp_path, "vessels/brannock", "raw_water", "exhaust", "electrical")
    first = manual("brannock", specs).text("index")
    for system in ("Raw water", "Exhaust", "Electrical system"):
        assert first.count(f"{system}: nothing is written of it.") == 1
    assert "nothing is written" not in manual("brannock").text("index")


def test_what_is_declared_not_fitted_says_why() -> None:
    first = manual("brannock").text("index")
    assert "Intake-air heater: not fitted. The heater grid is on the engine" in first


def test_options_decide_what_is_said() -> None:
    """The sister has no fuel cooler, the later aftercooler, and her vent returns to the intake."""
    reference, sister = manual("brannock"), manual("corrie")
    for word in ("Drip tray", "eight screws", "Fuel cooler"):
        assert word in said(reference, "index")
        assert word not in said(sister, "index")
    for word in ("Oil separator", "clamp ring"):
        assert word in said(sister, "index")
    assert "reducing hose joint" in reference.text("raw-water")
    assert "reducing hose joint" not in sister.text("raw-water")


def test_an_engine_of_several_is_named_wherever_it_matters() -> None:
    twin, single = manual("sallow"), manual("brannock")
    for page_id in ("rating", "connections", "raw-water"):
        text = twin.text(page_id)
        assert "Port engine" in text
        assert "Starboard engine" in text
    assert "Port engine" not in said(single)


def test_a_proposed_size_says_so(tmp_path: Path) -> None:
    text = (SPECS / "vessels" / "brannock.yaml").read_text("utf-8")
    line = next(line for line in text.splitlines() if "{label: L8," in line)
    changed = re.sub(r"size: [^,]+", "size: choose", line)
    specs = edited(tmp_path, {"vessels/brannock": [(line, changed)]})
    made = manual("brannock", specs)
    (row,) = made.tree("conductors").xpath("//tr[@id='L8']")
    assert "proposed" in row.text_content()
    assert re.search(r"\d+\sAWG", row.text_content())
    assert made.source.findings.draft
    assert "electrical.conductors[" in made.text("index")


def test_an_unknown_field_is_listed_with_its_place(tmp_path: Path) -> None:
    specs = edited(
        tmp_path,
        {
            "vessels/brannock": [
                ("coldest: 3 °C, hottest: 26 °C", "coldest: 3 °C, hottest: unknown")
            ]
        },
    )
    made = manual("brannock", specs)
    (row,) = [
        row
        for row in made.tree("not-assessed").xpath("//tbody/tr")
        if row.xpath("./th")[0].text_content() == "sea.hottest"
    ]
    assert re.search(r"specs/vessels/brannock\.yaml:\d+:\d+", row.text_content())
    assert "hottest sea" in row.text_content()
    assert "not assessed" in made.text("raw-water")
