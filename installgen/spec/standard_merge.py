"""A standard that builds on another: what it says counts, the rest is the other's."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from installgen.errors import Position, Problem
from installgen.spec.entry import Entry, Origin
from installgen.spec.folder import nearest
from installgen.spec.problems import problem_at
from installgen.spec.standard_spec import StandardSpec, Stock

T = TypeVar("T")

_KEYS: dict[str, Callable[[Any], object]] = {
    "rules": lambda rule: (rule.check, rule.circuit),
    "required": lambda item: item.item,
    "colours": lambda colour: colour.function.casefold(),
    "labels": lambda form: form.of,
    "torques": lambda row: (str(row.thread), row.on.casefold()),
    "checklist": lambda item: item.step,
    "cut_allowances": lambda row: (row.of, str(row.up_to)),
    "maintenance": lambda task: (task.of, task.task),
}
"""What makes two entries of a list the same one, so that the later takes the earlier's place."""

_STOCK_KEYS: dict[str, Callable[[Any], object]] = {
    "cables": lambda cable: (str(cable.size), cable.insulation.c),
    "fuses": lambda family: family.type,
    "hoses": lambda hose: hose.kind,
}
_STOCK_NAMES: dict[str, Callable[[Any], str]] = {
    "cables": lambda cable: str(cable.size),
    "fuses": lambda family: str(family.type),
    "hoses": lambda hose: str(hose.kind),
}


def built_on(own: StandardSpec, base: StandardSpec) -> tuple[StandardSpec, list[Problem]]:
    """A standard with all that it takes over from the one it builds on.

    Entries keep the file and line they were written at. Returns it with what is wrong in it.
    """
    changes: dict[str, Any] = {
        name: _joined(getattr(base, name), getattr(own, name), key) for name, key in _KEYS.items()
    }
    changes["stock"], problems = _stock(base.stock, own.stock)
    changes["assume"] = _filled(base.assume, own.assume)
    changes["smallest_conductor"] = {**base.smallest_conductor, **own.smallest_conductor}
    for name in StandardSpec.model_fields:
        if name not in changes and name not in own.model_fields_set:
            changes[name] = getattr(base, name)
    merged = own.model_copy(update=changes)
    merged.attach(_both_origins(base, own, own.model_fields_set))
    return merged, problems


def in_use(standard: StandardSpec) -> tuple[StandardSpec, list[Problem]]:
    """A standard without its `not-used` rules, and what is wrong with its list of rules."""
    problems = []
    seen: dict[object, Entry] = {}
    for rule in standard.rules:
        first = seen.setdefault(_KEYS["rules"](rule), rule)
        if first is not rule:
            of = f" for `{rule.circuit}`" if rule.circuit else ""
            problems.append(
                problem_at(
                    rule,
                    "check",
                    f"a second rule with the check `{rule.check}`{of}",
                    f"each once; the first is at {first.where('check')}",
                )
            )
    used = [rule for rule in standard.rules if rule.severity != "not-used"]
    if not used:
        problems.append(
            problem_at(standard, "rules", "no rule", "at least one rule, here or in its base")
        )
    return standard.model_copy(update={"rules": used}), problems


def _joined(old: Iterable[T], new: Iterable[T], key: Callable[[Any], object]) -> list[T]:
    """The old entries in their order, each replaced by the new one of its key, then the others.

    Two entries with one key in the same list both stay, to be reported.
    """
    fresh: dict[object, list[T]] = {}
    for item in new:
        fresh.setdefault(key(item), []).append(item)
    joined: list[T] = []
    for item in old:
        joined += fresh.pop(key(item), [item])
    return joined + [item for items in fresh.values() for item in items]


def _stock(base: Stock, own: Stock) -> tuple[Stock, list[Problem]]:
    left_out = {_plain(name): name for name in own.leave_out}
    changes: dict[str, Any] = {}
    known: list[str] = []
    for name, key in _STOCK_KEYS.items():
        named = _STOCK_NAMES[name]
        old = getattr(base, name)
        known += [named(item) for item in old]
        kept = [item for item in old if _plain(named(item)) not in left_out]
        changes[name] = _joined(kept, getattr(own, name), key)
    names = {_plain(name): name for name in known}
    problems = [
        problem_at(
            own,
            "leave_out",
            f"`{written}`, which the standard it builds on does not keep",
            f"one of {', '.join(dict.fromkeys(known))}",
            nearest(written, known),
        )
        for plain, written in left_out.items()
        if plain not in names
    ]
    changes["leave_out"] = []
    return own.model_copy(update=changes), problems


def _plain(name: str) -> str:
    return name.casefold().replace(" ", "").replace("\N{NO-BREAK SPACE}", "").replace("mm2", "mm²")


def _filled(base: Entry, own: Entry) -> Any:
    """An entry with the fields that only the other one gives."""
    given = own.model_fields_set
    merged = base.model_copy(update={name: getattr(own, name) for name in given})
    merged.attach(_both_origins(base, own, given))
    return merged


def _both_origins(base: Entry, own: Entry, given: Iterable[str]) -> Origin:
    """Where a merged entry stands: each field where it was written, in either file."""
    nowhere = Origin(Position("?", 1, 1), (), {})
    first, later = base.origin or nowhere, own.origin or base.origin or nowhere
    taken = {name: later.fields[name] for name in given if name in later.fields}
    return Origin(later.position, later.path, {**first.fields, **taken})
