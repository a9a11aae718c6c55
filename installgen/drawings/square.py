"""Lines of a dense drawing, drawn again with right angles so that each can be followed by eye.

dot decides who stands beside whom; here the ranks are set apart as far as the tracks between them
need, and every line runs down, along its track and down again.
"""

import itertools
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field

from installgen.drawings.channels import Net, apart, place
from installgen.drawings.dot import arrows
from installgen.drawings.graph import Drawing, Edge
from installgen.drawings.labels import LINE_COLOUR, TEXT_SIZE
from installgen.drawings.metrics import text_width_px
from installgen.drawings.orient import Course, courses

SVG = "{http://www.w3.org/2000/svg}"
PAIR = re.compile(r"(-?[\d.]+),(-?[\d.]+)")
TRACK_PX = 7.0
LEAST_CHANNEL_PX = 12.0
ARROW_PX = (4.0, 9.0)
CLEAR_PX = 5.0
CORNER_PX = 9.0
MOST_ASIDE_PX = 16.0
LANDING_PX = 14.0
HEADING_PX = 33.0
FRAME_PX = 8.0
DOT_RADIUS_PX = 2.6

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


@dataclass
class Channel:
    """The room between two ranks: frames that end, arrows up, tracks, arrows down, frames begun."""

    over: float = 0.0
    tracks: int = 0
    under: float = 0.0

    @property
    def height(self) -> float:
        """From the rank above to the rank below [px]."""
        room = self.over + (self.tracks + 1) * TRACK_PX + self.under
        return max(room, LEAST_CHANNEL_PX)


def square_lines(source: ET.Element, drawing: Drawing) -> None:
    """Redraws the lines of dot's SVG in place; leaves it alone when they do not allow it."""
    graph = source.find(f"{SVG}g")
    if graph is None:
        return
    groups = graph.findall(f"{SVG}g")
    runs = courses(drawing)
    items = {title_of(group): item_of(group) for group in groups if role(group) == "node"}
    ranks = ranked(list(items.values()))
    lines = [group for group in groups if role(group) == "edge"]
    pieces = [piece_of(line, drawing, runs, items) for line in lines]
    if any(piece.upper.rank >= piece.lower.rank or not piece.course for piece in pieces):
        for piece in pieces:
            point_arrows(piece)
        return
    frames = [frame_of(group, drawing, items) for group in groups if role(group) == "cluster"]
    straighten(pieces, ranks)
    for piece in pieces:
        piece.stops = stops_of(piece, ranks)
    spread(pieces, ranks)
    land(pieces)
    channels = channels_of(ranks, pieces, frames)
    bottoms = stack(ranks, channels)
    for frame in frames:
        enclose(frame)
    redraw(pieces, bottoms, channels)
    across = [x for item in items.values() for x in (item.left, item.right)]
    across += [x for piece in pieces for x in piece.stops]
    across += [x for frame in frames for x in frame.across]
    fit_view(source, graph, across, channels[0].height, bottoms[-1] + channels[-1].height)


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


def straighten(pieces: list[Piece], ranks: list[list[Item]]) -> None:
    """Moves a label a little aside where that spares its line a small bend."""
    for piece in pieces:
        ends = ((piece.upper, piece.lower, -1), (piece.lower, piece.upper, 0))
        for label, other, end in ends:
            if label.line_x is None or other.line_x is not None:
                continue
            aside = piece.course[end][0] - label.line_x
            others = [item for item in ranks[label.rank] if item is not label]
            if 0 < abs(aside) <= MOST_ASIDE_PX and not any(
                item.left - CLEAR_PX < label.right + aside
                and label.left + aside < item.right + CLEAR_PX
                for item in others
            ):
                move(label, aside, 0.0)


def stops_of(piece: Piece, ranks: list[list[Item]]) -> list[float]:
    """Where the line wants to pass each rank: straight from a label, else as dot led it."""
    first = piece.upper.line_x if piece.upper.line_x is not None else piece.course[0][0]
    last = piece.lower.line_x if piece.lower.line_x is not None else piece.course[-1][0]
    stops = [first]
    for rank in range(piece.upper.rank + 1, piece.lower.rank):
        members = ranks[rank]
        middle = (min(i.top for i in members) + max(i.bottom for i in members)) / 2
        led = crossing_of(piece.course, middle)
        low, high = gap_around(led, members)
        wanted = next((x for x in (stops[-1], last) if low <= x <= high), led)
        stops.append(min(max(wanted, low), high))
    return [*stops, last]


def crossing_of(course: list[Point], level: float) -> float:
    """Where a line is at a height."""
    for (x0, y0), (x1, y1) in itertools.pairwise(course):
        if min(y0, y1) <= level <= max(y0, y1) and y0 != y1:
            return x0 + (x1 - x0) * (level - y0) / (y1 - y0)
    return course[-1][0]


