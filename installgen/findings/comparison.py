"""What two vessels do not share, as data."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from installgen.errors import Position
from installgen.findings.differences import Source
from installgen.findings.matching import EntryMatch


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
    """One result that comes out differently, as printed.

    share: how far apart the two are, of the larger
    margin_lost: how much nearer the second is to a limit, of the limit; nothing where no rule of
        the standard has one
    """

    system: str
    result: str
    name: str
    first: str
    second: str
    turn: Turn
    share: float | None
    margin_lost: float | None = None


@dataclass(frozen=True)
class FindingDifference:
    """What a rule says of one subject, where it does not say the same of both.

    first, second: the verdicts; empty where there is no such finding
    """

    finding: str
    severity: str
    name: str
    first: str
    second: str
    turn: Turn
    first_at: Position | None
    second_at: Position | None


@dataclass(frozen=True)
class EngineMatch:
    """Which engine of one vessel was laid beside which of the other."""

    first: str
    second: str
    guessed: bool


@dataclass(frozen=True)
class Comparison:
    """Everything that two vessels do not share.

    engines: which engine stands beside which
    matches: everything else that is called otherwise in the second
    mirrored: systems that the second has on the other side of the vessel
    findings: what the rules say otherwise, where both were judged
    """

    first: str
    second: str
    engines: tuple[EngineMatch, ...]
    build: tuple[BuildDifference, ...]
    results: tuple[ResultDifference, ...]
    matches: tuple[EntryMatch, ...] = ()
    mirrored: tuple[str, ...] = ()
    findings: tuple[FindingDifference, ...] = ()

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return not (self.build or self.results or self.findings or self.mirrored)


THERE = "is there"
