"""A standard's rules, read: each bound to its check, its limit in the check's own quantity."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any

from installgen.errors import Problem, SpecErrors
from installgen.findings.finding import Place, RuleOrigin, SystemOfCheck
from installgen.findings.judgement import Judgement
from installgen.findings.registry import Check, checks
from installgen.findings.required import judge_item, path_problem
from installgen.findings.survey import Survey
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest
from installgen.spec.problems import problem_at
from installgen.spec.standard_spec import RequiredItem, Rule, Severity, StandardSpec
from installgen.units import Fraction, UnitProblem, quoted

REQUIRED_ITEM = "required-item"
"""What an entry of the standard's `required` is called where rules are named by their check."""


@dataclass(frozen=True)
class BoundRule:
    """A rule of the standard, ready to judge.

    near: share of the limit within which a figure passes with a caution
    exemptible: whether a vessel may claim an exemption
    judge: what says, for a survey, what it finds
    """

    check: str
    circuit: str
    system: SystemOfCheck
    severity: Severity
    near: Fraction | None
    exemptible: bool
    origin: RuleOrigin
    judge: Callable[[Survey], Iterable[Judgement]]

    @property
    def id(self) -> str:
        """How lists name it: `circuit-drop.critical`."""
        return f"{self.check}.{self.circuit}" if self.circuit else self.check


def read_rules(standard: StandardSpec) -> list[BoundRule]:
    """The rules and required items of a standard.

    Raises SpecErrors with every one of them that cannot be read.
    """
    known = checks()
    bound: list[BoundRule] = []
    problems: list[Problem] = []
    for rule in standard.rules:
        check = known.get(rule.check)
        if check is None:
            problems.append(_unknown_check(rule, known))
            continue
        given, found = _given(rule, check)
        problems += found
        bound.append(_bind(rule, check, given, standard))
    for item in standard.required:
        problem = path_problem(item.item)
        if problem is not None:
            problems.append(_unknown_path(item, *problem))
        bound.append(_bind_item(item, standard))
    if problems:
        raise SpecErrors(problems)
    return bound


def _bind(rule: Rule, check: Check, given: dict[str, Any], standard: StandardSpec) -> BoundRule:
    assert rule.severity != "not-used"
    return BoundRule(
        check.name,
        rule.circuit,
        check.system,
        rule.severity,
        rule.near,
        rule.exemption == "allowed",
        _origin(rule, "limit", rule.because, standard),
        partial(check.judge, **given),
    )


def _bind_item(item: RequiredItem, standard: StandardSpec) -> BoundRule:
    return BoundRule(
        REQUIRED_ITEM,
        "",
        "identity",
        item.severity,
        None,
        True,
        _origin(item, "item", item.because, standard),
        partial(judge_item, path=item.item),
    )


def _origin(entry: Entry, field: str, because: str, standard: StandardSpec) -> RuleOrigin:
    """Where a rule is written: in this standard, or in one that it builds on."""
    place = entry.where(field)
    own = place.file.rpartition("/")[2].removesuffix(".yaml") if place else standard.standard.id
    return RuleOrigin(own, because, Place(entry.path_to(), place))


def _unknown_check(rule: Rule, known: Iterable[str]) -> Problem:
    return problem_at(
        rule,
        "check",
        f"the check {quoted(rule.check)}",
        "a check that there is; `installgen check --list` describes them",
        nearest(rule.check, known),
    )


def _unknown_path(item: RequiredItem, part: str, keys: list[str]) -> Problem:
    return problem_at(
        item,
        "item",
        f"{quoted(item.item)}, whose {quoted(part)} no vessel spec has",
        "one of " + ", ".join(f"`{key}`" for key in keys) if keys else "a path that ends earlier",
        nearest(part, keys),
    )


def _given(rule: Rule, check: Check) -> tuple[dict[str, Any], list[Problem]]:
    given: dict[str, Any] = {}
    problems = []
    if check.limit is None and rule.limit is not None:
        problems.append(
            problem_at(
                rule,
                "limit",
                f"the limit {quoted(rule.limit)}",
                f"no limit, for the check `{check.name}` takes none",
            )
        )
    elif check.limit is not None and rule.limit is None:
        problems.append(problem_at(rule, "limit", "no `limit`", check.limit.expected()))
    elif check.limit is not None and rule.limit is not None:
        try:
            given["limit"] = check.limit.parse(rule.limit)
        except UnitProblem as problem:
            instead = problem.instead.strip("`") if " or " not in problem.instead else ""
            problems.append(
                problem_at(rule, "limit", problem.found, problem.expected, instead or None)
            )
    if check.circuits and rule.circuit not in check.circuits:
        problems.append(
            problem_at(
                rule,
                "circuit",
                quoted(rule.circuit) if rule.circuit else "no `circuit`",
                f"one of {', '.join(check.circuits)}",
                nearest(rule.circuit, check.circuits),
            )
        )
    elif check.circuits:
        given["circuit"] = rule.circuit
    elif rule.circuit:
        problems.append(
            problem_at(
                rule,
                "circuit",
                quoted(rule.circuit),
                f"no `circuit`, for the check `{check.name}` has no classes",
            )
        )
    return given, problems
