"""What stands inline in a page: safe, linked, named, in the ink of the text."""

import re
import xml.etree.ElementTree as ET

import pytest

from installgen.drawings.graph import Drawing, Edge, Node
from installgen.drawings.kinds import Kind, Line, Status
from installgen.drawings.render import Rendered, render
from tests.drawings import samples

SVG = "{http://www.w3.org/2000/svg}"
COLOURS = {"none", "currentColor", "white"}


@pytest.fixture(scope="module")
def rendered() -> list[Rendered]:
    return [*render([make() for make in samples.ALL]), samples.plan()]


def test_it_is_one_line_of_well_formed_xml(rendered: list[Rendered]) -> None:
    for one in rendered:
        assert "\n" not in one.svg
        assert ET.fromstring(one.svg).tag == f"{SVG}svg"


def test_nothing_can_run_or_load(rendered: list[Rendered]) -> None:
    allowed = {"svg", "g", "a", "title", "desc", "text", "path", "polygon", "polyline", "ellipse",
               "rect", "circle"}  # fmt: skip
    for one in rendered:
        for element in ET.fromstring(one.svg).iter():
            assert element.tag.removeprefix(SVG) in allowed
            for key in element.attrib:
                assert not key.startswith("on"), key
                assert key != "style"
            assert not re.match(r"[a-z]+:|//", element.attrib.get("href", ""))


def test_ids_belong_to_the_drawing_and_are_single(rendered: list[Rendered]) -> None:
    for one in rendered:
        ids = [e.attrib["id"] for e in ET.fromstring(one.svg).iter() if "id" in e.attrib]
        assert len(set(ids)) == len(ids)
        assert all(i == one.drawing.id or i.startswith(f"{one.drawing.id}--") for i in ids)


def test_ink_follows_the_text_around(rendered: list[Rendered]) -> None:
    for one in rendered:
        for element in ET.fromstring(one.svg).iter():
            assert {
                element.attrib.get("fill", "none"),
                element.attrib.get("stroke", "none"),
            } <= COLOURS
            if element.attrib.get("fill") == "white":
                assert element.attrib["class"] == "drawing-paper"


def test_it_has_a_name_a_description_and_a_role(rendered: list[Rendered]) -> None:
    for one in rendered:
        root = ET.fromstring(one.svg)
        first, second = list(root)[:2]
        assert (first.tag, second.tag) == (f"{SVG}title", f"{SVG}desc")
        assert root.attrib["aria-labelledby"] == f"{first.attrib['id']} {second.attrib['id']}"
        linked = root.find(f".//{SVG}a") is not None
        assert root.attrib["role"] == ("group" if linked else "img")


def test_names_from_a_spec_come_out_as_they_were_written() -> None:
    names = ["<script>alert(1)</script>", "A \"b\" & 'c' | \\N \\G {d}", "&lt;b&gt; &#60;"]
    nodes = tuple(Node(f"n{number}", Kind.NOTE, name) for number, name in enumerate(names))
    svg = render([Drawing("d", "t", "d", nodes, text_width_px=400)])[0].svg
    texts = [text.text for text in ET.fromstring(svg).iter(f"{SVG}text")]
    assert texts == names


def test_a_very_long_name_is_cut_and_kept_whole_in_the_title() -> None:
    name = "x" * 10_000
    svg = render([Drawing("d", "t", "d", (Node("n", Kind.PUMP, name),))])[0].svg
    root = ET.fromstring(svg)
    texts = [text.text or "" for text in root.iter(f"{SVG}text")]
    assert texts[2].endswith("…")
    assert sum(map(len, texts)) < 120
    titles = [title.text or "" for title in root.iter(f"{SVG}title")]
    assert any(name in title for title in titles)


def test_a_status_is_told_by_words_and_by_outline() -> None:
    outlines = {}
    for status in Status:
        drawing = Drawing(
            "d", "t", "d", (Node("n", Kind.COOLER, "Cooler", status=status, note="so"),)
        )
        root = ET.fromstring(render([drawing])[0].svg)
        words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
        shapes = [
            (e.attrib.get("stroke-dasharray"), e.attrib.get("stroke-width"))
            for e in root.iter()
            if e.tag in (f"{SVG}path", f"{SVG}polygon") and "C" in e.attrib.get("d", "C")
        ]
        outlines[status] = (words, str(shapes))
    assert "not assessed: so" in outlines[Status.NOT_ASSESSED][0]
    assert "caution: so" in outlines[Status.CAUTION][0]
    assert "fails: so" in outlines[Status.FAIL][0]
    assert outlines[Status.NORMAL][0] == "Cooler"
    assert len({shape for _, shape in outlines.values()}) == len(Status)


def test_links_lead_where_they_should() -> None:
    drawing = Drawing(
        "d", "t", "d",
        (Node("a", Kind.PUMP, "Pump", href="../parts.html#p&q"), Node("b", Kind.SEA, "Sea")),
        (Edge("a", "b", Line.FLOW, code="H1", href="hoses.html#h1"),),
    )  # fmt: skip
    root = ET.fromstring(render([drawing])[0].svg)
    links = {a.attrib["href"]: "".join(a.itertext()) for a in root.iter(f"{SVG}a")}
    assert links == {"../parts.html#p&q": "Pump", "hoses.html#h1": "H1"}
