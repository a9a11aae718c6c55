"""Figures of an engine sheet that are different in one vessel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from installgen.errors import Problem
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry, Origin, yaml_key
from installgen.spec.folder import nearest
from installgen.spec.problems import one_of, problem_at
from installgen.spec.validate import error_words
from installgen.spec.vessel_spec import Override

E = TypeVar("E", bound=Entry)

FIXED = ("id", "label", "kind", "format", "fitted_when")
"""What an entry is, not a figure of it."""


class _NoSuch(Exception):
    """A step of a path leads nowhere; `known` are the steps that would."""

    def __init__(self, step: str, known: Sequence[str]) -> None:
        self.step, self.known = step, known
        super().__init__(step)


def overridden(sheet: EngineSheet, overrides: list[Override]) -> tuple[EngineSheet, list[Problem]]:
    """The sheet with a vessel's figures in place of its own, and what stands in the way.

    sheet: with the vessel's options taken
    """
    problems: list[Problem] = []
    for override in overrides:
        try:
            sheet = _replaced(sheet, override.path.split("."), override)
        except _NoSuch as missing:
            found = f"`{override.path}`, where there is no `{missing.step}`"
            guess = nearest(missing.step, missing.known)
            problems.append(problem_at(override, "path", found, one_of(missing.known), guess))
        except ValidationError as error:
            detail = error.errors()[0]
            found, expected, instead = error_words(detail)
            problems.append(problem_at(override, "value", found, expected, instead.strip("`")))
    return sheet, problems


def _replaced(entry: E, steps: list[str], override: Override) -> E:
    """A copy of an entry with one figure below it changed. Raises _NoSuch, ValidationError."""
    step, *rest = steps
    fields = {yaml_key(type(entry), name): name for name in type(entry).model_fields}
    name = fields.get(step)
    known = [key for key in fields if key not in FIXED]
    if name is None or step in FIXED:
        raise _NoSuch(step, known)
    value = getattr(entry, name)
    if isinstance(value, Entry) and rest:
        return _with(entry, name, _replaced(value, rest, override), override, written_here=False)
    if isinstance(value, list) and rest and all(isinstance(item, Entry) for item in value):
        return _with(entry, name, _in_list(value, rest, override), override, written_here=False)
    if rest or isinstance(value, Entry | list | dict):
        raise _NoSuch(rest[0] if rest else f"{step}.…", _below(value))
    read = _read(type(entry).model_fields[name], override.value)
    return _with(entry, name, read, override, written_here=True)


def _in_list(items: list[Any], steps: list[str], override: Override) -> list[Any]:
    """The list with one entry changed: the one of that name, or of that number from 1."""
    step, *rest = steps
    names = [_name(item) or str(number) for number, item in enumerate(items, start=1)]
    if step not in names or not rest:
        raise _NoSuch(step if rest else f"{step}.…", names)
    index = names.index(step)
    return [*items[:index], _replaced(items[index], rest, override), *items[index + 1 :]]


def _below(value: object) -> list[str]:
    if isinstance(value, Entry):
        return [yaml_key(type(value), name) for name in type(value).model_fields]
    return []


def _name(entry: Entry) -> str:
    return str(getattr(entry, "id", None) or getattr(entry, "label", None) or "")


def _read(field: FieldInfo, text: str) -> Any:
    kind: Any = field.annotation
    if field.metadata:
        kind = Annotated.__class_getitem__((kind, *field.metadata))  # type: ignore[attr-defined]
    return TypeAdapter(kind).validate_python(text)


def _with(entry: E, name: str, value: Any, override: Override, *, written_here: bool) -> E:
    """A copy with a new value; its place is then the vessel's where it was written there."""
    copy: E = entry.model_copy(update={name: value})
    origin, place = entry.origin, override.where("value")
    if written_here and origin is not None and place is not None:
        copy.attach(Origin(origin.position, origin.path, {**origin.fields, name: place}))
    return copy
