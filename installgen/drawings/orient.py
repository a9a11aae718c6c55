"""Which way each edge runs on the page, and so on which rim of a node each terminal sits.

A drawing runs down. An edge that would close a loop, or that leads to a node held at the top,
runs up instead: a return, a vent to a tank above, a wire back to a lamp. A terminal sits in the
bottom rim when a line leaves it downwards and in the top rim when one arrives from above; a pin
through which a current passes shows in both.
"""

from dataclasses import dataclass, field

from installgen.drawings.graph import Drawing, Edge, Node, Terminal

End = tuple[str, str]


@dataclass(frozen=True)
class Rims:
    """The terminals in the top and in the bottom rim of a node."""

    top: tuple[Terminal, ...] = ()
    bottom: tuple[Terminal, ...] = ()


@dataclass(frozen=True)
class Course:
    """An edge as it runs down the page: its upper and lower end (node, terminal).

    up: the edge's own direction is against this course
    loops: both ends are on one node, whose bottom rim they leave
    """

    upper: End
    lower: End
    up: bool
    loops: bool


@dataclass
class Ways:
    """Which nodes lie below which, as edges are added one by one."""

    below: dict[str, set[str]] = field(default_factory=dict)

    def lead(self, start: str, end: str) -> bool:
        """Whether a way down leads from start to end."""
        waiting, seen = [start], {start}
        while waiting:
            here = waiting.pop()
            if here == end:
                return True
            fresh = self.below.get(here, set()) - seen
            seen |= fresh
            waiting += sorted(fresh)
        return False

    def add(self, upper: str, lower: str) -> None:
        """Notes that one node lies below another."""
        self.below.setdefault(upper, set()).add(lower)


def courses(drawing: Drawing) -> tuple[Course, ...]:
    """How each edge runs down the page, in the order of the edges."""
    ways = Ways()
    found: dict[int, bool] = {}
    held = {number for number, edge in enumerate(drawing.edges) if held_up(drawing, edge)}
    for number in sorted(range(len(drawing.edges)), key=lambda n: (n not in held, n)):
        edge = drawing.edges[number]
        up = number in held
        upper, lower = (edge.head, edge.tail) if up else (edge.tail, edge.head)
        if upper != lower and ways.lead(lower, upper):
            up, upper, lower = not up, lower, upper
        ways.add(upper, lower)
        found[number] = up
    return tuple(course(edge, found[number]) for number, edge in enumerate(drawing.edges))


def held_up(drawing: Drawing, edge: Edge) -> bool:
    """Whether an edge must run up: it says so, or a node is held at the top or at the bottom."""
    into_top = edge.head in drawing.top and edge.tail not in drawing.top
    out_of_bottom = edge.tail in drawing.bottom and edge.head not in drawing.bottom
    return edge.back or into_top or out_of_bottom


def course(edge: Edge, up: bool) -> Course:
    """The course of an edge that runs down, or up."""
    ends = (edge.tail, edge.tail_port), (edge.head, edge.head_port)
    upper, lower = reversed(ends) if up else ends
    return Course(upper, lower, up, edge.tail == edge.head)


def rims(drawing: Drawing, runs: tuple[Course, ...]) -> dict[str, Rims]:
    """The rims of every node."""
    arriving = {run.lower for run in runs if not run.loops}
    leaving = {run.upper for run in runs} | {run.lower for run in runs if run.loops}
    return {node.id: rims_of(node, arriving, leaving) for node in drawing.nodes}


def rims_of(node: Node, arriving: set[End], leaving: set[End]) -> Rims:
    """The rims of one node; a terminal without a line is opposite its only fellow, or below."""
    top = [t for t in node.terminals if (node.id, t.id) in arriving]
    bottom = [t for t in node.terminals if (node.id, t.id) in leaving]
    idle = [t for t in node.terminals if t not in top and t not in bottom]
    if bottom and not top and len(node.terminals) == 2:
        return Rims(tuple(idle), tuple(bottom))
    return Rims(tuple(top), tuple(t for t in node.terminals if t in bottom or t in idle))
