"""Curves: the same SVG each time, no styles a page forbids, names that cover nothing."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from installgen.drawings.figure import figure
from installgen.drawings.plots import Axis, Curve, Limit, Mark, plot
from installgen.drawings.render import Rendered
from tests.drawings.boxes import Box, straight, text_width_px

SVG = "{http://www.w3.org/2000/svg}"
POINT = re.compile(r"(-?[\d.]+) (-?[\d.]+)")
FLOW = tuple(8.0 * n for n in range(40))


def pump_against_route() -> Rendered:
    """Two pump curves, two routes, an operating point and a limit."""
    return plot(
        "pump-route",
        "Pump against route",
        "Where the pump's curve meets the route's.",
        Axis("Flow", "l/min", "US gal/min", 0.264172),
        Axis("Pressure", "kPa", "psi", 0.145038, low=0, high=300),
        [
            Curve("pump at 2200 rpm", tuple(260 - 0.05 * p for p in FLOW), FLOW),
            Curve("pump at 1200 rpm", tuple(150 - 0.06 * p for p in FLOW), FLOW),
            Curve("route, clean", FLOW, tuple(0.0022 * q * q + 4 for q in FLOW)),
            Curve("route, strainer fouled", FLOW, tuple(0.003 * q * q + 4 for q in FLOW)),
        ],
        [Mark("cruise", 254, 146)],
        [Limit("pump limit", 250), Limit("idle", 60, upright=True)],
    )


@pytest.fixture(scope="module")
def rendered() -> Rendered:
    return pump_against_route()


def test_the_same_curves_give_the_same_svg(rendered: Rendered) -> None:
    assert pump_against_route().svg == rendered.svg


def test_a_page_without_styles_shows_it(rendered: Rendered) -> None:
    root = ET.fromstring(rendered.svg)
    assert "\n" not in rendered.svg
    for element in root.iter():
        assert "style" not in element.attrib
        assert element.tag.removeprefix(SVG) not in ("style", "script", "metadata", "image")
        for key in ("fill", "stroke"):
            assert element.attrib.get(key, "none") in ("none", "currentColor")
        if "id" in element.attrib:
            assert element.attrib["id"].startswith("pump-route")
    ids = {element.attrib.get("id") for element in root.iter()}
    for use in root.iter(f"{SVG}use"):
        assert use.attrib["href"].removeprefix("#") in ids


def test_curves_differ_without_colour(rendered: Rendered) -> None:
    dashes = [
        path.attrib.get("stroke-dasharray")
        for group in ET.fromstring(rendered.svg).iter(f"{SVG}g")
        if "--curve" in group.attrib.get("id", "")
        for path in group.iter(f"{SVG}path")
    ]
    assert len(dashes) == 4
    assert len(set(dashes)) == 4


def test_names_lie_on_no_other_name_and_on_no_tick(rendered: Rendered) -> None:
    boxes = []
    for text in ET.fromstring(rendered.svg).iter(f"{SVG}text"):
        if text.attrib.get("transform", "").startswith("rotate(-90"):
            continue
        words = text.text or ""
        width = text_width_px(words, 12)
        anchor = text.attrib.get("text-anchor", "start")
        left = float(text.attrib["x"]) - width * {"start": 0, "middle": 0.5, "end": 1}[anchor]
        y = float(text.attrib["y"])
        boxes.append(Box(left, y - 9, left + width, y + 3, words))
    for one, other in combinations(boxes, 2):
        assert not one.overlaps(other, slack=0.5), (one, other)
    for box in boxes:
        assert 0 <= box.left < box.right <= 520


def test_names_lie_on_no_curve(rendered: Rendered) -> None:
    root = ET.fromstring(rendered.svg)
    names = {"pump at 2200 rpm", "pump at 1200 rpm", "route, clean", "route, strainer fouled",
             "cruise", "pump limit", "idle"}  # fmt: skip
    boxes = []
    for text in root.iter(f"{SVG}text"):
        if text.text in names:
            left, y = float(text.attrib["x"]), float(text.attrib["y"])
            boxes.append(Box(left, y - 9, left + text_width_px(text.text, 12), y + 3, text.text))
    assert {box.what for box in boxes} == names
    for group in root.iter(f"{SVG}g"):
        if "--curve" in group.attrib.get("id", ""):
            for path in group.iter(f"{SVG}path"):
                corners = [tuple(map(float, pair)) for pair in POINT.findall(path.attrib["d"])]
                for x, y in straight(corners):
                    for box in boxes:
                        inside = box.left < x < box.right and box.top < y < box.bottom
                        assert not inside, (box.what, group.attrib["id"])


def test_both_units_are_on_the_axes_and_in_the_table(rendered: Rendered) -> None:
    words = {text.text for text in ET.fromstring(rendered.svg).iter(f"{SVG}text")}
    assert {"Flow [l/min]", "[US gal/min]", "Pressure [kPa]", "[psi]"} <= words
    (table,) = rendered.drawing.tables
    assert table.columns[-2:] == ("Flow [US gal/min]", "Pressure [psi]")
    # 254 l/min is 67.1 US gal/min; 146 kPa is 21.2 psi.
    assert [cell.text for cell in table.rows[-1]] == ["cruise", "254", "146", "67", "21"]


def test_a_plot_is_a_figure_like_a_drawing(rendered: Rendered) -> None:
    ET.fromstring(figure(rendered))


def test_names_from_a_spec_are_only_text() -> None:
    name = "$\\frac{1}{2}$ <b>&"
    made = plot("p", "T", "D", Axis(name, "%"), Axis("y", ""), [Curve(name, (0, 1), (0, 1))])
    words = [text.text for text in ET.fromstring(made.svg).iter(f"{SVG}text")]
    assert name in words
    assert f"{name} [%]" in words
