"""A drawing as DOT text: the same drawing always gives the same text."""

from installgen.drawings.graph import Arrow, Drawing, Edge, Group
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

    Only places are decided here. Lines, links, titles and symbols are drawn afterwards, from each
    part's class: `n3` is the fourth node, `e3` the fourth edge; an edge with a label is
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
        "  edge [dir=none]",
    ]
    for index, node in enumerate(drawing.nodes):
        label = node_label(node, index, edges_of[node.id], drawing.text_width_px)
        lines.append(f'  "{node.id}" [class="n{index}" label=<{label}>]')
    for index, (edge, run) in enumerate(zip(drawing.edges, runs, strict=True)):
        lines += edge_statements(index, edge, run, drawing.label_width_px)
    for index, group in enumerate(drawing.groups):
        lines += group_statements(index, group, drawing)
    lines += [rank_statement("source", drawing.top)] if drawing.top else []
    looping = {run.upper[0] for run in runs if run.loops}
    bottom = tuple(member for member in drawing.bottom if member not in looping)
    lines += [rank_statement("sink", bottom)] if bottom else []
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
    name = label_text(cut(group.name, MOST_GROUP_NAME)) or "&#160;"
    return [
        f'  subgraph "cluster_{index}" {{',
        f'    graph [class="g{index}" margin=8 labeljust=l label=<<B>{name}</B>>]',
        f"    {' '.join(members + labels)}",
        "  }",
    ]


def edge_statements(index: int, edge: Edge, run: Course, width_px: int) -> list[str]:
    """An edge, led through a node that carries its label, so that labels get room of their own."""
    upper, lower = upper_end(*run.upper), lower_end(*run.lower)
    if not edge.labelled:
        return [f'  {upper} -> {lower} [class="e{index}"]']
    label = f'"label {index}"'
    above, below = f'[class="above e{index}" weight=3]', f'[class="below e{index}" weight=3]'
    leaving = f"  {upper} -> {label}:{LABEL_PORT}:n {above}"
    arriving = f"  {label}:{LABEL_PORT}:s -> {lower} {below}"
    if run.loops:
        arriving = f"  {upper_end(*run.lower)} -> {label}:{LABEL_PORT}:n {below}"
    return [f'  {label} [class="e{index}" label=<{edge_label(edge, width_px)}>]', leaving, arriving]


def arrows(edge: Edge, run: Course) -> tuple[bool, bool]:
    """Whether an edge carries an arrow head at its upper and at its lower end."""
    at_tail, at_head = edge.arrow is Arrow.BOTH, edge.arrow is not Arrow.NONE
    return (at_head, at_tail) if run.up else (at_tail, at_head)


def upper_end(node: str, port: str) -> str:
    """Where an edge leaves a node downwards."""
    return f'"{node}":"{port}{BOTTOM_RIM}":s' if port else f'"{node}":s'


def lower_end(node: str, port: str) -> str:
    """Where an edge reaches a node from above."""
    return f'"{node}":"{port}{TOP_RIM}":n' if port else f'"{node}":n'
