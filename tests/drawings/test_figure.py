"""A drawing in a page: in a box that pans, with a key, said again in tables."""

import xml.etree.ElementTree as ET
from dataclasses import replace

from installgen.drawings.figure import figure
from installgen.drawings.graph import Cell, Table
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
