"""Which entry of one vessel is laid beside which of another: by name, as stated, or as a guess."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Literal

from installgen.spec.piping import RoutePiece
from installgen.spec.vessel import Vessel

MatchKind = Literal["engine", "device", "conductor", "piece", "part", "line"]


@dataclass(frozen=True)
class EntryMatch:
    """Two entries that stand for the same thing under different names.

    guessed: whether nobody said so; they were only alike
    """

    kind: MatchKind
    first: str
    second: str
    guessed: bool


@dataclass(frozen=True)
class Matches:
    """Every entry of the second vessel that is called otherwise than its like in the first."""

    pairs: tuple[EntryMatch, ...] = ()
    _names: dict[str, EntryMatch] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        self._names.update({pair.second: pair for pair in self.pairs})

    def name(self, second: str, kinds: Collection[str] = ()) -> str:
        """What the first vessel calls an entry of the second, of one of these kinds or of any."""
        pair = self._names.get(second)
        return second if pair is None or (kinds and pair.kind not in kinds) else pair.first

    def dotted(self, second: str, kinds: Collection[str] = ()) -> str:
        """An id or a reference of the second vessel, in the names of the first."""
        return ".".join(self.name(part, kinds) for part in second.split("."))

    def among(self, second: str, known: Collection[str]) -> str:
        """An id of the second vessel as the first has it, if it has it.

        A part of an id may be a fixed word, such as the `riser` of every exhaust, and no name.
        """
        whole = self.dotted(second)
        tried = (whole, self.dotted(second, {"engine"}), second)
        return next((one for one in tried if one in known), whole)


def match_entries(first: Vessel, second: Vessel, stated: Mapping[str, str]) -> Matches:
    """Lay the entries of two vessels side by side.

    stated: names of the first vessel with their names in the second, as somebody said
    """
    pairs = _match_engines(first, second, stated)
    for kind, mine, theirs, like in _lists(first, second, Matches(tuple(pairs))):
        pairs += _match(kind, mine, theirs, stated, partial(like, names=Matches(tuple(pairs))))
    return Matches(tuple(pairs))


def _match_engines(first: Vessel, second: Vessel, stated: Mapping[str, str]) -> list[EntryMatch]:
    """Engines by name, as stated, then by sheet and order."""
    mine = {engine.name: engine.entry.sheet for engine in first.engines}
    theirs = {engine.name: engine.entry.sheet for engine in second.engines}
    pairs = [
        EntryMatch("engine", one, other, guessed=False)
        for one, other in stated.items()
        if one in mine and other in theirs
    ]
    taken = {pair.first for pair in pairs}, {pair.second for pair in pairs}
    left = [name for name in mine if name not in taken[0] and name not in theirs]
    right = [name for name in theirs if name not in taken[1] and name not in mine]
    for name in left:
        same = [other for other in right if theirs[other] == mine[name]] or right
        if same:
            pairs.append(EntryMatch("engine", name, same[0], guessed=True))
            right.remove(same[0])
    return pairs


Like = Callable[..., object]


def _lists(
    first: Vessel, second: Vessel, engines: Matches
) -> list[tuple[MatchKind, Sequence[Any], Sequence[Any], Like]]:
    """The lists whose items may be called otherwise, each with what makes two of them alike."""
    found: list[tuple[MatchKind, Sequence[Any], Sequence[Any], Like]] = []
    one, other = first.spec.electrical, second.spec.electrical
    if one is not None and other is not None:
        found.append(("device", one.devices, other.devices, _like_device))
        found.append(("conductor", one.conductors, other.conductors, _like_wire))
    for system in ("coolant", "fuel", "oil", "crankcase_vent"):
        mine, theirs = getattr(first.spec, system), getattr(second.spec, system)
        if mine is not None and theirs is not None:
            found.append(("part", mine.parts, theirs.parts, _like_device))
            found.append(("line", mine.lines, theirs.lines, _like_wire))
    for water in first.spec.raw_water:
        beside = [
            w.route
            for w in second.spec.raw_water
            if engines.name(w.engine or second.engines[0].name)
            == (water.engine or first.engines[0].name)
        ]
        if beside:
            found.append(("piece", water.route, beside[0], _like_piece))
    for exhaust in first.spec.exhaust:
        pieces = [
            e.pieces
            for e in second.spec.exhaust
            if engines.name(e.engine or second.engines[0].name)
            == (exhaust.engine or first.engines[0].name)
        ]
        if pieces:
            found.append(("piece", exhaust.pieces, pieces[0], _like_piece))
    return found


def _like_device(item: Any, names: Matches) -> object:
    del names
    return item.kind, item.title


def _like_wire(item: Any, names: Matches) -> object:
    return frozenset((names.dotted(item.from_), names.dotted(item.to)))


def _like_piece(item: Any, names: Matches) -> object:
    del names
    return item.kind


def _called(item: Any) -> str:
    if isinstance(item, RoutePiece):
        return str(getattr(item.piece, "id", None) or "")
    return str(getattr(item, "label", None) or getattr(item, "id", None) or "")


def _match(
    kind: MatchKind,
    first: Iterable[Any],
    second: Iterable[Any],
    stated: Mapping[str, str],
    like: Callable[[Any], object],
) -> list[EntryMatch]:
    """Items of two lists whose names differ: as stated, then the alike ones in their order."""
    mine = {_called(item): item for item in first if _called(item)}
    theirs = {_called(item): item for item in second if _called(item)}
    pairs = [
        EntryMatch(kind, one, other, guessed=False)
        for one, other in stated.items()
        if one in mine and other in theirs
    ]
    for pair in pairs:
        del mine[pair.first], theirs[pair.second]
    both = set(mine) & set(theirs)
    left: dict[object, list[str]] = {}
    for name, item in theirs.items():
        if name not in both:
            left.setdefault(like(item), []).append(name)
    for name, item in mine.items():
        beside = left.get(like(item), [])
        if name not in both and beside:
            pairs.append(EntryMatch(kind, name, beside.pop(0), guessed=True))
    return pairs
