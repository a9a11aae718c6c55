"""What each field of the spec models takes, read from the models: for schemas and the reference."""

from __future__ import annotations

import typing
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeAlias, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from installgen.spec.amounts import Above
from installgen.spec.entry import Choose, Entry, OrWord, Unknown
from installgen.spec.texts import Checked
from installgen.units import FieldType


@dataclass(frozen=True)
class TextShape:
    """A text. pattern: a regular expression, empty where any text will do."""

    longest: int = 0
    pattern: str = ""


@dataclass(frozen=True)
class NumberShape:
    """A plain number without a unit."""

    whole: bool
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True)
class AmountShape:
    """A value with its unit, or a trade size. sign: what the figure must be, in words."""

    kind: type[FieldType]
    sign: str = ""


@dataclass(frozen=True)
class ChoiceShape:
    """One of these words."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class ListShape:
    """A list."""

    item: Shape
    least: int = 0
    most: int | None = None


@dataclass(frozen=True)
class MapShape:
    """A mapping whose keys the writer chooses."""

    key: Shape
    value: Shape


@dataclass(frozen=True)
class EntryShape:
    """An entry of one of these models; where there are several, `kind` says which."""

    models: tuple[type[Entry], ...]


@dataclass(frozen=True)
class EitherShape:
    """One of several shapes."""

    shapes: tuple[Shape, ...]


Shape: TypeAlias = (
    TextShape
    | NumberShape
    | AmountShape
    | ChoiceShape
    | ListShape
    | MapShape
    | EntryShape
    | EitherShape
)


@dataclass(frozen=True)
class FieldShape:
    """One field as a person meets it.

    key: as typed; what: its description; default: as typed, empty where there is none to show
    words: `unknown`, `choose`, where they may stand in its place
    """

    key: str
    what: str
    required: bool
    shape: Shape
    words: tuple[str, ...]
    default: str = ""


@cache
def fields_of(model: type[Entry]) -> tuple[FieldShape, ...]:
    """The fields of an entry, in the order in which people write them."""
    return tuple(_field(name, info) for name, info in model.model_fields.items())


def about(model: type[Entry]) -> str:
    """What an entry is: the first paragraph of its docstring, on one line."""
    return " ".join((model.__doc__ or "").strip().split("\n\n")[0].split())


def kinds_of(model: type[Entry]) -> tuple[str, ...]:
    """The words that may stand in an entry's `kind`; none where it has no such field."""
    for field in fields_of(model):
        if field.key == "kind" and isinstance(field.shape, ChoiceShape):
            return field.shape.words
    return ()


def entries_below(model: type[Entry]) -> Iterator[type[Entry]]:
    """An entry and every entry inside it, each once, in the order of the fields."""
    seen: dict[type[Entry], None] = {}

    def walk(one: type[Entry]) -> None:
        if one in seen:
            return
        seen[one] = None
        for field in fields_of(one):
            for inner in models_in(field.shape):
                walk(inner)

    walk(model)
    return iter(seen)


def models_in(shape: Shape) -> tuple[type[Entry], ...]:
    """The entries that a shape is made of."""
    if isinstance(shape, EntryShape):
        return shape.models
    if isinstance(shape, ListShape):
        return models_in(shape.item)
    if isinstance(shape, MapShape):
        return models_in(shape.value)
    if isinstance(shape, EitherShape):
        return tuple(model for one in shape.shapes for model in models_in(one))
    return ()


def amounts_in(shape: Shape) -> tuple[AmountShape, ...]:
    """The values with a unit that a shape is made of, those of its entries left out."""
    if isinstance(shape, AmountShape):
        return (shape,)
    if isinstance(shape, ListShape):
        return amounts_in(shape.item)
    if isinstance(shape, MapShape):
        return amounts_in(shape.value)
    if isinstance(shape, EitherShape):
        return tuple(amount for one in shape.shapes for amount in amounts_in(one))
    return ()


def _field(name: str, info: FieldInfo) -> FieldShape:
    kind: Any = info.annotation
    if info.metadata:
        kind = Annotated.__class_getitem__((kind, *info.metadata))  # type: ignore[attr-defined]
    words = tuple(dict.fromkeys(_words(kind)))
    shape = _shape(kind)
    default = info.default if isinstance(info.default, str) else ""
    if isinstance(info.default, int | float) and not isinstance(info.default, bool):
        default = f"{info.default:g}"
    return FieldShape(
        info.alias or name, info.description or "", info.is_required(), shape, words, default
    )


def _words(kind: Any) -> Iterator[str]:
    """`unknown` and `choose`, as far as they may stand for the value itself."""
    if get_origin(kind) is Annotated:
        base, *metadata = get_args(kind)
        yield from _words(base)
        yield from (one.word.value for one in metadata if isinstance(one, OrWord))
    elif get_origin(kind) in (Union, UnionType):
        for part in get_args(kind):
            yield from _words(part)


def _shape(kind: Any, metadata: tuple[Any, ...] = ()) -> Shape:
    origin = get_origin(kind)
    if origin is Annotated:
        base, *more = get_args(kind)
        return _shape(base, (*more, *metadata))
    if origin in (Union, UnionType):
        return _union(get_args(kind), metadata)
    if origin is Literal:
        return ChoiceShape(tuple(str(word) for word in get_args(kind)))
    if origin is list:
        least, most = _limit(metadata, "min_length"), _limit(metadata, "max_length")
        return ListShape(
            _shape(get_args(kind)[0]), int(least or 0), None if most is None else int(most)
        )
    if origin is dict:
        key, value = get_args(kind)
        return MapShape(_shape(key), _shape(value))
    return _plain(kind, metadata)


def _union(kinds: tuple[Any, ...], metadata: tuple[Any, ...]) -> Shape:
    parts = [kind for kind in kinds if kind not in (NoneType, Unknown, Choose)]
    if len(parts) == 1:
        return _shape(parts[0], metadata)
    models = [part for part in parts if isinstance(part, type) and issubclass(part, Entry)]
    if len(models) == len(parts):
        return EntryShape(tuple(models))
    return EitherShape(tuple(_shape(part) for part in parts))


def _plain(kind: Any, metadata: tuple[Any, ...]) -> Shape:
    if isinstance(kind, typing.ForwardRef) or not isinstance(kind, type):
        raise TypeError(f"a field of a type that no shape stands for: {kind!r}")
    if issubclass(kind, Entry):
        return EntryShape((kind,))
    if issubclass(kind, FieldType):
        signs = [one.words for one in metadata if isinstance(one, Above)]
        return AmountShape(kind, signs[0] if signs else "")
    if issubclass(kind, str):
        for one in metadata:
            if isinstance(one, Checked):
                return TextShape(one.longest, one.pattern)
        return TextShape()
    if issubclass(kind, int | float):
        return NumberShape(
            issubclass(kind, int), _limit(metadata, "ge", "gt"), _limit(metadata, "le")
        )
    raise TypeError(f"a field of a type that no shape stands for: {kind!r}")


def _limit(metadata: tuple[Any, ...], *names: str) -> float | None:
    """A limit out of annotations, which pydantic keeps apart or inside a `Field`."""
    for one in metadata:
        for item in (one, *getattr(one, "metadata", ())):
            for name in names:
                value = getattr(item, name, None)
                if value is not None:
                    return float(value)
    return None
