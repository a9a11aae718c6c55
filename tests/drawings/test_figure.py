"""A drawing in a page: in a box that pans, with a key, said again in tables."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

from installgen.drawings.figure import figure
from installgen.drawings.graph import Cell, Drawing, Edge, Node, Table
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.render import render
from installgen.drawings.tables import tables_of
from tests.drawings import samples

SVG = "{http://www.w3.org/2000/svg}"


def test_it_is_one_line_of_well_formed_markup() -> None:
    for make in samples.ALL:
        text = figure(render([make()])[0])
        assert "\n" not in text
        ET.fromstring(text)


def test_the_box_can_be_reached_and_panned_with_keys() -> None:
    root = ET.fromstring(figure(render([samples.coolant()])[0]))
    box = root.find("div")
    assert box is not None
    assert box.attrib["class"] == "drawing-pan"
    assert box.attrib["tabindex"] == "0"
    assert box.attrib["aria-label"] == "Drawing: Coolant"


def test_the_tables_say_what_the_drawing_says() -> None:
    drawing = samples.raw_water()
    text = " ".join(cell.text for table in tables_of(drawing) for row in table.rows for cell in row)
    for node in drawing.nodes:
        assert node.name in text
        assert node.code in text
        assert all(line in text for line in node.lines)
    for edge in drawing.edges:
        assert edge.code in text
        assert all(line in text for line in edge.lines)
    assert "not assessed: no loss figure" in text
    assert "caution: 2.3 m/s, 2.0 m/s allowed" in text


def test_terminals_and_rows_are_in_the_tables() -> None:
    connections = tables_of(samples.circuit())[-1]
    first = [cell.text for cell in connections.rows[0]]
    assert first[:3] == ["W1", "Engine supply stud (BUS), 1", "Ignition fuse (F1), 1"]
    captions = [table.caption for table in tables_of(samples.distribution())]
    assert captions == ["What is drawn", "Rows", "Connections"]


def test_a_drawing_may_bring_its_own_table() -> None:
    own = Table("Own", ("A",), ((Cell("<b>", "a.html"),),))
    text = figure(render([replace(samples.coolant(), tables=(own,))])[0])
    assert '<td data-label="A"><a href="a.html">&lt;b&gt;</a></td>' in text
    assert "What is drawn" not in text


def test_the_key_names_each_kind_of_line_once() -> None:
    root = ET.fromstring(figure(render([samples.coolant()])[0]))
    entries = [
        "".join(e.itertext()).strip() for e in root.iter("span") if "entry" in e.attrib["class"]
    ]
    assert entries == ["coolant", "back to the pump", "vent"]
    assert "drawing-key" not in figure(render([samples.raw_water()])[0])


def test_a_tall_drawing_carries_columns_for_paper_without_a_second_set_of_ids() -> None:
    root = ET.fromstring(figure(render([samples.raw_water()])[0]))
    columns = [e for e in root.iter("div") if e.attrib.get("class") == "drawing-columns"]
    assert len(columns) == 1
    assert "hidden" in columns[0].attrib
    assert len(list(columns[0].iter(f"{SVG}svg"))) == 2
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(set(ids)) == len(ids)


def test_a_drawing_too_wide_for_columns_is_cut_into_pages() -> None:
    links = [f"n{number}" for number in range(16)]
    nodes = tuple(Node(name, Kind.DEVICE, "A device of some width", name.upper()) for name in links)
    wide = tuple(Node(f"w{n}", Kind.DEVICE, "A device of some width") for n in range(4))
    edges = [Edge(a, b, Line.FLOW, code="H1", lines=("2 in",)) for a, b in pairwise(links)]
    edges += [Edge("n0", node.id, Line.FLOW) for node in wide]
    drawing = Drawing("long", "Long", "Too tall, too wide.", (*nodes, *wide), tuple(edges))
    [rendered] = render([drawing])
    assert not rendered.paper.readable
    root = ET.fromstring(figure(rendered))
    pages = [e for e in root.iter("div") if e.attrib.get("class") == "drawing-pages"]
    assert len(pages) == 1
    heights = [float(e.attrib["height"]) for e in pages[0].iter(f"{SVG}svg")]
    assert len(heights) >= 2
    millimetres = 25.4 / 96 * min(1.0, 180 / (rendered.width_px * 25.4 / 96))
    assert all(height * millimetres <= 250 for height in heights)
