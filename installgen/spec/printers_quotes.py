"""Texts in the quotation marks of a word processor, which YAML takes for letters."""

from __future__ import annotations

from dataclasses import dataclass, replace

from installgen.errors import Position, Problem
from installgen.spec.entry import PathKey, written
from installgen.spec.nodes import MappingNode, Node, SequenceNode
from installgen.units import quoted

OPENING = "“”„‟«»‘‚‛‹"
CLOSING = "“”«»‘’›"
LONGEST_SHOWN = 160


@dataclass(frozen=True)
class CurledText:
    """A text between printers' quotation marks, and the field that holds it."""

    path: tuple[PathKey, ...]
    position: Position
    text: str

    @property
    def problem(self) -> Problem:
        """What to tell the person."""
        inside = _inside(self.text)
        mark = "'" if '"' in inside or "\\" in inside else '"'
        shown = inside.replace("'", "''") if mark == "'" else inside
        return Problem(
            self.position,
            written(self.path),
            f"{quoted(self.text)}, in curly quotation marks",
            "straight quotation marks, or none",
            f"`{mark}{shown}{mark}`" if len(shown) <= LONGEST_SHOWN and "`" not in shown else "",
        )


def straighten(root: MappingNode) -> tuple[MappingNode, list[CurledText]]:
    """The tree with such texts free of their marks, and each of them."""
    curled: list[CurledText] = []
    straight = _straighten(root, (), curled)
    assert isinstance(straight, MappingNode)
    return straight, curled


def _straighten(node: Node, path: tuple[PathKey, ...], curled: list[CurledText]) -> Node:
    if isinstance(node, SequenceNode):
        items = tuple(_straighten(item, (*path, i), curled) for i, item in enumerate(node.items))
        return replace(node, items=items)
    if isinstance(node, MappingNode):
        pairs = tuple(
            replace(pair, value=_straighten(pair.value, (*path, pair.key.text), curled))
            for pair in node.entries
        )
        return replace(node, entries=pairs)
    if node.style != "plain" or node.text[:1] not in OPENING or not node.text:
        return node
    curled.append(CurledText(path, node.position, node.text))
    return replace(node, text=_inside(node.text))


def _inside(text: str) -> str:
    return text[1:].rstrip(CLOSING).strip() if text[-1] in CLOSING else text[1:].strip()
