"""Text of a spec is untrusted: it is kept as written or refused by length, and never runs away."""

from pathlib import Path

import pytest

from installgen.errors import Position, SpecErrors
from installgen.spec.folder import FolderProblem
from installgen.spec.load import SpecLibrary
from tests.spec.spec_cases import FOLDER, SpecCase

VESSEL = (FOLDER / "base" / "vessels" / "tern.yaml").read_text(encoding="utf-8")


def library(folder: Path, vessel: str) -> SpecLibrary:
    case = SpecCase("made-here", "", (), {"vessels/tern.yaml": vessel})
    return SpecLibrary.at(case.write(folder))


def problems(folder: Path, vessel: str) -> list[tuple[Position, str, str]]:
    with pytest.raises(SpecErrors) as raised:
        library(folder, vessel).vessel("tern")
    return [(one.position, one.found, one.expected) for one in raised.value.problems]


ODD = """<script>alert("1")</script> | 'quoted' & `ticks` ]]> {{ 7 * 7 }} %s \\ 🛥 ﷽ ¿"""


def test_odd_signs_stay_as_they_were_written(tmp_path: Path) -> None:
    quoted = ODD.replace("'", "''")
    vessel = library(tmp_path, VESSEL.replace("name: Tern", f"name: '{quoted}'")).vessel("tern")
    assert vessel.name == ODD


def test_a_long_note_is_kept(tmp_path: Path) -> None:
    note = "One line of a note.\n" * 90
    text = VESSEL + "notes:\n  - |\n" + "".join(f"    {line}\n" for line in note.splitlines())
    assert library(tmp_path, text).vessel("tern").spec.notes == [note]


@pytest.mark.parametrize(
    ("old", "new", "column", "found", "expected"),
    [
        ("name: Tern", "name: {}", 26, "a text of 10000 characters", "at most 120 characters"),
        ("id: tern", "id: {}", 14, "a text of 10000 characters", "at most 60 characters"),
        ("date: 2026-05-01", "date: {}", 82, "a text of 10000 characters", "at most 10 characters"),
        ("yard: Test yard", "yard: {}", 52, "`" + "x" * 57 + "…`", "at most 2000 characters"),
    ],
)
def test_ten_thousand_characters(
    tmp_path: Path, old: str, new: str, column: int, found: str, expected: str
) -> None:
    text = VESSEL.replace(old, new.format("x" * 10_000), 1)
    place = Position("specs/vessels/tern.yaml", 2, column)
    assert problems(tmp_path, text) == [(place, found, expected)]


def test_a_long_word_for_a_unit_or_a_choice_is_shortened(tmp_path: Path) -> None:
    long = "9" * 10_000
    text = VESSEL + f"electrical: {{system: {long} V}}\nunits: {{first: {long}}}\n"
    for _, found, _ in problems(tmp_path, text):
        assert len(found) < 120


@pytest.mark.parametrize("outside", ["../engines/garrow", "/etc/passwd", "a\\b", "..", "tern.yaml"])
def test_nothing_outside_the_folder_is_asked_for(tmp_path: Path, outside: str) -> None:
    specs = library(tmp_path, VESSEL)
    for ask in (specs.vessel, specs.sheet, specs.standard):
        with pytest.raises(FolderProblem):
            ask(outside)


def test_an_asked_id_that_is_none_is_told_with_the_others(tmp_path: Path) -> None:
    specs = library(tmp_path, VESSEL + "nots: []\n")
    with pytest.raises(SpecErrors) as raised:
        specs.vessels(["tern", "../tern", "turn"])
    told = [(one.position.file, one.found) for one in raised.value.problems]
    assert told == [
        ("specs", "the id `../tern`"),
        ("specs", "the vessel `turn`, which has no file"),
        ("specs/vessels/tern.yaml", "the unknown key `nots`"),
    ]


def test_the_words_of_a_spec_never_become_its_structure(tmp_path: Path) -> None:
    text = VESSEL.replace("name: Tern", r'name: "x\", hin: \"y"')
    vessel = library(tmp_path, text).vessel("tern")
    assert vessel.name == 'x", hin: "y'
    assert str(vessel.spec.vessel.hin) == "unknown"
