"""The ways of a starter's current with a main negative loose: each drawn and in the table."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.drawings.kinds import Line, Status
from installgen.drawings.vessel.returns import returns_drawings
from installgen.manual.blocks import Figure
from installgen.manual.made_manual import make_manual
from tests.analysis.specs import analysed_in, change_line, edited, remove_line
from tests.drawings.vessel.fleet import analysed, drawn, edge, ends, said


def _loose(analysis: Analysis) -> dict[str, set[str]]:
    """By engine, the labels of the ways that are to be drawn."""
    assert analysis.dc is not None
    return {
        loose.engine: {way.entry.label if way.wire else "" for way in loose.returns}
        for loose in analysis.dc.loose
    }


@pytest.mark.parametrize("vessel", ["brannock", "corrie", "sallow", "pipit"])
def test_every_way_is_drawn_and_said(vessel: str) -> None:
    analysis = analysed(vessel)
    several = len(analysis.vessel.engines) > 1
    for engine, labels in _loose(analysis).items():
        name = f"{engine}.returns" if several else "returns"
        if not labels:
            assert name not in drawn(vessel)
            continue
        drawing = drawn(vessel)[name]
        codes = {one.code for one in drawing.edges}
        assert labels < codes
        (main,) = codes - labels
        assert edge(drawing, main).line is Line.RETURN
        assert all(label in said(drawing) for label in codes)


def test_what_carries_too_much_says_so_in_words() -> None:
    # With S3 loose the instrument negative of 12 AWG takes what 2/0 AWG carried.
    drawing = drawn("brannock")["returns"]
    negative = edge(drawing, "E12")
    assert (negative.status, negative.note) == (Status.FAIL, "too much")
    assert ends(drawing, "E12")[1] == "Negative bus"
    assert edge(drawing, "S3").status is Status.NORMAL


def test_a_twin_shows_the_way_through_the_other_engine() -> None:
    drawing = drawn("sallow")["port.returns"]
    names = {node.name for node in drawing.nodes}
    assert {"Port engine block", "Starboard engine block"} <= names
    assert ends(drawing, "SS3") == ("Starboard engine block", "Starboard battery bank, negative")


def test_a_control_cable_is_a_way_of_its_own(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    cable = "{works: throttle, engine: engine, "
    change_line(
        specs, "vessels/brannock", cable, cable,
        f"{cable}touches: negative-bus.6, resistance: 20 mohm, ",
    )  # fmt: skip
    (drawing,) = returns_drawings(analysed_in(specs))
    (metal,) = [one for one in drawing.edges if one.line is Line.LINKAGE]
    assert metal.lines[0] == "throttle cable engine wheelhouse"
    assert not metal.href


def test_without_another_way_there_is_no_drawing(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    remove_line(specs, "vessels/brannock", "{label: E12,")
    analysis = analysed_in(specs)
    assert not any(_loose(analysis).values())
    assert not list(returns_drawings(analysis))


def test_it_stands_on_the_page_of_the_circuits() -> None:
    (page,) = [
        page
        for page in make_manual(analysed("brannock").vessel).pages
        if any(isinstance(block, Figure) and block.drawing == "returns" for block in page.blocks)
    ]
    assert page.id == "start-run-stop"
