"""Results as they were recorded once, beside the same vessel computed now.

Whatever differs is told from its origin: her own spec, a sheet, a standard, a published table, or
the program itself, which alone can change a result whose texts and tables are all the same.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path, PurePosixPath
from typing import Any

import click

from installgen import __version__
from installgen.analysis.analyse import Analysis
from installgen.analysis.results import Book, ResultOrigin, SpecOrigin, TableOrigin
from installgen.cli.output import shown
from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.load import SpecLibrary

KINDS = {"vessels": "her own spec", "engines": "engine sheet", "standards": "standard"}
PROGRAM = "the program"
TABLES = "published tables"


@dataclass(frozen=True)
class Record:
    """What `installgen results VESSEL --json` wrote.

    values: each result as it was printed, by its id
    files, tables: digests of the texts and tables it was computed from, by their names
    """

    vessel: str
    program: str
    values: Mapping[str, str]
    files: Mapping[str, str]
    tables: Mapping[str, str]


@dataclass(frozen=True)
class Since:
    """What is not as it was recorded.

    made_with: names of what changed, by what kind of thing it is
    results: for each result that differs, how it was, how it is, and what moved it
    """

    made_with: Mapping[str, tuple[str, ...]]
    results: Mapping[str, tuple[str, str, tuple[str, ...]]]


def made_with(library: SpecLibrary, found: Analysis) -> dict[str, Any]:
    """Digests of everything that results are computed from, and the program's version."""
    root = library.folder.root
    paths = {name: root / Path(*PurePosixPath(name).parts[1:]) for name in found.vessel.files}
    return {
        "files": {name: _digest(path.read_bytes()) for name, path in paths.items()},
        "program": __version__,
        "tables": {
            entry.name: _digest(entry.read_bytes())
            for entry in files("installgen.tables").iterdir()
            if entry.name.endswith(".csv")
        },
    }


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def read_record(path: Path) -> Record:
    """A record from its file. Raises SpecErrors where it is none."""
    try:
        content = json.loads(path.read_text("utf-8"))
        made = content["made_with"]
        values = {
            result["id"]: "not assessed" if result["value"] is None else result["value"]["shown"]
            for result in content["results"]
        }
        return Record(content["vessel"], made["program"], values, made["files"], made["tables"])
    except (OSError, ValueError, KeyError, TypeError):
        where = Position(path.as_posix(), 1, 1)
        expected = "a file that `installgen results VESSEL --json` wrote"
        raise SpecErrors([Problem(where, "", "no record of results", expected)]) from None


def since(record: Record, library: SpecLibrary, now: Analysis) -> Since:
    """What changed in what she is made of, and in her results, with what moved each."""
    made = made_with(library, now)
    changed = _differing(record.files, made["files"])
    tables = _differing(record.tables, made["tables"])
    first = now.vessel.spec.units.first
    values = {name: shown(result.value, first) for name, result in now.book.items()}
    reach = _Reach(now.book)
    results = {
        name: (
            record.values.get(name, ""),
            values.get(name, ""),
            tuple(_movers(reach, name, changed, bool(tables))),
        )
        for name in dict.fromkeys([*record.values, *values])
        if record.values.get(name) != values.get(name)
    }
    return Since(_grouped(changed, tables, record.program), results)


def _differing(first: Mapping[str, str], second: Mapping[str, str]) -> set[str]:
    return {name for name in {*first, *second} if first.get(name) != second.get(name)}


def _grouped(
    changed: Iterable[str], tables: Iterable[str], program: str
) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for name in sorted(changed):
        kind = _kind(name)
        found[kind] = (*found.get(kind, ()), name)
    if tables:
        found[TABLES] = tuple(sorted(tables))
    if program != __version__:
        found[PROGRAM] = (f"{program} → {__version__}",)
    return found


def _kind(name: str) -> str:
    return next((KINDS[part] for part in PurePosixPath(name).parts if part in KINDS), "a text")


def _movers(reach: _Reach, name: str, changed: set[str], tables: bool) -> Iterator[str]:
    """Kinds of things that changed and that a result rests on; nothing of them: the program."""
    files_of, rests_on_table = reach.of(name)
    kinds = sorted({_kind(file) for file in files_of & changed})
    if rests_on_table and tables:
        kinds.append(TABLES)
    if not kinds and changed and name not in reach.book:
        kinds = sorted({_kind(file) for file in changed})
    yield from kinds or [PROGRAM]


@dataclass
class _Reach:
    """Which files each result rests on, and whether on a table, through all that it uses."""

    book: Book
    known: dict[str, tuple[frozenset[str], bool]] = field(default_factory=dict)

    def of(self, name: str) -> tuple[frozenset[str], bool]:
        if name in self.known or name not in self.book:
            return self.known.get(name, (frozenset(), False))
        self.known[name] = (frozenset(), False)
        texts: set[str] = set()
        table = False
        for item in self.book[name].inputs:
            if isinstance(item.origin, SpecOrigin):
                texts.add(item.origin.position.file)
            elif isinstance(item.origin, TableOrigin):
                table = True
            elif isinstance(item.origin, ResultOrigin):
                inner, inner_table = self.of(item.origin.result)
                texts |= inner
                table = table or inner_table
        texts |= {m.position.file for m in self.book[name].missing if m.position is not None}
        self.known[name] = (frozenset(texts), table)
        return self.known[name]


def since_json(record: Record, found: Since) -> dict[str, Any]:
    """What is not as it was recorded, for a program."""
    return {
        "made_with": {kind: list(names) for kind, names in found.made_with.items()},
        "results": [
            {"by": list(by), "first": was, "id": name, "second": now}
            for name, (was, now, by) in found.results.items()
        ],
        "same": not found.results,
        "vessel": record.vessel,
    }


def print_since(record: Record, found: Since) -> None:
    """What she is made of that changed, then the results, each with what moved it."""
    if not found.made_with:
        click.echo(f"{record.vessel}: nothing that she is made of has changed.")
    for kind, names in found.made_with.items():
        click.echo(f"changed: {kind}: {', '.join(names)}")
    if not found.results:
        click.echo(f"{record.vessel}: every result is as it was recorded.")
    for name, (was, now, by) in found.results.items():
        click.echo(f"  {name}: {was or '–'} → {now or '–'}   by {', '.join(by)}")
