"""Finds spec files by kind and id, inside the specs folder and nowhere else."""

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from installgen.errors import InstallgenError, Position, Problem
from installgen.units import quoted

Kind = Literal["engines", "standards", "vessels"]
KINDS: tuple[Kind, ...] = get_args(Kind)

_ID = re.compile(r"[a-z0-9-]{1,60}")
_ID_WORDS = "an id of 1 to 60 small letters a-z, digits and hyphens"
_ONE = {"engines": "engine sheet", "standards": "standard", "vessels": "vessel"}


class FolderProblem(InstallgenError):
    """An id or a file of the specs folder cannot be used.

    found, expected, instead: as in `Problem`, which `at` makes of it
    """

    def __init__(self, found: str, expected: str, instead: str = "") -> None:
        self.found, self.expected, self.instead = found, expected, instead
        super().__init__(found, expected, instead)

    def __str__(self) -> str:
        text = f"found {self.found}; expected {self.expected}"
        return f"{text}; write {self.instead}" if self.instead else text

    def at(self, position: Position, path: str = "") -> Problem:
        """The problem at the place where the id was written."""
        return Problem(position, path, self.found, self.expected, self.instead)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a mistyped one most likely meant, or None when nothing is near.

    Numbers and sides are meant, not mistyped: another pin, tank or engine is never offered,
    however near its letters are.
    """
    if len(word) > 100:
        return None
    meant = _numbers(word), _sides(word)
    by_small = {
        _small(one): one
        for one in sorted(known)
        if _numbers(one) == meant[0] and not (meant[1] and _sides(one) - meant[1])
    }
    found = difflib.get_close_matches(_small(word), by_small, 1, 0.6)
    return by_small[found[0]] if found else None


def _small(word: str) -> str:
    return word.casefold().replace("_", "-")


def _numbers(word: str) -> list[int]:
    return [int(digits) for digits in re.findall(r"[0-9]+", word)]


def _sides(word: str) -> set[str]:
    return {"port", "starboard"} & set(re.split(r"[^a-z]+", word.casefold()))


def natural_order(name: str) -> list[tuple[int, int, str]]:
    """A key that sorts as people count: `P1.2` before `P1.10`."""
    parts = re.split(r"([0-9]+)", name)
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts if part]


def check_id(identifier: str) -> str:
    """The id itself; raises FolderProblem where it is not one."""
    if _ID.fullmatch(identifier):
        return identifier
    better = re.sub(r"[^a-z0-9]+", "-", identifier.casefold()).strip("-")
    harmless = ".." not in identifier and "/" not in identifier and "\\" not in identifier
    instead = f"`{better}`" if harmless and _ID.fullmatch(better) else ""
    raise FolderProblem(f"the id {quoted(identifier)}", _ID_WORDS, instead)


@dataclass(frozen=True)
class SpecFolder:
    """The folder that holds `engines/`, `standards/` and `vessels/`.

    root: the folder itself, as the user named it
    """

    root: Path

    def ids(self, kind: Kind) -> tuple[str, ...]:
        """The ids of every spec of a kind, in order."""
        folder = self.root / kind
        if folder.is_symlink() or not folder.is_dir():
            return ()
        found = (path for path in folder.iterdir() if path.suffix == ".yaml")
        return tuple(
            sorted(
                path.stem
                for path in found
                if _ID.fullmatch(path.stem) and path.is_file() and not path.is_symlink()
            )
        )

    def path(self, kind: Kind, identifier: str) -> Path:
        """The file of an id, below `root`; raises FolderProblem where there is none to be read."""
        check_id(identifier)
        path = self.root / kind / f"{identifier}.yaml"
        if path.is_symlink() or path.parent.is_symlink():
            raise FolderProblem(f"{quoted(self.name(path))}, a symbolic link", "a file of its own")
        if not path.is_file():
            raise self._missing(kind, identifier)
        return path

    def name(self, path: Path) -> str:
        """How messages call a file: as the user would, with forward slashes."""
        return path.as_posix()

    def kind_and_id(self, path: Path) -> tuple[Kind, str]:
        """What a path given by the user is, such as `specs/vessels/tern.yaml`.

        Raises FolderProblem for a path outside the folder or with another shape.
        """
        expected = f"a file such as {self.root.as_posix()}/vessels/tern.yaml"
        try:
            parts = path.absolute().relative_to(self.root.absolute()).parts
        except ValueError as error:
            raise FolderProblem(quoted(path.as_posix()), expected) from error
        if len(parts) != 2 or parts[0] not in KINDS or path.suffix != ".yaml":
            raise FolderProblem(quoted(path.as_posix()), expected)
        kind = next(one for one in KINDS if one == parts[0])
        self.path(kind, path.stem)
        return kind, path.stem

    def strays(self) -> tuple[FolderProblem, ...]:
        """Files that look like specs and would be passed over: other endings, ids, links."""
        found = []
        for kind in KINDS:
            folder = self.root / kind
            if folder.is_symlink():
                found.append(
                    FolderProblem(f"{quoted(self.name(folder))}, a symbolic link", "a folder")
                )
            elif folder.is_dir():
                found += [
                    problem
                    for path in sorted(folder.iterdir())
                    if (problem := self._stray(path)) is not None
                ]
        return tuple(found)

    def _stray(self, path: Path) -> FolderProblem | None:
        shown = quoted(self.name(path), 120)
        if path.name.startswith("."):
            return None
        if path.is_symlink():
            return FolderProblem(f"{shown}, a symbolic link", "a file of its own")
        if path.is_dir():
            return FolderProblem(f"{shown}, a folder", "spec files only")
        if path.suffix != ".yaml":
            ending = f"`{path.stem}.yaml`" if path.suffix.lower() in (".yml", ".yaml") else ""
            return FolderProblem(shown, "a file that ends in .yaml", ending)
        try:
            check_id(path.stem)
        except FolderProblem as problem:
            better = problem.instead.strip("`")
            return FolderProblem(
                shown, f"{_ID_WORDS}, then .yaml", f"`{better}.yaml`" if better else ""
            )
        return None

    def _missing(self, kind: Kind, identifier: str) -> FolderProblem:
        known = self.ids(kind)
        guess = nearest(identifier, known)
        listed = ", ".join(known[:12]) + (", …" if len(known) > 12 else "")
        return FolderProblem(
            f"the {_ONE[kind]} {quoted(identifier)}, which has no file",
            f"one of {listed}" if known else f"a file in {self.name(self.root / kind)}/",
            f"`{guess}`" if guess else "",
        )
