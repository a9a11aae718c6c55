"""The parts of dot's SVG as things with a place: nodes, labels, lines between them, frames."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field

from installgen.drawings.channels import Net
from installgen.drawings.dot import arrows
from installgen.drawings.graph import Drawing, Edge
from installgen.drawings.labels import LINE_COLOUR, TEXT_SIZE
from installgen.drawings.metrics import text_width_px
from installgen.drawings.orient import Course

SVG = "{http://www.w3.org/2000/svg}"
PAIR = re.compile(r"(-?[\d.]+),(-?[\d.]+)")

Point = tuple[float, float]
Runs = tuple[Course, ...]


@dataclass
class Item:
    """A node or a label: its group in the SVG, its box, and where lines meet it when a label."""

    group: ET.Element
    left: float
    top: float
    right: float
    bottom: float
    line_x: float | None = None
    rank: int = 0


@dataclass
class Piece:
    """A line from the bottom of one item to the top of a lower one.

    stops: where it passes each rank from the first to the last [px]
    nets: its net in each channel it crosses
    """

    group: ET.Element
    edge: Edge
    upper: Item
    lower: Item
    ends: tuple[tuple[str, ...], tuple[str, ...]]
    course: list[Point]
    arrow_up: bool
    arrow_down: bool
    stops: list[float] = field(default_factory=list)
    nets: list[Net] = field(default_factory=list)


@dataclass
class Frame:
    """A group's frame and heading, with the items inside."""

    group: ET.Element
    members: list[Item]
    across: list[float]


def role(group: ET.Element) -> str:
    """Whether a part of the graph is a node, an edge or a cluster."""
    return group.attrib["class"].partition(" ")[0]


def title_of(group: ET.Element) -> str:
    """The name dot gave a part."""
    title = group.find(f"{SVG}title")
    return title.text or "" if title is not None else ""


def item_of(group: ET.Element) -> Item:
    """A node or a label with its box."""
    points: list[Point] = []
    line_x = None
    for part in group.iter():
        if part.tag == f"{SVG}text":
            style = "Bold" if "font-weight" in part.attrib else "Regular"
            x, y = float(part.attrib["x"]), float(part.attrib["y"])
            width = text_width_px(part.text or "", TEXT_SIZE, style)
            points += [(x, y - TEXT_SIZE), (x + width, y + TEXT_SIZE / 3)]
            continue
        own = pairs(part.attrib.get("points") or part.attrib.get("d") or "")
        points += own
        if part.attrib.get("fill") == LINE_COLOUR:
            line_x = sum(x for x, _ in own[:4]) / 4
    across, down = [x for x, _ in points], [y for _, y in points]
    return Item(group, min(across), min(down), max(across), max(down), line_x)


def pairs(text: str) -> list[Point]:
    """The points in path data or in a list of points."""
    return [(float(x), float(y)) for x, y in PAIR.findall(text)]


def ranked(items: list[Item]) -> list[list[Item]]:
    """The items of each rank, from the top; a rank ends where nothing reaches across."""
    ranks: list[list[Item]] = []
    bottom = float("-inf")
    for item in sorted(items, key=lambda item: (item.top, item.left)):
        if item.top >= bottom:
            ranks.append([])
        ranks[-1].append(item)
        item.rank = len(ranks) - 1
        bottom = max(bottom, item.bottom)
    return ranks


def piece_of(group: ET.Element, drawing: Drawing, runs: Runs, items: dict[str, Item]) -> Piece:
    """A line of dot's, with the items it joins and the arrow heads it carries."""
    _, *part, mark = group.attrib["class"].split()
    index = int(mark[1:])
    edge, run = drawing.edges[index], runs[index]
    arrow_up, arrow_down = arrows(edge, run)
    label = f"label {index}"
    upper: tuple[str, ...] = ("from", *run.upper)
    lower: tuple[str, ...] = ("to", *run.lower)
    if part == ["above"]:
        lower, arrow_down = ("label", label), False
    elif part == ["below"]:
        upper, arrow_up = ("label", label), False
    if run.loops:
        upper = ("from", *(run.upper if part == ["above"] else run.lower))
        lower, arrow_up, arrow_down = ("label", label), False, False
    ends = (items[upper[1]], items[lower[1]])
    return Piece(group, edge, *ends, (upper, lower), course_of(group), arrow_up, arrow_down)


def course_of(group: ET.Element) -> list[Point]:
    """The points of a line as dot led it, from its upper to its lower end."""
    path = group.find(f"{SVG}path")
    return pairs(path.attrib["d"]) if path is not None else []


def frame_of(group: ET.Element, drawing: Drawing, items: dict[str, Item]) -> Frame:
    """A group's frame, the labels of its inner edges among the members."""
    names = set(drawing.groups[int(group.attrib["class"].rpartition(" g")[2])].nodes)
    members = [items[name] for name in sorted(names)]
    members += [
        items[f"label {number}"]
        for number, edge in enumerate(drawing.edges)
        if edge.labelled and edge.tail in names and edge.head in names
    ]
    outline = [part for part in group if part.tag == f"{SVG}polygon"]
    return Frame(group, members, [x for part in outline for x, _ in pairs(part.attrib["points"])])


def move(item: Item, right: float, down: float) -> None:
    """Moves an item."""

    def moved(match: re.Match[str]) -> str:
        return f"{float(match[1]) + right:.2f},{float(match[2]) + down:.2f}"

    for part in item.group.iter():
        if part.tag == f"{SVG}text":
            part.set("x", f"{float(part.attrib['x']) + right:.2f}")
            part.set("y", f"{float(part.attrib['y']) + down:.2f}")
        for key in ("points", "d"):
            if key in part.attrib:
                part.set(key, PAIR.sub(moved, part.attrib[key]))
    item.left, item.right = item.left + right, item.right + right
    item.top, item.bottom = item.top + down, item.bottom + down
    if item.line_x is not None:
        item.line_x += right
