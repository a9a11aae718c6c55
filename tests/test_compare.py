"""Two builds side by side: differences in meaning, mirrored, with nothing of equal print."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.findings.compare import THERE, Comparison, Turn, compare
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, edited, field


@cache
def _analysed(specs: Path, vessel_id: str) -> Analysis:
    return analyse(SpecLibrary.at(specs).vessel(vessel_id))


def _against_edited(specs: Path) -> Comparison:
    return compare(_analysed(SPECS, "brannock"), _analysed(specs, "brannock"))


def test_a_vessel_is_like_herself() -> None:
    brannock = _analysed(SPECS, "brannock")
    assert compare(brannock, brannock).same


PAIRS = [("brannock", "corrie"), ("corrie", "sallow"), ("pipit", "sallow"), ("brannock", "pipit")]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_it_mirrors(first: str, second: str) -> None:
    a, b = _analysed(SPECS, first), _analysed(SPECS, second)
    there, back = compare(a, b), compare(b, a)
    assert Counter((d.first, d.second, d.first_at, d.second_at) for d in there.build) == Counter(
        (d.second, d.first, d.second_at, d.first_at) for d in back.build
    )
    assert {(m.kind, m.first, m.second) for m in there.matches} == {
        (m.kind, m.second, m.first) for m in back.matches
    }
    opposite = {Turn.BETTER: Turn.WORSE, Turn.WORSE: Turn.BETTER, Turn.OTHER: Turn.OTHER}
    assert Counter((d.first, d.second, d.turn) for d in there.results) == Counter(
        (d.second, d.first, opposite[d.turn]) for d in back.results
    )


def test_equal_as_printed_is_equal(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "1300 mm")
    assert _against_edited(specs).same


def test_the_order_of_conductors_does_not_matter(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    path = specs / "vessels/brannock.yaml"
    lines = path.read_text("utf-8").splitlines()
    at = next(index for index, line in enumerate(lines) if "{label: L2," in line)
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    assert not _against_edited(specs).build


def test_a_longer_cable_is_worse_and_says_where(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "4 m")
    found = _against_edited(specs)
    assert [d.path for d in found.build] == [("electrical", "conductors", "S2", "length")]
    assert found.build[0].source == "vessel"
    assert found.build[0].second_at is not None
    turns = {d.result: d.turn for d in found.results}
    assert turns["engine.start-run-stop.cranking-speed-weakest"] is Turn.WORSE
    assert turns["engine.start-run-stop.starter-circuit"] is Turn.WORSE
    assert not any(name.startswith("fuel.") for name in turns)


def test_a_change_of_the_sheet_is_told_from_one_of_the_vessel(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"engines/tolvane-six": [("oil_full: 23.5 l", "oil_full: 22 l")]})
    assert {d.source for d in _against_edited(specs).build} == {"sheet"}


def test_what_one_lacks_is_one_line() -> None:
    found = compare(_analysed(SPECS, "brannock"), _analysed(SPECS, "corrie"))
    coolers = [d for d in found.build if d.path[-2:] == ("coolers", "fuel-cooler")]
    assert [(d.first, d.second) for d in coolers] == [(THERE, "")]


def test_a_cooler_left_out_renames_no_other_joint() -> None:
    found = compare(_analysed(SPECS, "brannock"), _analysed(SPECS, "corrie"))
    gone = {d.result for d in found.results if d.result.endswith(".fit") and not d.second}
    assert gone <= {
        "engine.raw-water.after-fuel-cooler.fit",
        "engine.raw-water.after-hose-charge.fit",
    }


def test_only_one_system() -> None:
    found = compare(_analysed(SPECS, "brannock"), _analysed(SPECS, "corrie"), only="raw-water")
    assert found.build
    assert {d.system for d in found.build} == {"raw-water"}
