"""Graphviz's SVG made fit to stand inline in a page: links, titles, symbols, ids, no scripts."""

import itertools
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from installgen.drawings.graph import Drawing, Edge, Node
from installgen.drawings.kinds import (
    KIND_LOOKS,
    LINE_LOOKS,
    STATUS_LINES,
    STATUS_PLAIN_WORDS,
    Status,
)
from installgen.drawings.labels import (
    KINDS,
    LINE_COLOUR,
    PLACEHOLDER_RED,
    TEXT_SIZE,
)
from installgen.drawings.metrics import FAMILY, text_width_px
from installgen.drawings.square import square_lines
from installgen.drawings.symbols import symbol
from installgen.drawings.text import FIXED_SPACE, clean

SVG = "http://www.w3.org/2000/svg"
XLINK = "{http://www.w3.org/1999/xlink}href"
OVERHANG = 1.5
TEXT_ATTRIBUTES = ("x", "y", "font-weight", "font-style")
SHAPE_ATTRIBUTES = ("d", "points", "stroke-width", "stroke-dasharray", "cx", "cy", "rx", "ry")
SHAPES = ("path", "polygon", "polyline", "ellipse")
PAIR = re.compile(r"-?[\d.]+,-?[\d.]+")
LEAST_GAP_PX = 6.0
NUMBER = re.compile(r"-?\d+\.\d+")
SYMBOL_FILL = re.compile(rf"#{PLACEHOLDER_RED:02x}00([0-9a-f]{{2}})")


@dataclass(frozen=True)
class DressedSvg:
    """An SVG element as one line of text, its natural size, and where it may be cut.

    cuts_px: heights from the top at which a level cut meets nothing but lines
    """

    text: str
    width_px: float
    height_px: float
    cuts_px: tuple[float, ...]


@lru_cache(maxsize=400)
def dress(raw: str, drawing: Drawing) -> DressedSvg:
    """Turns what dot wrote for the drawing into one inline SVG element.

    raw: dot's SVG for `dot.dot_of(drawing)`
    Returns the element on one line, so that it may stand in Markdown.
    """
    source = ET.fromstring(raw)
    square_lines(source, drawing)
    left, top, width, height = (float(part) for part in source.attrib["viewBox"].split())
    graph = source.find(f"{{{SVG}}}g")
    if graph is None:
        raise ValueError(f"drawing {drawing.id!r}: dot wrote no graph")
    root = root_element(drawing, width, height, (left, top))
    canvas = ET.SubElement(root, "g", {"transform": transform_of(graph)})
    canvas.extend(parts_in_reading_order(graph, drawing))
    text = ET.tostring(root, encoding="unicode").replace("\n", " ")
    return DressedSvg(text, width, height, cuts(canvas, height))


def root_element(
    drawing: Drawing, width: float, height: float, corner: tuple[float, float] = (0.0, 0.0)
) -> ET.Element:
    """An SVG element with the drawing's title and description, ready for its content.

    width, height: natural size [px]
    """
    root = ET.Element(
        "svg",
        {
            "xmlns": SVG,
            "class": "drawing-svg",
            "id": drawing.id,
            "viewBox": " ".join(short(value) for value in (*corner, width, height)),
            "width": short(width),
            "height": short(height),
            "role": "group" if has_links(drawing) else "img",
            "aria-labelledby": f"{drawing.id}--title {drawing.id}--desc",
            "font-family": f"{FAMILY}, sans-serif",
            "font-size": str(TEXT_SIZE),
            "fill": "currentColor",
        },
    )
    ET.SubElement(root, "title", {"id": f"{drawing.id}--title"}).text = clean(drawing.title)
    ET.SubElement(root, "desc", {"id": f"{drawing.id}--desc"}).text = clean(drawing.description)
    return root


def cuts(canvas: ET.Element, height: float) -> tuple[float, ...]:
    """Heights between the top and the bottom at which only lines are cut."""
    lowest_free = float("-inf")
    free: list[float] = []
    for high, low in sorted(spans(canvas)):
        if lowest_free > float("-inf") and high - lowest_free >= LEAST_GAP_PX:
            free.append((high + lowest_free) / 2)
        lowest_free = max(lowest_free, low)
    down = float(canvas.attrib["transform"].rstrip(")").split()[-1])
    return tuple(round(level + down, 1) for level in free if 0 < level + down < height)


def spans(canvas: ET.Element) -> Iterator[tuple[float, float]]:
    """Top and bottom of each part that must not be cut."""
    for group in canvas:
        if {"drawing-line", "drawing-frame"} & set(group.attrib["class"].split()):
            continue
        levels = [y for part in group.iter() for y in levels_of(part)]
        if levels:
            yield min(levels), max(levels)


def levels_of(part: ET.Element) -> list[float]:
    """The heights that a text or an outline touches."""
    if part.tag == "text":
        baseline = float(part.attrib["y"])
        return [baseline - TEXT_SIZE, baseline + TEXT_SIZE / 3]
    if part.tag in ("polygon", "polyline"):
        return [float(pair.split(",")[1]) for pair in part.attrib["points"].split()]
    if part.tag == "path" and "," in part.attrib["d"] and "C" in part.attrib["d"]:
        return [float(pair.split(",")[1]) for pair in PAIR.findall(part.attrib["d"])]
    return []


