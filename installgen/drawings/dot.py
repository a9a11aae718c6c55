"""A drawing as DOT text: the same drawing always gives the same text."""

from installgen.drawings.graph import Arrow, Drawing, Edge, Group
from installgen.drawings.kinds import LINE_LOOKS
from installgen.drawings.labels import (
    BOTTOM_RIM,
    LABEL_PORT,
    TEXT_SIZE,
    TOP_RIM,
    edge_label,
    node_label,
)
from installgen.drawings.metrics import FAMILY
from installgen.drawings.orient import Course, courses, rims
from installgen.drawings.text import cut, label_text

MOST_GROUP_NAME = 60


def dot_of(drawing: Drawing) -> str:
    """The drawing in the DOT language.

    Only layout is decided here. Links, titles and symbols are put in by `svg.dress`, which finds
    each part by its class: `n3` is the fourth node, `e3` the fourth edge; an edge with a label is
    drawn in two, `above` the label and `below` it.
    """
    runs = courses(drawing)
    edges_of = rims(drawing, runs)
    font = f'fontname="{FAMILY}" fontsize={TEXT_SIZE}'
    lines = [
        f'digraph "{drawing.id}" {{',
        f"  graph [rankdir=TB {font} nodesep=0.16 ranksep=0.16 pad=0.06 splines=polyline"
        " bgcolor=transparent]",
        f"  node [shape=plain margin=0 {font}]",
        f"  edge [{font} arrowsize=0.8]",
    ]
    for index, node in enumerate(drawing.nodes):
        label = node_label(node, index, edges_of[node.id], drawing.text_width_px)
        lines.append(f'  "{node.id}" [class="n{index}" label=<{label}>]')
    for index, (edge, run) in enumerate(zip(drawing.edges, runs, strict=True)):
        lines += edge_statements(index, edge, run)
    for index, group in enumerate(drawing.groups):
        lines += group_statements(index, group, drawing)
    lines += [rank_statement("source", drawing.top)] if drawing.top else []
    lines += [rank_statement("sink", drawing.bottom)] if drawing.bottom else []
    lines += [rank_statement("same", level) for level in drawing.levels]
    lines.append("}")
    return "\n".join(lines) + "\n"


def rank_statement(rank: str, members: tuple[str, ...]) -> str:
    """Holds nodes at one rank."""
    return f"  {{rank={rank}; " + " ".join(f'"{member}";' for member in members) + "}"


def group_statements(index: int, group: Group, drawing: Drawing) -> list[str]:
    """A frame around the group's nodes and around the labels of the edges between them."""
    inside = set(group.nodes)
    labels = [
        f'"label {number}";'
        for number, edge in enumerate(drawing.edges)
        if edge.labelled and edge.tail in inside and edge.head in inside
    ]
    members = [f'"{member}";' for member in group.nodes]
    name = label_text(cut(group.name, MOST_GROUP_NAME))
    return [
        f'  subgraph "cluster_{index}" {{',
        f'    graph [class="g{index}" margin=8 labeljust=l label=<<B>{name}</B>>]',
        f"    {' '.join(members + labels)}",
        "  }",
    ]


def edge_statements(index: int, edge: Edge, run: Course) -> list[str]:
    """An edge, led through a node that carries its label, so that labels get room of their own."""
    upper, lower = upper_end(*run.upper), lower_end(*run.lower)
    arrow_up, arrow_down = arrows(edge, run)
    style = f'class="e{index}" penwidth={LINE_LOOKS[edge.line].width} dir=both'
    tips = f"arrowtail={tip(arrow_up)} arrowhead={tip(arrow_down)}"
    if not edge.labelled:
        return [f"  {upper} -> {lower} [{style} {tips}]"]
    label = f'"label {index}"'
    above, below = style.replace('"', '"above ', 1), style.replace('"', '"below ', 1)
    first = f'  {label} [class="e{index}" label=<{edge_label(edge)}>]'
    if run.loops:
        other = upper_end(*run.lower)
        return [
            first,
            f"  {upper} -> {label}:{LABEL_PORT}:n [{above} arrowtail=none arrowhead=none]",
            f"  {other} -> {label}:{LABEL_PORT}:n [{below} arrowtail=none arrowhead=none]",
        ]
    return [
        first,
        f"  {upper} -> {label}:{LABEL_PORT}:n"
        f" [{above} weight=3 arrowtail={tip(arrow_up)} arrowhead=none]",
        f"  {label}:{LABEL_PORT}:s -> {lower}"
        f" [{below} weight=3 arrowtail=none arrowhead={tip(arrow_down)}]",
    ]


def arrows(edge: Edge, run: Course) -> tuple[bool, bool]:
    """Whether an edge carries an arrow head at its upper and at its lower end."""
    at_tail, at_head = edge.arrow is Arrow.BOTH, edge.arrow is not Arrow.NONE
    return (at_head, at_tail) if run.up else (at_tail, at_head)


def tip(drawn: bool) -> str:
    """The shape of an end of an edge."""
    return "normal" if drawn else "none"


def upper_end(node: str, port: str) -> str:
    """Where an edge leaves a node downwards."""
    return f'"{node}":"{port}{BOTTOM_RIM}":s' if port else f'"{node}":s'


def lower_end(node: str, port: str) -> str:
    """Where an edge reaches a node from above."""
    return f'"{node}":"{port}{TOP_RIM}":n' if port else f'"{node}":n'
