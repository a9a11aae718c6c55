"""Every written field of a spec, each with other values that it might have."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from installgen.analysis.analyse import Analysis, analyse
from installgen.errors import SpecErrors
from installgen.spec.entry import PathKey, written
from installgen.spec.grafts import Graft, grafted_library
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode
from installgen.spec.reader import read_file
from tests.findings.scenario_files import SPECS

NUMBER = re.compile(r"([-−]?)(\d+(?:\.\d+)?)(.*)")
DATE = re.compile(r"\d{4}-\d")
MOST_TRIED = 12


@dataclass(frozen=True)
class Changed:
    """A vessel with one field written otherwise.

    path: as people write it; value: what it says instead
    """

    path: str
    was: str
    value: str
    analysis: Analysis


@cache
def library() -> SpecLibrary:
    """The demonstration specs."""
    return SpecLibrary.at(SPECS)


@cache
def as_written(vessel: str) -> Analysis:
    """A demonstration vessel as she is."""
    return analyse(library().vessel(vessel))


@cache
def fields(vessel: str) -> tuple[tuple[tuple[PathKey, ...], ScalarNode], ...]:
    """Every value that her spec writes, with its path in the document."""
    root = read_file(SPECS / f"vessels/{vessel}.yaml", f"specs/vessels/{vessel}.yaml")
    return tuple(leaf for leaf in _leaves(root) if leaf[0][0] not in ("format", "standard"))


def _leaves(
    node: Node, path: tuple[PathKey, ...] = ()
) -> Iterator[tuple[tuple[PathKey, ...], ScalarNode]]:
    if isinstance(node, MappingNode):
        for entry in node.entries:
            yield from _leaves(entry.value, (*path, entry.key.text))
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            yield from _leaves(item, (*path, number))
    elif isinstance(node, ScalarNode):
        yield path, node


def key(path: tuple[PathKey, ...]) -> str:
    """The last key of a path that is a word."""
    return next(str(step) for step in reversed(path) if isinstance(step, str))


def changed(vessel: str, path: tuple[PathKey, ...], node: ScalarNode) -> Changed | None:
    """The vessel with another value in one field, the first that can be read; else nothing."""
    for value in list(_others(vessel, path, node.text))[:MOST_TRIED]:
        try:
            return written_so(vessel, path, node, value)
        except SpecErrors:
            continue
    return None


def written_so(vessel: str, path: tuple[PathKey, ...], node: ScalarNode, value: str) -> Changed:
    """The vessel with this value in one field. Raises SpecErrors where it cannot be read."""
    graft = Graft(("vessels", vessel), "put", path, ScalarNode(node.position, value, node.style))
    read = grafted_library(library(), [graft]).vessel(vessel)
    return Changed(written(path), node.text, value, analyse(read))


def _others(vessel: str, path: tuple[PathKey, ...], text: str) -> Iterator[str]:
    """Other values: a figure somewhat larger or smaller, a word that the field has elsewhere."""
    match = NUMBER.fullmatch(text)
    if match is not None and DATE.match(text) is None:
        sign, digits, rest = match.groups()
        figure = float(digits)
        whole = "." not in digits
        for factor in (1.25, 0.8, 1.03):
            other = figure * factor
            same = whole and round(other) != figure
            yield f"{sign}{round(other) if same else format(other, '.4g')}{rest}"
        yield f"{sign}{figure + 1:g}{rest}"
    yield "unknown"
    yield from sorted(_words(vessel)[key(path)] - {text})
    yield f"{text} x"


@cache
def _words(vessel: str) -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for path, node in fields(vessel):
        found[key(path)].add(node.text)
    return found
