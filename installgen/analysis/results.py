"""A result and its working: what was computed, from what, by which formula, after which source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import TracebackType
from typing import Any, Literal, TypeAlias

from installgen.errors import NotSolved, OutOfRange, OutOfTable, Position
from installgen.spec.entry import Choose, Entry, Unknown
from installgen.units import Quantity

SystemName = Literal[
    "rating",
    "raw-water",
    "exhaust",
    "coolant",
    "oil",
    "gear-oil",
    "fuel",
    "air",
    "dc-power",
    "start-run-stop",
    "driveline",
]
Value: TypeAlias = Quantity | float | int | str


@dataclass(frozen=True)
class SpecOrigin:
    """An input that somebody wrote in a spec, a sheet or a standard."""

    path: str
    position: Position


@dataclass(frozen=True)
class TableOrigin:
    """An input read from a published table."""

    table: str
    row: str
    source: str
    mark: str = ""


@dataclass(frozen=True)
class ResultOrigin:
    """An input that is itself a result."""

    result: str


@dataclass(frozen=True)
class MethodOrigin:
    """A figure that belongs to the method, with its source."""

    source: str


InputOrigin: TypeAlias = SpecOrigin | TableOrigin | ResultOrigin | MethodOrigin


@dataclass(frozen=True)
class Input:
    """One input of a result."""

    name: str
    value: Value
    origin: InputOrigin
    assumed: bool = False


@dataclass(frozen=True, order=True)
class Missing:
    """A field that would have to be filled in before something can be assessed."""

    path: str
    position: Position | None
    what: str


@dataclass(frozen=True)
class Result:
    """A value with its working.

    id: stable, readable: `engine.raw-water.after-strainer.cruise.pressure`
    name: what a person calls it
    value: a quantity, a plain number or a word; nothing when it is not assessed
    formula: in words and symbols, as the working shows it
    source: the published source of the method, or *common practice*
    subject: the entry it is about, as its register names it (a conductor's label, a joint)
    case: the electrical case or the speed it holds for; empty when it always holds
    not_assessed: why there is no value; empty when there is one
    missing: the fields that would have to be filled in
    """

    id: str
    name: str
    system: SystemName
    value: Value | None
    formula: str
    inputs: tuple[Input, ...]
    source: str
    subject: str = ""
    case: str = ""
    engine: str = ""
    not_assessed: str = ""
    missing: tuple[Missing, ...] = ()
    notes: tuple[str, ...] = ()
    assumed: bool = False

    @property
    def assessed(self) -> bool:
        """Whether there is a value."""
        return self.value is not None


class MissingInput(Exception):
    """Raised inside a working when an input is not there; the result becomes *not assessed*."""

    def __init__(self, reason: str, missing: tuple[Missing, ...] = ()) -> None:
        self.reason, self.missing = reason, missing
        super().__init__(reason)


@dataclass
class Working:
    """Collects the inputs of one result while it is computed; used in a `with` block.

    Whatever is taken through `spec`, `assume`, `result` or `table` appears in the printed working.
    An input that is missing or `unknown`, a table that has no such row, a formula out of its range:
    each ends the block, and the result is *not assessed*, with the reason.
    """

    book: Book
    id: str
    name: str
    system: SystemName
    formula: str
    source: str
    subject: str = ""
    case: str = ""
    engine: str = ""
    value: Value | None = None
    inputs: list[Input] = field(default_factory=list)
    _taken: set[str] = field(default_factory=set, init=False, repr=False)
    notes: list[str] = field(default_factory=list)

    def __enter__(self) -> Working:
        return self

    def spec(self, entry: Entry | None, name: str, label: str = "") -> Any:
        """The value of an entry's field. Raises MissingInput where it is absent or unknown."""
        value = None if entry is None else getattr(entry, name)
        label = label or name.rstrip("_").replace("_", " ")
        if entry is None:
            raise MissingInput(f"{label} is not given", (Missing(label, None, label),))
        if value is None or isinstance(value, Unknown | Choose):
            word = "is not given" if value is None else f"is `{value}`"
            place = Missing(entry.path_to(name), entry.where(name), label)
            raise MissingInput(f"`{entry.path_to(name)}` {word}", (place,))
        self._took(label, value, entry, name, assumed=False)
        return value

    def optional(self, entry: Entry | None, name: str, label: str = "") -> Any:
        """The value of a field that may be left out, or nothing."""
        value = None if entry is None else getattr(entry, name)
        if value is None or isinstance(value, Unknown | Choose):
            return None
        return self.spec(entry, name, label)

    def entry(self, entry: Entry, label: str, shown: str) -> None:
        """Note a whole entry, told in one line."""
        position = entry.where()
        if position is None:
            raise TypeError(f"{type(entry).__name__} was not read from a spec")
        self.inputs.append(Input(label, shown, SpecOrigin(entry.path_to(), position)))

    def assume(self, name: str, label: str = "") -> Any:
        """A figure of the standard's `assume` section; the result is marked *assumed*."""
        entry = self.book.assumptions
        value = getattr(entry, name)
        label = label or name.replace("_", " ")
        if value is None:
            path = f"assume.{name}"
            raise MissingInput(
                f"the standard's `{path}` is not given", (Missing(path, entry.where(), label),)
            )
        self._took(label, value, entry, name, assumed=True)
        return value

    def assumed(self, entry: Entry, name: str, label: str = "") -> Any:
        """A figure of an entry within the standard's `assume`; the result is marked *assumed*."""
        value = getattr(entry, name)
        self._took(label or name.replace("_", " "), value, entry, name, assumed=True)
        return value

    def bounded(self, entry: Entry, name: str, label: str, taken: str) -> None:
        """Note that a field nobody knows is taken at its worst; the result is marked *assumed*."""
        position = entry.where(name) or entry.where()
        if position is None:
            raise TypeError(f"{type(entry).__name__} was not read from a spec")
        self.inputs.append(Input(label, taken, SpecOrigin(entry.path_to(name), position), True))

    def spec_or_assume(self, entry: Entry | None, name: str, assumed: str, label: str = "") -> Any:
        """A field's value or, where it is left out or unknown, the standard's assumption."""
        value = self.optional(entry, name, label)
        return self.assume(assumed, label) if value is None else value

    def result(self, result_id: str, label: str = "") -> Any:
        """The value of an earlier result. Raises MissingInput where that is not assessed."""
        result = self.book[result_id]
        if result.value is None:
            origin = ResultOrigin(result.id)
            self.inputs.append(Input(label or result.name, "not assessed", origin))
            raise MissingInput(result.not_assessed, result.missing)
        if result_id not in self._taken:
            self._taken.add(result_id)
            origin = ResultOrigin(result.id)
            self.inputs.append(Input(label or result.name, result.value, origin, result.assumed))
        return result.value

    def table(self, label: str, value: Value, origin: TableOrigin) -> None:
        """Note a figure read from a published table."""
        self.inputs.append(Input(label, value, origin, assumed=origin.mark == "MEMORY"))

    def method(self, label: str, value: Value, source: str) -> None:
        """Note a figure that belongs to the method."""
        self.inputs.append(Input(label, value, MethodOrigin(source)))

    def stands_in(self, label: str, value: Value) -> None:
        """Note what stands in for something that could not be found; the result is *assumed*."""
        self.inputs.append(Input(label, value, MethodOrigin("the yard's stock"), assumed=True))

    def note(self, text: str) -> None:
        """A sentence for the reader of the working."""
        self.notes.append(text)

    def _took(self, label: str, value: Any, entry: Entry, name: str, *, assumed: bool) -> None:
        position = entry.where(name)
        shown = value if isinstance(value, Quantity | int | float | str) else str(value)
        if position is None:
            raise TypeError(f"{type(entry).__name__}.{name} was not read from a spec")
        self.inputs.append(Input(label, shown, SpecOrigin(entry.path_to(name), position), assumed))

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> bool:
        reason = ""
        missing: tuple[Missing, ...] = ()
        if isinstance(error, MissingInput):
            reason, missing = error.reason, error.missing
        elif isinstance(error, OutOfTable | OutOfRange | NotSolved):
            reason = str(error)
        elif error is not None:
            return False
        elif self.value is None:
            raise ValueError(f"the working of {self.id} ended without a value")
        self.book.add(
            Result(
                id=self.id,
                name=self.name,
                system=self.system,
                value=None if reason else self.value,
                formula=self.formula,
                inputs=tuple(self.inputs),
                source=self.source,
                subject=self.subject,
                case=self.case,
                engine=self.engine,
                not_assessed=reason,
                missing=missing,
                notes=tuple(self.notes),
                assumed=any(item.assumed for item in self.inputs),
            )
        )
        return True


class Book(Mapping[str, Result]):
    """The results of one vessel, by id, in the order in which they were computed."""

    def __init__(self, assumptions: Any) -> None:
        self.assumptions = assumptions
        self._results: dict[str, Result] = {}

    def working(
        self,
        result_id: str,
        name: str,
        system: SystemName,
        *,
        formula: str,
        source: str,
        subject: str = "",
        case: str = "",
        engine: str = "",
    ) -> Working:
        """Open the working of one result."""
        return Working(self, result_id, name, system, formula, source, subject, case, engine)

    def copy(self) -> Book:
        """A book with the results so far, to try something in."""
        made = Book(self.assumptions)
        made._results.update(self._results)
        return made

    def add(self, result: Result) -> None:
        """Enter a result. ValueError where its id is taken."""
        if result.id in self._results:
            raise ValueError(f"two results are called {result.id}")
        self._results[result.id] = result

    def __getitem__(self, result_id: str) -> Result:
        return self._results[result_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._results)

    def __len__(self) -> int:
        return len(self._results)

    def about(self, subject: str, case: str | None = None) -> list[Result]:
        """The results on one subject, in order."""
        return [
            result
            for result in self._results.values()
            if result.subject == subject and (case is None or result.case == case)
        ]

    def used_by(self, result_id: str) -> list[str]:
        """Ids of the results that have this one among their inputs."""
        return [
            result.id
            for result in self._results.values()
            if any(
                isinstance(item.origin, ResultOrigin) and item.origin.result == result_id
                for item in result.inputs
            )
        ]
