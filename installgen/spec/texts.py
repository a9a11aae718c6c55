"""Texts that spec fields take: names that others refer to, titles, codes, dates."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, TypeAlias

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from installgen.units import quoted

LONGEST_TEXT = 2000
"""Characters of the longest text that a spec takes."""


def refused(found: str, expected: str, instead: str = "") -> PydanticCustomError:
    """The mistake of a text: what was found, what was expected, what to write instead."""
    return PydanticCustomError(
        "installgen_text",
        "{found}{expected}{instead}",
        {"found": found, "expected": expected, "instead": instead},
    )


@dataclass(frozen=True)
class Checked:
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
                raise refused(found, "a text")
            if len(value) > self.longest:
                raise refused(
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


def file_below(folder: str, kind: str, ending: str, example: str) -> Checked:
    """A file in a folder of one of the specs folder's own, as `FOLDER/FILE.ENDING`.

    folder: the specs folder's own, such as `photos`
    kind: what such a file is, in words
    ending: of its name, as a regular expression
    example: of a name
    """
    name = "[a-z0-9-]{1,60}"
    pattern = re.compile(rf"{name}/{name}\.{ending}")

    def rule(value: str) -> None:
        if not pattern.fullmatch(value):
            raise refused(
                quoted(value),
                f"a folder and a {kind} file in it, below `{folder}/` of the specs folder, in "
                "small letters, digits and hyphens",
                f"`{example}`",
            )

    return Checked(rule, 130, f"^{pattern.pattern}$")


_NAME = re.compile(r"[A-Za-z0-9_+\-]+")
_TERMINAL = re.compile(r"[A-Za-z0-9_+\-]+(?:\.[A-Za-z0-9_+\-]+)*")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})(?:-([0-9]{2}))?")


def _name(value: str) -> None:
    if not _NAME.fullmatch(value):
        raise refused(
            quoted(value) if value else "nothing",
            "a short name of letters a-z, digits, hyphen, underscore or plus sign",
        )


def _reference(value: str) -> None:
    if not _TERMINAL.fullmatch(value):
        raise refused(
            quoted(value) if value else "nothing",
            "short names with full stops between them, such as `start-bank.positive`",
        )


def one_line(value: str) -> None:
    """Refuse an empty text, and one over several lines."""
    if not value.strip():
        raise refused("nothing", "a text, or the key left out where it may be")
    if "\n" in value:
        raise refused(f"{quoted(value)}, over several lines", "a text on one line")


def _date(value: str) -> None:
    match = _DATE.fullmatch(value)
    expected = "a date as year-month-day or year-month, such as 2026-05-14"
    if match is None:
        raise refused(quoted(value) if value else "nothing", expected)
    year, month, day = (int(part) if part else 1 for part in match.groups())
    try:
        date(year, month, day)
    except ValueError:
        raise refused(f"{quoted(value)}, which no calendar has", expected) from None


Name: TypeAlias = Annotated[str, Checked(_name, 60, f"^{_NAME.pattern}$")]
"""A short name that other entries refer to: `start-bank`, `B+`, `86`."""

Reference: TypeAlias = Annotated[str, Checked(_reference, 200, f"^{_TERMINAL.pattern}$")]
"""Names in a row: a terminal, a part of an engine, a case."""

Title: TypeAlias = Annotated[str, Checked(one_line, 120), Field(description="What people call it.")]
"""A name as people say and read it."""

Code: TypeAlias = Annotated[
    str, Checked(one_line, 20), Field(description="Code on its label, such as `K1`.")
]
"""A short code that is printed on a label."""

DateText: TypeAlias = Annotated[
    str, Checked(_date, 10, "^[0-9]{4}-[0-9]{2}(-[0-9]{2})?$"), Field(description="Date.")
]
"""A date as year-month-day or year-month."""

Notes: TypeAlias = Annotated[str, Field(description="What else a person should know of it.")]
Find: TypeAlias = Annotated[str, Field(description="A sentence to find it by.")]

Count: TypeAlias = Annotated[int, Field(ge=1, le=1000)]
Multiple: TypeAlias = Annotated[float, Field(gt=0, le=10000, allow_inf_nan=False)]
