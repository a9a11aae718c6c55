"""Fault trees as drawings: readable, printable, and the same steps as the screens."""

from __future__ import annotations

from functools import cache

import pytest

from installgen.analysis.fault_tree import Branch
from installgen.drawings.graph import Drawing
from installgen.drawings.render import Rendered
from installgen.drawings.sheets import paper_pages, paper_sheets
from installgen.manual.fault_drawings import fault_drawings, rendered_faults
from tests.drawings.boxes import faults, shared_runs
from tests.manual.manuals import manual

pytestmark = pytest.mark.xdist_group("manual")

TELEPHONE_PX = 360


@cache
def _rendered() -> dict[str, Rendered]:
    return rendered_faults(manual("brannock").source)


def _sheets(page: str) -> list[Drawing]:
    drawings = fault_drawings(manual("brannock").source)
    return [drawing for drawing in drawings if drawing.id.startswith(f"{page}.")]


def test_nothing_lies_on_anything_else() -> None:
    assert len(_rendered()) > 10
    for name, one in _rendered().items():
        assert faults(one.svg) == [], name
        assert shared_runs(one.svg) == [], name
        assert one.warnings == (), name


def test_every_sheet_can_be_printed_and_panned() -> None:
    for name, one in _rendered().items():
        assert one.paper.readable or paper_sheets(one) or paper_pages(one), name
        assert one.width_px <= 3.2 * TELEPHONE_PX, name


def test_every_step_that_is_met_straight_is_drawn_with_its_number() -> None:
    whole = manual("brannock").source
    (found,) = whole.faults
    for symptom, tree in found.trees.items():
        page = f"fault-{symptom.name.lower().replace('_', '-')}"
        drawn = {node.code for drawing in _sheets(page) for node in drawing.nodes}
        steps = {str(number + 1) for number in range(len(tree.straight()))}
        assert drawn == (steps if isinstance(tree.root, Branch) else set()), symptom


def test_an_arrow_leads_where_the_screens_choice_leads() -> None:
    page = manual("brannock").tree("fault-clicks")
    for drawing in _sheets("fault-clicks"):
        codes = {node.id: node.code for node in drawing.nodes}
        for edge in drawing.edges:
            links = page.xpath(f"//section[@id='step-{codes[edge.tail]}']//a/@href")
            assert f"#step-{codes[edge.head]}" in links
