"""An engine seen from above with its connection points where they sit.

Six zones: front at the top, port on the left, starboard on the right, rear at the bottom, and in
the middle what is on top and what is below. Narrow enough for a telephone.
"""

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.drawings.graph import Cell, Drawing, Node, Table, check_href
from installgen.drawings.kinds import STATUS_PLAIN_WORDS, STATUS_WORDS, Kind, Status
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.metrics import text_width_px
from installgen.drawings.paper import fit_on_paper
from installgen.drawings.render import Rendered
from installgen.drawings.svg import root_element, short
from installgen.drawings.text import clean, cut, wrap

COLUMN_PX = 78
MARK_PX = 13
PAD_PX = 6
LINE_PX = 15
GAP_PX = 9
MOST_LINES = 5
LEFTS_PX = tuple(19 + number * (COLUMN_PX + 22) for number in range(3))
STYLE = {"Bold": {"font-weight": "bold"}, "Italic": {"font-style": "italic"}, "Regular": {}}


class Place(StrEnum):
    """Where on the engine a connection point sits."""

    FRONT = "front"
    PORT = "port"
    TOP = "top"
    BELOW = "below"
    STARBOARD = "starboard"
    REAR = "rear"


HEADINGS = {
    Place.FRONT: "Front",
    Place.PORT: "Port side",
    Place.TOP: "On top",
    Place.BELOW: "Below",
    Place.STARBOARD: "Starboard side",
    Place.REAR: "Rear",
}


@dataclass(frozen=True)
class ConnectionPoint:
    """A connection point of an engine.

    code: on its label; name: what for; lines: size, thread, a sentence to find it by
    """

    id: str
    place: Place
    name: str
    code: str = ""
    lines: tuple[str, ...] = ()
    href: str = ""
    title: str = ""
    status: Status = Status.NORMAL
    note: str = ""

    def __post_init__(self) -> None:
        check_href(self.href)


@dataclass(frozen=True)
class Words:
    """A line of text and its style."""

    text: str
    style: str = "Regular"


@dataclass(frozen=True)
class Block:
    """A heading, or a point, as lines of text."""

    words: tuple[Words, ...]
    point: ConnectionPoint | None = None
    id: str = ""

    @property
    def height(self) -> float:
        """Room it takes with the gap under it [px]."""
        return len(self.words) * LINE_PX + GAP_PX


Zones = dict[Place, list[Block]]


def engine_plan(
    identifier: str,
    title: str,
    description: str,
    engine: str,
    points: Sequence[ConnectionPoint],
) -> Rendered:
    """Draws the points around an engine, with a table that says the same.

    engine: name of the engine, printed above its outline
    """
    drawing = Drawing(
        identifier,
        title,
        description,
        tuple(
            Node(p.id, Kind.POINT, p.name, p.code, p.lines, p.href, p.title, p.status, p.note)
            for p in points
        ),
        tables=(points_table(points),) if points else (),
    )
    width = LEFTS_PX[-1] + COLUMN_PX + PAD_PX + MARK_PX
    canvas = ET.Element("g", {"transform": "translate(8 0)"})
    zones = {
        place: [block(p, f"{identifier}--{p.id}") for p in points if p.place is place]
        for place in Place
    }
    top = 22.0
    put_text(canvas, Words(cut(engine, 34), "Bold"), 0.0, 14.0)
    forward = "▲ to the front"
    put_text(canvas, Words(forward), width - text_width_px(forward, TEXT_SIZE), 14.0)
    level = strip(canvas, zones, Place.FRONT, top + PAD_PX)
    if zones[Place.FRONT]:
        put_line(canvas, 0, level - PAD_PX, width, level - PAD_PX)
    level = middle(canvas, zones, level, width)
    if zones[Place.REAR]:
        put_line(canvas, 0, level - PAD_PX, width, level - PAD_PX)
    level = strip(canvas, zones, Place.REAR, level)
    outline = {"x": "0", "y": short(top), "width": short(width), "height": short(level - top)}
    ET.SubElement(
        canvas,
        "rect",
        outline | {"rx": "10", "fill": "none", "stroke": "currentColor", "stroke-width": "3"},
    )
    size = (width + 16.0, level + 8.0)
    root = root_element(drawing, *size)
    root.append(canvas)
    svg = ET.tostring(root, encoding="unicode").replace("\n", " ")
    return Rendered(drawing, svg, *size, fit_on_paper(*size))


def points_table(points: Sequence[ConnectionPoint]) -> Table:
    """Every point in words."""
    rows = tuple(
        (
            Cell(clean(point.code)),
            Cell(clean(point.name), point.href),
            Cell(HEADINGS[point.place]),
            Cell("; ".join(clean(line) for line in point.lines)),
            Cell(status_words(point)),
        )
        for point in sorted(points, key=lambda point: list(Place).index(point.place))
    )
    return Table("Connection points", ("Code", "For", "Where", "Figures", "Status"), rows)


def status_words(point: ConnectionPoint) -> str:
    """A point's status and why, in plain words."""
    note = f": {clean(point.note)}" if point.note and STATUS_PLAIN_WORDS[point.status] else ""
    return STATUS_PLAIN_WORDS[point.status] + note


