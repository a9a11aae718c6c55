"""A value that cannot be read is told, hides no other mistake, and is the cause of none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from installgen.errors import SpecErrors
from installgen.spec.folder import SpecFolder
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import MappingNode, Node, Path, ScalarNode, SequenceNode, position_of
from installgen.spec.reader import read_file
from tests.conftest import PROJECT

SPECS = PROJECT / "specs"
SPEC = "pipit"
ROOT = read_file(SPECS / "vessels" / f"{SPEC}.yaml", "pipit.yaml")
EVERY = 17
"""Every so many of her values are broken in turn; one by one they all were when this was made."""


class Broken(SpecLibrary):
    """The demonstration specs, with another text in the place of one vessel's."""

    root: MappingNode = ROOT

    def tree(self, kind: str, spec_id: str, root: MappingNode) -> MappingNode:
        return self.root if spec_id == SPEC else root


def values(node: Node, path: Path = ()) -> list[Path]:
    if isinstance(node, ScalarNode):
        return [path]
    if isinstance(node, SequenceNode):
        return [found for i, item in enumerate(node.items) for found in values(item, (*path, i))]
    return [found for pair in node.entries for found in values(pair.value, (*path, pair.key.text))]


def changed(node: Node, path: Path, text: str) -> Node:
    if isinstance(node, ScalarNode):
        return replace(node, text=text, style="quoted")
    if isinstance(node, SequenceNode):
        items = (
            changed(n, path[1:], text) if i == path[0] else n for i, n in enumerate(node.items)
        )
        return replace(node, items=tuple(items))
    pairs = (
        replace(pair, value=changed(pair.value, path[1:], text))
        if pair.key.text == path[0]
        else pair
        for pair in node.entries
    )
    return replace(node, entries=tuple(pairs))


def told(*changes: tuple[Path, str]) -> list[str]:
    library = Broken(SpecFolder(SPECS))
    root: Node = ROOT
    for path, text in changes:
        root = changed(root, path, text)
    assert isinstance(root, MappingNode)
    library.root = root
    try:
        library.vessel(SPEC)
    except SpecErrors as errors:
        return [f"{one.position.line}:{one.position.column}" for one in errors.problems]
    return []


def place(path: Path) -> str:
    at = position_of(ROOT, path)
    return f"{at.line}:{at.column}"


@pytest.mark.parametrize("path", values(ROOT)[::EVERY], ids=str)
def test_one_broken_value_makes_one_message_at_most(path: Path) -> None:
    """Where a free text or a name of nothing takes the odd value there is none."""
    assert len(told((path, "\N{SNOWMAN} 1,,2 ??"))) <= 1


def test_a_broken_reference_is_told_beside_a_broken_value() -> None:
    value = ("electrical", "conductors", 0, "length")
    reference = ("electrical", "conductors", 1, "to")
    assert told((value, "1,5 m")) == [place(value)]
    assert told((reference, "nobody.positive")) == [place(reference)]
    both = told((value, "1,5 m"), (reference, "nobody.positive"))
    assert both == [place(value), place(reference)]


def test_an_engine_that_does_not_fit_hides_no_reference_to_something_else() -> None:
    sheet = ("engines", 0, "sheet")
    reference = ("electrical", "conductors", 1, "to")
    assert told((sheet, "nobody")) == [place(sheet)]
    both = told((sheet, "nobody"), (reference, "nobody.positive"))
    assert both == [place(sheet), place(reference)]
