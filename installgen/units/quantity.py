"""What all quantities share: reading a text, holding a number in a base unit, pydantic."""

import difflib
import math
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, ClassVar, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from installgen.units import grammar, registry
from installgen.units.problem import UnitProblem, either, quoted

QUANTITIES: "dict[str, type[Quantity]]" = {}
"""Every class of quantity by its name, in the order in which a stray unit is recognised."""

TRADE_SIZES: "list[type[TradeSize]]" = []
"""The classes of discrete sizes, so that a size in the wrong place is called by its name."""


class FieldType:
    """Makes a class with `parse(text)` usable as the type of a field in a pydantic model."""

    EXAMPLES: ClassVar[tuple[str, ...]] = ()
    PATTERN: ClassVar[str] = ""

    @classmethod
    def parse(cls, text: str) -> Self:
        raise NotImplementedError

    @classmethod
    def expected(cls) -> str:
        raise NotImplementedError

    @classmethod
    def validated(cls, value: object) -> Self:
        """The value itself, or read from its text; raises what pydantic reports."""
        if isinstance(value, cls):
            return value
        try:
            if not isinstance(value, str):
                raise UnitProblem(in_words(value), cls.expected())
            return cls.parse(value)
        except UnitProblem as problem:
            raise PydanticCustomError(
                "installgen_unit",
                "found {found}; expected {expected}; write {instead}"
                if problem.instead
                else "found {found}; expected {expected}",
                {
                    "found": problem.found,
                    "expected": problem.expected,
                    "instead": problem.instead,
                },
            ) from problem

    @classmethod
    def __get_pydantic_core_schema__(
        cls,
        source: Any,
        handler: GetCoreSchemaHandler,
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.validated, serialization=core_schema.to_string_ser_schema()
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        made: JsonSchemaValue = {
            "type": "string",
            "description": cls.expected()[0].upper() + cls.expected()[1:] + ".",
            "examples": list(cls.EXAMPLES),
        }
        if cls.PATTERN:
            made["pattern"] = cls.PATTERN
        return made


class TradeSize(FieldType):
    """A size that is a name in a list of the trade, not a number of a unit."""

    NAME: ClassVar[str] = ""

    def __init_subclass__(cls) -> None:
        TRADE_SIZES.append(cls)

    @classmethod
    def recognises(cls, text: str) -> bool:
        """Whether the text names one of these sizes without doubt."""
        try:
            cls.parse(text)
        except UnitProblem:
            return False
        return True


@dataclass(frozen=True, order=True)
class Quantity(FieldType):
    """A number of the class's base unit, and the text it was read from.

    value: in the base unit that `BASE` names; the properties say it again with its unit
    text: as the person wrote it, empty when computed; not part of equality
    """

    value: float
    text: str = field(default="", compare=False, kw_only=True)

    NAME: ClassVar[str] = ""
    BASE: ClassVar[str] = ""
    UNITS: ClassVar[dict[str, str]] = {}
    ALIASES: ClassVar[dict[str, str]] = {}
    ASK: ClassVar[dict[str, tuple[str, ...]]] = {}
    PAIRS: ClassVar[tuple[tuple[str, str], ...]] = ()
    PATTERN: ClassVar[str] = r"^\s*[-+−–]?\s*[.0-9¼½¾⅛⅜⅝⅞].*[^0-9.,\s]"

    def __init_subclass__(cls) -> None:
        QUANTITIES[cls.__name__] = cls

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"{type(self).__name__} needs a finite number, not {self.value}")
        object.__setattr__(self, "value", float(self.value))

    def __str__(self) -> str:
        from installgen.units.display import format_one  # display reads the classes below

        return self.text or format_one(self, "metric")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Reads a written value such as `1-3/4 in`; raises UnitProblem."""
        return cls(cls.read_number(text), text=text.strip())

    @classmethod
    def expected(cls) -> str:
        """What a field of this class may hold, in human words."""
        examples = " or ".join(cls.EXAMPLES[:2])
        units = ", ".join(pretty(symbol) for symbol in cls.UNITS)
        return f"{cls.NAME} such as {examples} (units: {units})"

    @classmethod
    def unit_of(cls, symbol: str) -> str | None:
        """The unit that a symbol stands for in this class, by its name in the registry."""
        return cls.UNITS.get(cls.ALIASES.get(symbol, symbol))

    @classmethod
    def owns(cls, symbol: str) -> bool:
        """Whether a unit symbol belongs to this class, even one that asks for more words."""
        return cls.unit_of(symbol) is not None or symbol in cls.ASK

    @classmethod
    def read_number(cls, text: str) -> float:
        """The number in the base unit."""
        try:
            parts = grammar.split(text, cls.expected(), cls.PAIRS)
        except UnitProblem:
            cls._refuse_trade_size(text)
            raise
        values = []
        for part in parts:
            unit = cls.unit_of(part.symbol)
            if unit is None:
                raise cls._unit_problem(part, text)
            values.append(registry.to_base(part.number, unit, cls.BASE))
        if len(parts) > 1:
            cls._refuse_odd_pair(parts, values, text)
        return float(sum(values))

    @classmethod
    def _refuse_odd_pair(cls, parts: list[grammar.Part], values: list[Fraction], text: str) -> None:
        """Of `5 ft 11 in` the first must be whole and the second less than one of the first."""
        whole = abs(parts[0].number)
        if whole.denominator != 1 or (whole and abs(values[1]) * whole >= abs(values[0])):
            raise UnitProblem(
                f"{quoted(text)}, two numbers that do not fit together", cls.expected()
            )

    @classmethod
    def _refuse_trade_size(cls, text: str) -> None:
        for size in TRADE_SIZES:
            if size.recognises(text):
                raise UnitProblem(f"{quoted(text)}, {size.NAME}", cls.expected())

    @classmethod
    def _unit_problem(cls, part: grammar.Part, text: str) -> UnitProblem:
        symbol, expected = part.symbol, cls.expected()
        cls._refuse_trade_size(text)
        if not symbol:
            return UnitProblem(f"{quoted(text)}, a number without a unit", expected)
        number = grammar.normal_text(text)
        stem = number[: -len(symbol)].rstrip() if number.endswith(symbol) else ""
        if symbol in cls.ASK:
            choices = [f"{stem} {choice}" for choice in cls.ASK[symbol]] if stem else []
            found = f"{quoted(text)}, where {quoted(symbol)} can mean more than one unit"
            return UnitProblem(found, expected, either(*choices))
        for other in QUANTITIES.values():
            if other is not cls and other.owns(symbol):
                return UnitProblem(f"{quoted(text)}, {other.NAME}", expected)
        known = [*cls.UNITS, *cls.ALIASES]
        alike = [one for one in known if one.casefold() == symbol.casefold()]
        alike = alike or difflib.get_close_matches(symbol, known, 1, 0.75)
        instead = ""
        if alike and stem:
            instead = either(f"{stem} {pretty(cls.ALIASES.get(alike[0], alike[0]))}")
        found = f"{quoted(text)}, whose unit {quoted(symbol)} is not known"
        return UnitProblem(found, expected, instead)


def pretty(symbol: str) -> str:
    """A unit symbol as it is printed: `m²`, `Ω`, `N·m`."""
    for plain, printed in _PRINTED.items():
        symbol = symbol.replace(plain, printed)
    return symbol


_PRINTED = {
    "m2": "m²",
    "m3": "m³",
    "in2": "in²",
    "ft2": "ft²",
    "in3": "in³",
    "ft3": "ft³",
    "N m": "N·m",
    "lbf ft": "lbf·ft",
    "lbf in": "lbf·in",
    "kgf m": "kgf·m",
    "hp h": "hp·h",
    "uohm": "µΩ",
    "mohm": "mΩ",
    "kohm": "kΩ",
    "Mohm": "MΩ",
    "ohm": "Ω",
    "um": "µm",
}


def in_words(value: object) -> str:
    """A value of the wrong type, for a message."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "`true`" if value else "`false`"
    if isinstance(value, int | float):
        return f"`{value}`, a number without a unit"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    return f"a value of the type {type(value).__name__}"
