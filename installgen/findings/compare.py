"""Two vessels side by side: what differs in the build, and what that does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from installgen.analysis.analyse import Analysis
from installgen.analysis.results import Result, Value
from installgen.findings.comparison import (
    THERE,
    BuildDifference,
    Comparison,
    EngineMatch,
    FindingDifference,
    ResultDifference,
    Turn,
)
from installgen.findings.differences import Fact, Item, facts
from installgen.findings.finding import Finding, Findings
from installgen.findings.matching import Matches, match_entries
from installgen.findings.verdict_changes import changed_verdicts, judged_results
from installgen.units import Quantity, show

__all__ = [
    "THERE",
    "BuildDifference",
    "Comparison",
    "EngineMatch",
    "FindingDifference",
    "ResultDifference",
    "Turn",
    "compare",
]

# What is better, by the end of a result's id: less (-1) or more (+1).
SENSES: dict[str, int] = {
    ".drop": -1,
    ".starter-circuit": -1,
    ".cranking-speed-weakest": +1,
    ".surplus": +1,
    ".hours-on-bank": +1,
    ".cranking-limit": +1,
    ".back-pressure": -1,
    ".pressure-at-injection": -1,
    ".freezing-margin": +1,
    ".suction-margin": +1,
    ".thermostat-margin": +1,
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


def compare(
    first: Analysis,
    second: Analysis,
    only: str | None = None,
    *,
    findings: tuple[Findings, Findings] | None = None,
    pairs: Mapping[str, str] | None = None,
) -> Comparison:
    """Lay two vessels side by side.

    only: keep to one system
    findings: what the rules say of each, to compare that too
    pairs: names of the first with what the second calls the same thing, as somebody stated
    Returns what differs; `compare(a, b)` mirrors `compare(b, a)`.
    """
    matches = match_entries(first.vessel, second.vessel, pairs or {})
    build = _build(facts(first.vessel), _renamed(facts(second.vessel), matches))
    build, mirrored = _mirrored(build)
    margins = judged_results(findings, matches, first.book)
    results = _results(first.book, second.book, matches, margins)
    told = changed_verdicts(*findings, matches) if findings is not None else []
    return Comparison(
        first.vessel.id,
        second.vessel.id,
        _engines(first, second, matches),
        tuple(item for item in build if only in (None, item.system)),
        tuple(item for item in results if only in (None, item.system)),
        tuple(pair for pair in matches.pairs if pair.kind != "engine"),
        tuple(system for system in mirrored if only in (None, system)),
        tuple(item for system, item in told if only in (None, system)),
    )


def _engines(first: Analysis, second: Analysis, matches: Matches) -> tuple[EngineMatch, ...]:
    theirs = {engine.name for engine in second.vessel.engines}
    same = [
        EngineMatch(engine.name, engine.name, guessed=False)
        for engine in first.vessel.engines
        if engine.name in theirs
    ]
    other = [p for p in matches.pairs if p.kind == "engine"]
    return (*same, *(EngineMatch(p.first, p.second, p.guessed) for p in other))


REFERENCES = {"from", "to", "engine", "of", "sensed_by"}
"""Keys whose values name other entries."""


def _renamed(
    found: Mapping[tuple[str, ...], Fact], matches: Matches
) -> dict[tuple[str, ...], Fact]:
    """The second vessel's facts with her entries called as in the first."""
    out = {}
    for path, fact in found.items():
        renamed = _renamed_path(path, matches)
        shown = fact.shown
        own = path[0] not in NOT_HERS
        if own and path[-1] in REFERENCES:
            shown = matches.dotted(shown)
        elif own and path[-1] in ("id", "label", "name"):
            shown = matches.name(shown)
        out[renamed] = replace(fact, path=renamed, shown=shown)
    return out


NOT_HERS = {"sheet", "standard"}
"""Beginnings of paths whose entries every vessel calls the same."""

ENGINES_AT_TOP = {"sheet", "engines", "raw_water", "exhaust", "sea_trial"}
"""Keys whose items are called by their engine."""


def _renamed_path(path: tuple[str, ...], matches: Matches) -> tuple[str, ...]:
    """A path with its items called as in the first vessel, but those of a sheet or standard."""
    steps = []
    for number, step in enumerate(path):
        engine = number == 1 and path[0] in ENGINES_AT_TOP
        renames = isinstance(step, Item) and (engine or path[0] not in NOT_HERS)
        kinds = {"engine"} if engine else {"device", "conductor", "piece", "part", "line"}
        steps.append(Item(matches.name(step, kinds)) if renames else step)
    return tuple(steps)