def has_links(drawing: Drawing) -> bool:
    """Whether any part of the drawing leads somewhere."""
    rows = [row.href for node in drawing.nodes for row in node.rows]
    nodes = [node.href for node in drawing.nodes]
    return any((*nodes, *rows, *(edge.href for edge in drawing.edges)))


def short(value: float) -> str:
    """A coordinate with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")


def shortened(text: str) -> str:
    """Path data with its numbers cut to one decimal."""
    return NUMBER.sub(lambda match: short(float(match[0])), text).strip()


def transform_of(graph: ET.Element) -> str:
    """The shift that dot gives the whole graph."""
    match = re.search(r"translate\([^)]*\)", graph.attrib.get("transform", ""))
    return match[0] if match else "translate(0 0)"


def parts_in_reading_order(graph: ET.Element, drawing: Drawing) -> list[ET.Element]:
    """Frames, then lines, then each node followed by the labels of the edges that leave it."""
    frames: list[ET.Element] = []
    headings: list[ET.Element] = []
    lines: list[tuple[int, ET.Element]] = []
    nodes: dict[int, ET.Element] = {}
    labels: dict[int, ET.Element] = {}
    for group in graph.findall(f"{{{SVG}}}g"):
        role, *_, mark = group.attrib["class"].split()
        index = int(mark[1:])
        if role == "cluster":
            frames.append(frame_outline(group))
            headings.append(frame_heading(group, drawing, index))
        elif role == "edge":
            lines.append((index, dressed_line(group, drawing.edges[index])))
        elif mark[0] == "n":
            nodes[index] = dressed_node(group, drawing, index)
        else:
            labels[index] = dressed_label(group, drawing, index)
    lines.sort(key=lambda item: item[0])
    ordered = [*frames, *(line for _, line in lines), *headings]
    leaving: dict[str, list[int]] = {}
    for index, edge in enumerate(drawing.edges):
        if index in labels:
            leaving.setdefault(edge.tail, []).append(index)
    for index, node in enumerate(drawing.nodes):
        ordered.append(nodes[index])
        ordered += [labels[number] for number in leaving.get(node.id, ())]
    return ordered


def frame_outline(group: ET.Element) -> ET.Element:
    """A group's frame, under everything else."""
    frame = ET.Element("g", {"class": "drawing-frame", "stroke-dasharray": "2 3"})
    frame.extend(part for part in shapes_and_texts(group) if part.tag != "text")
    return frame


def frame_heading(group: ET.Element, drawing: Drawing, index: int) -> ET.Element:
    """A group's name on a piece of paper that hides the lines under it."""
    name = drawing.groups[index].name
    heading = ET.Element(
        "g",
        {"class": "drawing-heading", "id": f"{drawing.id}--{drawing.groups[index].id}"},
    )
    ET.SubElement(heading, "title").text = clean(name)
    for text in [part for part in shapes_and_texts(group) if part.tag == "text"]:
        left, baseline = float(text.attrib["x"]), float(text.attrib["y"])
        width = text_width_px(text.text or "", TEXT_SIZE, "Bold")
        place = {"x": left - 2, "y": baseline - TEXT_SIZE, "width": width + 4, "height": 16}
        paper = {key: short(value) for key, value in place.items()}
        ET.SubElement(heading, "rect", {"class": "drawing-paper", "fill": "white"} | paper)
        heading.append(text)
    return heading


def dressed_line(group: ET.Element, edge: Edge) -> ET.Element:
    """A piece of an edge with its arrow heads."""
    line = ET.Element("g", line_attributes(edge))
    for element in shapes_and_texts(group):
        element.attrib.pop("stroke-width", None)
        if element.tag in ("polygon", "ellipse"):
            element.attrib.update({"fill": "currentColor", "stroke": "none"})
        line.append(element)
    return line


def line_attributes(edge: Edge) -> dict[str, str]:
    """The class and the stroke of an edge's line."""
    look = STATUS_LINES.get(edge.status, LINE_LOOKS[edge.line])
    told = f" {status_class(edge.status)}" if edge.status in STATUS_LINES else ""
    attributes = {
        "class": f"drawing-line drawing-line-{edge.line.value}{told}",
        "stroke-width": short(look.width) if look.width != 1.25 else "1.25",
    }
    if look.dashes:
        attributes["stroke-dasharray"] = look.dashes
    return attributes


def dressed_node(group: ET.Element, drawing: Drawing, index: int) -> ET.Element:
    """A node with its title and link."""
    node = drawing.nodes[index]
    outer = ET.Element(
        "g",
        {
            "id": f"{drawing.id}--{node.id}",
            "class": f"drawing-node drawing-kind-{node.kind.value} {status_class(node.status)}",
        },
    )
    ET.SubElement(outer, "title").text = node_title(node)
    inner = outer
    if node.href:
        inner = ET.SubElement(outer, "a", {"href": node.href})
    for child in group:
        if child.tag == f"{{{SVG}}}g":
            outer.append(dressed_row(child, node))
        else:
            inner.extend(drawn(child))
    return outer


