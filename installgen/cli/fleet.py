"""One vessel judged, or many: with several processes where there are many."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rich.console import Console
from rich.progress import track

from installgen.analysis.analyse import analyse
from installgen.cli.specs import library
from installgen.collector import keep_what_is_there
from installgen.errors import Problem, SpecErrors
from installgen.findings.check import check
from installgen.findings.comparison import FindingDifference
from installgen.findings.finding import Findings
from installgen.findings.rules import read_rules
from installgen.findings.verdict_changes import verdicts_between
from installgen.spec.earlier import earlier_revisions
from installgen.spec.load import SpecLibrary
from installgen.units import System

MANY = 12
"""From so many vessels on, several processes are worth their start."""

BETWEEN_COLLECTIONS = 10


@dataclass(frozen=True)
class Asked:
    """How vessels are judged."""

    specs: Path
    standard: str | None
    as_of: date | None
    cures: bool


@dataclass(frozen=True)
class Judged:
    """What the rules say of one vessel.

    changes: what they say otherwise than her own standard, where another was asked for
    """

    findings: Findings
    first: System
    changes: tuple[FindingDifference, ...] = ()


def judge_fleet(ids: Sequence[str], asked: Asked) -> list[Judged]:
    """Judge vessels, in their order. Raises SpecErrors with the mistakes of all of them."""
    done: list[Judged] = []
    problems: list[Problem] = []
    for outcome in _watched(_outcomes(ids, asked), len(ids)):
        if isinstance(outcome, Judged):
            done.append(outcome)
        else:
            problems += outcome.problems
    if problems:
        raise SpecErrors(problems)
    return done


def _outcomes(ids: Sequence[str], asked: Asked) -> Iterator[Judged | SpecErrors]:
    workers = min(len(ids), os.cpu_count() or 1)
    if len(ids) < MANY or workers < 2:
        specs = library(asked.specs)
        for vessel_id in ids:
            yield _judge(vessel_id, asked, specs)
        return
    parts = [(ids[start::workers], asked) for start in range(workers)]
    with ProcessPoolExecutor(workers) as pool:
        found = [list(part) for part in pool.map(_judge_part, parts)]
    for number in range(len(ids)):
        yield found[number % workers][number // workers]


def _judge_part(part: tuple[Sequence[str], Asked]) -> list[Judged | SpecErrors]:
    """One process's share; a specs library reads each sheet once."""
    ids, asked = part
    specs = library(asked.specs)
    judged = []
    for number, vessel_id in enumerate(ids, start=1):
        judged.append(_judge(vessel_id, asked, specs))
        if number % BETWEEN_COLLECTIONS == 0:
            keep_what_is_there()
    return judged


def _judge(vessel_id: str, asked: Asked, specs: SpecLibrary) -> Judged | SpecErrors:
    try:
        vessel = specs.vessel(vessel_id, asked.standard)
        read_rules(vessel.standard)
        earlier_revisions(specs, vessel)
        findings = check(analyse(vessel), as_of=asked.as_of, cures=asked.cures)
        changes: tuple[FindingDifference, ...] = ()
        if asked.standard is not None and asked.standard != vessel.spec.standard:
            own = check(analyse(specs.vessel(vessel_id)), as_of=asked.as_of, cures=False)
            changes = tuple(verdicts_between(own, findings))
    except SpecErrors as errors:
        return errors
    return Judged(findings, vessel.spec.units.first, changes)


def _watched(outcomes: Iterator[Judged | SpecErrors], count: int) -> Iterator[Judged | SpecErrors]:
    """The outcomes one by one, with progress where somebody watches a terminal."""
    console = Console(stderr=True)
    if count < 2 or not console.is_terminal:
        yield from outcomes
        return
    yield from track(outcomes, "Checking", total=count, console=console, transient=True)
