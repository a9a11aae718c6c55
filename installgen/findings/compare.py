"""Two vessels side by side: what differs in the build, and what that does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.analyse import Analysis
from installgen.analysis.results import Result, Value
from installgen.errors import Position
from installgen.findings.differences import Fact, Source, facts
from installgen.spec.vessel import Vessel
from installgen.units import Quantity, show


class Turn(StrEnum):
    """Whether the second build is better off in a result."""

    BETTER = "better"
    WORSE = "worse"
    OTHER = "different"


@dataclass(frozen=True)
class BuildDifference:
    """One written value that the two builds do not share.

    first, second: as printed; empty where one of them does not have it
    """

    system: str
    source: Source
    path: tuple[str, ...]
    first: str
    second: str
    first_at: Position | None
    second_at: Position | None


@dataclass(frozen=True)
class ResultDifference:
    """One result that comes out differently, as printed."""

    system: str
    result: str
    name: str
    first: str
    second: str
    turn: Turn
    share: float | None


@dataclass(frozen=True)
class EngineMatch:
    """Which engine of one vessel was laid beside which of the other."""

    first: str
    second: str
    guessed: bool


@dataclass(frozen=True)
class Comparison:
    """Everything that two vessels do not share."""

    first: str
    second: str
    engines: tuple[EngineMatch, ...]
    build: tuple[BuildDifference, ...]
    results: tuple[ResultDifference, ...]

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return not self.build and not self.results


THERE = "is there"

# What is better, by the end of a result's id: less (-1) or more (+1).
SENSES: dict[str, int] = {
    ".drop": -1,
    ".starter-circuit": -1,
    ".cranking-speed-weakest": +1,
    ".surplus": +1,
    ".hours-on-bank": +1,
    ".cranking-limit": +1,
    ".freezing-margin": +1,
    ".endurance": +1,
    ".range": +1,
    ".ampacity": +1,
    ".resistance": -1,
    ".temperature-hottest": -1,
    ".lowest-height": +1,
    ".velocity": -1,
    ".usable": +1,
    ".starter.voltage": +1,
}


def compare(first: Analysis, second: Analysis, only: str | None = None) -> Comparison:
    """Lay two vessels side by side.

    only: keep to one system
    Returns what differs; `compare(a, b)` mirrors `compare(b, a)`.
    """
    matches = _match_engines(first.vessel, second.vessel)
    names = {match.second: match.first for match in matches}
    build = _build(facts(first.vessel), _renamed(facts(second.vessel), names))
    results = _results(first.book, second.book, names)
    return Comparison(
        first.vessel.id,
        second.vessel.id,
        tuple(matches),
        tuple(item for item in build if only in (None, item.system)),
        tuple(item for item in results if only in (None, item.system)),
    )


def _match_engines(first: Vessel, second: Vessel) -> list[EngineMatch]:
    """By name; those left over by sheet and order, marked as a guess."""
    mine = [engine.name for engine in first.engines]
    theirs = [engine.name for engine in second.engines]
    matches = [EngineMatch(name, name, False) for name in mine if name in theirs]
    left = [engine for engine in first.engines if engine.name not in theirs]
    right = [engine for engine in second.engines if engine.name not in mine]
    for engine in left:
        same = [other for other in right if other.entry.sheet == engine.entry.sheet] or right
        if same:
            matches.append(EngineMatch(engine.name, same[0].name, True))
            right.remove(same[0])
    return matches


def _renamed(
    found: Mapping[tuple[str, ...], Fact], names: Mapping[str, str]
) -> dict[tuple[str, ...], Fact]:
    """The second vessel's facts with her engines called as in the first."""
    out = {}
    for path, fact in found.items():
        engine_at = 1 if path[0] in ("sheet", "engines", "raw_water", "exhaust") else None
        if engine_at is not None and len(path) > 1 and path[1] in names:
            path = (path[0], names[path[1]], *path[2:])
        out[path] = fact
    return out


def _build(
    first: Mapping[tuple[str, ...], Fact], second: Mapping[tuple[str, ...], Fact]
) -> list[BuildDifference]:
    """Every value that differs; what one of them lacks altogether is one line, not many."""
    here, there = _prefixes(first), _prefixes(second)
    out: dict[tuple[str, ...], BuildDifference] = {}
    for path in [*first, *(path for path in second if path not in first)]:
        mine, theirs = first.get(path), second.get(path)
        if mine is not None and theirs is not None:
            if mine.shown != theirs.shown:
                out[path] = _difference(path, mine, theirs)
            continue
        shared = there if mine is not None else here
        top = next(path[:end] for end in range(1, len(path) + 1) if path[:end] not in shared)
        if top not in out:
            out[top] = _difference(top, mine, theirs, whole=top != path)
    return sorted(out.values(), key=lambda item: (item.system, item.source, item.path))


def _prefixes(found: Mapping[tuple[str, ...], Fact]) -> set[tuple[str, ...]]:
    return {path[:end] for path in found for end in range(1, len(path) + 1)}


def _difference(
    path: tuple[str, ...], mine: Fact | None, theirs: Fact | None, *, whole: bool = False
) -> BuildDifference:
    """One line. Of a whole entry that the other lacks, it says that it is there."""
    known = mine or theirs
    assert known is not None
    return BuildDifference(
        known.system,
        known.source,
        path,
        "" if mine is None else THERE if whole else mine.shown,
        "" if theirs is None else THERE if whole else theirs.shown,
        mine.position if mine else None,
        theirs.position if theirs else None,
    )


def _results(
    first: Mapping[str, Result], second: Mapping[str, Result], names: Mapping[str, str]
) -> list[ResultDifference]:
    theirs = {_rename(result_id, names): result for result_id, result in second.items()}
    out = []
    for result_id in [*first, *(name for name in theirs if name not in first)]:
        mine, other = first.get(result_id), theirs.get(result_id)
        shown = (printed_result(mine), printed_result(other))
        if shown[0] == shown[1]:
            continue
        known = mine or other
        assert known is not None
        turn, share = _turn(result_id, mine, other)
        out.append(
            ResultDifference(known.system, result_id, known.name, *shown, turn=turn, share=share)
        )
    return sorted(out, key=lambda item: (item.system, -(item.share or 0.0), item.result))


def _rename(result_id: str, names: Mapping[str, str]) -> str:
    return ".".join(names.get(part, part) for part in result_id.split("."))


def printed_result(result: Result | None) -> str:
    """A result as a manual prints it; empty where there is no such result."""
    if result is None:
        return ""
    return "not assessed" if result.value is None else printed_value(result.value)


def printed_value(value: Value) -> str:
    """A value as a manual prints it."""
    return show(value, "metric") if isinstance(value, Quantity) else str(value)


def _turn(result_id: str, mine: Result | None, other: Result | None) -> tuple[Turn, float | None]:
    """Better or worse where it is known which way is better, and by what share."""
    if mine is None or other is None:
        return Turn.OTHER, None
    a, b = mine.value, other.value
    if not isinstance(a, Quantity) or not isinstance(b, Quantity) or type(a) is not type(b):
        return Turn.OTHER, None
    largest = max(abs(a.value), abs(b.value))
    share = abs(a.value - b.value) / largest if largest else None
    sense = _sense(result_id, SENSES.items())
    if sense is None:
        return Turn.OTHER, share
    return (Turn.BETTER if (b.value - a.value) * sense > 0 else Turn.WORSE), share


def _sense(result_id: str, senses: Iterable[tuple[str, int]]) -> int | None:
    return next((sense for ending, sense in senses if result_id.endswith(ending)), None)
