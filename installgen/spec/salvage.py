"""What can still be checked of a spec in which something cannot be read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from installgen.spec.entry import UNKNOWN, Entry, PathKey, written
from installgen.spec.nodes import Entry as Pair
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode, node_at
from installgen.spec.validate import attach, spec_path

E = TypeVar("E", bound=Entry)
Path = tuple[PathKey, ...]

MOST_ROUNDS = 12
NAMING = ("id", "name", "label")
HOLD_NAMES = frozenset(
    (
        *("places", "engines", "electrical", "devices", "stations", "cases", "wires"),
        *("coolant", "fuel", "oil", "crankcase_vent", "parts", "connections", "circuits"),
        *("options", "raw_water", "pumps", "coolers", "contacts", "pins", "ratings"),
    )
)
"""Keys whose loss takes names away that other entries may rightly use."""
FITTING = frozenset(("name", "sheet", "rating", "options", "overrides"))
"""Keys of an engine that decide which connections and devices it has."""


@dataclass(frozen=True)
class Lost:
    """What a salvaged entry lacks, so that nobody is blamed for what follows from it.

    names: what was taken out, or may have other terminals than it seems
    paths: what was taken out, as people write it
    everything: whether too much is gone to say of any name that nothing is called so
    """

    names: frozenset[str] = frozenset()
    paths: tuple[str, ...] = ()
    everything: bool = False

    def touches(self, path: str) -> bool:
        """Whether something below a path was taken out."""
        return any(one == path or one.startswith((f"{path}.", f"{path}[")) for one in self.paths)


NOTHING_LOST = Lost()


@dataclass(frozen=True)
class Salvaged(Generic[E]):
    """An entry without what cannot be read."""

    entry: E
    lost: Lost


class _UnknownNode(ScalarNode):
    """The word `unknown` where it means that, and not as a text or a name."""

    def plain(self) -> Any:
        return UNKNOWN


@dataclass
class _Cutting:
    root: MappingNode
    stages: dict[Path, int] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    everything: bool = False

    def refuse(self, path: Path) -> None:
        """Leave a key out; where that is refused too write `unknown`; then leave its entry out."""
        if not path:
            self.everything = True
            return
        if isinstance(path[-1], int):
            if self._is_plain_list(path[:-1]):
                self.refuse(path[:-1])
            else:
                self.stages[path] = 3
            return
        self.stages[path] = self.stages.get(path, 0) + 1
        if self.stages[path] > 2:
            self.refuse(path[:-1])

    def _is_plain_list(self, path: Path) -> bool:
        """Whether a list holds names or figures, of which none can be left out alone."""
        node = node_at(self.root, path)
        return isinstance(node, SequenceNode) and any(
            isinstance(item, ScalarNode) for item in node.items
        )

    def note(self) -> None:
        """Remember which names nothing can be said of."""
        for path, stage in self.stages.items():
            node, key = node_at(self.root, path), path[-1]
            if node is not None and stage != 2:
                self.names.update(_names(node))
            is_name = key in ("id", "label") or (path[0] == "engines" and path[2:] == ("name",))
            self.everything = self.everything or is_name or key in HOLD_NAMES
            self._doubt(path)

    def _doubt(self, path: Path) -> None:
        """An entry that lost a field may have other terminals than it seems."""
        if len(path) < 3:
            return
        at = path[:3] if path[0] == "electrical" else path[:2]
        decides = path[0] == "electrical" or (path[0] == "engines" and path[2] in FITTING)
        if path[0] == "devices" or decides:
            node = node_at(self.root, at)
            if isinstance(node, MappingNode):
                self.names.update(_own_names(node))

    def tree(self) -> MappingNode:
        made = self._cut(self.root, ())
        assert isinstance(made, MappingNode)
        return made

    def _cut(self, node: Node, path: Path) -> Node:
        if isinstance(node, SequenceNode):
            kept = [
                self._cut(item, (*path, index))
                for index, item in enumerate(node.items)
                if (*path, index) not in self.stages
            ]
            return replace(node, items=tuple(kept))
        if not isinstance(node, MappingNode):
            return node
        pairs: list[Pair] = []
        for pair in node.entries:
            here = (*path, pair.key.text)
            if here not in self.stages:
                pairs.append(replace(pair, value=self._cut(pair.value, here)))
        for here, stage in self.stages.items():
            if stage == 2 and here[:-1] == path:
                key = ScalarNode(node.position, str(here[-1]), "plain")
                pairs.append(Pair(key, _UnknownNode(node.position, "unknown", "plain")))
        return replace(node, entries=tuple(pairs))


def salvage(model: type[E], root: MappingNode) -> Salvaged[E] | None:
    """An entry read without what cannot be read of it; nothing where too little is left."""
    paths = dict(_paths(root, ()))
    cutting = _Cutting(root)
    for _ in range(MOST_ROUNDS):
        tree = cutting.tree()
        try:
            entry = model.model_validate(tree.plain())
        except ValidationError as error:
            for path in {tuple(spec_path(one["loc"], tree)) for one in error.errors()}:
                cutting.refuse(_original(path, tree, paths))
            if cutting.everything:
                return None
            continue
        attach(entry, tree, (), paths)
        cutting.note()
        taken = tuple(written(path) for path in cutting.stages)
        return Salvaged(entry, Lost(frozenset(cutting.names), taken, cutting.everything))
    return None


def _original(path: Path, tree: MappingNode, paths: dict[tuple[type, object], Path]) -> Path:
    """A path in the cut tree as a path in the whole one: items count as they are written."""
    out: Path = ()
    for depth in range(1, len(path) + 1):
        node = node_at(tree, path[:depth])
        known = paths.get((type(node), node.position)) if node is not None else None
        out = (
            known
            if known is not None and not isinstance(node, ScalarNode)
            else (
                *out,
                path[depth - 1],
            )
        )
    return out


def _paths(node: Node, path: Path) -> list[tuple[tuple[type, object], Path]]:
    found: list[tuple[tuple[type, object], Path]] = [((type(node), node.position), path)]
    if isinstance(node, MappingNode):
        for pair in node.entries:
            found += _paths(pair.value, (*path, pair.key.text))
    elif isinstance(node, SequenceNode):
        for index, item in enumerate(node.items):
            found += _paths(item, (*path, index))
    return found


def _own_names(node: MappingNode) -> list[str]:
    values = (node.get(key) for key in NAMING)
    return [value.text for value in values if isinstance(value, ScalarNode)]


def _names(node: Node) -> list[str]:
    """The names of an entry and of all entries in it."""
    if isinstance(node, SequenceNode):
        return [name for item in node.items for name in _names(item)]
    if not isinstance(node, MappingNode):
        return []
    return [*_own_names(node), *(name for pair in node.entries for name in _names(pair.value))]