def gap_around(x: float, members: list[Item]) -> tuple[float, float]:
    """The free space between the items of a rank in which, or next to which, x lies."""
    low, high = float("-inf"), float("inf")
    for item in members:
        if (item.left + item.right) / 2 <= x:
            low = max(low, item.right + CLEAR_PX)
        else:
            high = min(high, item.left - CLEAR_PX)
    return (low, high) if low <= high else ((low + high) / 2, (low + high) / 2)


def spread(pieces: list[Piece], ranks: list[list[Item]]) -> None:
    """Sets lines that pass a rank in the same gap apart from each other."""
    for rank, members in enumerate(ranks):
        passing: dict[tuple[float, float], list[tuple[float, int, Piece]]] = {}
        for number, piece in enumerate(pieces):
            if piece.upper.rank < rank < piece.lower.rank:
                x = piece.stops[rank - piece.upper.rank]
                passing.setdefault(gap_around(x, members), []).append((x, number, piece))
        for (low, high), group in passing.items():
            group.sort(key=lambda entry: entry[:2])
            places = apart(low, high, [x for x, _, _ in group], TRACK_PX)
            for x, (_, _, piece) in zip(places, group, strict=True):
                piece.stops[rank - piece.upper.rank] = x


def land(pieces: list[Piece]) -> None:
    """Lets lines end side by side on a node that has no terminals, straight where they can."""
    ending: dict[tuple[str, ...], list[tuple[float, int, Piece]]] = {}
    for number, piece in enumerate(pieces):
        for end, following in ((0, 1), (-1, -2)):
            name = piece.ends[end]
            if name[0] != "label" and not name[2]:
                ending.setdefault(name, []).append((piece.stops[following], number, piece))
    for name, group in ending.items():
        group.sort(key=lambda entry: entry[:2])
        end = 0 if name[0] == "from" else -1
        first = group[0][2]
        item = first.upper if end == 0 else first.lower
        room = (item.left + CORNER_PX, item.right - CORNER_PX)
        for x, (_, _, piece) in zip(
            apart(*room, [wanted for wanted, _, _ in group], LANDING_PX), group, strict=True
        ):
            piece.stops[end] = x
            piece.ends = tuple_with(piece.ends, end, (*name, f"{x:.1f}"))


