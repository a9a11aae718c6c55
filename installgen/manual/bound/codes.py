"""The index of short codes: what each label aboard stands on, and where the manual tells of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from installgen.manual import blocks as b

DIGITS = re.compile(r"(\d+)")
NUMBER = re.compile(r"^\d+\.\s*")
WORKED_OUT = ("calculations", "fault-", "findings", "install", "not-assessed", "readings-")
"""Beginnings of the ids of pages that only rest on what other pages tell."""

MOST_PLACES = 4


@dataclass(frozen=True)
class CodeEntry:
    """A short code with what it stands on.

    name: what people call the thing; empty where no row is about it
    places: where the manual tells of it, the best place first
    """

    code: str
    name: str
    places: tuple[b.Target, ...]


@dataclass(frozen=True)
class _Mention:
    """rank: 0 for a row about it, 1 within another row, 2 under a heading."""

    rank: int
    target: b.Target
    name: str


def code_index(pages: Iterable[b.Page]) -> tuple[CodeEntry, ...]:
    """Every short code that the pages show, in the order in which a person looks it up."""
    found: dict[str, list[_Mention]] = {}
    for page in pages:
        if not page.id.startswith(WORKED_OUT):
            for code, mention in _mentions(page):
                found.setdefault(code, []).append(mention)
    entries = []
    for code in sorted(found, key=_in_order):
        mentions = sorted(found[code], key=lambda mention: mention.rank)
        best = [one for one in mentions if one.rank == mentions[0].rank]
        name = next((one.name for one in best if one.name), "")
        places = tuple(dict.fromkeys(one.target for one in best))
        entries.append(CodeEntry(code, name, places[:MOST_PLACES]))
    return tuple(entries)


def _in_order(code: str) -> tuple[Any, ...]:
    """Numbers by their value: S2 before S10."""
    return tuple((int(part), "") if part.isdigit() else (-1, part) for part in DIGITS.split(code))


def _mentions(page: b.Page) -> Iterator[tuple[str, _Mention]]:
    heading = b.Target(page.id)
    for block in _flat(page.blocks):
        if isinstance(block, b.Heading):
            heading = b.Target(page.id, block.anchor)
            first, _, name = block.text.partition(" ")
            if DIGITS.search(first):
                yield first, _Mention(0, heading, name)
        elif isinstance(block, b.Table):
            for row in block.rows:
                yield from _in_row(row, page.id, heading)
        else:
            for code in codes_in(block):
                yield code, _Mention(2, heading, "")


def _in_row(row: b.Row, page: str, heading: b.Target) -> Iterator[tuple[str, _Mention]]:
    target = b.Target(page, row.anchor) if row.anchor else heading
    first, *rest = row.cells
    about = codes_in(first)
    for place, code in enumerate(about):
        # A row that says no more than its code is of a conductor: from where to where.
        ends = [text for cell in rest[:2] if (text := plain(cell))]
        name = _name(code, first) or " → ".join(ends)
        yield code, _Mention(0 if row.anchor and not place else 1, target, name)
    for cell in rest:
        for code in codes_in(cell):
            yield code, _Mention(1 if row.anchor else 2, target, _name(code, cell))


def _name(code: str, cell: b.Line) -> str:
    """What stands behind the code, without the terminal; else before it, without its number."""
    before, _, after = plain(cell).partition(code)
    return after.partition(" · ")[0].strip(" ,") or NUMBER.sub("", before).strip(" ,.")


def _flat(blocks: Iterable[b.Block]) -> Iterator[b.Block]:
    for block in blocks:
        yield block
        if isinstance(block, b.Fold):
            yield from _flat(block.blocks)


def codes_in(part: Any) -> list[str]:
    """The short codes in a line or a block, in order."""
    if isinstance(part, b.Code):
        return [part.text] if part.text else []
    if isinstance(part, tuple | list):
        return [code for one in part for code in codes_in(one)]
    if is_dataclass(part) and type(part).__module__ == b.__name__:
        return [code for field in fields(part) for code in codes_in(getattr(part, field.name))]
    return []


def plain(line: b.Line) -> str:
    """The words of a line, without figures, marks and what is folded."""
    if isinstance(line, str):
        return line
    if isinstance(line, tuple):
        return "".join(plain(part) for part in line)
    if isinstance(line, b.Code | b.AsTyped):
        return line.text
    if isinstance(line, b.Link | b.Strong):
        return plain(line.text)
    if isinstance(line, b.Stack):
        return ", ".join(text for item in line.items if (text := plain(item).strip()))
    return ""
