"""Plots of the demonstration vessels: what they show is what the book holds, and can be read."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path

import pytest

from installgen.analysis.elevation import route_profile
from installgen.analysis.speeds import SPEEDS
from installgen.drawings.figure import figure
from installgen.drawings.render import Rendered
from installgen.drawings.vessel.axes import CELSIUS, FLOW, METRES, POWER, PRESSURE
from installgen.drawings.vessel.curves import plots_for
from installgen.units import Length, Temperature, VolumeFlow, show
from tests.analysis.specs import Edits, analysed
from tests.drawings.boxes import Box, names_on_curves, text_width_px

SVG = "{http://www.w3.org/2000/svg}"
POINT = re.compile(r"(-?[\d.]+) (-?[\d.]+)")
KINDS = {"power-curve", "pump-curve", "temperatures", "elevation", "exhaust-elevation"}


def drawn(folder: Path, vessel: str, edits: Edits | None = None) -> dict[str, Rendered]:
    return plots_for(analysed(folder, vessel, edits))


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Rendered]:
    return drawn(tmp_path_factory.mktemp("brannock"), "brannock")


@pytest.fixture(scope="module")
def sallow(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Rendered]:
    return drawn(tmp_path_factory.mktemp("sallow"), "sallow")


def cells(rendered: Rendered) -> list[list[str]]:
    """The one table beside a plot."""
    (table,) = rendered.drawing.tables
    return [[cell.text for cell in row] for row in table.rows]


def words(rendered: Rendered) -> set[str]:
    return {text.text or "" for text in ET.fromstring(rendered.svg).iter(f"{SVG}text")}


def test_every_engine_has_its_plots(
    brannock: dict[str, Rendered], sallow: dict[str, Rendered]
) -> None:
    assert set(brannock) == KINDS
    assert set(sallow) == {f"{side}.{kind}" for side in ("port", "starboard") for kind in KINDS}


def test_what_nobody_knows_is_not_drawn(tmp_path: Path) -> None:
    assert set(drawn(tmp_path, "pipit")) == {"power-curve"}


def test_operating_points(tmp_path: Path, brannock: dict[str, Rendered]) -> None:
    book = analysed(tmp_path, "brannock").book
    for (speed, _, flow, _), name in zip(cells(brannock["pump-curve"]), SPEEDS, strict=True):
        assert speed == name
        found = book[f"engine.raw-water.{speed}.flow"].value
        assert isinstance(found, VolumeFlow)
        assert flow == show(found, "us")
    assert {"pump", "route", "idle", "cruise", "rated", "Raw water [gpm US]", "[l/min]"} <= words(
        brannock["pump-curve"]
    )


def test_staircase_has_a_step_for_each_cooler(brannock: dict[str, Rendered]) -> None:
    rows = cells(brannock["temperatures"])
    assert len(rows) == 14
    assert {"C1", "C2", "C3", "C4", "scale limit", "idle", "cruise", "rated"} <= words(
        brannock["temperatures"]
    )
    assert rows[0][2:] == [show(Temperature(26.0), "us")] * 3


def test_elevation_shows_what_goes_under(sallow: dict[str, Rendered]) -> None:
    rows = {row[0]: row for row in cells(sallow["port.elevation"])}
    assert rows["Port vented loop"][2] == show(Length(0.68), "metric")
    assert rows["Port exhaust injection elbow"][3].startswith("−209")
    assert {"V1", "VL1", "EX2", "waterline at rest", "water at worst heel"} <= words(
        sallow["port.elevation"]
    )
    assert {"dip tube", "riser", "outlet"} <= words(sallow["port.exhaust-elevation"])


def test_without_a_heel_the_water_is_not_drawn(tmp_path: Path) -> None:
    edits = {"vessels/sallow": [("worst_heel: 12 °", "worst_heel: unknown")]}
    found = drawn(tmp_path, "sallow", edits)["port.elevation"]
    assert "water at worst heel" not in words(found)
    assert "not assessed" in found.drawing.description
    assert {row[3] for row in cells(found)} == {"not assessed"}


def test_one_scale_both_ways(tmp_path: Path) -> None:
    """A metre along is drawn as long as a metre up."""
    analysis = analysed(tmp_path, "sallow")
    route = analysis.routes["port"]
    points = [p for p in route_profile(analysis.book, analysis.vessel, route) if p.stated]
    svg = ET.fromstring(plots_for(analysis)["port.elevation"].svg)
    (curve,) = (g for g in svg.iter(f"{SVG}g") if g.get("id", "").endswith("--curve0"))
    corners = [
        (float(x), float(y))
        for path in curve.iter(f"{SVG}path")
        for x, y in POINT.findall(path.attrib["d"])
    ]
    assert len(corners) >= len(points)
    across = (corners[-1][0] - corners[0][0]) / (points[-1].along_m - points[0].along_m)
    crown = max(range(len(points)), key=lambda n: points[n].height_m)
    up = (corners[0][1] - corners[crown][1]) / (points[crown].height_m - points[0].height_m)
    assert up == pytest.approx(across, rel=0.01)


def names(rendered: Rendered) -> list[Box]:
    """Where every level text of a plot stands."""
    found = []
    for text in ET.fromstring(rendered.svg).iter(f"{SVG}text"):
        if text.get("transform", "").startswith("rotate(-90"):
            continue
        said = text.text or ""
        width = text_width_px(said, 12)
        anchor = text.get("text-anchor", "start")
        left = float(text.attrib["x"]) - width * {"start": 0, "middle": 0.5, "end": 1}[anchor]
        y = float(text.attrib["y"])
        found.append(Box(left, y - 9, left + width, y + 3, said))
    return found


def test_names_do_not_cover_each_other(
    brannock: dict[str, Rendered], sallow: dict[str, Rendered]
) -> None:
    for rendered in (*brannock.values(), *sallow.values()):
        boxes = names(rendered)
        for one, other in combinations(boxes, 2):
            assert not one.overlaps(other, slack=0.5), (rendered.drawing.id, one, other)
        for box in boxes:
            assert 0 <= box.left < box.right <= rendered.width_px


def test_printed_and_on_a_telephone(brannock: dict[str, Rendered]) -> None:
    for rendered in brannock.values():
        assert rendered.paper.readable
        assert not rendered.paper.turned
        html = figure(rendered)
        assert "The same in tables" in html
        assert "<style" not in html


def test_scales_by_definition() -> None:
    assert FLOW.value(1.0 / 60_000.0, "metric") == pytest.approx(1.0)
    assert FLOW.value(1.0 / 60_000.0, "us") == pytest.approx(0.264172, rel=1e-5)
    assert PRESSURE.value(6894.757, "us") == pytest.approx(1.0, rel=1e-6)
    assert CELSIUS.value(100.0, "us") == pytest.approx(212.0)
    assert METRES.value(0.3048, "us") == pytest.approx(1.0)
    assert POWER.value(745.6998716, "us") == pytest.approx(1.0)
    axis = CELSIUS.axis("Water", "us")
    assert 212.0 * axis.other_per_unit + axis.other_offset == pytest.approx(100.0)


@pytest.mark.parametrize("vessel", ["brannock", "sallow", "corrie"])
def test_no_curve_runs_through_a_name(tmp_path: Path, vessel: str) -> None:
    crossed = {
        name: found
        for name, one in drawn(tmp_path, vessel).items()
        if (found := names_on_curves(one.svg))
    }
    assert crossed == {}
