"""Texts torn by a comma: in `{name: Heat exchanger, coolant side}` the comma ends the text."""

from __future__ import annotations

from dataclasses import dataclass, replace

from installgen.errors import Position, Problem
from installgen.spec.entry import PathKey, written
from installgen.spec.nodes import Entry, MappingNode, Node, ScalarNode, SequenceNode
from installgen.units import quoted

LONGEST_SHOWN = 160


@dataclass(frozen=True)
class TornText:
    """A text as it was meant, and the field that holds only its beginning.

    path: of the field; position: of its text
    """

    path: tuple[PathKey, ...]
    position: Position
    text: str

    @property
    def problem(self) -> Problem:
        """What to tell the person."""
        mark = "'" if '"' in self.text or "\\" in self.text else '"'
        text = self.text.replace("'", "''") if mark == "'" else self.text
        instead = f"`{self.path[-1]}: {mark}{text}{mark}`"
        return Problem(
            self.position,
            written(self.path),
            f"{quoted(self.text)}, a text that its comma cuts in two",
            "quotation marks around a text with a comma in it, between `{` and `}`",
            instead if len(text) <= LONGEST_SHOWN and "`" not in text else "",
        )


def mend(root: MappingNode) -> tuple[MappingNode, list[TornText]]:
    """The tree with torn texts whole again, and each of them."""
    torn: list[TornText] = []
    mended = _mend(root, (), torn)
    assert isinstance(mended, MappingNode)
    return mended, torn


def _mend(node: Node, path: tuple[PathKey, ...], torn: list[TornText]) -> Node:
    if isinstance(node, SequenceNode):
        items = tuple(_mend(item, (*path, i), torn) for i, item in enumerate(node.items))
        return replace(node, items=items)
    if isinstance(node, ScalarNode):
        return node
    kept: list[Entry] = []
    for entry in node.entries:
        before = kept[-1].value if kept else None
        if _lacks_colon(entry) and isinstance(before, ScalarNode) and _is_text(before):
            whole = replace(before, text=before.text + _gap(before, entry.key) + entry.key.text)
            kept[-1] = replace(kept[-1], value=whole)
        else:
            kept.append(entry)
    out = []
    for entry in kept:
        here = (*path, entry.key.text)
        if isinstance(entry.value, ScalarNode):
            if entry.value is not node.get(entry.key.text):
                torn.append(TornText(here, entry.value.position, entry.value.text))
            out.append(entry)
        else:
            out.append(replace(entry, value=_mend(entry.value, here, torn)))
    return replace(node, entries=tuple(out))


def _lacks_colon(entry: Entry) -> bool:
    """Whether a key stands without a colon: its empty value then begins where the key ends."""
    key, value = entry.key, entry.value
    return (
        isinstance(value, ScalarNode)
        and value.is_blank
        and key.style == "plain"
        and value.position == _end(key)
    )


def _is_text(value: ScalarNode) -> bool:
    return value.style == "plain" and not value.is_blank


def _end(scalar: ScalarNode) -> Position:
    at = scalar.position
    return Position(at.file, at.line, at.column + len(scalar.text))


def _gap(before: ScalarNode, after: ScalarNode) -> str:
    """The comma with as many spaces as were written after it."""
    end = _end(before)
    spaces = after.position.column - end.column - 1
    return "," + " " * spaces if end.line == after.position.line and spaces >= 0 else ", "
