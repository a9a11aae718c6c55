"""The named checks: what each is called, which limit it takes, for which classes it can be asked.

A check is a function. Its name is the function's with hyphens; the kind of its limit is the type
of its parameter `limit`, the classes it can be asked for are those of its parameter `circuit`, and
its description is its docstring. So this list cannot say anything else than the code does.
"""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from installgen.findings.finding import SystemOfCheck
from installgen.findings.judgement import Judgement
from installgen.findings.words import NameList
from installgen.units.quantity import FieldType

Judge: TypeAlias = Callable[..., Iterable[Judgement]]
LimitKind: TypeAlias = type[FieldType]


@dataclass(frozen=True)
class Check:
    """A named check.

    limit: the kind of quantity that a rule's `limit` is read as; nothing where it takes none
    circuits: classes it can be asked for; empty where it has none
    """

    name: str
    system: SystemOfCheck
    summary: str
    details: str
    limit: LimitKind | None
    circuits: tuple[str, ...]
    judge: Judge

    @property
    def takes(self) -> str:
        """What its limit may be, in human words."""
        return "no limit" if self.limit is None else self.limit.expected()


_CHECKS: dict[str, Check] = {}


def named_check(system: SystemOfCheck) -> Callable[[Judge], Judge]:
    """Enter a function as a check of a system."""

    def enter(judge: Judge) -> Judge:
        name = judge.__name__.replace("_", "-")
        if name in _CHECKS:
            raise ValueError(f"two checks are called {name}")
        hints = typing.get_type_hints(judge)
        summary, _, details = inspect.cleandoc(judge.__doc__ or "").partition("\n\n")
        _CHECKS[name] = Check(
            name,
            system,
            " ".join(summary.split()),
            details,
            _limit_kind(hints.get("limit")),
            typing.get_args(hints["circuit"]) if "circuit" in hints else (),
            judge,
        )
        return judge

    return enter


def _limit_kind(hint: Any) -> LimitKind | None:
    if hint is None:
        return None
    if isinstance(hint, type) and issubclass(hint, FieldType):
        return hint
    raise TypeError(f"a limit is a quantity or {NameList.__name__}, not {hint}")


def checks() -> Mapping[str, Check]:
    """Every check by its name, in order of the names."""
    import installgen.findings.checks  # noqa: F401 (its modules enter theirs when read)

    return dict(sorted(_CHECKS.items()))
