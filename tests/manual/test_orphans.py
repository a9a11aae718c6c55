"""Each part is deleted in turn: no step, spare, caution or label of it is left behind."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest
from lxml import html

from installgen.analysis.analyse import analyse
from installgen.errors import SpecErrors
from installgen.findings.check import check
from installgen.manual.html import HtmlWriter
from installgen.manual.links import PageLinks
from installgen.manual.pages.bleeding import bleeding_page
from installgen.manual.pages.emergencies import emergencies_page
from installgen.manual.pages.installer import SHEET_PAGES, sheet_page
from installgen.manual.pages.lay_up import lay_up_page
from installgen.manual.pages.maintenance import maintenance_page
from installgen.manual.pages.operation import operation_page
from installgen.manual.pages.papers import papers_page
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.entry import PathKey
from installgen.spec.folder import Kind
from installgen.spec.grafts import Graft, GraftedLibrary
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode
from installgen.spec.reader import read_file
from tests.manual.manuals import SPECS

VESSEL, SHEET = "brannock", "tolvane-six"
FILES: dict[Kind, str] = {"vessels": VESSEL, "engines": SHEET}
SHARES = 8
"""The parts are shared out over so many tests, so that they can run side by side."""

PAGES = (
    emergencies_page,
    operation_page,
    bleeding_page,
    maintenance_page,
    lay_up_page,
    papers_page,
)
NAMING = ("code", "name", "find", "part_number", "impeller", "means", "how", "label")
TOP = ("format", "vessel", "units", "standard", "engine", "build", "options", "ratings")

Path = tuple[PathKey, ...]


class AnyLink(PageLinks):
    """Links of a few pages that may lead to any other."""

    def __init__(self) -> None:
        super().__init__("here", {})

    def href(self, target: object) -> str:
        return "#"


def at(node: Node, path: Path) -> Node:
    """What stands at a path."""
    for key in path:
        if isinstance(node, SequenceNode):
            assert isinstance(key, int)
            node = node.items[key]
        else:
            assert isinstance(node, MappingNode)
            node = next(entry.value for entry in node.entries if entry.key.text == key)
    return node


def parts(node: Node, path: Path = ()) -> Iterator[Path]:
    """The path of every entry of a list that somebody can hold in the hand."""
    if isinstance(node, MappingNode):
        for entry in node.entries:
            if path or entry.key.text not in TOP:
                yield from parts(entry.value, (*path, entry.key.text))
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            if isinstance(item, MappingNode):
                yield (*path, number)
                yield from parts(item, (*path, number))


def says(node: Node) -> set[str]:
    """What an entry is called, found by and ordered by."""
    found: set[str] = set()
    if isinstance(node, MappingNode):
        for entry in node.entries:
            if entry.key.text in NAMING and isinstance(entry.value, ScalarNode):
                found.add(entry.value.text)
            found |= says(entry.value)
    elif isinstance(node, SequenceNode):
        for item in node.items:
            found |= says(item)
    return found


def spots(node: Node, path: Path = ()) -> Iterator[tuple[tuple[int, int], Path]]:
    """Where every value stands in the file, with the path of the list's entry it belongs to."""
    last = next((n for n in range(len(path), 0, -1) if isinstance(path[n - 1], int)), 0)
    yield (node.position.line, node.position.column), path[:last]
    if isinstance(node, MappingNode):
        for entry in node.entries:
            yield from spots(entry.value, (*path, entry.key.text))
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            yield from spots(item, (*path, number))


@cache
def trees() -> dict[Kind, Node]:
    return {kind: read_file(SPECS / f"{kind}/{name}.yaml") for kind, name in FILES.items()}


@cache
def places() -> dict[tuple[str, int, int], tuple[Kind, Path]]:
    """The entry behind every place that a message can name."""
    found: dict[tuple[str, int, int], tuple[Kind, Path]] = {}
    for kind, name in FILES.items():
        for (line, column), path in spots(trees()[kind]):
            found.setdefault((f"specs/{kind}/{name}.yaml", line, column), (kind, path))
    return found


