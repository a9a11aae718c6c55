"""The errors of the whole package: something cannot be read or cannot be computed.

A finding (computed, and judged against the standard) is never an error; see `installgen.findings`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Position:
    """A place in a spec file; `line` and `column` count from 1, `file` is as the user named it."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class InstallgenError(Exception):
    """Root of every error that this package raises on purpose."""


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in a spec.

    position: where the text stands
    path: where it is in the spec, `electrical.conductors[3].length`; empty for the file itself
    found: what stands there, in human words
    expected: what may stand there
    instead: what to write, when that is certain enough to suggest
    """

    position: Position
    path: str
    found: str
    expected: str
    instead: str = ""

    def __str__(self) -> str:
        subject = f"{self.path}: " if self.path else ""
        text = f"{self.position}: {subject}found {self.found}; expected {self.expected}"
        return f"{text}; write {self.instead}" if self.instead else text


def _order(problem: Problem) -> tuple[Position, str, str, str, str]:
    """Kinds of problems that say more than others still stand in one order."""
    return (
        problem.position,
        problem.path,
        problem.found,
        problem.expected,
        problem.instead,
    )


class SpecErrors(InstallgenError):
    """Every mistake found in one run, in the order of the files."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems), key=_order))
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


class OutOfTable(InstallgenError):
    """A published table has no row or column for what was asked; nothing is extrapolated."""

    def __init__(self, table: str, asked: str, covers: str) -> None:
        self.table, self.asked, self.covers = table, asked, covers
        super().__init__(table, asked, covers)

    def __str__(self) -> str:
        return f"{self.table} has no entry for {self.asked}; it covers {self.covers}"


class OutOfRange(InstallgenError):
    """A formula was asked outside the range in which it holds."""

    def __init__(self, what: str, value: str, allowed: str) -> None:
        self.what, self.value, self.allowed = what, value, allowed
        super().__init__(what, value, allowed)

    def __str__(self) -> str:
        return f"{self.what} is {self.value}; the method holds for {self.allowed}"


class NotSolved(InstallgenError):
    """A solver found no solution that meets its tolerance."""

    def __init__(self, network: str, residual: float, iterations: int) -> None:
        self.network, self.residual, self.iterations = network, residual, iterations
        super().__init__(network, residual, iterations)

    def __str__(self) -> str:
        return (
            f"{self.network} was not solved: residual {self.residual:.3g} "
            f"after {self.iterations} iterations"
        )
