"""The yard's own Markdown for the owner's manual, read from `text/` in the specs folder."""

from __future__ import annotations

from collections.abc import Mapping

from installgen.errors import Problem, SpecErrors
from installgen.spec.folder import SpecFolder, nearest
from installgen.spec.owner_spec import OwnerHeading, OwnersManual
from installgen.spec.problems import one_of, problem_at, unique
from installgen.spec.text_checks import decode, hidden_sign

FOLDER = "text"
LARGEST_BYTES = 200_000
"""A heading of an owner's manual is a few pages; what is larger is a mistake or an attack."""


def owner_texts(
    folder: SpecFolder, manual: OwnersManual
) -> tuple[Mapping[str, str], list[Problem]]:
    """The text of each file that a manual names, by its name below `text/`, and what is wrong.

    No link is followed and no path leaves the folder: the names hold no dots but the ending's.
    """
    texts: dict[str, str] = {}
    problems = unique(manual.headings, "heading", "heading")
    for entry in manual.headings:
        if entry.text is not None and entry.text not in texts:
            try:
                texts[entry.text] = _read(folder, entry, entry.text)
            except SpecErrors as errors:
                problems += errors.problems
    return texts, problems


def text_file(folder: SpecFolder, name: str) -> str:
    """How messages call a text: `specs/text/quenby-slip/handling.md`."""
    return f"{folder.root.name}/{FOLDER}/{name}"


def _read(folder: SpecFolder, entry: OwnerHeading, name: str) -> str:
    base = folder.root / FOLDER
    path = base / name
    links = [one for one in (base, path.parent, path) if one.is_symlink()]
    if links or not path.is_file():
        found = f"`{name}`, a symbolic link" if links else f"`{name}`, which is not there"
        known = [] if links or not base.is_dir() else _known(folder)
        raise SpecErrors([problem_at(entry, "text", found, one_of(known), nearest(name, known))])
    if path.stat().st_size > LARGEST_BYTES:
        found = f"`{name}`, {path.stat().st_size} bytes"
        raise SpecErrors([problem_at(entry, "text", found, f"at most {LARGEST_BYTES} bytes")])
    text = decode(path.read_bytes(), text_file(folder, name))
    if sign := hidden_sign(text):
        expected = "text without control characters"
        raise SpecErrors(
            [problem_at(entry, "text", f"`{name}` with {sign}, which cannot be seen", expected)]
        )
    if not text.strip():
        raise SpecErrors([problem_at(entry, "text", f"`{name}`, an empty file", "a text")])
    return text.replace("\r\n", "\n")


def _known(folder: SpecFolder) -> list[str]:
    base = folder.root / FOLDER
    return sorted(
        path.relative_to(base).as_posix()
        for path in base.glob("*/*.md")
        if not path.is_symlink() and not path.parent.is_symlink()
    )
