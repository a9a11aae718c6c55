"""The drawings of two builds, with what differs between them marked in both.

Marked is what the builds do not share: a thing that only one of them has, or one that is written
otherwise. Figures that merely come out otherwise are left to the tables.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Drawing, Edge, Node
from installgen.drawings.kinds import Status
from installgen.drawings.vessel.vessel_drawings import drawings_for
from installgen.findings.comparison import BuildDifference, Comparison
from installgen.findings.differences import Item
from installgen.findings.matching import EntryMatch, Matches

MOST_KEYS = 3
"""So many fields that differ are named beside a thing."""


READ = {"find", "notes", "because", "clean_every", "change_every"}
"""Fields that no drawing shows."""


@dataclass(frozen=True)
class Pair:
    """One drawing of two vessels; nothing where one of them has no such drawing."""

    first: Drawing | None
    second: Drawing | None


def differing_drawings(first: Analysis, second: Analysis, found: Comparison) -> list[Pair]:
    """Every drawing that does not say the same of both builds, marked."""
    matches = Matches((*_engine_matches(found), *found.matches))
    touched = _touched(found.build, {match.first for match in found.engines})
    mine = _named(first, drawings_for(first), Matches())
    theirs = _named(second, drawings_for(second), matches)
    pairs = []
    for name in dict.fromkeys([*mine, *theirs]):
        one, other = mine.get(name), theirs.get(name)
        if one is None or other is None:
            pairs.append(Pair(one, other))
            continue
        parts = _parts(one, Matches()), _parts(other, matches)
        marked = (
            _marked(one, Matches(), parts[1], touched),
            _marked(other, matches, parts[0], touched),
        )
        if any(map(_is_marked, marked)):
            pairs.append(Pair(*marked))
    return pairs


def _engine_matches(found: Comparison) -> Iterable[EntryMatch]:
    for match in found.engines:
        if match.first != match.second:
            yield EntryMatch("engine", match.first, match.second, match.guessed)


def _named(
    analysis: Analysis, drawings: Mapping[str, Drawing], matches: Matches
) -> dict[str, Drawing]:
    """Drawings by what they are of, in the first's names; an only engine is not named."""
    engines = [engine.name for engine in analysis.vessel.engines]
    named = {}
    for drawing_id, drawing in drawings.items():
        whose, _, rest = drawing_id.partition(".")
        if whose in engines:
            engine = matches.name(whose, {"engine"})
            named[f"{engine}.{rest}"] = drawing
        elif len(engines) == 1 and drawing_id.partition(".")[0] not in SHARED:
            named[f"{matches.name(engines[0], {'engine'})}.{drawing_id}"] = drawing
        else:
            named[drawing_id] = drawing
    return named


SHARED = {"dc-power"}
"""Drawings of the whole vessel, however many engines she has."""


def _touched(build: Iterable[BuildDifference], engines: set[str]) -> dict[str, list[str]]:
    """Names of entries that are written otherwise, each with the fields that are."""
    found: dict[str, list[str]] = {}
    for difference in build:
        if not difference.first or not difference.second or difference.path[-1] in READ:
            continue
        items = [step for step in difference.path if isinstance(step, Item)]
        for name in items:
            if name not in engines and any(letter.isalpha() for letter in name):
                found.setdefault(str(name), []).append(_field(difference.path))
    return found


def _field(path: tuple[str, ...]) -> str:
    """The field that differs, in a word; a coordinate is a position."""
    return "position" if "at" in path[-2:] else path[-1].replace("_", " ")


def _parts(drawing: Drawing, matches: Matches) -> Counter[tuple[str, ...]]:
    """What a drawing shows: its nodes, and how many lines there are between each two of them."""
    found: Counter[tuple[str, ...]] = Counter()
    found.update((matches.dotted(node.id),) for node in drawing.nodes)
    found.update(_ends(edge, matches) for edge in drawing.edges)
    return found


def _ends(edge: Edge, matches: Matches) -> tuple[str, ...]:
    return matches.dotted(edge.tail), matches.dotted(edge.head)


def _marked(
    drawing: Drawing,
    matches: Matches,
    other: Counter[tuple[str, ...]],
    touched: Mapping[str, list[str]],
) -> Drawing:
    seen: Counter[tuple[str, ...]] = Counter()
    nodes = tuple(_node(node, matches, other, touched) for node in drawing.nodes)
    edges = []
    for edge in drawing.edges:
        key = _ends(edge, matches)
        seen[key] += 1
        edges.append(_edge(edge, matches, seen[key] > other[key], touched))
    return replace(drawing, nodes=nodes, edges=tuple(edges))


def _node(
    node: Node,
    matches: Matches,
    other: Counter[tuple[str, ...]],
    touched: Mapping[str, list[str]],
) -> Node:
    name = matches.dotted(node.id)
    if not other[(name,)]:
        return replace(node, status=Status.ONLY_HERE, note="")
    keys = [key for part in name.split(".") for key in touched.get(part, ())]
    return replace(node, status=Status.DIFFERS, note=_listed(keys)) if keys else _plain(node)


def _edge(edge: Edge, matches: Matches, alone: bool, touched: Mapping[str, list[str]]) -> Edge:
    if alone:
        return replace(edge, status=Status.ONLY_HERE, note="")
    keys = touched.get(matches.name(edge.code), []) if edge.code else []
    if keys:
        return replace(edge, status=Status.DIFFERS, note=_listed(keys))
    return replace(edge, status=Status.NORMAL, note="")


def _plain(node: Node) -> Node:
    """A node as the drawing of one vessel shows it, without what a rule says of it."""
    return replace(node, status=Status.NORMAL, note="")


def _listed(keys: Iterable[str]) -> str:
    several = sorted(set(keys))
    return ", ".join(several[:MOST_KEYS]) + (" …" if len(several) > MOST_KEYS else "")


def _is_marked(drawing: Drawing) -> bool:
    parts: tuple[Node | Edge, ...] = (*drawing.nodes, *drawing.edges)
    return any(part.status is not Status.NORMAL for part in parts)
