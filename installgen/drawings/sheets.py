"""Large drawings in readable parts: one function of a circuit, one column of a long route."""

import itertools
import re
from collections.abc import Collection
from dataclasses import replace

from installgen.calc.reach import reached
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Kind
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.paper import (
    A4,
    LEAST_PRINT_TEXT_PT,
    POINT_PER_MM,
    POINT_PER_PX,
    Paper,
    fit_on_paper,
)
from installgen.drawings.render import Rendered

Place = tuple[str, str]

COLUMN_GAP_PX = 16.0
MARGIN_PX = 18.0
BEYOND_PX = 30.0
WITHIN_VIEW = re.compile(r' viewBox="[^"]*" width="[^"]*" height="[^"]*"')
IDS = re.compile(r' (?:id|aria-labelledby)="[^"]*"')


def serving(
    drawing: Drawing, targets: Collection[str], identifier: str, title: str, description: str
) -> Drawing:
    """The part of a circuit that some devices need: what feeds them and where they return.

    Every edge on a directed way that leads to or from a target is kept, so the part is complete
    for whoever looks for why a target does not work.

    targets: ids of nodes
    Raises ValueError when a target is not in the drawing.
    """
    kinds = {node.id: node.kind for node in drawing.nodes}
    if missing := sorted(set(targets) - set(kinds)):
        raise ValueError(f"drawing {drawing.id!r} has no node {missing[0]!r}")
    ahead: dict[Place, list[Place]] = {}
    behind: dict[Place, list[Place]] = {}
    ends: list[tuple[Place, Place]] = []
    for edge in drawing.edges:
        tail = place_of(edge.tail, edge.tail_port, kinds)
        head = place_of(edge.head, edge.head_port, kinds)
        ends.append((tail, head))
        ahead.setdefault(tail, []).append(head)
        behind.setdefault(head, []).append(tail)
    starts = {place for pair in ends for place in pair if place[0] in targets}
    feeding, fed = reached(behind, starts), reached(ahead, starts)
    edges = [
        edge
        for edge, (tail, head) in zip(drawing.edges, ends, strict=True)
        if {tail, head} <= feeding or {tail, head} <= fed
    ]
    kept = {node for node, _ in feeding | fed} | set(targets)
    return replace(
        drawing,
        id=identifier,
        title=title,
        description=description,
        nodes=tuple(node for node in drawing.nodes if node.id in kept),
        edges=tuple(edges),
        groups=tuple(
            replace(group, nodes=members)
            for group in drawing.groups
            if (members := tuple(member for member in group.nodes if member in kept))
        ),
        top=tuple(member for member in drawing.top if member in kept),
        bottom=tuple(member for member in drawing.bottom if member in kept),
        tables=(),
    )


def place_of(node: str, port: str, kinds: dict[str, Kind]) -> Place:
    """Where an edge ends: the node as a whole, but in a plug the pin, which joins no other."""
    return (node, port) if kinds[node] is Kind.PLUG else (node, "")


def paper_sheets(rendered: Rendered, paper: Paper = A4) -> tuple[str, ...]:
    """A tall drawing cut between its nodes into columns that stand side by side on A4.

    Returns one SVG a column, in order, or nothing when the drawing needs no cutting or would not
    be readable in columns either.
    """
    if readable_whole(rendered, paper) or not rendered.cuts_px:
        return ()
    scale = LEAST_PRINT_TEXT_PT / (TEXT_SIZE * POINT_PER_PX)
    room_px = tuple(mm * POINT_PER_MM / POINT_PER_PX / scale for mm in paper.upright_mm)
    most = int((room_px[0] + COLUMN_GAP_PX) // (rendered.width_px + COLUMN_GAP_PX))
    for columns in range(2, most + 1):
        edges = column_edges(rendered, columns)
        if max(low - high for high, low in edges) + 2 * MARGIN_PX <= room_px[1]:
            return tuple(
                column(rendered, high, low, number, columns)
                for number, (high, low) in enumerate(edges)
            )
    return ()


def paper_pages(rendered: Rendered, paper: Paper = A4) -> tuple[str, ...]:
    """A drawing too tall for a page and too wide for columns, cut into parts for a page each.

    Returns one SVG a page, in order, or nothing when it needs no cutting, stands in columns or
    would not be readable at the width of a page either.
    """
    if readable_whole(rendered, paper) or not rendered.cuts_px or paper_sheets(rendered, paper):
        return ()
    room_mm = paper.turned_mm if pages_turned(rendered, paper) else paper.upright_mm
    room_px = tuple(mm * POINT_PER_MM / POINT_PER_PX for mm in room_mm)
    scale = min(1.0, room_px[0] / rendered.width_px)
    if TEXT_SIZE * POINT_PER_PX * scale < LEAST_PRINT_TEXT_PT:
        return ()
    for pages in range(2, len(rendered.cuts_px) + 2):
        edges = column_edges(rendered, pages)
        if max(low - high for high, low in edges) + 2 * MARGIN_PX <= room_px[1] / scale:
            return tuple(
                column(rendered, high, low, number, pages, "continues on the next page")
                for number, (high, low) in enumerate(edges)
            )
    return ()


def readable_whole(rendered: Rendered, paper: Paper) -> bool:
    """Whether the drawing can be read on one page."""
    return fit_on_paper(rendered.width_px, rendered.height_px, paper).readable


def pages_turned(rendered: Rendered, paper: Paper = A4) -> bool:
    """Whether a drawing in pages needs pages turned sideways to be readable."""
    width_mm = rendered.width_px * POINT_PER_PX / POINT_PER_MM
    return TEXT_SIZE * POINT_PER_PX * paper.upright_mm[0] / width_mm < LEAST_PRINT_TEXT_PT


def column_edges(rendered: Rendered, columns: int) -> list[tuple[float, float]]:
    """Top and bottom of each column, cut where only lines are crossed, nearest to equal heights."""
    cuts = [0.0]
    for number in range(1, columns):
        wanted = rendered.height_px * number / columns
        cuts.append(min(rendered.cuts_px, key=lambda cut: abs(cut - wanted)))
    cuts.append(rendered.height_px)
    return list(itertools.pairwise(cuts))


def column(
    rendered: Rendered,
    high: float,
    low: float,
    number: int,
    columns: int,
    onward: str = "continues in the next column",
) -> str:
    """One column: the same content seen through a narrower window, saying where it goes on."""
    width, height = rendered.width_px, low - high + 2 * MARGIN_PX
    window = (
        f' viewBox="0 {high - MARGIN_PX:.1f} {width:.1f} {height:.1f}"'
        f' width="{width:.1f}" height="{height:.1f}"'
    )
    svg = WITHIN_VIEW.sub(window, IDS.sub("", rendered.svg), count=1)
    words = "▼ continued" if number else ""
    covers = cover(width, high - MARGIN_PX, words, above=BEYOND_PX)
    words = f"▼ {onward}" if number < columns - 1 else ""
    covers += cover(width, low, words, below=BEYOND_PX)
    return svg.removesuffix("</svg>") + covers + "</svg>"


def cover(width: float, top: float, words: str, above: float = 0.0, below: float = 0.0) -> str:
    """A strip of paper over what belongs to the neighbouring column, with words on it.

    above, below: how far it reaches out of the window, where a browser may show a sliver [px]
    """
    text = f'<text x="2" y="{top + 13:.1f}" font-style="italic">{words}</text>' if words else ""
    return (
        f'<rect class="drawing-paper" fill="white" x="0" y="{top - above:.1f}"'
        f' width="{width:.1f}" height="{MARGIN_PX + above + below:.1f}"/>{text}'
    )