@cache
def everything() -> list[tuple[Kind, Path]]:
    """Every part with a name, code or place of its own; wires go with the harness tests."""
    return [
        (kind, path)
        for kind, tree in trees().items()
        for path in parts(tree)
        if says(at(tree, path)) and path[-2] not in ("conductors", "wires", "places", "maintenance")
    ]


def without(first: tuple[Kind, Path]) -> tuple[VesselManual, set[tuple[Kind, Path]]] | None:
    """The manual with a part left out, and all that had to go with it because it led there."""
    gone = {first}
    for _ in range(12):
        taken = [
            (kind, path)
            for kind, path in gone
            if not any(k == kind and p != path and path[: len(p)] == p for k, p in gone)
        ]
        grafts = tuple(Graft((kind, FILES[kind]), "take", path) for kind, path in taken)
        try:
            vessel = GraftedLibrary(SpecLibrary.at(SPECS).folder, grafts=grafts).vessel(VESSEL)
        except SpecErrors as errors:
            more = {
                places()[key]
                for problem in errors.problems
                if (key := (problem.position.file, problem.position.line, problem.position.column))
                in places()
                and places()[key][1]
            }
            if more <= gone:
                return None
            gone |= more
            continue
        analysis = analyse(vessel)
        made = VesselManual(analysis, check(analysis, cures=False))
        made.__dict__.update(faults=(), readings=())  # slow to compute, and of no matter here
        return made, gone
    return None


def text_of(m: VesselManual) -> str:
    """All words of the pages that tell what to do, what to carry and what to fit."""
    writer = HtmlWriter(AnyLink(), m.words, m.first, m.book)
    blocks = [block for page in PAGES for block in page(m)]
    blocks += [block for page in SHEET_PAGES for block in sheet_page(m, page)]
    tree = html.fragment_fromstring(writer.blocks(blocks), create_parent="main")
    return " ".join(str(tree.text_content()).split())


def left_in(word: str, text: str) -> bool:
    """Whether a word stands in a text as a whole."""
    return re.search(rf"(?<![\w-]){re.escape(word.rstrip('.'))}(?![\w-])", text) is not None


@cache
def whole() -> str:
    analysis = analyse(SpecLibrary.at(SPECS).vessel(VESSEL))
    made = VesselManual(analysis, check(analysis, cures=False))
    made.__dict__.update(faults=(), readings=())
    return text_of(made)


@cache
def standard() -> str:
    """The yard's standard, whose tasks and steps are not the vessel's."""
    return (SPECS / "standards" / "quenby-slip.yaml").read_text("utf-8")


@pytest.mark.parametrize("share", range(SHARES))
def test_nothing_of_a_deleted_part_is_left(share: int) -> None:
    checked = 0
    orphans = []
    for first in everything()[share::SHARES]:
        found = without(first)
        if found is None:
            continue
        made, gone = found
        lost = {word for kind, path in gone for word in says(at(trees()[kind], path))}
        kept = {
            word
            for kind, tree in trees().items()
            for path in parts(tree)
            if not any(k == kind and path[: len(p)] == p for k, p in gone)
            for word in own_words(at(tree, path))
        } | {standard()}
        words = {
            word
            for word in lost - kept
            if left_in(word, whole()) and not any(left_in(word, other) for other in kept)
        }
        checked += len(words)
        text = text_of(made)
        orphans += [f"{first[0]} {first[1]}: {word!r}" for word in words if left_in(word, text)]
    assert orphans == []
    assert checked > 8


def own_words(node: Node) -> set[str]:
    """What an entry itself says, without the entries within it."""
    assert isinstance(node, MappingNode)
    return {
        entry.value.text
        for entry in node.entries
        if entry.key.text in NAMING and isinstance(entry.value, ScalarNode)
    }
