"""Parts of one spec file put into another's tree, many at once; nothing on disk changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from installgen.spec.entry import PathKey
from installgen.spec.folder import Kind
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import Entry, MappingNode, Node, ScalarNode, SequenceNode

SpecFile: TypeAlias = tuple[Kind, str]


@dataclass(frozen=True)
class Graft:
    """One change of a tree. Paths count as in the tree before any change.

    file: the kind and id of the file that is changed
    action: `put` writes a value at a path, `take` removes what is there, `insert` puts an item
        into the list at a path, behind its item number `behind` (-1: before the first)
    """

    file: SpecFile
    action: Literal["put", "take", "insert"]
    path: tuple[PathKey, ...]
    node: Node | None = None
    behind: int = -1


@dataclass
class GraftedLibrary(SpecLibrary):
    """A library that reads its files with grafts."""

    grafts: tuple[Graft, ...] = ()

    def tree(self, kind: Kind, spec_id: str, root: MappingNode) -> MappingNode:
        """A file's tree with the grafts that are meant for it."""
        own = [graft for graft in self.grafts if graft.file == (kind, spec_id)]
        grown = grafted(root, own)
        assert isinstance(grown, MappingNode)
        return grown


def grafted_library(library: SpecLibrary, grafts: Iterable[Graft]) -> GraftedLibrary:
    """A library of the same folder, read with grafts; files without one are not read again."""
    kept = tuple(grafts)
    touched = {library.name(*graft.file) for graft in kept}
    read = {name: entry for name, entry in library.read.items() if name not in touched}
    return GraftedLibrary(library.folder, read, kept)


def grafted(root: Node, grafts: Iterable[Graft]) -> Node:
    """A tree with changes. KeyError where a path leads nowhere."""
    below: dict[PathKey, list[Graft]] = {}
    here: list[Graft] = []
    for graft in grafts:
        if graft.action == "insert" and not graft.path:
            here.append(graft)
        else:
            below.setdefault(graft.path[0], []).append(_inside(graft))
    if isinstance(root, SequenceNode):
        return _list(root, below, here)
    if isinstance(root, MappingNode):
        return _mapping(root, below)
    raise KeyError(next(iter(below), ""))


def _inside(graft: Graft) -> Graft:
    return Graft(graft.file, graft.action, graft.path[1:], graft.node, graft.behind)


def _grown(old: Node | None, grafts: list[Graft]) -> Node | None:
    """What stands at a key after its changes; nothing where it was taken out."""
    whole = [g for g in grafts if not g.path and g.action != "insert"]
    if whole:
        return whole[-1].node if whole[-1].action == "put" else None
    if old is None:
        raise KeyError(grafts[0].path)
    return grafted(old, grafts)


def _mapping(node: MappingNode, below: Mapping[PathKey, list[Graft]]) -> MappingNode:
    entries = []
    known = {entry.key.text for entry in node.entries}
    for entry in node.entries:
        if entry.key.text not in below:
            entries.append(entry)
        elif (new := _grown(entry.value, below[entry.key.text])) is not None:
            entries.append(Entry(entry.key, new))
    for key, grafts in below.items():
        if key not in known and (new := _grown(None, grafts)) is not None:
            entries.append(Entry(ScalarNode(new.position, str(key), "plain"), new))
    return MappingNode(node.position, tuple(entries))


def _list(
    node: SequenceNode, below: Mapping[PathKey, list[Graft]], here: list[Graft]
) -> SequenceNode:
    items: list[Node] = [g.node for g in here if g.behind < 0 and g.node is not None]
    for number, item in enumerate(node.items):
        new = _grown(item, below[number]) if number in below else item
        if new is not None:
            items.append(new)
        items += [g.node for g in here if g.behind == number and g.node is not None]
    return SequenceNode(node.position, tuple(items))
