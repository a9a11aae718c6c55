"""Deleting data never cures a finding: whatever is left out, she is no nearer to hand-over.

The suite takes every so-many-th field; all of them with INSTALLGEN_WHOLE=1.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache

import pytest

from installgen.analysis.analyse import analyse
from installgen.errors import SpecErrors
from installgen.findings.check import check
from installgen.findings.finding import Findings
from installgen.spec.entry import PathKey, written
from installgen.spec.grafts import Graft, GraftedLibrary
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode
from installgen.spec.reader import read_file
from tests.findings.scenario_files import SPECS

VESSEL = "pipit"
EVERY = 1 if os.environ.get("INSTALLGEN_WHOLE") else 5
SHARES = 8
"""The fields are shared out over so many tests, so that they can run side by side."""


def _everything(node: Node, path: tuple[PathKey, ...] = ()) -> Iterator[tuple[PathKey, ...]]:
    """The path of every field and entry of a spec.

    A word in a list of words is no field: without it the list says something else.
    """
    if isinstance(node, MappingNode):
        for entry in node.entries:
            yield (*path, entry.key.text)
            yield from _everything(entry.value, (*path, entry.key.text))
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            if isinstance(item, ScalarNode | SequenceNode):
                continue
            yield (*path, number)
            yield from _everything(item, (*path, number))


@cache
def _paths() -> list[tuple[PathKey, ...]]:
    root = read_file(SPECS / f"vessels/{VESSEL}.yaml")
    return [path for path in _everything(root) if path != ("standard",)]


def _without(path: tuple[PathKey, ...]) -> Findings | None:
    """What the rules say with something left out; nothing where the spec cannot be read then."""
    graft = Graft(("vessels", VESSEL), "take", path)
    library = GraftedLibrary(SpecLibrary.at(SPECS).folder, grafts=(graft,))
    try:
        return check(analyse(library.vessel(VESSEL)), cures=False)
    except SpecErrors:
        return None


def _open(findings: Findings) -> set[str]:
    return {f.id for f in findings.items if f.severity == "must" and f.open}


@cache
def _before() -> tuple[frozenset[str], frozenset[str]]:
    """What fails, and what fails or is not assessed, as she is."""
    found = check(analyse(SpecLibrary.at(SPECS).vessel(VESSEL)), cures=False)
    failing = {f.id for f in found.items if f.severity == "must" and f.verdict == "fail"}
    return frozenset(failing), frozenset(_open(found))


@pytest.mark.parametrize("share", range(SHARES))
def test_leaving_something_out_cures_nothing(share: int) -> None:
    failing, was_open = _before()
    assert len(failing) > 8
    cured = []
    for path in _paths()[::EVERY][share::SHARES]:
        after = _without(path)
        if after is None:
            continue
        gone = failing - _open(after)
        raised = _open(after) - was_open
        if gone and not raised:
            cured.append(f"{written(path)} cures {sorted(gone)}")
    assert not cured, "\n".join(cured)
