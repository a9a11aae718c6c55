"""The drawings of two builds: what only one has and what is written otherwise is marked in both."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from installgen.analysis.analyse import Analysis, analyse
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Status
from installgen.drawings.render import render
from installgen.drawings.side_by_side import Pair, differing_drawings
from installgen.findings.compare import compare
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, edited, field


@cache
def _vessel(name: str) -> Analysis:
    return analyse(SpecLibrary.at(SPECS).vessel(name))


def _pairs(first: Analysis, second: Analysis) -> dict[str, Pair]:
    pairs = differing_drawings(first, second, compare(first, second))
    return {(pair.first or pair.second).id: pair for pair in pairs}  # type: ignore[union-attr]


def _marks(drawing: Drawing | None) -> dict[str, tuple[Status, str]]:
    assert drawing is not None
    marks = {node.id: (node.status, node.note) for node in drawing.nodes}
    marks |= {
        edge.code or f"{edge.tail} > {edge.head}": (edge.status, edge.note)
        for edge in drawing.edges
    }
    return {name: mark for name, mark in marks.items() if mark[0] is not Status.NORMAL}


def test_one_vessel_has_no_differing_drawing() -> None:
    assert not _pairs(_vessel("brannock"), _vessel("brannock"))


def test_what_one_of_them_lacks_is_marked_in_the_one_that_has_it() -> None:
    fuel = _pairs(_vessel("brannock"), _vessel("corrie"))["fuel"]
    mine, theirs = _marks(fuel.first), _marks(fuel.second)
    assert mine["engine.fuel-cooler-side"] == (Status.ONLY_HERE, "")
    assert theirs == {"engine.injection-pump > engine.fuel-return": (Status.ONLY_HERE, "")}


def test_a_conductor_written_otherwise_is_marked_in_both_with_its_fields(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "4 m")
    pairs = _pairs(_vessel("brannock"), analyse(SpecLibrary.at(specs).vessel("brannock")))
    assert set(pairs) == {"dc-power", "start-run-stop"}
    for pair in pairs.values():
        for drawing in (pair.first, pair.second):
            assert _marks(drawing) == {"S2": (Status.DIFFERS, "length")}


def test_another_name_for_the_same_thing_is_no_difference(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"vessels/brannock": [("label: L8,", "label: L80,")]})
    assert not _pairs(_vessel("brannock"), analyse(SpecLibrary.at(specs).vessel("brannock")))


def test_a_single_engine_beside_one_of_a_twin() -> None:
    pairs = _pairs(_vessel("pipit"), _vessel("sallow"))
    raw_water = pairs["raw-water"]
    assert raw_water.second is not None
    assert raw_water.second.id == "port.raw-water"
    assert pairs["starboard.raw-water"].first is None


def test_differences_are_told_by_line_style_and_word_as_well_as_by_colour(tmp_path: Path) -> None:
    pair = _pairs(_vessel("brannock"), _vessel("corrie"))["crankcase-vent"]
    drawn = [drawing for drawing in (pair.first, pair.second) if drawing is not None]
    for rendered in render(drawn):
        assert "+ only here" in rendered.svg
        assert 'stroke-dasharray="3 3"' in rendered.svg
        assert "drawing-status-only-here" in rendered.svg
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "4 m")
    other = analyse(SpecLibrary.at(specs).vessel("brannock"))
    changed = _pairs(_vessel("brannock"), other)["dc-power"].first
    assert changed is not None
    svg = render([changed])[0].svg
    assert "≠ differs: length" in svg
    assert 'drawing-status-differs" stroke-width="4.5"' in svg
