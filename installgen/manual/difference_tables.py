"""What two builds do not share, as tables: the build, what it does, what the rules say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from installgen.findings.comparison import (
    BuildDifference,
    FindingDifference,
    ResultDifference,
    Turn,
)
from installgen.findings.consequences import Consequence
from installgen.findings.differences import Item
from installgen.manual.blocks import (
    Block,
    Column,
    Fold,
    Folded,
    Line,
    Row,
    Table,
    Verdict,
    VerdictKind,
)
from installgen.manual.words import Words

NOTHING = "–"
MOST_CAUSES = 3
"""So many causes of one figure stand in its row; more are folded."""

LEAST_MARGIN = 0.0005
"""A figure that moved by less of its limit stands among those that no rule judges."""

VERDICTS: dict[str, VerdictKind] = {
    "pass": "pass",
    "caution": "caution",
    "fail": "fail",
    "not assessed": "not-assessed",
}


@dataclass(frozen=True)
class Sides:
    """What the two builds are called, and the words of the page."""

    first: str
    second: str
    words: Words

    def columns(self, *keys: str) -> tuple[Column, ...]:
        """A column for what differs, one for each build, and further ones by their keys."""
        figure = self.words.text("compare.figure")
        own = (Column(figure), Column(self.first, figure=True), Column(self.second, figure=True))
        return (*own, *(Column(self.words.text(f"compare.{key}")) for key in keys))


# ---- the build ----------------------------------------------------------------------------------


def build_tables(items: Sequence[BuildDifference], sides: Sides) -> Iterator[Block]:
    """One table for each system: what is written, in which of her files."""
    words = sides.words
    columns = (
        Column(words.text("compare.what")),
        Column(sides.first),
        Column(sides.second),
        Column(words.text("compare.from")),
    )
    for system, group in groupby(items, key=lambda item: item.system):
        rows = tuple(
            Row(
                (
                    path_words(item.path),
                    item.first or NOTHING,
                    item.second or NOTHING,
                    words.text(f"compare.source_{item.source}"),
                )
            )
            for item in group
        )
        yield Table(words.text("compare.system", system=system), columns, rows)


def path_words(path: tuple[str, ...]) -> str:
    """A path in words: what a builder calls it, not how a file nests it."""
    parts = path[2:] if path[0] == "sheet" else path
    return " · ".join(part.replace("_", " ") for part in parts)


def cause_words(difference: BuildDifference) -> str:
    """The end of a path that names what was changed: `S2 length`, `aftercooler loss drop`."""
    path = difference.path
    last = max((n for n, step in enumerate(path) if isinstance(step, Item)), default=-1)
    tail = path[last:] if last >= 0 else path
    return " ".join(part.replace("_", " ") for part in tail)


# ---- what it does -------------------------------------------------------------------------------


def result_blocks(
    items: Sequence[ResultDifference], reasons: Sequence[Consequence] | None, sides: Sides
) -> Iterator[Block]:
    """First the figures that a rule judges, by the margin they lost; the others folded.

    reasons: the causes of each, where they were looked for
    """
    words = sides.words
    causes = {reason.result.result: reason for reason in reasons or ()}
    judged = [item for item in items if abs(item.margin_lost or 0.0) >= LEAST_MARGIN]
    others = [item for item in items if item not in judged]
    for turn in (Turn.WORSE, Turn.BETTER):
        members = [item for item in judged if item.turn is turn]
        members.sort(key=lambda item: -abs(item.margin_lost or 0.0))
        rows = _rows(members, causes, with_margin=True)
        if rows:
            caption = words.text(f"compare.{turn.name.lower()}", second=sides.second)
            yield Table(caption, sides.columns("margin", "by"), rows)
    for turn in (Turn.WORSE, Turn.BETTER):
        members = [item for item in others if item.turn is turn]
        summary = words.text(
            f"compare.more_{turn.name.lower()}", second=sides.second, count=str(len(members))
        )
        yield from _folded(summary, members, sides, causes)
    rest = sorted((i for i in others if i.turn is Turn.OTHER), key=lambda item: item.system)
    for system, group in groupby(rest, key=lambda item: item.system):
        members = list(group)
        summary = words.text("compare.other", system=system, count=str(len(members)))
        yield from _folded(summary, members, sides, causes)


def _folded(
    summary: str,
    items: Sequence[ResultDifference],
    sides: Sides,
    causes: Mapping[str, Consequence],
) -> Iterator[Block]:
    if items:
        yield Fold(summary, (Table(summary, sides.columns("by"), _rows(items, causes)),))


def _rows(
    items: Sequence[ResultDifference],
    causes: Mapping[str, Consequence],
    *,
    with_margin: bool = False,
) -> tuple[Row, ...]:
    return tuple(_row(item, causes.get(item.result), with_margin) for item in items)


def _row(item: ResultDifference, reason: Consequence | None, with_margin: bool) -> Row:
    cells: list[Line] = [item.name, item.first or NOTHING, item.second or NOTHING]
    if with_margin:
        cells.append(_share(-(item.margin_lost or 0.0)))
    cells.append("" if reason is None else causes_line(reason))
    return Row(tuple(cells))


def _share(share: float) -> str:
    sign = "+" if share > 0 else "\N{MINUS SIGN}"
    return f"{sign}{abs(share):.1%}".replace("%", "\N{NO-BREAK SPACE}%")


def causes_line(reason: Consequence) -> Line:
    """What of the build moves a figure: each alone, or all of them together."""
    names = list(dict.fromkeys(cause_words(cause) for cause in reason.causes))
    if reason.jointly:
        return " + ".join(names)
    if len(names) <= MOST_CAUSES:
        return "; ".join(names)
    rest = tuple(names[MOST_CAUSES:])
    return ("; ".join(names[:MOST_CAUSES]), "; ", Folded(f"{len(rest)} more", rest))


# ---- what the rules say -------------------------------------------------------------------------


def finding_tables(items: Sequence[FindingDifference], sides: Sides) -> Iterator[Block]:
    """Findings raised, then those cleared."""
    words = sides.words
    columns = (
        Column(words.text("columns.rule")),
        Column(words.text("columns.severity")),
        Column(words.text("columns.what")),
        Column(sides.first),
        Column(sides.second),
    )
    for turn, key in ((Turn.WORSE, "raised"), (Turn.BETTER, "cleared")):
        rows = tuple(
            Row(
                (
                    _rule(item.finding),
                    words.text(f"severities.{item.severity}"),
                    item.name,
                    _verdict(item.first),
                    _verdict(item.second),
                )
            )
            for item in items
            if item.turn is turn
        )
        if rows:
            yield Table(words.text(f"compare.{key}", count=str(len(rows))), columns, rows)


def _rule(finding_id: str) -> str:
    rule = finding_id.partition("/")[0]
    check, _, circuit = rule.partition(".")
    name = check.replace("-", " ")
    return f"{name[:1].upper()}{name[1:]}" + (f", {circuit}" if circuit else "")


def _verdict(word: str) -> Line:
    return Verdict(VERDICTS[word]) if word else NOTHING
