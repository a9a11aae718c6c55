"""Which vessels a person meant: by id or by path, in the specs folder that was named."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from installgen.analysis.analyse import Analysis, analyse
from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.edits import edited_library, read_edit
from installgen.spec.folder import FolderProblem
from installgen.spec.load import SpecLibrary


def library(specs: Path) -> SpecLibrary:
    """The library of a specs folder. Raises SpecErrors where there is none."""
    if not specs.is_dir():
        where = Position(specs.as_posix(), 1, 1)
        problem = FolderProblem(
            f"no folder {specs.as_posix()}", "a folder with vessels/, engines/, standards/"
        )
        raise SpecErrors([problem.at(where)])
    return SpecLibrary.at(specs)


def vessel_id(specs: SpecLibrary, named: str) -> str:
    """The id of a vessel named by id or path. Raises SpecErrors where there is none."""
    try:
        if "/" in named or named.endswith((".yaml", ".yml")):
            kind, found = specs.folder.kind_and_id(Path(named))
            if kind != "vessels":
                raise FolderProblem(f"`{named}`", "a vessel's file: vessels/tern.yaml")
            return found
        specs.folder.path("vessels", named)
        return named
    except FolderProblem as problem:
        raise SpecErrors([problem.at(Position(specs.folder.root.name, 1, 1))]) from None


def analysed(specs: SpecLibrary, named: str, standard: str | None = None) -> Analysis:
    """A vessel named by id or path, computed. Raises SpecErrors."""
    return analyse(specs.vessel(vessel_id(specs, named), standard))


def tried(specs: SpecLibrary, name: str, changes: Sequence[str]) -> tuple[SpecLibrary, Analysis]:
    """A vessel computed with changes that are not on disk, and the library that has them.

    changes: each `PATH = VALUE`
    Raises SpecErrors where one cannot be read, or is of a file that she is not made of.
    """
    edits = [read_edit(text, number) for number, text in enumerate(changes, start=1)]
    edited = edited_library(specs, edits)
    found = analyse(edited.vessel(name))
    unread = [
        Problem(
            edit.position,
            edit.written,
            f"the file `{edit.spec_id or edit.kind}`, of which {name} is not made",
            "a file that she is made of",
        )
        for edit in edits
        if edit not in edited.applied
    ]
    if unread:
        raise SpecErrors(unread)
    return edited, found
