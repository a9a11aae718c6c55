"""What every entry of a spec has in common: strict keys, frozen values, its place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated, Any, TypeAlias, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from installgen.errors import Position
from installgen.spec.amounts import Coordinate
from installgen.spec.texts import LONGEST_TEXT

PathKey: TypeAlias = str | int


class Unknown(Enum):
    """The word `unknown` in a spec: the writer knows that a figure is missing. It is counted."""

    UNKNOWN = "unknown"

    def __str__(self) -> str:
        return "unknown"


class Choose(Enum):
    """The word `choose` in a spec: the tool proposes a size, the manual marks it *proposed*."""

    CHOOSE = "choose"

    def __str__(self) -> str:
        return "choose"


UNKNOWN = Unknown.UNKNOWN
CHOOSE = Choose.CHOOSE


@dataclass(frozen=True)
class OrWord:
    """Lets a field hold one of our words instead of its value, with one message, not two."""

    word: Unknown | Choose

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        members = get_args(source) or (source,)
        rest = [member for member in members if member is not type(self.word)]
        if len(rest) != 1:
            raise TypeError(f"one type beside the word {self.word.value!r}, not {rest}")
        inner = handler.generate_schema(rest[0])
        word = self.word

        def read(value: Any, read_inner: core_schema.ValidatorFunctionWrapHandler) -> Any:
            return word if value is word or value == word.value else read_inner(value)

        return core_schema.no_info_wrap_validator_function(read, inner)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"const": self.word.value}]}


T = TypeVar("T")
OrUnknown = Annotated[T | Unknown, OrWord(UNKNOWN)]
OrChoose = Annotated[T | Choose, OrWord(CHOOSE)]


def known(value: T | Unknown | None) -> T | None:
    """The value, or nothing where it is absent or `unknown`."""
    return None if isinstance(value, Unknown) else value


@dataclass(frozen=True)
class Origin:
    """Where an entry stands: its own position, that of each of its fields, and its path."""

    position: Position
    path: tuple[PathKey, ...]
    fields: dict[str, Position]

    @property
    def written_path(self) -> str:
        return written(self.path)


def written(path: tuple[PathKey, ...]) -> str:
    """A path as people write it: `electrical.conductors[3].length` (entries count from 1)."""
    text = ""
    for key in path:
        if isinstance(key, int):
            text += f"[{key + 1}]"
        else:
            text += f".{key}" if text else key
    return text


class Entry(BaseModel):
    """A mapping of a spec. Unknown keys are mistakes; values never change once read."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=False,
        str_min_length=1,
        str_max_length=LONGEST_TEXT,
    )
    __slots__ = ("_origin",)

    def attach(self, origin: Origin) -> None:
        """Remember where this entry was written (done once, by the reader)."""
        object.__setattr__(self, "_origin", origin)

    @property
    def origin(self) -> Origin | None:
        """Where this entry was written; nothing when it was built in code or filled in."""
        return getattr(self, "_origin", None)

    def where(self, field: str = "") -> Position | None:
        """Position of a field's value, or of the entry where the field was left out."""
        origin = self.origin
        if origin is None:
            return None
        return origin.fields.get(field, origin.position)

    def path_to(self, field: str = "") -> str:
        """The path of a field as people write it."""
        origin = self.origin
        path = origin.path if origin else ()
        return written((*path, yaml_key(type(self), field)) if field else path)

    def model_copy(self, *, update: Any = None, deep: bool = False) -> Any:
        copy = super().model_copy(update=update, deep=deep)
        if self.origin is not None:
            copy.attach(self.origin)
        return copy


def yaml_key(model: type[BaseModel], field: str) -> str:
    """The key that a person types for a model's field (`from` for `from_`)."""
    info = model.model_fields.get(field)
    return info.alias if info is not None and info.alias else field


class Point(Entry):
    """A position aboard: `{x: 3.2 m, y: 0.4 m, z: -450 mm}`."""

    x: OrUnknown[Coordinate] | None = Field(None, description="Forward of the transom.")
    y: OrUnknown[Coordinate] | None = Field(
        None, description="To port of the centreline; to starboard it is negative."
    )
    z: OrUnknown[Coordinate] | None = Field(
        None, description="Up from the static waterline; below it is negative."
    )
