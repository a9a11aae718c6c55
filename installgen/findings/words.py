"""Limits that are words or whole numbers, and findings as sentences."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar, Self

from installgen.analysis.results import Value
from installgen.findings.finding import Finding
from installgen.units import FIGURES, Quantity, System, UnitProblem, quoted, rounded, show
from installgen.units.quantity import FieldType


@dataclass(frozen=True)
class NameList(FieldType):
    """A limit that is a list of names: `bronze, dzr-brass, composite`."""

    names: tuple[str, ...]

    EXAMPLES: ClassVar[tuple[str, ...]] = ("bronze, dzr-brass, composite",)

    @classmethod
    def expected(cls) -> str:
        return "names with commas between them, such as `bronze, dzr-brass, composite`"

    @classmethod
    def parse(cls, text: str) -> Self:
        names = tuple(name.strip() for name in text.split(","))
        if not all(re.fullmatch(r"[\w][\w ./+\-]{0,60}", name) for name in names):
            raise UnitProblem(quoted(text), cls.expected())
        return cls(names)

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and name.casefold() in {n.casefold() for n in self.names}

    def __str__(self) -> str:
        *most, last = self.names
        return f"{', '.join(most)} or {last}" if most else last


@dataclass(frozen=True)
class WholeNumber(FieldType):
    """A limit that counts something: `4`."""

    count: int

    EXAMPLES: ClassVar[tuple[str, ...]] = ("4",)

    @classmethod
    def expected(cls) -> str:
        return "a whole number such as `4`"

    @classmethod
    def parse(cls, text: str) -> Self:
        if not re.fullmatch(r"[0-9]{1,6}", text.strip()):
            raise UnitProblem(quoted(text), cls.expected())
        return cls(int(text))

    def __str__(self) -> str:
        return str(self.count)


MOST_FIGURES = 9


def shown(value: Value | None, first: System, figures: int = FIGURES) -> str:
    """A figure or a limit as it is printed; nothing where there is none."""
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return show(value, first, figures)
    return rounded(value, figures) if isinstance(value, float) else str(value)


def told_apart(figure: Value | None, limit: Value | None, first: System) -> tuple[str, str]:
    """A figure and its limit as they are printed: two that differ never print alike."""
    for figures in range(FIGURES, MOST_FIGURES + 1):
        printed = shown(figure, first, figures), shown(limit, first, figures)
        if printed[0] != printed[1] or figure == limit:
            break
    return printed


def sentence(finding: Finding, first: System) -> str:
    """A finding in one sentence: what was found, what is allowed, by how much it misses."""
    if finding.verdict == "not assessed":
        return _joined(f"not assessed: {finding.reason or 'it is not computed'}")
    figure, limit = told_apart(finding.figure, finding.limit, first)
    case = f"in the case `{finding.case_name}`" if finding.case_name else ""
    if finding.sense == "is":
        told = figure if finding.verdict == "pass" or not limit else f"{figure}; asked: {limit}"
    else:
        told = f"{figure}, {finding.sense} {limit}"
        if finding.margin is not None and finding.verdict == "fail":
            over = "over" if finding.sense == "at most" else "short"
            told += f", {shown(_size(finding.margin), first)} {over}"
        elif finding.margin is not None and finding.verdict == "caution":
            told += f", {shown(finding.margin, first)} left"
    return _joined(told, case, finding.reason)


def _size(margin: Quantity) -> Quantity:
    return type(margin)(abs(margin.value))


def _joined(*parts: str) -> str:
    return "; ".join(part.rstrip(".") for part in parts if part)
