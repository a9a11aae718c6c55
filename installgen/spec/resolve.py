"""Options applied: an engine sheet with only what this vessel's choices leave fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from installgen.errors import Problem
from installgen.spec.engine_sheet import EngineSheet, Performance, Rating
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest
from installgen.spec.overrides import overridden
from installgen.spec.problems import problem_at
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import EngineEntry

E = TypeVar("E", bound=Entry)


def fit_engine(entry: EngineEntry, sheet: EngineSheet) -> tuple[FittedEngine | None, list[Problem]]:
    """Apply a vessel's options and overrides to an engine sheet.

    Returns the fitted engine, or nothing with the problems that stand in the way.
    """
    options, problems = _options(entry, sheet)
    if problems:
        return None, problems
    fitted, problems = overridden(_keep_fitted(sheet, options), entry.overrides)
    rating, more = _rating(entry, fitted)
    if problems or more:
        return None, [*problems, *more]
    return FittedEngine(entry, fitted, options, rating, _performance(fitted, rating)), []


def _options(entry: EngineEntry, sheet: EngineSheet) -> tuple[dict[str, str], list[Problem]]:
    problems = []
    for option, choice in entry.options.items():
        offer = sheet.options.get(option)
        if offer is None:
            problems.append(
                problem_at(
                    entry,
                    "options",
                    f"the option `{option}`",
                    f"an option that sheet `{sheet.engine.id}` offers: "
                    + (", ".join(sorted(sheet.options)) or "it offers none"),
                    nearest(option, sheet.options),
                )
            )
        elif choice not in offer.choices:
            problems.append(
                problem_at(
                    entry,
                    "options",
                    f"`{option}: {choice}`",
                    f"one of {', '.join(sorted(offer.choices))}",
                    nearest(choice, offer.choices),
                )
            )
    taken = {name: offer.default for name, offer in sheet.options.items() if offer.default}
    taken |= entry.options
    for option, offer in sheet.options.items():
        if option not in taken:
            problems.append(
                problem_at(
                    entry,
                    "options",
                    f"no choice for the option `{option}`",
                    f"one of {', '.join(sorted(offer.choices))} (sheet `{sheet.engine.id}` "
                    "has no default for it)",
                )
            )
    return {name: str(choice) for name, choice in taken.items()}, problems


def is_fitted(condition: Mapping[str, Any] | None, options: Mapping[str, str]) -> bool:
    """Whether an entry with this `fitted_when` is there with these options."""
    for option, wanted in (condition or {}).items():
        choices = wanted if isinstance(wanted, list) else [wanted]
        if options.get(option) not in choices:
            return False
    return True


def _keep_fitted(value: E, options: Mapping[str, str]) -> E:
    """A copy of an entry without the parts that these options leave out, at any depth."""
    changes: dict[str, Any] = {}
    for name in type(value).model_fields:
        old = getattr(value, name)
        new = _kept(old, options)
        if new is not old:
            changes[name] = new
    copy: E = value.model_copy(update=changes) if changes else value
    return copy


def _kept(value: Any, options: Mapping[str, str]) -> Any:
    if isinstance(value, Entry):
        return _keep_fitted(value, options)
    if isinstance(value, list):
        kept = [
            _kept(item, options)
            for item in value
            if is_fitted(getattr(item, "fitted_when", None), options)
        ]
        unchanged = len(kept) == len(value) and all(
            a is b for a, b in zip(kept, value, strict=True)
        )
        return value if unchanged else kept
    return value


def _rating(entry: EngineEntry, sheet: EngineSheet) -> tuple[Rating | None, list[Problem]]:
    if entry.rating is None:
        if len(sheet.ratings) == 1:
            return sheet.ratings[0], []
        listed = ", ".join(rating.id for rating in sheet.ratings)
        return None, [problem_at(entry, "rating", "no `rating`", f"one of {listed}")]
    for rating in sheet.ratings:
        if rating.id == entry.rating:
            return rating, []
    names = [rating.id for rating in sheet.ratings]
    return None, [
        problem_at(
            entry,
            "rating",
            f"the rating `{entry.rating}`",
            f"one of {', '.join(names)}",
            nearest(entry.rating, names),
        )
    ]


def _performance(sheet: EngineSheet, rating: Rating | None) -> Performance | None:
    if rating is None:
        return None
    rows = [table for table in sheet.performance if table.rating == rating.id]
    lines = {table.load_line: table for table in rows}
    return lines.get("propeller-load") or lines.get("full-load")
