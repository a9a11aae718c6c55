"""The ways of a starter's current with a main negative loose: each drawn and in the table."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_returns import LooseNegative
from installgen.drawings.figure import figure
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Line, Status
from installgen.drawings.render import render
from installgen.drawings.text import clean
from installgen.drawings.vessel.returns import returns_drawings
from installgen.drawings.vessel.words import Words
from installgen.findings.check import check
from installgen.manual.blocks import Caution, Figure
from installgen.manual.made_manual import make_manual
from installgen.units import Current
from tests.analysis.specs import analysed_in, change_line, edited, remove_line
from tests.drawings.vessel.fleet import VESSELS, analysed, drawn, edge, ends


def _sheets(analysis: Analysis) -> dict[str, LooseNegative]:
    """By the id of its drawing, each main negative that has other ways beside it."""
    assert analysis.dc is not None
    words = Words(analysis.vessel, analysis.book)
    with_ways = [loose for loose in analysis.dc.loose if loose.returns]
    return {
        words.figure_id("returns", analysis.vessel.engine(loose.engine)): loose
        for loose in with_ways
    }


def _figures(drawing: Drawing) -> dict[str, str]:
    """By the anchor of a conductor, what the table of connections says of it."""
    *_, connections = drawing.tables
    return {row[0].href.partition("#")[2]: row[-1].text for row in connections.rows}


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_way_is_drawn_and_said(vessel: str) -> None:
    analysis = analysed(vessel)
    words = Words(analysis.vessel, analysis.book)
    sheets = _sheets(analysis)
    assert {name for name in drawn(vessel) if name.split(".")[-1] == "returns"} == set(sheets)
    for name, loose in sheets.items():
        drawing = drawn(vessel)[name]
        assert len(drawing.edges) == len(loose.returns) + 1 == len(_figures(drawing))
        by_address = {one.href.partition("#")[2]: one for one in drawing.edges}
        main = by_address[loose.main.element]
        assert main.line is Line.RETURN
        assert f"{words.amount(Current(loose.before_a)).short} before" in main.lines
        for way in loose.returns:
            one = by_address[way.element]
            before, then = (
                words.amount(Current(a)).short for a in (abs(way.before_a), way.current_a)
            )
            may = words.amount(analysis.book[ampacity_id(way.element)].value).short
            told = (f"{before} before", f"then carries {then}", f"may carry {may}")
            assert set(told) <= set(one.lines)
            assert all(clean(text) in _figures(drawing)[way.element] for text in told)
            assert (one.line is Line.OVERLOADED) == (one.status is Status.CAUTION)


@pytest.mark.parametrize("vessel", VESSELS)
def test_it_leads_from_every_block_drawn_to_a_battery(vessel: str) -> None:
    for name in _sheets(analysed(vessel)):
        _leads_to_a_battery(drawn(vessel)[name])


def _leads_to_a_battery(drawing: Drawing) -> None:
    """Along what carries, without the main negative, no current ends anywhere else."""
    carries = [one for one in drawing.edges if one.line is not Line.RETURN]
    tails, heads = {one.tail for one in carries}, {one.head for one in carries}
    names = {one.id: one.name for one in drawing.nodes}
    assert all("block" in names[start] for start in tails - heads)
    assert all(names[end].endswith(", negative") for end in heads - tails)


def test_what_carries_too_much_says_so_in_words_and_by_its_line() -> None:
    # With S3 loose the instrument negative of 12 AWG takes what 2/0 AWG carried.
    drawing = drawn("brannock")["returns"]
    negative = edge(drawing, "E12")
    assert (negative.status, negative.note) == (Status.CAUTION, "too much")
    assert negative.line is Line.OVERLOADED
    assert ends(drawing, "E12")[1] == "Negative bus"
    assert edge(drawing, "S3").status is Status.NORMAL


def test_what_is_as_heavy_as_the_main_negative_may_do_its_work() -> None:
    """As the check judges it: N1 of 50 mm², as PS3."""
    drawing = drawn("sallow")["port.returns"]
    heavy = edge(drawing, "N1")
    assert (heavy.status, heavy.line) == (Status.NORMAL, Line.CABLE)
    assert "as heavy as PS3" in heavy.lines
    (finding,) = [
        item
        for item in check(analysed("sallow"), cures=False).items
        if item.id == "parallel-negatives/port.PS3"
    ]
    assert "PE25 carries" in str(finding.figure)
    assert "N1 carries" not in str(finding.figure)


def test_a_main_negative_by_way_of_a_bus_is_drawn_to_the_battery(tmp_path: Path) -> None:
    """S3 to the bus and D3 from there: with S3 loose, D3 carries less than before, and is drawn."""
    specs = edited(tmp_path, {})
    change_line(specs, "vessels/brannock", "{label: S3,", "to: start-bank.negative", "to: X")
    change_line(specs, "vessels/brannock", "{label: S3,", "to: X", "to: negative-bus.6")
    drawing = next(returns_drawings(analysed_in(specs)))
    assert {one.code for one in drawing.edges} == {"S3", "W21", "E12", "D3"}
    assert edge(drawing, "S3").line is Line.RETURN
    _leads_to_a_battery(drawing)


def test_text_of_the_spec_is_escaped(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    change_line(
        specs, "vessels/brannock", "{label: E12,",
        "function: instrument negative", 'function: "<b>negative</b> & more"',
    )  # fmt: skip
    (one,) = render(list(returns_drawings(analysed_in(specs))))
    page = figure(one)
    assert "&lt;b&gt;negative&lt;/b&gt; &amp; more" in page
    assert "<b>" not in page
    ET.fromstring(page)


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
    assert (metal.status, metal.note) == (Status.CAUTION, "no conductor")
    assert any(line.startswith("then carries ") for line in metal.lines)


def test_without_another_way_there_is_no_drawing(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    remove_line(specs, "vessels/brannock", "{label: E12,")
    analysis = analysed_in(specs)
    assert not _sheets(analysis)
    assert not list(returns_drawings(analysis))
    (page,) = [one for one in make_manual(analysis.vessel).pages if one.id == "start-run-stop"]
    assert not [
        block for block in page.blocks if isinstance(block, Caution) and "bonding" in str(block)
    ]
    assert "no other way takes the starter's current" in str(page.blocks)


def test_it_stands_on_the_page_of_the_circuits() -> None:
    (page,) = [
        page
        for page in make_manual(analysed("brannock").vessel).pages
        if any(isinstance(block, Figure) and block.drawing == "returns" for block in page.blocks)
    ]
    assert page.id == "start-run-stop"
