"""What every entry of a spec has in common: strict keys, frozen values, its place."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Annotated, Any, TypeAlias, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from installgen.errors import Position
from installgen.spec.amounts import Coordinate
from installgen.units import quoted

PathKey: TypeAlias = str | int

LONGEST_TEXT = 2000
"""Characters of the longest text that a spec takes."""


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
class _OrWord:
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
OrUnknown = Annotated[T | Unknown, _OrWord(UNKNOWN)]
OrChoose = Annotated[T | Choose, _OrWord(CHOOSE)]


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


def _refused(found: str, expected: str, instead: str = "") -> PydanticCustomError:
    return PydanticCustomError(
        "installgen_text",
        "{found}{expected}{instead}",
        {"found": found, "expected": expected, "instead": instead},
    )


@dataclass(frozen=True)
class _Checked:
    """A text with a rule of its own.

    rule: raises where a text does not follow it
    pattern: what editors check, as a regular expression; empty where that says too little
    """

    rule: Callable[[str], None]
    longest: int
    pattern: str = ""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def read(value: Any) -> Any:
            if not isinstance(value, str):
                found = "a mapping" if isinstance(value, dict) else "a list"
                raise _refused(found, "a text")
            if len(value) > self.longest:
                raise _refused(
                    f"a text of {len(value)} characters", f"at most {self.longest} characters"
                )
            self.rule(value)
            return value

        return core_schema.no_info_before_validator_function(read, core_schema.str_schema())

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        made: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": self.longest}
        return {**made, "pattern": self.pattern} if self.pattern else made


_NAME = re.compile(r"[A-Za-z0-9_+\-]+")
_TERMINAL = re.compile(r"[A-Za-z0-9_+\-]+(?:\.[A-Za-z0-9_+\-]+)*")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})(?:-([0-9]{2}))?")


def _name(value: str) -> None:
    if not _NAME.fullmatch(value):
        raise _refused(
            quoted(value) if value else "nothing",
            "a short name of letters a-z, digits, hyphen, underscore or plus sign",
        )


def _reference(value: str) -> None:
    if not _TERMINAL.fullmatch(value):
        raise _refused(
            quoted(value) if value else "nothing",
            "short names with full stops between them, such as `start-bank.positive`",
        )


def _one_line(value: str) -> None:
    if not value.strip():
        raise _refused("nothing", "a text, or the key left out where it may be")
    if "\n" in value:
        raise _refused(f"{quoted(value)}, over several lines", "a text on one line")


def _date(value: str) -> None:
    match = _DATE.fullmatch(value)
    expected = "a date as year-month-day or year-month, such as 2026-05-14"
    if match is None:
        raise _refused(quoted(value) if value else "nothing", expected)
    year, month, day = (int(part) if part else 1 for part in match.groups())
    try:
        date(year, month, day)
    except ValueError:
        raise _refused(f"{quoted(value)}, which no calendar has", expected) from None


Name: TypeAlias = Annotated[str, _Checked(_name, 60, f"^{_NAME.pattern}$")]
"""A short name that other entries refer to: `start-bank`, `B+`, `86`."""

Reference: TypeAlias = Annotated[str, _Checked(_reference, 200, f"^{_TERMINAL.pattern}$")]
"""Names in a row: a terminal, a part of an engine, a case."""

Title: TypeAlias = Annotated[
    str, _Checked(_one_line, 120), Field(description="What people call it.")
]
"""A name as people say and read it."""

Code: TypeAlias = Annotated[
    str, _Checked(_one_line, 20), Field(description="Code on its label, such as `K1`.")
]
"""A short code that is printed on a label."""

DateText: TypeAlias = Annotated[
    str, _Checked(_date, 10, "^[0-9]{4}-[0-9]{2}(-[0-9]{2})?$"), Field(description="Date.")
]
"""A date as year-month-day or year-month."""

Notes: TypeAlias = Annotated[str, Field(description="What else a person should know of it.")]
Find: TypeAlias = Annotated[str, Field(description="A sentence to find it by.")]
PlaceName: TypeAlias = Annotated[Name, Field(description="The space it is in (see `places`).")]
EngineName: TypeAlias = Annotated[
    Name, Field(description="The engine it belongs to; left out where there is one.")
]


class Point(Entry):
    """A position aboard: `{x: 3.2 m, y: 0.4 m, z: -450 mm}`."""

    x: OrUnknown[Coordinate] | None = Field(None, description="Forward of the transom.")
    y: OrUnknown[Coordinate] | None = Field(
        None, description="To port of the centreline; to starboard it is negative."
    )
    z: OrUnknown[Coordinate] | None = Field(
        None, description="Up from the static waterline; below it is negative."
    )