def tuple_with(
    ends: tuple[tuple[str, ...], tuple[str, ...]], end: int, name: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The names of both ends with one of them replaced."""
    return (name, ends[1]) if end == 0 else (ends[0], name)


def channel_nets(pieces: list[Piece], rank: int) -> dict[tuple[str, ...], Net]:
    """The nets of the channel below a rank; each piece is told its own."""
    nets: dict[tuple[str, ...], Net] = {}
    for number, piece in enumerate(pieces):
        if not piece.upper.rank <= rank < piece.lower.rank:
            continue
        position = rank - piece.upper.rank
        if position == 0 and piece.ends[0][0] == "from":
            name = piece.ends[0]
        elif rank == piece.lower.rank - 1 and piece.ends[1][0] == "to":
            name = piece.ends[1]
        else:
            name = ("piece", str(number))
        net = nets.setdefault(name, Net(name))
        net.above.add(piece.stops[position])
        net.below.add(piece.stops[position + 1])
        piece.nets.append(net)
    return nets


def channels_of(ranks: list[list[Item]], pieces: list[Piece], frames: list[Frame]) -> list[Channel]:
    """The channel above each rank and, last, the one below them all."""
    channels = [Channel() for _ in range(len(ranks) + 1)]
    for rank in range(len(ranks) - 1):
        channels[rank + 1].tracks = place(list(channel_nets(pieces, rank).values()))
    for piece in pieces:
        if piece.arrow_up:
            channels[piece.upper.rank + 1].over = ARROW_PX[1]
        if piece.arrow_down:
            channels[piece.lower.rank].under = ARROW_PX[1]
    ending = {max(item.rank for item in frame.members) + 1 for frame in frames}
    beginning = {min(item.rank for item in frame.members) for frame in frames}
    for number in sorted(ending):
        channels[number].over += FRAME_PX
    for number in sorted(beginning):
        channels[number].under += HEADING_PX
    return channels


def stack(ranks: list[list[Item]], channels: list[Channel]) -> list[float]:
    """Sets the ranks under each other with their channels; returns where each one ends."""
    level = 0.0
    bottoms: list[float] = []
    for members, channel in zip(ranks, channels, strict=False):
        level += channel.height if bottoms else 0.0
        shift = level - min(item.top for item in members)
        level += max(item.bottom for item in members) - min(item.top for item in members)
        for item in members:
            move(item, 0.0, shift)
        bottoms.append(level)
    return bottoms


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


def enclose(frame: Frame) -> None:
    """Draws a frame around its members where they now are, its heading inside at the top."""
    top = min(item.top for item in frame.members) - HEADING_PX
    bottom = max(item.bottom for item in frame.members) + FRAME_PX
    for part in frame.group:
        if part.tag == f"{SVG}polygon":
            left, right = min(frame.across), max(frame.across)
            corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
            part.set("points", " ".join(f"{x:.2f},{y:.2f}" for x, y in corners))
        elif part.tag == f"{SVG}text":
            part.set("y", f"{top + TEXT_SIZE + 4:.2f}")


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


def redraw(pieces: list[Piece], bottoms: list[float], channels: list[Channel]) -> None:
    """Replaces every line, then marks where lines of one net part."""
    dotted: set[Point] = set()
    for piece in pieces:
        for part in list(piece.group):
            if part.tag != f"{SVG}title":
                piece.group.remove(part)
        levels = []
        for position, net in enumerate(piece.nets):
            rank = piece.upper.rank + position
            levels.append(bottoms[rank] + channels[rank + 1].over + (net.track + 1) * TRACK_PX)
        flat = " ".join(f"{x:.2f},{y:.2f}" for x, y in points_of(piece, levels))
        ET.SubElement(piece.group, f"{SVG}polyline", {"points": flat})
        if piece.arrow_down:
            add_arrow(piece.group, (piece.stops[-1], piece.lower.top), -1)
        if piece.arrow_up:
            add_arrow(piece.group, (piece.stops[0], piece.upper.bottom), 1)
        for position, net in enumerate(piece.nets):
            for x in (piece.stops[position], piece.stops[position + 1]):
                if branches(net, x) and (x, levels[position]) not in dotted:
                    dotted.add((x, levels[position]))
                    add_dot(piece.group, x, levels[position])


def branches(net: Net, x: float) -> bool:
    """Whether three lines of a net meet where it touches x."""
    if net.straight:
        return False
    arms = (x in net.above) + (x in net.below) + (net.left < x) + (x < net.right)
    return arms > 2


def points_of(piece: Piece, levels: list[float]) -> list[Point]:
    """The corners of a line from its upper to its lower end."""
    points = [(piece.stops[0], piece.upper.bottom)]
    for position, level in enumerate(levels):
        here, there = piece.stops[position], piece.stops[position + 1]
        if abs(here - there) >= 0.5:
            points += [(here, level), (there, level)]
    return [*points, (piece.stops[-1], piece.lower.top)]


def add_arrow(group: ET.Element, tip: Point, toward: int) -> None:
    """An arrow head with its tip at a point; toward is 1 when its body lies below the tip."""
    half, length = ARROW_PX
    x, y = tip
    base = y + toward * length
    corners = ((x - half, base), (x, y), (x + half, base))
    points = " ".join(f"{across:.2f},{down:.2f}" for across, down in corners)
    ET.SubElement(group, f"{SVG}polygon", {"points": points})


def point_arrows(piece: Piece) -> None:
    """Gives a line that stays as dot led it the arrow heads it should carry."""
    ends = ((piece.arrow_up, piece.course[:2]), (piece.arrow_down, piece.course[:-3:-1]))
    for wanted, course in ends:
        if wanted and len(course) == 2:
            (x, y), (from_x, from_y) = course
            away = max(math.hypot(from_x - x, from_y - y), 0.1)
            half, length = ARROW_PX
            along, across = (from_x - x) / away, (from_y - y) / away
            base = (x + along * length, y + across * length)
            corners = (
                (base[0] - across * half, base[1] + along * half),
                (x, y),
                (base[0] + across * half, base[1] - along * half),
            )
            points = " ".join(f"{right:.2f},{down:.2f}" for right, down in corners)
            ET.SubElement(piece.group, f"{SVG}polygon", {"points": points})


def add_dot(group: ET.Element, x: float, y: float) -> None:
    """A dot where lines of one net part."""
    radius = str(DOT_RADIUS_PX)
    ET.SubElement(
        group, f"{SVG}ellipse", {"cx": f"{x:.2f}", "cy": f"{y:.2f}", "rx": radius, "ry": radius}
    )


def fit_view(
    source: ET.Element, graph: ET.Element, across: list[float], above: float, below: float
) -> None:
    """Makes the drawing as large as it now is: all of `across`, `above` to `below`."""
    left, right = min(across) - CLEAR_PX, max(across) + CLEAR_PX
    source.set("viewBox", f"0 0 {right - left:.2f} {above + below:.2f}")
    graph.set("transform", f"translate({-left:.2f} {above:.2f})")
