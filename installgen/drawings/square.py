"""Lines of a dense drawing, drawn again with right angles so that each can be followed by eye.

dot decides who stands beside whom; here the ranks are set apart as far as the tracks between them
need, and every line runs down, along its track and down again.
"""

import itertools
import xml.etree.ElementTree as ET

from installgen.drawings.channels import TRACK_PX, Channel, Net, apart, place
from installgen.drawings.graph import Drawing
from installgen.drawings.orient import courses
from installgen.drawings.pieces import (
    SVG,
    Frame,
    Item,
    Piece,
    Point,
    frame_of,
    item_of,
    move,
    piece_of,
    ranked,
    role,
    title_of,
)
from installgen.drawings.strokes import (
    ARROW_PX,
    FRAME_PX,
    HEADING_PX,
    enclose,
    fit_view,
    point_arrows,
    redraw,
)

CLEAR_PX = 5.0
CORNER_PX = 9.0
MOST_ASIDE_PX = 16.0
LANDING_PX = 14.0


def square_lines(source: ET.Element, drawing: Drawing) -> None:
    """Redraws the lines of dot's SVG in place; leaves it alone when they do not allow it."""
    graph = source.find(f"{SVG}g")
    if graph is None or not drawing.nodes:
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
        if piece.edge.tail == piece.edge.head:
            name = ("jumper", *piece.ends[1])
        elif position == 0 and piece.ends[0][0] == "from":
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
