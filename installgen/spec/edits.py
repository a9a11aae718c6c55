"""Changes to a spec that are written on one line and never touch the file.

    electrical.conductors[S2].size = 70 mm²
    lay_up.coldest =
    standard.rules[circuit-drop critical].limit = 5 %
    sheet[tolvane-six].build.ring_gear_teeth = 127

Items of a list are named by their number, counted from 1, or by what they are called. Nothing after
the equals sign takes the key out. Paths that begin with `sheet` or `standard` (and go on) change
those instead of the vessel.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.folder import Kind, nearest
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import Entry, MappingNode, Node, ScalarNode, SequenceNode
from installgen.spec.reader import read_text
from installgen.units import quoted

_STEP = re.compile(r"([A-Za-z0-9_+\-]+)((?:\[[^\[\]]+\])*)")
_NAMES = (
    ("id",),
    ("label",),
    ("name",),
    ("check", "circuit"),
    ("check",),
    ("works", "engine", "station"),
    ("works", "engine"),
    ("works", "station"),
    ("works",),
    ("of", "case"),
    ("of",),
    ("item",),
    ("function",),
    ("role",),
    ("system",),
    ("engine",),
    ("size",),
    ("type",),
    ("kind",),
    ("path",),
    ("speed",),
    ("at",),
    ("rating",),
    ("printed_on",),
    ("place",),
)
"""Keys that an item of a list may be called by, the most telling first."""

_EXPECTED = "`PATH = VALUE`, such as `electrical.conductors[S2].size = 70 mm²`"


@dataclass(frozen=True)
class Edit:
    """One change.

    kind, spec_id: the file it changes; the id is empty for the only one of its kind
    path: keys and items from the top of the file
    value: what is written there; nothing where the key is taken out
    position: where the change itself was written
    """

    kind: Kind
    spec_id: str
    path: tuple[str, ...]
    value: Node | None
    position: Position

    @property
    def written(self) -> str:
        """The path as people write it."""
        text = ""
        for step in self.path:
            text += step if step.startswith("[") else f".{step}" if text else step
        return text


def read_edit(text: str, number: int = 1) -> Edit:
    """A change from its line. Raises SpecErrors.

    number: which of several changes it is, for messages
    """
    position = Position(f"change {number}", 1, 1)
    before, equals, after = text.partition("=")
    steps = _steps(before.strip())
    if not equals or not steps:
        raise SpecErrors([Problem(position, "", quoted(text), _EXPECTED)])
    value = _value(after.strip(), f"change {number}", len(before) + 2) if after.strip() else None
    kind, spec_id, path = _target(steps)
    return Edit(kind, spec_id, path, value, position)


def _steps(text: str) -> tuple[str, ...]:
    """Keys, and items as `[NAME]`; empty where the text is no path."""
    steps: list[str] = []
    at = 0
    while at < len(text):
        match = _STEP.match(text, at)
        if match is None:
            return ()
        steps.append(match[1])
        steps += re.findall(r"\[[^\[\]]+\]", match[2])
        at = match.end()
        if at < len(text):
            if text[at] != ".":
                return ()
            at += 1
    return tuple(steps)


def _target(steps: tuple[str, ...]) -> tuple[Kind, str, tuple[str, ...]]:
    first, rest = steps[0], steps[1:]
    if first not in ("sheet", "standard") or not rest:
        return "vessels", "", steps
    kind: Kind = "engines" if first == "sheet" else "standards"
    if rest[0].startswith("[") and len(rest) > 1:
        return kind, rest[0].strip("[]"), rest[1:]
    return kind, "", rest


def _value(text: str, name: str, column: int) -> Node:
    """The value as YAML reads it behind a colon."""
    root = read_text(f"value: {text}", name)
    node = root.get("value")
    assert node is not None
    return _moved(node, column - len("value: ") - 1)


def _moved(node: Node, by: int) -> Node:
    """A node whose columns are those of the whole line."""
    position = replace(node.position, column=max(1, node.position.column + by))
    if isinstance(node, SequenceNode):
        return SequenceNode(position, tuple(_moved(item, by) for item in node.items))
    if isinstance(node, MappingNode):
        entries = tuple(Entry(entry.key, _moved(entry.value, by)) for entry in node.entries)
        return MappingNode(position, entries)
    return replace(node, position=position)


@dataclass
class EditedLibrary(SpecLibrary):
    """A library that reads its files with changes; nothing on disk changes."""

    edits: tuple[Edit, ...] = ()
    applied: set[Edit] = field(default_factory=set)

    def tree(self, kind: Kind, spec_id: str, root: MappingNode) -> MappingNode:
        """A file's tree with the changes that are meant for it. Raises SpecErrors."""
        problems: list[Problem] = []
        for edit in self.edits:
            if edit.kind == kind and edit.spec_id in ("", spec_id):
                try:
                    root = apply_edit(root, edit)
                    self.applied.add(edit)
                except SpecErrors as errors:
                    problems += errors.problems
        if problems:
            raise SpecErrors(problems)
        return root


def edited_library(library: SpecLibrary, edits: Iterable[Edit]) -> EditedLibrary:
    """A library of the same folder, read with changes."""
    return EditedLibrary(library.folder, edits=tuple(edits))


