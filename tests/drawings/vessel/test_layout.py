"""Every drawing of every demonstration vessel can be read: on a telephone, a screen and paper."""

import re
import xml.etree.ElementTree as ET

import pytest

from installgen.drawings.figure import figure
from installgen.drawings.sheets import paper_pages, paper_sheets
from installgen.drawings.text import clean
from installgen.drawings.vessel.vessel_drawings import drawings_for
from tests.drawings.boxes import faults, shared_runs
from tests.drawings.vessel.fleet import VESSELS, analysed, drawn, laid_out, rendered, said

BRACKETS = re.compile(r" \([^)]*\)")
TELEPHONE_PX = 360
ROUTES_PX = 336


@pytest.mark.parametrize("vessel", VESSELS)
def test_nothing_lies_on_anything_else(vessel: str) -> None:
    for name, one in laid_out(vessel).items():
        assert faults(one.svg) == [], name
        assert shared_runs(one.svg) == [], name
        assert one.warnings == (), name


@pytest.mark.parametrize("vessel", VESSELS)
def test_everything_can_be_printed(vessel: str) -> None:
    for name, one in rendered(vessel).items():
        assert one.paper.readable or paper_sheets(one) or paper_pages(one), name


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_telephone_pans_three_screens_at_most(vessel: str) -> None:
    for name, one in rendered(vessel).items():
        assert one.width_px <= 3.2 * TELEPHONE_PX, name
        if name == "raw-water":
            assert one.width_px <= ROUTES_PX


@pytest.mark.parametrize("vessel", VESSELS)
def test_figures_are_well_formed_and_their_ids_differ(vessel: str) -> None:
    page = "".join(figure(one) for one in rendered(vessel).values())
    root = ET.fromstring(f"<page>{page}</page>")
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("vessel", VESSELS)
def test_the_same_vessel_gives_the_same_drawings(vessel: str) -> None:
    assert drawings_for(analysed(vessel)) == drawn(vessel)


def one_system(text: str) -> str:
    """A text without what stands in brackets, the other system of units."""
    return BRACKETS.sub("", text)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_line_drawn_is_said_in_the_table_too(vessel: str) -> None:
    for drawing in drawn(vessel).values():
        tables = one_system(said(drawing))
        parts = [(node.title, node.lines) for node in drawing.nodes]
        parts += [(edge.title, edge.lines) for edge in drawing.edges]
        for title, lines in parts:
            for line in lines:
                words = one_system(clean(line))
                assert words in one_system(title), (drawing.id, line)
                assert words in tables, (drawing.id, line)
