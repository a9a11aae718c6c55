"""A drawing while it is put together; its tables say in full what its boxes say in short."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from installgen.drawings.graph import Arrow, Drawing, Edge, Group, Node, Row, Table, Terminal
from installgen.drawings.kinds import Kind, Line, Status
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.metrics import text_width_px
from installgen.drawings.svg import edge_title, node_title
from installgen.drawings.tables import tables_of
from installgen.drawings.vessel.words import Said, Sayable, said

UNSAFE = re.compile(r"[^A-Za-z0-9_.-]")


@dataclass(frozen=True)
class DraftNode:
    """A node and its lines before it is known which of them fit in full."""

    node: Node
    lines: tuple[Said, ...]


@dataclass(frozen=True)
class DraftEdge:
    """An edge and its lines before it is known which of them fit in full."""

    edge: Edge
    lines: tuple[Said, ...]


@dataclass
class Draft:
    """Collects nodes and edges by any names; a drawing's own ids are made of them.

    text_width_px, label_width_px: how long a line of a box, of a label may be [px]
    """

    text_width_px: int = 150
    label_width_px: int = 120
    nodes: list[DraftNode] = field(default_factory=list)
    edges: list[DraftEdge] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    ids: dict[str, str] = field(default_factory=dict)

    def has(self, name: str) -> bool:
        """Whether a node of that name is drawn already."""
        return name in self.ids

    def id_of(self, name: str) -> str:
        """The id that stands for a name."""
        if name not in self.ids:
            made = UNSAFE.sub("_", name)
            made = made if made[:1].isalpha() else f"n-{made}"
            while made in self.ids.values():
                made += "_"
            self.ids[name] = made
        return self.ids[name]

    def node(
        self,
        name: str,
        kind: Kind,
        title: str,
        code: str = "",
        lines: Iterable[Sayable] = (),
        *,
        href: str = "",
        terminals: Iterable[str] = (),
        rows: Sequence[Row] = (),
        status: Status = Status.NORMAL,
        note: str = "",
    ) -> None:
        """Enters a node.

        terminals: names of the places on its rim, printed as they are
        """
        made = Node(
            self.id_of(name),
            kind,
            title,
            code,
            href=href,
            status=status,
            note=note,
            terminals=tuple(Terminal(terminal_id(label), label) for label in terminals),
            rows=tuple(rows),
        )
        self.nodes.append(DraftNode(made, tuple(said(line) for line in lines)))

    def edge(
        self,
        tail: str,
        head: str,
        line: Line,
        code: str = "",
        lines: Iterable[Sayable] = (),
        *,
        tail_port: str = "",
        head_port: str = "",
        href: str = "",
        arrow: Arrow = Arrow.FORWARD,
        back: bool = False,
        status: Status = Status.NORMAL,
        note: str = "",
    ) -> None:
        """Enters an edge between two nodes by their names.

        tail_port, head_port: terminals by their names, if it ends on one
        """
        made = Edge(
            self.id_of(tail),
            self.id_of(head),
            line,
            tail_port=terminal_id(tail_port) if tail_port else "",
            head_port=terminal_id(head_port) if head_port else "",
            code=code,
            href=href,
            arrow=arrow,
            back=back,
            status=status,
            note=note,
        )
        self.edges.append(DraftEdge(made, tuple(said(part) for part in lines)))

    def group(self, name: str, title: str, members: Iterable[str]) -> None:
        """Frames nodes that are drawn; nothing where there are none."""
        inside = tuple(self.ids[member] for member in members if member in self.ids)
        if inside:
            self.groups.append(Group(self.id_of(f"group {name}"), title, inside))

    def drawing(
        self,
        identifier: str,
        title: str,
        description: str,
        *,
        top: Iterable[str] = (),
        bottom: Iterable[str] = (),
        line_words: dict[Line, str] | None = None,
        more_tables: Iterable[Table] = (),
    ) -> Drawing:
        """The finished drawing.

        top, bottom: names of nodes held at the first and at the last rank
        more_tables: what the table beside the drawing says besides
        """
        whole = Drawing(
            identifier,
            title,
            description,
            tuple(self._full_node(draft) for draft in self.nodes),
            tuple(self._full_edge(draft) for draft in self.edges),
            tuple(self.groups),
            top=tuple(self.ids[name] for name in top),
            bottom=tuple(self.ids[name] for name in bottom),
            text_width_px=self.text_width_px,
            label_width_px=self.label_width_px,
            line_words=line_words or {},
        )
        tight = self._tight()
        nodes = tuple(
            replace(
                node,
                lines=fitted(draft.lines, self.text_width_px, tight),
                workings=(),
                title=node_title(node),
            )
            for draft, node in zip(self.nodes, whole.nodes, strict=True)
        )
        edges = tuple(
            replace(
                edge,
                lines=fitted(draft.lines, self.label_width_px, tight),
                workings=(),
                title=edge_title(edge),
            )
            for draft, edge in zip(self.edges, whole.edges, strict=True)
        )
        tables = (*tables_of(whole), *more_tables)
        return replace(whole, nodes=nodes, edges=edges, tables=tables)

    def _full_node(self, draft: DraftNode) -> Node:
        lines, workings = _full(draft.lines)
        return replace(draft.node, lines=lines, workings=workings)

    def _full_edge(self, draft: DraftEdge) -> Edge:
        lines, workings = _full(draft.lines)
        return replace(draft.edge, lines=lines, workings=workings)

    def _tight(self) -> set[str]:
        """The families of lines of which one at least does not fit in full."""
        measured = [(line, self.text_width_px) for draft in self.nodes for line in draft.lines]
        measured += [(line, self.label_width_px) for draft in self.edges for line in draft.lines]
        return {line.family for line, room in measured if line.short and not fits(line.full, room)}


def _full(lines: Iterable[Said]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the tables say: every line in full, and the working behind it."""
    told = [line for line in lines if line.full]
    return tuple(line.full for line in told), tuple(line.working for line in told)


def fitted(lines: Iterable[Said], room_px: int, tight: set[str]) -> tuple[str, ...]:
    """The lines that are drawn: in full where they and all of their family fit."""
    return tuple(
        line.short
        if (line.family in tight if line.family else not fits(line.full, room_px))
        else line.full
        for line in lines
        if line.short
    )


def fits(text: str, room_px: int) -> bool:
    """Whether a line is short enough."""
    return text_width_px(text, TEXT_SIZE) <= room_px


def terminal_id(label: str) -> str:
    """An id for a terminal of any name: `B+` and `B-` stay apart."""
    escaped = "".join(
        c if (c.isalnum() and c.isascii()) or c in "-_" else f".{ord(c):x}" for c in label
    )
    return f"t-{escaped}"
