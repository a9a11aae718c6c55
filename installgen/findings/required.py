"""Fields that have to be filled in: those the standard names, and those that say `unknown`."""

from __future__ import annotations

import typing
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from installgen.analysis.results import Missing
from installgen.findings.judgement import About, Judgement, holds, lacking
from installgen.findings.survey import Survey
from installgen.spec.entry import Entry, Unknown, yaml_key
from installgen.spec.vessel import Vessel, entries
from installgen.spec.vessel_spec import VesselSpec


def unknown_fields(vessel: Vessel) -> list[Missing]:
    """Every field of the vessel and of her engines, as fitted, that says `unknown`."""
    return [one for one, _ in _unknown(vessel)]


def required_unknown(vessel: Vessel) -> list[Missing]:
    """Those among them that a spec may not leave out at all."""
    return [one for one, required in _unknown(vessel) if required]


def _unknown(vessel: Vessel) -> list[tuple[Missing, bool]]:
    found: dict[Missing, bool] = {}
    for part in (vessel.spec, *(engine.sheet for engine in vessel.engines)):
        for entry in entries(part):
            for name, info in type(entry).model_fields.items():
                if isinstance(getattr(entry, name), Unknown):
                    what = name.rstrip("_").replace("_", " ")
                    place = Missing(entry.path_to(name), entry.where(name), what)
                    found.setdefault(place, info.is_required())
    return list(found.items())


def judge_item(survey: Survey, path: str) -> Iterator[Judgement]:
    """Whether a field that the standard asks for is filled in, in every entry that has it."""
    for holder, name, value in _fields(survey.vessel.spec, path.split(".")):
        written = holder.path_to(name)
        what = name.rstrip("_").replace("_", " ")
        about = About(written, what, ((holder, name),))
        if value in (None, "") or isinstance(value, Unknown) or value == [] or value == {}:
            yield lacking(about, holder, name, what)
        else:
            yield holds(True, "given", "given", about)


def _fields(entry: Entry, parts: list[str]) -> Iterator[tuple[Entry, str, object]]:
    """The fields that a path leads to; where an entry on the way is missing, that one."""
    name = _field_called(type(entry), parts[0]) or parts[0]
    value = getattr(entry, name, None)
    if len(parts) == 1:
        yield entry, name, value
        return
    inner = value if isinstance(value, list) else [value]
    held = [item for item in inner if isinstance(item, Entry)]
    if not held:
        yield entry, name, None
    for item in held:
        yield from _fields(item, parts[1:])


def path_problem(path: str) -> tuple[str, list[str]] | None:
    """The part of a path that no vessel spec has, with what it may be; nothing if all is good."""
    models: list[type[BaseModel]] = [VesselSpec]
    for part in path.split("."):
        keys = [yaml_key(m, name) for m in models for name in m.model_fields]
        found = [(m, name) for m in models if (name := _field_called(m, part)) is not None]
        if not found:
            return part, list(dict.fromkeys(keys))
        models = [
            model for owner, name in found for model in _models(owner.model_fields[name].annotation)
        ]
    return None


def _field_called(model: type[BaseModel], key: str) -> str | None:
    return next((name for name in model.model_fields if yaml_key(model, name) == key), None)


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        return
    for argument in typing.get_args(annotation):
        yield from _models(argument)
