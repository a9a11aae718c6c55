"""The tree of a spec file: every scalar as it was written, every node with its position."""

from dataclasses import dataclass
from typing import Literal

from installgen.errors import Position

Style = Literal["plain", "quoted", "block"]
Path = tuple[str | int, ...]
Plain = dict[str, "Plain"] | list["Plain"] | str


@dataclass(frozen=True)
class ScalarNode:
    """A text; `NO`, `1:30` and `2026-05` stay the texts they are.

    style: `plain`, `quoted` ('…' or "…") or `block` (| or >), so that an empty plain scalar,
        which is nothing, can be told from an empty text
    """

    position: Position
    text: str
    style: Style

    def plain(self) -> str:
        """The text alone."""
        return self.text

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written here at all."""
        return self.style == "plain" and not self.text


@dataclass(frozen=True)
class Entry:
    """A key and what belongs to it."""

    key: ScalarNode
    value: "Node"


@dataclass(frozen=True)
class MappingNode:
    """Keys with their values, in the order of the file; no key stands twice."""

    position: Position
    entries: tuple[Entry, ...]

    def plain(self) -> dict[str, Plain]:
        """The same as dictionaries, lists and texts, without positions."""
        return {entry.key.text: entry.value.plain() for entry in self.entries}

    def entry(self, key: str) -> Entry | None:
        """The entry of a key, or None."""
        return next((entry for entry in self.entries if entry.key.text == key), None)

    def get(self, key: str) -> "Node | None":
        """The value of a key, or None."""
        entry = self.entry(key)
        return entry.value if entry else None

    def position_of(self, path: Path, key: bool = False) -> Position:
        """Where the value at a path stands, or its key; see `position_of`."""
        return position_of(self, path, key)


@dataclass(frozen=True)
class SequenceNode:
    """Items in the order of the file."""

    position: Position
    items: tuple["Node", ...]

    def plain(self) -> list[Plain]:
        """The same as lists, dictionaries and texts, without positions."""
        return [item.plain() for item in self.items]


Node = MappingNode | SequenceNode | ScalarNode


def position_of(node: Node, path: Path, key: bool = False) -> Position:
    """Where the value at a path stands.

    path: keys and item numbers from `node` downwards, such as `("conductors", 3, "length")`
    key: the position of the last key instead of its value's
    Steps that the file does not have (a missing key, a name that a model put in) are passed over,
    so that a missing field is reported at the nearest thing that is there.
    """
    position = node.position
    for step in path:
        if isinstance(node, MappingNode):
            found = node.entry(str(step))
            if found is None:
                continue
            node = found.value
            position = found.key.position if key else node.position
        elif isinstance(node, SequenceNode):
            if not (isinstance(step, int) and 0 <= step < len(node.items)):
                continue
            node = node.items[step]
            position = node.position
    return position


def node_at(node: Node, path: Path) -> Node | None:
    """The node at a path, or None where the file has none."""
    for step in path:
        if isinstance(node, MappingNode):
            entry = node.entry(str(step))
            if entry is None:
                return None
            node = entry.value
        elif isinstance(node, SequenceNode) and isinstance(step, int):
            if not 0 <= step < len(node.items):
                return None
            node = node.items[step]
        else:
            return None
    return node


def path_text(path: Path) -> str:
    """A path as messages print it: `electrical.conductors[3].length`."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text