def _mirrored(build: list[BuildDifference]) -> tuple[list[BuildDifference], list[str]]:
    """Systems in which every y that differs only changed its side: told in one word."""
    sides: dict[str, list[BuildDifference]] = {}
    for item in build:
        if item.path[-2:] == ("at", "y"):
            sides.setdefault(item.system, []).append(item)
    flipped = [
        system
        for system, items in sides.items()
        if len(items) > 2 and all(_other_side(i.first) == i.second for i in items)
    ]
    gone = {id(item) for system in flipped for item in sides[system]}
    return [item for item in build if id(item) not in gone], sorted(flipped)


def _other_side(shown: str) -> str:
    """A coordinate on the other side, as printed."""
    minus = "\N{MINUS SIGN}"
    if minus in shown:
        return shown.replace(minus, "")
    start = shown.find("(")
    if start < 0:
        return minus + shown
    return f"{minus}{shown[: start + 1]}{minus}{shown[start + 1 :]}"


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
        steps = range(1, len(path) + 1)
        top = next((path[:end] for end in steps if path[:end] not in shared), path)
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
    first: Mapping[str, Result],
    second: Mapping[str, Result],
    matches: Matches,
    margins: tuple[Mapping[str, Finding], Mapping[str, Finding]],
) -> list[ResultDifference]:
    """Results that differ: what lost most of its margin first, then what moved most."""
    theirs = {matches.among(name, first): result for name, result in second.items()}
    out = []
    for result_id in [*first, *(name for name in theirs if name not in first)]:
        mine, other = first.get(result_id), theirs.get(result_id)
        shown = (printed_result(mine), printed_result(other))
        if shown[0] in (shown[1], _in_our_names(shown[1], matches)):
            continue
        known = mine or other
        assert known is not None
        judged = margins[0].get(result_id), margins[1].get(result_id)
        turn, share = _turn(result_id, mine, other, judged[0] or judged[1])
        lost = _lost(*judged)
        out.append(
            ResultDifference(
                known.system,
                result_id,
                known.name,
                *shown,
                turn=turn,
                share=share,
                margin_lost=lost,
            )
        )
    return sorted(out, key=_result_order)


def _result_order(item: ResultDifference) -> tuple[object, ...]:
    lost = -item.margin_lost if item.margin_lost is not None else 0.0
    return (lost, item.system, -(item.share or 0.0), item.result)


def _in_our_names(shown: str, matches: Matches) -> str:
    """A result that is itself a name, in the names of the first vessel."""
    return matches.dotted(shown) if shown and " " not in shown else shown


def _lost(mine: Finding | None, other: Finding | None) -> float | None:
    if mine is None or other is None:
        return None
    if mine.margin_share is None or other.margin_share is None:
        return None
    return mine.margin_share - other.margin_share


def printed_result(result: Result | None) -> str:
    """A result as a manual prints it; empty where there is no such result."""
    if result is None:
        return ""
    return "not assessed" if result.value is None else printed_value(result.value)


def printed_value(value: Value) -> str:
    """A value as a manual prints it."""
    return show(value, "metric") if isinstance(value, Quantity) else str(value)


def _turn(
    result_id: str, mine: Result | None, other: Result | None, judged: Finding | None
) -> tuple[Turn, float | None]:
    """Better or worse where it is known which way is better, and by what share."""
    if mine is None or other is None:
        return Turn.OTHER, None
    a, b = mine.value, other.value
    if not isinstance(a, Quantity) or not isinstance(b, Quantity) or type(a) is not type(b):
        return Turn.OTHER, None
    largest = max(abs(a.value), abs(b.value))
    share = abs(a.value - b.value) / largest if largest else None
    sense = _sense(result_id, SENSES.items())
    if judged is not None:
        sense = +1 if judged.sense == "at least" else -1
    if sense is None:
        return Turn.OTHER, share
    return (Turn.BETTER if (b.value - a.value) * sense > 0 else Turn.WORSE), share


def _sense(result_id: str, senses: Iterable[tuple[str, int]]) -> int | None:
    return next((sense for ending, sense in senses if result_id.endswith(ending)), None)
