"""Limits of the yard's rules where an analysis measures a margin against them."""

from __future__ import annotations

from installgen.analysis.results import MissingInput, Working
from installgen.spec.standard_spec import Rule, StandardSpec
from installgen.units import Temperature, UnitProblem


def rule_of(standard: StandardSpec, check: str) -> Rule | None:
    """The standard's first rule for a check, if it has one with a limit."""
    return next((rule for rule in standard.rules if rule.check == check and rule.limit), None)


def rule_temperature_c(w: Working, standard: StandardSpec, check: str) -> float:
    """The limit of a rule, as a temperature [degC]. Raises MissingInput where there is none."""
    rule = rule_of(standard, check)
    if rule is None:
        raise MissingInput(f"the yard's standard has no rule `{check}` with a limit")
    try:
        limit = Temperature.parse(w.spec(rule, "limit", f"limit of the rule {check}"))
    except UnitProblem as problem:
        raise MissingInput(f"the limit of the rule `{check}` is no temperature") from problem
    return limit.c
