"""Which vessels a person meant: by id or by path, in the specs folder that was named."""

from __future__ import annotations

from pathlib import Path

from installgen.analysis.analyse import Analysis, analyse
from installgen.errors import Position, SpecErrors
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
