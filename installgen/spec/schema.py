"""JSON Schemas of the three kinds of spec, so that editors complete and check while one types.

An editor reads `12` as a number and `1` as another; a spec takes every value as the text that was
written. So wherever a text may look like a number, the schema lets numbers pass too.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Literal, TypeAlias, get_args

from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry
from installgen.spec.piping import RoutePiece
from installgen.spec.shapes import (
    AmountShape,
    ChoiceShape,
    EitherShape,
    EntryShape,
    FieldShape,
    ListShape,
    MapShape,
    NumberShape,
    Shape,
    TextShape,
    about,
    amounts_in,
    entries_below,
    fields_of,
    kinds_of,
)
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.texts import LONGEST_TEXT
from installgen.spec.vessel_spec import VesselSpec

SchemaKind: TypeAlias = Literal["vessel", "engine", "standard"]
Schema: TypeAlias = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"

ROOTS: dict[SchemaKind, tuple[type[Entry], str]] = {
    "vessel": (VesselSpec, "Vessel spec"),
    "engine": (EngineSheet, "Engine sheet"),
    "standard": (StandardSpec, "Yard's standard"),
}


def schema(kind: SchemaKind) -> Schema:
    """The JSON Schema of one kind of spec."""
    root, title = ROOTS[kind]
    made: Schema = {"$schema": DIALECT, "title": title, "$comment": "Made from the spec models."}
    made |= _entry(root)
    models = [model for model in entries_below(root) if model is not root]
    parts = {model.__name__: _entry(model) for model in models}
    amounts = {
        one.kind.__name__: _amount(one)
        for model in (root, *models)
        for field in fields_of(model)
        for one in amounts_in(field.shape)
    }
    parts |= {_amount_name(name): made for name, made in amounts.items()}
    made["$defs"] = {name: parts[name] for name in sorted(parts)}
    return made


def schema_text(kind: SchemaKind) -> str:
    """The JSON Schema of one kind of spec as its file holds it."""
    return json.dumps(schema(kind), indent=1, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write the schema of every kind into a folder, such as `specs/schema`; returns the files."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for kind in get_args(SchemaKind):
        path = folder / f"{kind}.json"
        path.write_text(schema_text(kind), encoding="utf-8")
        written.append(path)
    return written


def _entry(model: type[Entry]) -> Schema:
    fields = fields_of(model)
    made: Schema = {
        "description": about(model),
        "type": "object",
        "properties": {field.key: _field(field) for field in fields},
        "additionalProperties": False,
    }
    required = [field.key for field in fields if field.required]
    if required:
        made["required"] = required
    if model is RoutePiece:
        made |= {"minProperties": 1, "maxProperties": 1}
        whole: Schema = {"const": "engine", "description": "The whole engine."}
        return {"anyOf": [made, whole]}
    return made


def _field(field: FieldShape) -> Schema:
    made = _shape(field.shape)
    if field.words:
        made = {"anyOf": [made, *({"const": word} for word in field.words)]}
    # Beside a reference a description is allowed in this dialect, and editors show it.
    return {"description": field.what, **made}


def _shape(shape: Shape) -> Schema:
    if isinstance(shape, TextShape):
        return _text(shape)
    if isinstance(shape, NumberShape):
        return _number(shape)
    if isinstance(shape, AmountShape):
        return {"$ref": f"#/$defs/{_amount_name(shape.kind.__name__)}"}
    if isinstance(shape, ChoiceShape):
        return {"enum": [*shape.words, *(int(word) for word in shape.words if word.isdigit())]}
    if isinstance(shape, ListShape):
        made: Schema = {"type": "array", "items": _shape(shape.item)}
        if shape.least:
            made["minItems"] = shape.least
        return {**made, "maxItems": shape.most} if shape.most is not None else made
    if isinstance(shape, MapShape):
        made = {"type": "object", "additionalProperties": _shape(shape.value)}
        keys = _map_keys(shape.key)
        return {**made, "propertyNames": keys} if keys else made
    if isinstance(shape, EitherShape):
        return {"anyOf": [_shape(one) for one in shape.shapes]}
    return _entries(shape)


def _amount(shape: AmountShape) -> Schema:
    words = shape.kind.expected()
    made: Schema = {
        "description": f"{words[:1].upper()}{words[1:]}.",
        "type": "string",
        "examples": list(shape.kind.EXAMPLES),
    }
    return {**made, "pattern": shape.kind.PATTERN} if shape.kind.PATTERN else made


def _amount_name(name: str) -> str:
    """A name that no entry has."""
    return f"amount-{name}"


def _text(shape: TextShape) -> Schema:
    made: Schema = {
        "type": ["string", "number", "boolean"],
        "minLength": 1,
        "maxLength": shape.longest or LONGEST_TEXT,
    }
    return {**made, "pattern": shape.pattern} if shape.pattern else made


def _number(shape: NumberShape) -> Schema:
    number: Schema = {"type": "integer" if shape.whole else "number"}
    number |= {"minimum": _plain(shape.least)} if shape.least is not None else {}
    number |= {"maximum": _plain(shape.most)} if shape.most is not None else {}
    digits = r"^\s*[0-9]+\s*$" if shape.whole else r"^\s*[0-9]*\.?[0-9]+\s*$"
    return {"anyOf": [number, {"type": "string", "pattern": digits}]}


def _plain(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _map_keys(shape: Shape) -> Schema:
    if isinstance(shape, ChoiceShape):
        return {"enum": list(shape.words)}
    if isinstance(shape, TextShape) and shape.pattern:
        return {"pattern": shape.pattern, "maxLength": shape.longest}
    return {}


def _entries(shape: EntryShape) -> Schema:
    """A reference; where `kind` decides, the one that it says, so that messages stay short."""
    if len(shape.models) == 1:
        return {"$ref": f"#/$defs/{shape.models[0].__name__}"}
    words = [word for model in shape.models for word in kinds_of(model)]
    cases: list[Schema] = [
        {
            "if": {"properties": {"kind": {"enum": list(kinds_of(model))}}, "required": ["kind"]},
            "then": {"$ref": f"#/$defs/{model.__name__}"},
        }
        for model in shape.models
    ]
    return {
        "type": "object",
        "properties": {"kind": {"enum": words, "description": "What this is."}},
        "required": ["kind"],
        "allOf": cases,
    }


if __name__ == "__main__":
    write_schemas(Path("specs/schema"))