def apply_edit(root: MappingNode, edit: Edit) -> MappingNode:
    """A tree with one change. Raises SpecErrors where the path leads nowhere."""
    changed = _applied(root, edit.path, edit, ())
    assert isinstance(changed, MappingNode)
    return changed


def _applied(node: Node, path: tuple[str, ...], edit: Edit, done: tuple[str, ...]) -> Node:
    step, rest = path[0], path[1:]
    if isinstance(node, SequenceNode) and step.startswith("["):
        return _in_list(node, step.strip("[]"), rest, edit, (*done, step))
    if isinstance(node, MappingNode) and not step.startswith("["):
        return _in_mapping(node, step, rest, edit, (*done, step))
    kind = "a list" if isinstance(node, SequenceNode) else "a mapping"
    if isinstance(node, ScalarNode):
        kind = f"the text {quoted(node.text)}"
    asked = "an item, such as `[1]` or `[S2]`" if isinstance(node, SequenceNode) else "a key"
    raise _nowhere(edit, done, f"{kind} where {quoted(step)} is looked for", asked, "")


def _in_mapping(
    node: MappingNode, key: str, rest: tuple[str, ...], edit: Edit, done: tuple[str, ...]
) -> Node:
    entry = node.entry(key)
    if entry is None and len(node.entries) == 1 and isinstance(node.entries[0].value, MappingNode):
        only = node.entries[0]  # a piece of a route: one key with everything inside
        inner = _applied(only.value, (key, *rest), edit, done[:-1])
        return MappingNode(node.position, (Entry(only.key, inner),))
    if rest:
        if entry is None:
            keys = [one.key.text for one in node.entries]
            raise _nowhere(edit, done, f"no {quoted(key)}", _listed(keys), nearest(key, keys) or "")
        inner = _applied(entry.value, rest, edit, done)
        return _with(node, Entry(entry.key, inner))
    if edit.value is None:
        if entry is None:
            keys = [one.key.text for one in node.entries]
            raise _nowhere(edit, done, f"no {quoted(key)}", _listed(keys), nearest(key, keys) or "")
        return MappingNode(node.position, tuple(e for e in node.entries if e is not entry))
    name = entry.key if entry is not None else ScalarNode(edit.position, key, "plain")
    return _with(node, Entry(name, edit.value))


def _with(node: MappingNode, new: Entry) -> MappingNode:
    """A mapping with an entry in the place of the one of its key, or at its end."""
    if node.entry(new.key.text) is None:
        return MappingNode(node.position, (*node.entries, new))
    kept = tuple(new if e.key.text == new.key.text else e for e in node.entries)
    return MappingNode(node.position, kept)


def _in_list(
    node: SequenceNode, name: str, rest: tuple[str, ...], edit: Edit, done: tuple[str, ...]
) -> Node:
    if name == "+" and not rest and edit.value is not None:
        return SequenceNode(node.position, (*node.items, edit.value))
    index = _index(node, name, edit, done)
    if rest:
        inner = _applied(node.items[index], rest, edit, done)
        items = [inner if n == index else item for n, item in enumerate(node.items)]
    elif edit.value is None:
        items = [item for n, item in enumerate(node.items) if n != index]
    else:
        items = [edit.value if n == index else item for n, item in enumerate(node.items)]
    return SequenceNode(node.position, tuple(items))


def _index(node: SequenceNode, name: str, edit: Edit, done: tuple[str, ...]) -> int:
    if name.isdigit():
        if 1 <= int(name) <= len(node.items):
            return int(name) - 1
        found = f"the item {name} of {len(node.items)}"
        raise _nowhere(edit, done, found, "an item that is there, counted from 1", "")
    called = [names_of(item) for item in node.items]
    hits = [number for number, names in enumerate(called) if name in names]
    if len(hits) == 1:
        return hits[0]
    known = [names[0] for names in called if names]
    if hits:
        numbers = ", ".join(f"[{hit + 1}]" for hit in hits)
        raise _nowhere(edit, done, f"{len(hits)} items called {quoted(name)}", numbers, "")
    hint = nearest(name, known)
    raise _nowhere(
        edit, done, f"no item {quoted(name)}", _listed(known), f"[{hint}]" if hint else ""
    )


def names_of(item: Node) -> list[str]:
    """What an item of a list may be called by, the most telling first."""
    if isinstance(item, ScalarNode):
        return [item.text]
    if not isinstance(item, MappingNode):
        return []
    names = []
    for keys in _NAMES:
        values = [item.get(key) for key in keys]
        texts = [value.text for value in values if isinstance(value, ScalarNode)]
        if len(texts) == len(keys):
            names.append(" ".join(texts))
    if len(item.entries) == 1 and isinstance(item.entries[0].value, MappingNode):
        names += names_of(item.entries[0].value)
    return list(dict.fromkeys(names))


def _listed(names: list[str]) -> str:
    shown = ", ".join(f"`{name}`" for name in names[:12]) + (", …" if len(names) > 12 else "")
    return f"one of {shown}" if shown else "something that is there"


def _nowhere(
    edit: Edit, done: tuple[str, ...], found: str, expected: str, instead: str
) -> SpecErrors:
    path = replace(edit, path=done).written if done else ""
    hint = f"`{instead}`" if instead else ""
    return SpecErrors([Problem(edit.position, path, found, expected, hint)])
