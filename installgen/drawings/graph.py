"""What a drawing says, apart from how it is laid out: nodes, edges, groups, the same in a table."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from installgen.drawings.kinds import Kind, Line, Status

ID_PATTERN = re.compile(r"[A-Za-z][A-Za-z0-9_.-]*")
PORT_PATTERN = re.compile(r"[A-Za-z0-9_.+-]+")
OUTSIDE_HREF = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:|//|\\")


class Arrow(StrEnum):
    """Which ends of an edge carry an arrow head."""

    NONE = "none"
    FORWARD = "forward"
    BOTH = "both"


def check_href(href: str) -> None:
    """Raises ValueError unless the address is empty or relative to the page."""
    if OUTSIDE_HREF.match(href) or not href.isprintable() or href != href.strip():
        raise ValueError(f"a drawing links only to relative addresses, not to {href!r}")


def check_id(identifier: str) -> None:
    """Raises ValueError unless the id is a letter followed by letters, digits, `_`, `.` or `-`."""
    if not ID_PATTERN.fullmatch(identifier):
        raise ValueError(f"{identifier!r} cannot be an id of a drawing or of a part of it")


@dataclass(frozen=True)
class Terminal:
    """A named place on the rim of a node where edges end, such as a terminal, a pin or a port.

    Which rim, top or bottom, follows from the edges (see `orient`).
    id: unique in its node, of letters, digits and `_.+-`; edges name it
    label: what is printed in the rim; empty for an unmarked place
    """

    id: str
    label: str

    def __post_init__(self) -> None:
        if not PORT_PATTERN.fullmatch(self.id):
            raise ValueError(f"{self.id!r} cannot be an id of a terminal")


@dataclass(frozen=True)
class Row:
    """A line of a table inside a node, such as a branch of a panel or a pin of a plug.

    working: address of the working behind its last cell, if that is a computed figure
    """

    cells: tuple[str, ...]
    href: str = ""
    title: str = ""
    status: Status = Status.NORMAL
    working: str = ""

    def __post_init__(self) -> None:
        check_href(self.href)


@dataclass(frozen=True)
class Node:
    """A thing in a drawing.

    name: printed bold; cut when very long, the title keeps all of it
    code: the short code on the thing's label aboard
    lines: what else the box says, one short line each
    href: relative address of its entry
    title: what a pointer or a screen reader is told; name, code and lines when empty
    note: beside a status, why; such as "4.1 % lost, 3 % allowed"
    workings: for each line the address of its figure's working, empty where it has none
    """

    id: str
    kind: Kind
    name: str
    code: str = ""
    lines: tuple[str, ...] = ()
    href: str = ""
    title: str = ""
    status: Status = Status.NORMAL
    note: str = ""
    terminals: tuple[Terminal, ...] = ()
    rows: tuple[Row, ...] = ()
    workings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_id(self.id)
        check_href(self.href)
        check_unique(f"node {self.id!r}, terminals", (terminal.id for terminal in self.terminals))


@dataclass(frozen=True)
class Edge:
    """A connection between two nodes, drawn from tail to head.

    code: the label aboard, printed bold; lines: size, length, colour name, pressure …
    back: it runs up the page; found by itself for whatever would close a loop
    """

    tail: str
    head: str
    line: Line
    tail_port: str = ""
    head_port: str = ""
    code: str = ""
    lines: tuple[str, ...] = ()
    href: str = ""
    title: str = ""
    status: Status = Status.NORMAL
    note: str = ""
    arrow: Arrow = Arrow.FORWARD
    back: bool = False
    workings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_href(self.href)

    @property
    def labelled(self) -> bool:
        """Whether anything is printed beside the line."""
        said = self.code or self.lines or self.status is not Status.NORMAL
        return bool(said) or self.tail == self.head


@dataclass(frozen=True)
class Group:
    """Nodes drawn inside one frame with a heading, such as a panel or a space of the boat."""

    id: str
    name: str
    nodes: tuple[str, ...]

    def __post_init__(self) -> None:
        check_id(self.id)


@dataclass(frozen=True)
class Cell:
    """A cell of the table beside a drawing.

    parts: the text in pieces, each with its own address or none, where it has several
    """

    text: str
    href: str = ""
    parts: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        for address in (self.href, *(href for _, href in self.parts)):
            check_href(address)


@dataclass(frozen=True)
class Table:
    """What the drawing says, in words, for those who cannot see it or search it."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"a row has {len(row)} cells in a table of {len(self.columns)}")


@dataclass(frozen=True)
class Drawing:
    """One drawing; it runs down the page, which a telephone scrolls and a sheet of A4 holds.

    id: unique on the page; prefixes every id in the SVG
    title: its heading; description: one or two sentences that say what it shows
    tables: the same content in words; made from nodes and edges when empty (`tables.tables_of`)
    top, bottom: nodes held at the first and at the last rank
    text_width_px, label_width_px: how long a line of a node's text, of a label may be [px]
    line_words: what the key calls the lines, where the usual word does not fit the drawing
    """

    id: str
    title: str
    description: str
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...] = ()
    groups: tuple[Group, ...] = ()
    tables: tuple[Table, ...] = ()
    top: tuple[str, ...] = ()
    bottom: tuple[str, ...] = ()
    text_width_px: int = 150
    label_width_px: int = 120
    line_words: dict[Line, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        check_id(self.id)
        check_unique(f"drawing {self.id!r}, nodes", (node.id for node in self.nodes))
        check_unique(f"drawing {self.id!r}, groups", (group.id for group in self.groups))
        by_id = {node.id: node for node in self.nodes}
        named = [*self.top, *self.bottom]
        named += [member for group in self.groups for member in group.nodes]
        for edge in self.edges:
            named += [edge.tail, edge.head]
        for identifier in named:
            if identifier not in by_id:
                raise ValueError(f"drawing {self.id!r} has no node {identifier!r}")
        for edge in self.edges:
            for end, port in ((edge.tail, edge.tail_port), (edge.head, edge.head_port)):
                if port and port not in {terminal.id for terminal in by_id[end].terminals}:
                    message = f"node {end!r} of drawing {self.id!r} has no terminal {port!r}"
                    raise ValueError(message)
        members = [member for group in self.groups for member in group.nodes]
        check_unique(f"drawing {self.id!r}, members of groups", members)


def check_unique(what: str, identifiers: Iterable[str]) -> None:
    """Raises ValueError when an id comes twice."""
    seen: set[str] = set()
    for identifier in identifiers:
        if identifier in seen:
            raise ValueError(f"{what}: {identifier!r} comes twice")
        seen.add(identifier)
