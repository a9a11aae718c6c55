"""Lines, arrow heads, dots and frames drawn into dot's SVG where they have been placed."""

import math
import xml.etree.ElementTree as ET

from installgen.drawings.channels import TRACK_PX, Channel, Net
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.pieces import SVG, Frame, Piece, Point

ARROW_PX = (4.0, 9.0)
DOT_RADIUS_PX = 2.6
HEADING_PX = 33.0
FRAME_PX = 8.0
MARGIN_PX = 5.0


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


def enclose(frame: Frame) -> None:
    """Draws a frame around its members where they now are, its heading inside at the top."""
    top = min(item.top for item in frame.members) - HEADING_PX
    bottom = max(item.bottom for item in frame.members) + FRAME_PX
    frame.across.append(min(item.left for item in frame.members) - FRAME_PX)
    frame.across.append(max(item.right for item in frame.members) + FRAME_PX)
    for part in frame.group:
        if part.tag == f"{SVG}polygon":
            left, right = min(frame.across), max(frame.across)
            corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
            part.set("points", " ".join(f"{x:.2f},{y:.2f}" for x, y in corners))
        elif part.tag == f"{SVG}text":
            part.set("y", f"{top + TEXT_SIZE + 4:.2f}")


def fit_view(
    source: ET.Element, graph: ET.Element, across: list[float], above: float, below: float
) -> None:
    """Makes the drawing as large as it now is: all of `across`, `above` to `below`."""
    left, right = min(across) - MARGIN_PX, max(across) + MARGIN_PX
    source.set("viewBox", f"0 0 {right - left:.2f} {above + below:.2f}")
    graph.set("transform", f"translate({-left:.2f} {above:.2f})")
