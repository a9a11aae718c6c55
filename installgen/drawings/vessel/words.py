"""What a drawing says of a value: both systems of units where they fit, else the leading one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from installgen.analysis.results import Book
from installgen.drawings.vessel import links
from installgen.spec.entry import Choose, Unknown
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import (
    ConductorSize,
    Current,
    Length,
    Pressure,
    Quantity,
    System,
    ThreadSize,
    format_one,
    rounded,
    show,
)

LEAST_A = 5e-7
NOT_ASSESSED = "not assessed"

V = TypeVar("V")


@dataclass(frozen=True)
class Said:
    """A line of a drawing.

    short: in the leading system; empty where only the table beside the drawing says it
    full: in both systems
    family: lines that are all short or all full in one drawing, so that it reads evenly
    working: address of the working of the result that it says, if it says one
    """

    short: str
    full: str
    family: str = ""
    working: str = ""


Sayable = Said | str


def said(line: Sayable) -> Said:
    """A line, where plain text is the same in short."""
    return Said(line, line) if isinstance(line, str) else line


def one_line(parts: Iterable[Sayable], between: str = ", ", family: str = "") -> Said:
    """Several in one line; those that say nothing are left out."""
    lines = [said(part) for part in parts]
    return Said(
        between.join(line.short for line in lines if line.short),
        between.join(line.full for line in lines if line.full),
        family or next((line.family for line in lines if line.family), ""),
    )


def worded(text: str, *values: Said) -> Said:
    """A text with a value in each of its `{}`."""
    return Said(
        text.format(*(value.short for value in values)),
        text.format(*(value.full for value in values)),
        next((value.family for value in values if value.family), ""),
        next((value.working for value in values if value.working), ""),
    )


def table_only(line: Sayable) -> Said:
    """A line that only the table beside the drawing says."""
    return Said("", said(line).full, working=said(line).working)


@dataclass(frozen=True)
class Words:
    """Says the values of one vessel."""

    vessel: Vessel
    book: Book

    @property
    def first(self) -> System:
        """The system of units that leads."""
        return self.vessel.spec.units.first

    @property
    def several(self) -> bool:
        """Whether she has more than one engine."""
        return len(self.vessel.engines) > 1

    def amount(self, value: object, family: str = "") -> Said:
        """A value as written or computed."""
        if isinstance(value, Unknown):
            return Said("unknown", "unknown", family)
        if isinstance(value, Choose):
            return Said("to be chosen", "to be chosen", family)
        if isinstance(value, Current) and abs(value.a) < LEAST_A:
            return Said("0 A", "0 A", family)
        if isinstance(value, Quantity | ConductorSize | ThreadSize):
            return Said(bare(format_one(value, self.first)), self._both(value), family)
        text = rounded(value) if isinstance(value, float) else str(value)
        return Said(text, text, family)

    def _both(self, value: Quantity | ConductorSize | ThreadSize) -> str:
        if not isinstance(value, Pressure):
            return show(value, self.first)
        one, other = format_one(value, self.first), format_one(value, self.second)
        return f"{bare(one)} ({bare(other)})"

    @property
    def second(self) -> System:
        """The system of units that follows in brackets."""
        return "us" if self.first == "metric" else "metric"

    def field(self, value: object, name: str, text: str = "{}") -> list[Said]:
        """A field that may be left out: a line, or none.

        name: what the value is; said where it is unknown, and the family of the line
        text: what to say, the value at `{}`
        """
        if value is None or value == "":
            return []
        if isinstance(value, Unknown):
            return [said(f"{name} unknown")]
        return [worded(text, self.amount(value, name))]

    def result(self, result_id: str, name: str, text: str = "{}") -> list[Said]:
        """A result: a line, *not assessed* where it has no value, none where nobody asked for it.

        name, text: as for a field
        """
        if result_id not in self.book:
            return []
        found = self.book[result_id]
        working = links.result(found)
        if found.value is None:
            missing = f"{name} {NOT_ASSESSED}"
            return [Said(missing, missing, working=working)]
        return [replace(worded(text, self.amount(found.value, name)), working=working)]

    def in_full(self, result_id: str, text: str) -> str:
        """A result in a sentence of a description; nothing where it has no value."""
        if result_id not in self.book or self.book[result_id].value is None:
            return ""
        return text.format(self.amount(self.book[result_id].value).full)

    def height(self, value: Length | Unknown | None) -> list[Said]:
        """A height z over the waterline."""
        if value is None:
            return []
        if isinstance(value, Unknown):
            return [said("height unknown")]
        where = "above" if value.value >= 0 else "below"
        return [worded(f"{{}} {where} waterline", self.amount(Length(abs(value.value)), "height"))]

    def engine_name(self, engine: FittedEngine) -> str:
        """What an engine is called in a title: `Port engine`, or `Engine` where there is one."""
        if not self.several:
            return "Engine"
        return f"{engine.name.replace('-', ' ').capitalize()} engine"

    def titled(self, title: str, engine: FittedEngine | None) -> str:
        """A title that names its engine where there are several."""
        if engine is None or not self.several:
            return title
        return f"{title}, {self.engine_name(engine).lower()}"

    def figure_id(self, drawing: str, engine: FittedEngine | None) -> str:
        """A drawing's id, told apart by its engine where there are several."""
        return drawing if engine is None or not self.several else f"{engine.name}.{drawing}"

    def place(self, place_id: str | None) -> str:
        """The name of a space aboard."""
        if place_id is None:
            return ""
        names = {place.id: place.name for place in self.vessel.spec.places}
        return names.get(place_id, place_id)


def bare(text: str) -> str:
    """A pressure without `gauge`, which the drawing's description says once."""
    return text.removesuffix(" gauge")
