"""Everything that the pages of one vessel are made from, and how they ask for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from installgen.analysis.analyse import Analysis
from installgen.analysis.fault_trees import EngineFaults, fault_studies
from installgen.analysis.readings import EngineReadings, expected_readings
from installgen.analysis.results import Book, Result, ResultOrigin, SystemName
from installgen.findings.finding import Findings
from installgen.manual.blocks import (
    Amount,
    Caution,
    Code,
    Figure,
    Heading,
    Line,
    Link,
    Mark,
    Outcome,
    Page,
    Paragraph,
    SignalWord,
    Target,
)
from installgen.manual.words import Words, words
from installgen.spec.electrical import DeviceBase
from installgen.spec.entry import Choose, Unknown
from installgen.spec.folder import Kind
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import ConductorSize, Quantity, System, ThreadSize, rounded
from installgen.units.display import NBSP


@dataclass(frozen=True)
class VesselManual:
    """One vessel, analysed, judged and drawn.

    drawings: ids of the drawings that there are
    findings: what the standard says of her
    studied: what can be wrong with her circuits, where that was studied already
    drawn: what each drawing says, where revisions are to be compared
    earlier: her revisions before this one, the latest first
    thorough: whether the pages to swap were asked for, which means writing every page once more,
        and what would clear a finding, which means computing her again
    """

    analysis: Analysis
    findings: Findings
    drawings: frozenset[str] = frozenset()
    words: Words = field(default_factory=words)
    studied: tuple[EngineFaults, ...] | None = None
    drawn: Mapping[str, object] = field(default_factory=dict)
    earlier: tuple[EarlierManual, ...] = ()
    thorough: bool = True

    @property
    def vessel(self) -> Vessel:
        """The resolved vessel."""
        return self.analysis.vessel

    @property
    def book(self) -> Book:
        """Her results."""
        return self.analysis.book

    @property
    def first(self) -> System:
        """The system of units that leads."""
        return self.vessel.spec.units.first

    @property
    def several(self) -> bool:
        """Whether she has more than one engine."""
        return len(self.vessel.engines) > 1

    @cached_property
    def faults(self) -> tuple[EngineFaults, ...]:
        """What can be wrong with each engine's circuits; studied when a page asks for it."""
        if self.studied is not None:
            return self.studied
        return () if self.analysis.dc is None else fault_studies(self.analysis.dc)

    @cached_property
    def readings(self) -> tuple[EngineReadings, ...]:
        """What a meter should show in each engine's circuits."""
        return () if self.analysis.dc is None else expected_readings(self.analysis.dc)

    # ---- words -----------------------------------------------------------------------------

    def say(self, key: str, **parts: Line) -> Line:
        """A fixed sentence with its gaps filled."""
        return self.words.say(key, **parts)

    def text(self, key: str, **parts: str) -> str:
        """A fixed sentence that is text alone."""
        return self.words.text(key, **parts)

    def link(self, key: str, page: str, anchor: str = "") -> Link:
        """A fixed sentence that leads somewhere."""
        return Link(self.words.text(key), Target(page, anchor))

    def paragraph(self, key: str, **parts: Line) -> Paragraph:
        """A fixed sentence as a paragraph."""
        return Paragraph(self.words.say(key, **parts))

    def caution(self, word: SignalWord, *keys: str, more: Sequence[Line] = ()) -> Caution:
        """A panel of fixed sentences; the last one defers to those who know the work.

        more: sentences whose gaps are filled, after the fixed ones
        """
        lines = (*(self.words.say(key) for key in keys), *more)
        return Caution(word, (*lines, self.words.say("safety.deferral")))

    def listed(self, *keys: str) -> str:
        """Fixed words as a list that reads: `Batteries, alternators and fuses`."""
        words = [self.words.text(key) for key in keys]
        words = [words[0], *(word[:1].lower() + word[1:] for word in words[1:])]
        if len(words) == 1:
            return words[0]
        return self.words.text("phrases.and", first=", ".join(words[:-1]), last=words[-1])

    def has(self, *kinds: type[Any]) -> bool:
        """Whether a device of one of these kinds is fitted."""
        return any(isinstance(device, kinds) for device, _ in self.devices.values())

    def choice(self, group: str, value: str) -> str:
        """The trade's words for a word of the spec, such as `hose-spigot`."""
        return self.words.text(f"{group}.{value}")

    # ---- engines ---------------------------------------------------------------------------

    def engine_name(self, engine: FittedEngine) -> str:
        """What the manual calls an engine: `Port engine`, or `Engine` where there is one."""
        if not self.several:
            return self.text("engine.only")
        return self.text("engine.one_of", name=engine.name.replace("-", " ").capitalize())

    def heading_text(self, key: str, anchor: str, **parts: str) -> Heading:
        """A heading whose fixed words have gaps."""
        return Heading(self.text(key, **parts), anchor)

    def engine_head(self, engine: FittedEngine) -> Iterator[Heading]:
        """A heading over what concerns one engine of several."""
        if self.several:
            yield Heading(self.engine_name(engine), f"{engine.name}.engine")

    def heading_of(self, key: str, anchor: str, engine: FittedEngine) -> Heading:
        """A heading over one engine's part of a page that is not divided by engines."""
        if not self.several:
            return Heading(self.text(key), anchor)
        text = f"{self.text(key)} · {self.engine_name(engine)}"
        return Heading(text, f"{engine.name}.{anchor}")

    def heading(self, key: str, anchor: str, engine: FittedEngine | None = None) -> Heading:
        """A heading; under that of an engine, where a page is divided by engines."""
        if engine is None or not self.several:
            return Heading(self.text(key), anchor)
        return Heading(self.text(key), f"{engine.name}.{anchor}", 3)

    def caption(self, key: str, engine: FittedEngine | None = None) -> str:
        """A table's caption, which names its engine where there are several."""
        if engine is None or not self.several:
            return self.text(key)
        return f"{self.text(key)} · {self.engine_name(engine)}"

    # ---- results and fields ----------------------------------------------------------------

    def outcome(self, result_id: str, *, bare: bool = False) -> Line:
        """A result by its id; nothing where it was not asked for."""
        return Outcome(self.book[result_id], bare) if result_id in self.book else ""

    def results(self, system: SystemName) -> list[Result]:
        """The results of a system, in the order in which they were computed."""
        return self._by_system.get(system, [])

    @cached_property
    def _by_system(self) -> Mapping[SystemName, list[Result]]:
        found: dict[SystemName, list[Result]] = {}
        for result in self.book.values():
            found.setdefault(result.system, []).append(result)
        return found

    @cached_property
    def used_by(self) -> Mapping[str, tuple[Result, ...]]:
        """For each result, the results that it is an input of."""
        found: dict[str, list[Result]] = {}
        for result in self.book.values():
            inputs = [item.origin for item in result.inputs]
            names = [origin.result for origin in inputs if isinstance(origin, ResultOrigin)]
            for name in dict.fromkeys(names):
                found.setdefault(name, []).append(result)
        return {name: tuple(results) for name, results in found.items()}

    @cached_property
    def devices(self) -> Mapping[str, tuple[DeviceBase, FittedEngine | None]]:
        """Every electrical device by its full id, with the engine it sits on."""
        return {device_id: (device, engine) for device_id, device, engine in self.vessel.devices()}

    def field(self, value: Any, *, bare: bool = False) -> Line:
        """A field of a spec as a cell: both systems, a mark where it is unknown, else nothing."""
        if value is None:
            return ""
        if isinstance(value, Unknown):
            return Mark("unknown")
        if isinstance(value, Choose):
            return Mark("proposed")
        if isinstance(value, Quantity | ConductorSize | ThreadSize):
            return Amount(value, bare=bare)
        return rounded(value) if isinstance(value, float) else str(value)

    def as_written(self, value: Any) -> Line:
        """A nominal size or rating as somebody wrote it: `10 mm`, `105 °C`; no conversion of it.

        A stud of 10 mm is no stud of 0.394 in, and 105 °C is the name of a class of insulation.
        """
        text = getattr(value, "text", "")
        return text.replace(" ", NBSP) if text else self.field(value)

    def place(self, place_id: str | None) -> str:
        """The name of a space aboard."""
        if place_id is None:
            return ""
        places = {place.id: place.name for place in self.vessel.spec.places}
        return places.get(place_id, place_id)

    def figure(self, drawing: str, engine: FittedEngine | None = None) -> Iterator[Figure]:
        """The sheets of a drawing, if there are any: of one engine, or of vessel and engines."""
        engines = self.vessel.engines if engine is None else (engine,)
        names = [f"{one.name}.{drawing}" for one in engines]
        for name in names if engine is not None and self.several else [drawing, *names]:
            for sheet in sorted(self.drawings):
                if sheet == name or sheet.startswith(f"{name}."):
                    yield Figure(sheet)


@dataclass(frozen=True)
class EarlierManual:
    """The manual of an earlier revision.

    pages: its pages without the first one, which carries nothing but the revision's own
    lines: what each of them says, by its id
    kept: kinds of files of that time that there are; what is not kept is as today
    """

    manual: VesselManual
    pages: tuple[Page, ...]
    lines: Mapping[str, Sequence[str]]
    kept: frozenset[Kind]


def coded(name: str, code: str) -> Line:
    """A thing's name with the short code on its label."""
    return (Code(code), " ", name) if code else name


def sentence(text: str) -> str:
    """The text with a capital letter first."""
    return text[:1].upper() + text[1:]


def full_stop(text: str) -> str:
    """A sentence from a spec with a capital letter first and one full stop at its end."""
    return sentence(text.strip().rstrip(".") + ".")