def dressed_row(group: ET.Element, node: Node) -> ET.Element:
    """A cell of a row that has a link or a title of its own."""
    anchor = group.find(f"{{{SVG}}}a")
    if anchor is None:
        raise ValueError(f"node {node.id!r}: dot wrote a row without its link")
    row = node.rows[int(anchor.attrib[XLINK].rpartition(":")[2])]
    outer = ET.Element("a", {"href": row.href}) if row.href else ET.Element("g")
    if row.title:
        ET.SubElement(outer, "title").text = clean(row.title)
    outer.extend(shapes_and_texts(anchor))
    return outer


def status_class(status: Status) -> str:
    """The class by which a style sheet may tell a status; words and outlines tell it anyway."""
    return f"drawing-status-{status.value}"


def dressed_label(group: ET.Element, drawing: Drawing, index: int) -> ET.Element:
    """The label of an edge, with the piece of line that runs past it."""
    edge = drawing.edges[index]
    outer = ET.Element(
        "g",
        {
            "id": f"{drawing.id}--{index}-edge",
            "class": f"drawing-label {status_class(edge.status)}",
        },
    )
    ET.SubElement(outer, "title").text = edge_title(edge)
    inner = ET.SubElement(outer, "a", {"href": edge.href}) if edge.href else outer
    for child in group:
        if child.attrib.get("fill") == LINE_COLOUR:
            inner.append(line_piece(child, edge))
        else:
            inner.extend(drawn(child))
    close_up(list(inner))
    return outer


def close_up(parts: list[ET.Element]) -> None:
    """Sets what follows a code on its line right behind it, as wide as our font really is."""
    for before, after in itertools.pairwise(parts):
        text = after.text or ""
        if text.startswith(FIXED_SPACE) and after.attrib.get("y") == before.attrib.get("y"):
            width = text_width_px(f"{before.text} ", TEXT_SIZE, "Bold")
            after.set("x", short(float(before.attrib["x"]) + width))
            after.text = text.removeprefix(FIXED_SPACE)


def line_piece(cell: ET.Element, edge: Edge) -> ET.Element:
    """The line past a label, in the middle of the cell that keeps its place; a jumper's ends."""
    left, top, right, bottom = box_of(cell)
    bottom = (top + bottom) / 2 if edge.tail == edge.head else bottom
    middle = short((left + right) / 2)
    data = f"M{middle},{short(top - OVERHANG)}V{short(bottom + OVERHANG)}"
    attributes = line_attributes(edge) | {"d": data, "fill": "none", "stroke": "currentColor"}
    return ET.Element("path", attributes)


def box_of(polygon: ET.Element) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a polygon."""
    pairs = [point.split(",") for point in polygon.attrib["points"].split()]
    across, down = [float(x) for x, _ in pairs], [float(y) for _, y in pairs]
    return min(across), min(down), max(across), max(down)


def drawn(element: ET.Element) -> list[ET.Element]:
    """What an element of dot becomes: itself without dress, a symbol, or nothing."""
    match = SYMBOL_FILL.fullmatch(element.attrib.get("fill", ""))
    if match:
        left, top, _, _ = box_of(element)
        return [symbol(KINDS[int(match[1], 16)], short(left), short(top))]
    tag = element.tag.removeprefix(f"{{{SVG}}}")
    if tag == "text":
        kept = {key: element.attrib[key] for key in TEXT_ATTRIBUTES if key in element.attrib}
        text = ET.Element("text", {key: shortened(value) for key, value in kept.items()})
        text.text = element.text
        return [text]
    if tag in SHAPES and element.attrib.get("stroke") != "transparent":
        kept = {key: element.attrib[key] for key in SHAPE_ATTRIBUTES if key in element.attrib}
        shape = ET.Element(tag, {key: shortened(value) for key, value in kept.items()})
        shape.attrib.update({"fill": "none", "stroke": "currentColor"})
        return [shape]
    return []


def shapes_and_texts(group: ET.Element) -> list[ET.Element]:
    """Every drawn part of a group."""
    return [part for child in group for part in drawn(child)]


def node_title(node: Node) -> str:
    """What a pointer or a screen reader is told about a node."""
    if node.title:
        return clean(node.title)
    parts = [node.name, node.code, KIND_LOOKS[node.kind].word, *node.lines]
    return spoken(parts, node.status, node.note)


def edge_title(edge: Edge) -> str:
    """What a pointer or a screen reader is told about an edge."""
    if edge.title:
        return clean(edge.title)
    return spoken([edge.code, *edge.lines], edge.status, edge.note)


def spoken(parts: list[str], status: Status, note: str) -> str:
    """Parts in one line, the status last."""
    words = [clean(part) for part in parts if part]
    if status is not Status.NORMAL:
        words.append(STATUS_PLAIN_WORDS[status] + (f", {clean(note)}" if note else ""))
    return ", ".join(words)
