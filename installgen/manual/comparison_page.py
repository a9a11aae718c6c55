"""A page of the yard: two vessels side by side, first the build, then what it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from installgen.drawings.figure import figure
from installgen.drawings.graph import Drawing, Edge, Node
from installgen.drawings.render import LayoutCache, render
from installgen.drawings.side_by_side import Pair
from installgen.findings.comparison import Comparison
from installgen.findings.consequences import Consequence
from installgen.manual.blocks import (
    Block,
    Bullets,
    Column,
    Figure,
    Fold,
    Heading,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Table,
    Target,
)
from installgen.manual.difference_tables import (
    Sides,
    build_tables,
    finding_tables,
    result_blocks,
)
from installgen.manual.page_text import PageChange
from installgen.manual.words import Words
from installgen.manual.yard_pages import vessel_target
from installgen.spec.vessel import Vessel


@dataclass(frozen=True)
class Compared:
    """Everything that the page says.

    reasons: the causes of what differs, where they were looked for
    texts: steps, cautions and sentences that the two manuals do not share
    drawings: drawings that differ
    """

    found: Comparison
    reasons: tuple[Consequence, ...] | None = None
    texts: tuple[PageChange, ...] = ()
    drawings: tuple[Pair, ...] = ()


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


def comparison_page(first: Vessel, second: Vessel, compared: Compared, words: Words) -> Page:
    """The page that lays two vessels side by side."""
    found = compared.found
    sides = Sides(first.name, second.name, words)
    intro = (
        words.say("compare.intro", first=first.name, second=second.name),
        " ",
        Link(first.name, Target(vessel_target(first.id))),
        ", ",
        Link(second.name, Target(vessel_target(second.id))),
        ".",
    )
    blocks: list[Block] = [Paragraph(intro)]
    if found.same and not compared.texts:
        blocks.append(Paragraph(words.say("compare.same")))
    blocks += _beside(found, sides)
    sections: tuple[tuple[str, Iterator[Block]], ...] = (
        ("build", build_tables(found.build, sides)),
        ("results", result_blocks(found.results, compared.reasons, sides)),
        ("findings", finding_tables(found.findings, sides)),
        ("texts", _texts(compared.texts, sides)),
        ("drawings", _drawings(compared.drawings, first, second, sides)),
    )
    for name, section in sections:
        made = list(section)
        if made:
            blocks += [Heading(words.text(f"compare.{name}"), name), *made]
    title = words.text("compare.title", first=first.name, second=second.name)
    return Page(page_id(first.id, second.id), title, tuple(blocks))


def _beside(found: Comparison, sides: Sides) -> Iterator[Block]:
    """What was laid beside what under another name, and what is on the other side of the boat."""
    words = sides.words
    rows = [
        Row(
            (
                words.text("compare.kind_engine"),
                match.first,
                match.second,
                _how(match.guessed, words),
            )
        )
        for match in found.engines
        if match.first != match.second
    ]
    rows += [
        Row(
            (
                words.text(f"compare.kind_{match.kind}"),
                match.first,
                match.second,
                _how(match.guessed, words),
            )
        )
        for match in found.matches
    ]
    if rows:
        columns = (
            Column(words.text("columns.what")),
            Column(sides.first),
            Column(sides.second),
            Column(words.text("compare.how")),
        )
        table = Table(words.text("compare.beside"), columns, tuple(rows))
        summary = words.text("compare.beside_count", count=str(len(rows)))
        yield table if len(rows) <= 6 else Fold(summary, (table,))
    for system in found.mirrored:
        yield Paragraph(words.say("compare.mirrored", system=system, second=sides.second))


def _how(guessed: bool, words: Words) -> str:
    return words.text("compare.guess" if guessed else "compare.stated")


def _texts(texts: Sequence[PageChange], sides: Sides) -> Iterator[Block]:
    """For each page the steps and sentences that only one of the two has."""
    for change in texts:
        lines: list[Line] = [(f"{sides.first}: ", line) for line in change.gone]
        lines += [(f"{sides.second}: ", line) for line in change.new]
        summary = sides.words.text(
            "compare.text_of", page=change.title, count=str(len(change.gone) + len(change.new))
        )
        yield Fold(summary, (Bullets(tuple(lines)),))


# ---- drawings -----------------------------------------------------------------------------------


def _drawings(
    pairs: Sequence[Pair], first: Vessel, second: Vessel, sides: Sides
) -> Iterator[Block]:
    if pairs:
        yield Paragraph(sides.words.say("compare.drawings_intro"))
    for pair in pairs:
        for drawing, vessel in ((pair.first, first), (pair.second, second)):
            if drawing is not None:
                yield Figure(_on_page(drawing, vessel).id)


def comparison_figures(
    pairs: Sequence[Pair], first: Vessel, second: Vessel, layouts: LayoutCache | None = None
) -> Mapping[str, str]:
    """HTML of the drawings of a comparison, by the ids that its page calls them."""
    drawings = [
        _on_page(drawing, vessel)
        for pair in pairs
        for drawing, vessel in ((pair.first, first), (pair.second, second))
        if drawing is not None
    ]
    return {
        rendered.drawing.id: figure(rendered, with_tables=False)
        for rendered in render(drawings, layouts)
    }


def _on_page(drawing: Drawing, vessel: Vessel) -> Drawing:
    """A vessel's drawing among another's: its id and title say whose it is."""
    return replace(
        drawing,
        id=f"{vessel.id}.{drawing.id}",
        title=f"{vessel.name}: {drawing.title}",
        nodes=tuple(_node(node, vessel) for node in drawing.nodes),
        edges=tuple(_edge(edge, vessel) for edge in drawing.edges),
        tables=(),
    )


def _node(node: Node, vessel: Vessel) -> Node:
    rows = tuple(replace(row, href=_href(row.href, vessel)) for row in node.rows)
    return replace(node, href=_href(node.href, vessel), rows=rows)


def _edge(edge: Edge, vessel: Vessel) -> Edge:
    return replace(edge, href=_href(edge.href, vessel))


def _href(href: str, vessel: Vessel) -> str:
    return f"{vessel_target(vessel.id)}/{href}" if href else ""
