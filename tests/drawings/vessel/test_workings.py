"""The tables beside drawings: every figure that was computed opens its working."""

from __future__ import annotations

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.drawings.graph import Cell, Drawing
from installgen.drawings.tables import tables_of
from installgen.drawings.vessel import links
from installgen.drawings.vessel.curves import plots_for
from installgen.drawings.vessel.vessel_drawings import drawings_for
from installgen.spec.load import SpecLibrary
from installgen.units import Length
from tests.analysis.specs import SPECS


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    return analyse(SpecLibrary.at(SPECS).vessel("brannock"))


def addresses(drawing: Drawing) -> dict[str, list[str]]:
    """The linked texts of a drawing's tables with the places that they lead to."""
    found: dict[str, list[str]] = {}
    for table in tables_of(drawing):
        for row in table.rows:
            for cell in row:
                for text, href in cell.parts or ((cell.text, cell.href),):
                    found.setdefault(text, []).append(href)
    return found


@pytest.mark.parametrize(
    ("drawing", "result"),
    [
        ("raw-water", "engine.raw-water.after-hose-1.cruise.velocity"),
        ("raw-water", "engine.raw-water.after-hose-1.cruise.pressure"),
        ("fuel", "engine.rating.cruise.fuel"),
        ("dc-power", "engine.alternator.cruise.output"),
        ("dc-power", "conductor.S2.current"),
    ],
)
def test_a_computed_figure_opens_its_working(analysis: Analysis, drawing: str, result: str) -> None:
    drawn = drawings_for(analysis)[drawing]
    found = analysis.book[result]
    hrefs = [href for each in addresses(drawn).values() for href in each]
    assert links.result(found) in hrefs


def test_every_height_at_heel_and_every_temperature_opens_its_working(
    analysis: Analysis,
) -> None:
    plots = plots_for(analysis)
    for name, column in (("elevation", 3), ("temperatures", 2), ("pump-curve", 2)):
        (table,) = [t for t in plots[name].drawing.tables if t.caption != "Curves in figures"]
        cells = [row[column] for row in table.rows]
        assert cells
        for cell in cells:
            assert cell.text == "not assessed" or "calculations-raw-water.html#" in cell.href


def test_a_cell_says_in_pieces_what_it_says_as_a_whole(analysis: Analysis) -> None:
    cells: list[Cell] = [
        cell
        for drawing in drawings_for(analysis).values()
        for table in tables_of(drawing)
        for row in table.rows
        for cell in row
        if cell.parts
    ]
    assert len(cells) > 20
    for cell in cells:
        assert "".join(text for text, _ in cell.parts) == cell.text


def test_the_height_of_the_intake_is_the_one_worked_by_hand(analysis: Analysis) -> None:
    """The same figure as of the profile: 598 mm below the water at the worst heel and trim."""
    found = analysis.book["opening.engine.intake-seacock.lowest-height"]
    along = analysis.book["engine.raw-water.intake-seacock.lowest-height"]
    assert isinstance(along.value, Length)
    assert isinstance(found.value, Length)
    assert along.value.m == pytest.approx(found.value.m)
    assert along.inputs
