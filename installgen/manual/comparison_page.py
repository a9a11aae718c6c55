"""A page of the yard: two sisters side by side, first the build, then what it does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from installgen.findings.compare import BuildDifference, Comparison, ResultDifference, Turn
from installgen.manual.blocks import (
    Block,
    Column,
    Fold,
    Heading,
    Link,
    Page,
    Paragraph,
    Row,
    Table,
    Target,
)
from installgen.manual.words import Words
from installgen.manual.yard_pages import vessel_target
from installgen.spec.vessel import Vessel


def page_id(first: str, second: str) -> str:
    """Name of the page that compares two vessels."""
    return f"compare-{first}-{second}"


def sisters(vessels: Sequence[Vessel]) -> list[tuple[Vessel, Vessel]]:
    """Each vessel with the one before her that has the same engines."""
    pairs = []
    last: dict[tuple[str, ...], Vessel] = {}
    for vessel in vessels:
        sheets = tuple(sorted(engine.entry.sheet for engine in vessel.engines))
        if sheets in last:
            pairs.append((last[sheets], vessel))
        last[sheets] = vessel
    return pairs


def comparison_page(first: Vessel, second: Vessel, found: Comparison, words: Words) -> Page:
    """The page that lays two vessels side by side."""
    names = {"first": first.name, "second": second.name}
    intro = (
        words.say("compare.intro", **names),
        " ",
        Link(first.name, Target(vessel_target(first.id))),
        ", ",
        Link(second.name, Target(vessel_target(second.id))),
        ".",
    )
    blocks: list[Block] = [Paragraph(intro)]
    blocks += [
        Paragraph(words.say("compare.guessed", first=match.first, second=match.second))
        for match in found.engines
        if match.guessed
    ]
    if found.same:
        blocks.append(Paragraph(words.say("compare.same")))
    if found.build:
        blocks.append(Heading(words.text("compare.build"), "build"))
        blocks += _build(found.build, first, second, words)
    if found.results:
        blocks.append(Heading(words.text("compare.results"), "results"))
        blocks += _results(found.results, first, second, words)
    title = words.text("compare.title", **names)
    return Page(page_id(first.id, second.id), title, tuple(blocks))


def _build(
    items: Sequence[BuildDifference], first: Vessel, second: Vessel, words: Words
) -> Iterator[Block]:
    columns = (
        Column(words.text("compare.what")),
        Column(first.name),
        Column(second.name),
        Column(words.text("compare.from")),
    )
    for system, group in groupby(items, key=lambda item: item.system):
        rows = tuple(
            Row((_path(item), item.first or "–", item.second or "–", item.source)) for item in group
        )
        yield Table(words.text("compare.system", system=system), columns, rows)


def _path(item: BuildDifference) -> str:
    """A path in words: what a builder calls it, not how a file nests it."""
    parts = item.path[2:] if item.path[0] == "sheet" else item.path
    return " · ".join(part.replace("_", " ") for part in parts)


def _results(
    items: Sequence[ResultDifference], first: Vessel, second: Vessel, words: Words
) -> Iterator[Block]:
    columns = (
        Column(words.text("compare.figure")),
        Column(first.name, figure=True),
        Column(second.name, figure=True),
    )
    for turn in (Turn.WORSE, Turn.BETTER):
        rows = _rows([item for item in items if item.turn is turn])
        if rows:
            yield Table(
                words.text(f"compare.{turn.name.lower()}", second=second.name), columns, rows
            )
    for system, group in groupby(
        [item for item in items if item.turn is Turn.OTHER], key=lambda item: item.system
    ):
        rows = _rows(list(group))
        summary = words.text("compare.other", system=system, count=str(len(rows)))
        yield Fold(summary, (Table(summary, columns, rows),))


def _rows(items: Sequence[ResultDifference]) -> tuple[Row, ...]:
    return tuple(Row((item.name, item.first or "–", item.second or "–")) for item in items)
