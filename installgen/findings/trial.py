"""A vessel with a few things written otherwise, computed and judged; nothing on disk changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from installgen.analysis.analyse import analyse
from installgen.findings.finding import Finding
from installgen.findings.judging import judge
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.spec.entry import Entry, PathKey, yaml_key

SpecPath = tuple[PathKey, ...]


@dataclass(frozen=True)
class Trial:
    """What the rules say of the vessel as changed.

    worse: findings that fail now and did not before
    """

    survey: Survey
    found: tuple[Finding, ...]
    worse: tuple[Finding, ...]

    def clears(self, findings: list[Finding]) -> bool:
        """Whether these findings hold now, and nothing else fails for it."""
        failing = {one.id for one in self.found if one.verdict in ("fail", "not assessed")}
        return not self.worse and not failing & {finding.id for finding in findings}

    def again(self, finding: Finding) -> Finding | None:
        """What the same rule says of the same subject now."""
        return next((one for one in self.found if one.id == finding.id), None)


def try_out(
    survey: Survey, rules: list[BoundRule], before: list[Finding], changes: Mapping[SpecPath, Any]
) -> Trial:
    """Write other values in a vessel's spec, compute her and judge her.

    changes: the value for each path, already read
    """
    spec = survey.vessel.spec
    for path, value in changes.items():
        spec = replaced(spec, path, value)
    vessel = replace(survey.vessel, spec=spec)
    changed = replace(survey, analysis=analyse(vessel))
    found = tuple(finding for rule in rules for finding in judge(changed, rule))
    failed = {finding.id for finding in before if finding.verdict == "fail"}
    worse = tuple(one for one in found if one.verdict == "fail" and one.id not in failed)
    return Trial(changed, found, worse)


def path_of(entry: Entry, field: str) -> SpecPath:
    """The path of a field from the top of its file. ValueError where it was not read from one."""
    if entry.origin is None:
        raise ValueError(f"{type(entry).__name__} was not read from a spec")
    return (*entry.origin.path, yaml_key(type(entry), field))


def replaced(value: Any, path: SpecPath, new: Any) -> Any:
    """A copy of an entry with another value at a path; KeyError where it has no such path."""
    if not path:
        return new
    key, rest = path[0], path[1:]
    if isinstance(value, Entry):
        names = [n for n in type(value).model_fields if yaml_key(type(value), n) == key]
        if not names:
            raise KeyError(key)
        inner = replaced(getattr(value, names[0]), rest, new)
        return value.model_copy(update={names[0]: inner})
    if isinstance(value, list) and isinstance(key, int):
        return [replaced(v, rest, new) if n == key else v for n, v in enumerate(value)]
    if isinstance(value, Mapping):
        return {**value, key: replaced(value.get(key), rest, new)}
    raise KeyError(key)