def block(point: ConnectionPoint, identifier: str) -> Block:
    """A point: code and name in bold, then its lines, then its status."""
    name = f"{clean(point.code)} {clean(point.name)}".strip()
    words = wrapped(name, "Bold")
    for line in point.lines:
        words += wrapped(line, "Regular")
    if point.status is not Status.NORMAL:
        said = STATUS_WORDS[point.status] + (f": {point.note}" if point.note else "")
        words += wrapped(said, "Italic" if point.status is Status.NOT_ASSESSED else "Bold")
    return Block(tuple(words), point, identifier)


def wrapped(text: str, style: str) -> list[Words]:
    """Text in lines as wide as a column."""

    def fits(line: str) -> bool:
        return text_width_px(line, TEXT_SIZE, style) <= COLUMN_PX

    return [Words(line, style) for line in wrap(text, fits, MOST_LINES)]


def heading(place: Place) -> Block:
    """The name of a zone."""
    return Block((Words(HEADINGS[place]),))


def strip(canvas: ET.Element, zones: Zones, place: Place, level: float) -> float:
    """The zone of the front or of the rear: rows of three; returns where the next zone begins."""
    found = zones[place]
    if not found:
        return level
    put_block(canvas, heading(place), LEFTS_PX[0], level)
    level += LINE_PX + 3
    for start in range(0, len(found), 3):
        row = found[start : start + 3]
        for left, one in zip(LEFTS_PX, row, strict=False):
            put_block(canvas, one, left, level)
            put_mark(canvas, left - 9, level + LINE_PX / 2, Place.FRONT)
        level += max(one.height for one in row)
    return level + PAD_PX


def middle(canvas: ET.Element, zones: Zones, level: float, width: float) -> float:
    """Port, top and below, starboard, side by side; returns where the next zone begins."""
    columns = (
        (LEFTS_PX[0], (Place.PORT,), 0.0),
        (LEFTS_PX[1], (Place.TOP, Place.BELOW), LEFTS_PX[1] - 9.0),
        (LEFTS_PX[2], (Place.STARBOARD,), width),
    )
    ends = []
    for left, places, mark in columns:
        down = level
        for place in places:
            if zones[place]:
                put_block(canvas, heading(place), left, down)
                down += LINE_PX + 3
            for one in zones[place]:
                put_block(canvas, one, left, down)
                put_mark(canvas, mark, down + LINE_PX / 2, place)
                down += one.height
        ends.append(down)
    end = max(*ends, level + 60.0) + PAD_PX
    for x in (LEFTS_PX[1] - 18.0, LEFTS_PX[2] - 9.0):
        put_line(canvas, x, level, x, end - PAD_PX)
    return end


def put_block(canvas: ET.Element, block: Block, left: float, level: float) -> None:
    """Writes a block with its title and link."""
    outer = ET.SubElement(canvas, "g", {"class": "drawing-label"})
    inner = outer
    if block.point:
        outer.set("class", f"drawing-node drawing-status-{block.point.status.value}")
        outer.set("id", block.id)
        told = block.point.title or ", ".join(
            [block.point.name, block.point.code, *block.point.lines, status_words(block.point)]
        )
        ET.SubElement(outer, "title").text = clean(told).strip(", ")
        if block.point.href:
            inner = ET.SubElement(outer, "a", {"href": block.point.href})
    for number, words in enumerate(block.words):
        style = words.style if block.point else "Italic"
        put_text(inner, Words(words.text, style), left, level + number * LINE_PX + 11)


def put_text(parent: ET.Element, words: Words, left: float, baseline: float) -> None:
    """Writes one line."""
    place = {"x": short(left), "y": short(baseline)}
    ET.SubElement(parent, "text", place | STYLE[words.style]).text = words.text


def put_mark(canvas: ET.Element, x: float, y: float, place: Place) -> None:
    """Where a point is: a dot on the rim, a ring with a dot on top, a ring with a cross below."""
    mark = ET.SubElement(
        canvas, "g", {"class": "drawing-symbol", "fill": "none", "stroke": "currentColor"}
    )
    centre = {"cx": short(x), "cy": short(y)}
    if place in (Place.TOP, Place.BELOW):
        ET.SubElement(mark, "circle", centre | {"r": "5"})
    if place is Place.BELOW:
        cross = f"M{short(x - 3)},{short(y - 3)}l6,6M{short(x + 3)},{short(y - 3)}l-6,6"
        ET.SubElement(mark, "path", {"d": cross})
    else:
        radius = "2" if place is Place.TOP else "4.5"
        ET.SubElement(mark, "circle", centre | {"r": radius, "fill": "currentColor"})


def put_line(canvas: ET.Element, x0: float, y0: float, x1: float, y1: float) -> None:
    """A thin line between zones."""
    data = f"M{short(x0)},{short(y0)}L{short(x1)},{short(y1)}"
    ET.SubElement(
        canvas,
        "path",
        {"d": data, "fill": "none", "stroke": "currentColor", "stroke-dasharray": "2 3"},
    )
