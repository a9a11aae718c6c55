"""Finds the photographs that specs name, in `photos/` of the specs folder and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from installgen.errors import Problem, SpecErrors
from installgen.spec.entry import Entry
from installgen.spec.folder import SpecFolder, nearest
from installgen.spec.photo_spec import Photo
from installgen.spec.problems import one_of, problem_at
from installgen.spec.vessel import entries

FOLDER = "photos"
LARGEST_BYTES = 12_000_000
"""A telephone's photograph is smaller."""

SIGNATURES = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
}


def photo_files(
    folder: SpecFolder, roots: Iterable[Entry]
) -> tuple[Mapping[str, Path], list[Problem]]:
    """The file of each photograph within some specs, by its name below `photos/`; what is wrong.

    No link is followed and no path leaves the folder: the names hold no dots but the ending's.
    """
    found: dict[str, Path] = {}
    problems: list[Problem] = []
    for entry in (one for root in roots for one in entries(root)):
        if isinstance(entry, Photo):
            try:
                found[entry.file] = _checked(folder, entry)
            except SpecErrors as errors:
                problems += errors.problems
    return found, problems


def photo_name(folder: SpecFolder, name: str) -> str:
    """How messages call a photograph: `specs/photos/brannock/strainer.jpg`."""
    return f"{folder.root.name}/{FOLDER}/{name}"


def _checked(folder: SpecFolder, entry: Photo) -> Path:
    base = folder.root / FOLDER
    path = base / entry.file
    links = [one for one in (base, path.parent, path) if one.is_symlink()]
    if links or not path.is_file():
        what = "a symbolic link" if links else "which is not there"
        known = [] if links or not base.is_dir() else _known(base)
        expected = one_of(known) if known else f"a file in {photo_name(folder, '')}"
        raise _problem(entry, f"`{entry.file}`, {what}", expected, nearest(entry.file, known))
    if (size := path.stat().st_size) > LARGEST_BYTES:
        raise _problem(entry, f"`{entry.file}`, {size} bytes", f"at most {LARGEST_BYTES} bytes")
    signature = SIGNATURES[path.suffix]
    with path.open("rb") as file:
        begins = file.read(len(signature))
    if begins != signature:
        kind = "PNG" if path.suffix == ".png" else "JPEG"
        raise _problem(entry, f"`{entry.file}`, which is no {kind} file", f"a {kind} file")
    return path


def _problem(entry: Photo, found: str, expected: str, instead: str | None = None) -> SpecErrors:
    return SpecErrors([problem_at(entry, "file", found, expected, instead)])


def _known(base: Path) -> list[str]:
    return sorted(
        path.relative_to(base).as_posix()
        for path in base.glob("*/*")
        if path.suffix in SIGNATURES and not path.is_symlink() and not path.parent.is_symlink()
    )
