"""Which difference of the build makes a result differ: the first vessel is computed again with the
second's differences, one at a time.

A result that no difference moves alone is moved by several together; these are listed jointly, as
far as the working of the result knows them.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing
from dataclasses import dataclass, field

from installgen.analysis.analyse import Analysis, analyse
from installgen.analysis.results import Book, ResultOrigin, SpecOrigin
from installgen.errors import Position, SpecErrors
from installgen.findings.compare import printed_result
from installgen.findings.comparison import BuildDifference, Comparison, ResultDifference
from installgen.findings.differences import Item, documents
from installgen.findings.matching import Matches, match_entries
from installgen.spec.entry import Entry, PathKey
from installgen.spec.grafts import Graft, SpecFile, grafted_library
from installgen.spec.load import SpecLibrary
from installgen.spec.nodes import MappingNode, Node, ScalarNode, node_at
from installgen.spec.reader import read_file
from installgen.spec.vessel import FittedEngine

Watch = Callable[[Sequence[BuildDifference]], Iterable[BuildDifference]]

REFERENCES = {"from", "to", "engine", "of"}
SHAPE = REFERENCES | {
    "acts",
    "at",
    "between",
    "circuit",
    "closed_in",
    "contacts",
    "essential",
    "into",
    "kind",
    "on_in",
    "options",
    "pins",
    "position_in",
    "positions",
    "purpose",
    "rating",
    "returns",
    "sense",
    "sheathed",
    "sheet",
    "state",
    "station",
    "strands",
    "way",
    "windings",
}
"""Keys that say what is there and how it hangs together: no figure that a working would name."""

WORDS = {"code", "colour", "find", "function", "name", "notes", "reserved_for", "stud"}
"""Keys that only people read."""

NEVER = {
    "vessel",
    "roles",
    "notes",
    "readings",
    "exemptions",
    "not_fitted",
    "units",
    "owners_manual",
}
"""Keys at the top of a vessel spec whose changes no result is computed from, but for her length."""


MANY = 16
"""So many differences are worth a process for each core."""


@dataclass(frozen=True)
class Consequence:
    """A result that differs, and the differences of the build behind it.

    jointly: whether only all of them together move it
    """

    result: ResultDifference
    causes: tuple[BuildDifference, ...]
    jointly: bool


@dataclass(frozen=True)
class Side:
    """One of the two vessels: computed, and the library that she was read from."""

    library: SpecLibrary
    analysis: Analysis


def consequences(
    first: Side,
    second: Side,
    comparison: Comparison,
    pairs: Mapping[str, str] | None = None,
    watch: Watch = lambda items: items,
) -> tuple[Consequence, ...]:
    """The causes of every result that differs.

    comparison: what `compare` found between the two
    watch: is handed the differences that are tried, to show how far it is; may leave off early
    """
    matches = match_entries(first.analysis.vessel, second.analysis.vessel, pairs or {})
    surgery = _Surgery(first, second, matches)
    reached = _Reached(first.analysis.book), _Reached(second.analysis.book)
    tried = [d for d in comparison.build if _may_matter(d, reached) and surgery.can_try(d)]
    before = {name: printed_result(result) for name, result in first.analysis.book.items()}
    moves: dict[BuildDifference, set[str]] = {}
    helpless: list[BuildDifference] = []
    with closing(_outcomes(surgery, tried, before)) as outcomes:
        for difference, moved in zip(watch(tried), outcomes, strict=False):
            if moved is None:
                helpless.append(difference)
            else:
                moves[difference] = moved
    together = _together(surgery, helpless, tried, before)
    return tuple(_consequence(result, moves, together, reached) for result in comparison.results)


def _outcomes(
    surgery: _Surgery, tried: Sequence[BuildDifference], before: Mapping[str, str]
) -> Generator[set[str] | None, None, None]:
    """What each difference moves by itself, in their order; many are shared between processes."""
    workers = min(len(tried), os.cpu_count() or 1)
    if len(tried) < MANY or workers < 2:
        yield from (surgery.moved([difference], before) for difference in tried)
        return
    pool = ProcessPoolExecutor(workers, initializer=_take, initargs=(surgery, before))
    try:
        yield from pool.map(_moved_alone, tried)
    finally:
        pool.shutdown(cancel_futures=True)


_HANDED: list[tuple[_Surgery, Mapping[str, str]]] = []
"""In a process that shares the work: what it works on."""


def _take(surgery: _Surgery, before: Mapping[str, str]) -> None:
    _HANDED[:] = [(surgery, before)]


def _moved_alone(difference: BuildDifference) -> set[str] | None:
    surgery, before = _HANDED[0]
    return surgery.moved([difference], before)


def _together(
    surgery: _Surgery,
    helpless: list[BuildDifference],
    tried: list[BuildDifference],
    before: Mapping[str, str],
) -> tuple[list[BuildDifference], set[str]]:
    """What makes readable the differences that cannot stand alone, and what it moves.

    They by themselves, else with all that only one of the two has, else with all that was tried.
    """
    if not helpless:
        return [], set()
    structural = [d for d in tried if d in helpless or not d.first or not d.second]
    for group in (helpless, structural, tried):
        moved = surgery.moved(group, before)
        if moved is not None:
            return group, moved
    return helpless, set()


def _consequence(
    result: ResultDifference,
    moves: Mapping[BuildDifference, set[str]],
    group: tuple[list[BuildDifference], set[str]],
    reached: tuple[_Reached, _Reached],
) -> Consequence:
    alone = tuple(difference for difference, moved in moves.items() if result.result in moved)
    if alone:
        return Consequence(result, alone, jointly=False)
    known = [d for d in (*moves, *group[0]) if _in_working(d, result.result, reached)]
    if result.result in group[1]:
        known = list(dict.fromkeys([*known, *group[0]]))
    return Consequence(result, tuple(known), jointly=len(known) > 1)


def _may_matter(difference: BuildDifference, reached: tuple[_Reached, _Reached]) -> bool:
    """Whether a difference can move any result: a working reads it, or it changes what is there."""
    top = difference.path[0]
    if top in NEVER and difference.path != ("vessel", "length"):
        return False
    structural = not difference.first or not difference.second
    if structural or SHAPE & set(difference.path):
        return True
    if difference.system == "electrical":  # a network depends on more than its working lists
        return difference.path[-1] not in WORDS
    return any(
        place in one.everything
        for place, one in zip((difference.first_at, difference.second_at), reached, strict=True)
    )


def _in_working(
    difference: BuildDifference, result: str, reached: tuple[_Reached, _Reached]
) -> bool:
    places = difference.first_at, difference.second_at
    return any(place in one.of(result) for place, one in zip(places, reached, strict=True))


@dataclass
class _Reached:
    """The texts that each result comes from, through all the results it uses."""

    book: Book
    _known: dict[str, frozenset[Position]] = field(default_factory=dict)

    @property
    def everything(self) -> frozenset[Position]:
        """Every text that any result comes from."""
        if "" not in self._known:
            found = [self.of(result_id) for result_id in self.book]
            self._known[""] = frozenset().union(*found)
        return self._known[""]

    def of(self, result_id: str) -> frozenset[Position]:
        """The texts that one result comes from; none where there is no such result."""
        known = self._known.get(result_id)
        if known is not None:
            return known
        self._known[result_id] = frozenset()
        result = self.book.get(result_id)
        places: set[Position] = set()
        for item in result.inputs if result is not None else ():
            if isinstance(item.origin, SpecOrigin):
                places.add(item.origin.position)
            elif isinstance(item.origin, ResultOrigin):
                places |= self.of(item.origin.result)
        for missing in result.missing if result is not None else ():
            if missing.position is not None:
                places.add(missing.position)
        self._known[result_id] = frozenset(places)
        return self._known[result_id]


@dataclass
class _Surgery:
    """Puts differences of the second vessel into the first's spec, and computes her."""

    first: Side
    second: Side
    matches: Matches

    def __post_init__(self) -> None:
        self._trees: dict[tuple[int, SpecFile], MappingNode] = {}
        self._documents: dict[tuple[int, str], dict[tuple[str, ...], tuple[PathKey, ...]]] = {}

    def moved(
        self, differences: Sequence[BuildDifference], before: Mapping[str, str]
    ) -> set[str] | None:
        """Results that come out otherwise; nothing where she cannot be read so."""
        try:
            grafts = tuple(graft for d in differences for graft in self._grafts(d))
            library = grafted_library(self.first.library, grafts)
            book = analyse(library.vessel(self.first.analysis.vessel.id)).book
        except (SpecErrors, KeyError):
            return None
        after = {name: printed_result(result) for name, result in book.items()}
        return {n for n in {*before, *after} if before.get(n, "") != after.get(n, "")}

    def can_try(self, difference: BuildDifference) -> bool:
        """Whether a difference stands in a file of the first's; options alone change no sheet."""
        if difference.source == "vessel":
            return True
        if difference.source == "standard":
            files = [self.first.library.name(*self._file(side, "standard")) for side in (0, 1)]
            places = difference.first_at, difference.second_at
            return all(at is None or at.file in files for at in places)
        part = self._part(difference)
        if not all(self._has_engine(side, part) for side in (0, 1)):
            return False  # what that engine does comes with her entry in `engines`
        file, other = self._file(0, part), self._file(1, part)
        return file == other and self._tree(0, part).plain() != self._tree(1, part).plain()

    def _part(self, difference: BuildDifference) -> str:
        """Which part of a vessel a difference is in: `vessel`, `standard`, or an engine's name."""
        return difference.path[1] if difference.source == "sheet" else difference.source

    def _grafts(self, difference: BuildDifference) -> list[Graft]:
        part = self._part(difference)
        dropped = {"sheet": 2, "standard": 1}.get(difference.source, 0)
        path = difference.path[dropped:]
        here, there = self._document(0, part), self._document(1, part)
        file = self._file(0, part)
        if not difference.second:
            return [Graft(file, "take", here[path])]
        node = self._named(node_at(self._tree(1, part), there[path]), path)
        if node is None:
            raise KeyError(path)
        if difference.first or not isinstance(path[-1], Item):
            parent = here[path[:-1]] if len(path) > 1 else ()
            document = here.get(path, (*parent, there[path][-1]))
            return [Graft(file, "put", document, node)]
        behind = self._behind(path, here, there)
        return [Graft(file, "insert", here[path[:-1]], node, behind)]

    def _behind(
        self,
        path: tuple[str, ...],
        here: Mapping[tuple[str, ...], tuple[PathKey, ...]],
        there: Mapping[tuple[str, ...], tuple[PathKey, ...]],
    ) -> int:
        """The item of the first's list behind which an item of the second's belongs."""
        beside = {
            int(document[-1]): other
            for other, document in there.items()
            if other[:-1] == path[:-1] and isinstance(other[-1], Item)
        }
        number = int(there[path][len(there[path[:-1]])])
        for earlier in range(number - 1, -1, -1):
            known = here.get(beside.get(earlier, ()))
            if known is not None:
                return int(known[-1])
        return -1

    def _named(self, node: Node | None, path: tuple[str, ...]) -> Node | None:
        """A node of the second vessel in the names of the first."""
        if isinstance(node, ScalarNode) and path[-1] in REFERENCES:
            return ScalarNode(node.position, self.matches.dotted(node.text), node.style)
        return node

    def _document(self, side: int, part: str) -> dict[tuple[str, ...], tuple[PathKey, ...]]:
        """Paths in meaning, in the first's names, to paths in one side's document."""
        key = side, part
        if key not in self._documents:
            found = documents(self._entry(side, part))
            if side == 1 and part == "vessel":
                found = {self._renamed(path): document for path, document in found.items()}
            self._documents[key] = found
        return self._documents[key]

    def _renamed(self, path: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(
            Item(self.matches.name(step)) if isinstance(step, Item) else step for step in path
        )

    def _engine(self, side: int, part: str) -> FittedEngine:
        """The engine that the first calls so. KeyError where this side has none."""
        vessel = (self.first, self.second)[side].analysis.vessel
        for engine in vessel.engines:
            known = self.matches.name(engine.name, {"engine"}) if side == 1 else engine.name
            if known == part:
                return engine
        raise KeyError(part)

    def _has_engine(self, side: int, part: str) -> bool:
        try:
            self._engine(side, part)
        except KeyError:
            return False
        return True

    def _entry(self, side: int, part: str) -> Entry:
        vessel = (self.first, self.second)[side].analysis.vessel
        if part == "vessel":
            return vessel.spec
        return vessel.standard if part == "standard" else self._engine(side, part).sheet

    def _file(self, side: int, part: str) -> SpecFile:
        vessel = (self.first, self.second)[side].analysis.vessel
        if part == "vessel":
            return "vessels", vessel.id
        if part == "standard":
            return "standards", vessel.standard.standard.id
        return "engines", self._engine(side, part).entry.sheet

    def _tree(self, side: int, part: str) -> MappingNode:
        kind, spec_id = self._file(side, part)
        key = side, (kind, spec_id)
        if key not in self._trees:
            library = (self.first, self.second)[side].library
            path = library.folder.path(kind, spec_id)
            root = read_file(path, library.name(kind, spec_id))
            self._trees[key] = library.tree(kind, spec_id, root)
        return self._trees[key]
