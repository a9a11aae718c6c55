"""The ways that a starter's current takes with a main negative loose: block, bonding, battery."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.analyse import Analysis
from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_returns import LooseNegative, Return
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Kind, Line, Status
from installgen.drawings.vessel import links
from installgen.drawings.vessel.harness import Harness, is_heavy, wire_href
from installgen.drawings.vessel.wiring import Joined, WiringMap
from installgen.drawings.vessel.words import (
    LEAST_A,
    Said,
    Sayable,
    Words,
    said,
    table_only,
    worded,
)
from installgen.spec.entry import known
from installgen.spec.vessel_spec import VesselCable
from installgen.units import Current

LINE_WORDS = {
    Line.RETURN: "main negative, loose",
    Line.CABLE: "another way, of 16 mm², 4 AWG or more",
    Line.CONDUCTOR: "another way",
    Line.LINKAGE: "metal of a control cable",
}


def returns_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """One for each main negative that has other ways beside it."""
    if analysis.dc is None:
        return
    words = Words(analysis.vessel, analysis.book)
    wiring = WiringMap(analysis.dc.model)
    begun: set[str] = set()
    for loose in analysis.dc.loose:
        if loose.returns:
            further = f".{loose.main.element}" if loose.engine in begun else ""
            begun.add(loose.engine)
            yield ReturnsSheet(words, wiring, loose).drawing(further)


class ReturnsSheet:
    """The negative side of one engine with one main negative loose."""

    def __init__(self, words: Words, wiring: WiringMap, loose: LooseNegative) -> None:
        self.words, self.wiring, self.loose = words, wiring, loose
        joined = {wire.element: wire for wire in wiring.wires}
        self.main = joined[loose.main.element]
        self.ways = [(way, joined.get(way.element) or self._cable(way)) for way in loose.returns]
        wires = [self.main, *(wire for _, wire in self.ways)]
        self.harness = ReturnsHarness(words, wiring, wires, [])

    def drawing(self, further: str) -> Drawing:
        """The finished drawing.

        further: ending of its id, where it is not the first of its engine
        """
        for wire in (self.main, *(wire for _, wire in self.ways)):
            for terminal in (wire.start, wire.end):
                self.harness.node(self.harness.part_of(terminal))
        self._edge(self.main, Line.RETURN, self._main_lines(), forward=self.loose.forward)
        for way, wire in self.ways:
            status, note = self._status(way)
            self._edge(
                wire, self._line(way, wire), self._lines(way, wire), status, note,
                forward=way.forward,
            )  # fmt: skip
        engine = self.words.vessel.engine(self.loose.engine)
        label = self.loose.main.wire.label
        return self.harness.draft.drawing(
            self.words.figure_id("returns", engine) + further,
            self.words.titled(f"Ways of the starter's current with {label} loose", engine),
            "From the engine block to the battery, the starter engaged, in the first instant. "
            "Arrows show which way the current runs. Beside each way stand its label, its size, "
            f"what it carried before, with {label} whole, what it then carries and what it may "
            "carry.",
            line_words=LINE_WORDS,
        )

    def _cable(self, way: Return) -> Joined:
        """A control cable's metal, from its block to what it touches at the station."""
        start, end = next(
            (start, end)
            for name, _, start, end in self.wiring.model.cables()
            if name == way.element
        )
        return Joined(way.element, start, end)

    def _main_lines(self) -> Iterator[Sayable]:
        yield from self.harness.size_lines(self.main)
        yield "loose"
        yield self._before(self.loose.before_a)
        ampacity = ampacity_id(self.loose.main.element)
        words = "may carry {} for long, the starter's current for seconds"
        yield from map(table_only, self.words.result(ampacity, "ampacity", words))

    def _lines(self, way: Return, wire: Joined) -> Iterator[Sayable]:
        if way.wire is None:
            yield way.label
        else:
            yield from self.harness.size_lines(wire)
        yield self._before(way.before_a)
        yield from self.words.result(self.loose.current_id(way), "current", "then carries {}")
        yield from self.words.result(ampacity_id(way.element), "ampacity", "may carry {}")
        may = self.words.book.get(ampacity_id(way.element))
        exceeds = may is not None and isinstance(may.value, Current) and way.current_a > may.value.a
        if exceeds and self.loose.as_heavy(self.words.book, way):
            yield f"as heavy as {self.loose.main.wire.label}"
        length = known(getattr(way.entry, "length", None))
        yield from map(table_only, self.words.field(length, "length"))
        yield table_only(said(getattr(way.entry, "function", "")))

    def _before(self, before_a: float) -> Said:
        """What a way carries while the starter pulls and everything is whole."""
        other_way = ", the other way" if before_a <= -LEAST_A else ""
        amount = self.words.amount(Current(abs(before_a)), "current")
        solved = self.words.book.get(solved_id(self.loose.case.case))
        working = links.result(solved) if solved is not None else ""
        return replace(worded(f"{{}} before{other_way}", amount), working=working)

    def _line(self, way: Return, wire: Joined) -> Line:
        if isinstance(way.entry, VesselCable):
            return Line.LINKAGE
        if self.loose.too_much(self.words.book, way):
            return Line.OVERLOADED
        return Line.CABLE if is_heavy(self.harness.size_of(wire)) else Line.CONDUCTOR

    def _status(self, way: Return) -> tuple[Status, str]:
        """Whether it carries more than it may, as its check judges it."""
        too_much = self.loose.too_much(self.words.book, way)
        if too_much is None:
            return Status.NOT_ASSESSED, "what it may carry"
        if not too_much:
            return Status.NORMAL, ""
        return Status.CAUTION, "no conductor" if way.wire is None else "too much"

    def _edge(
        self,
        wire: Joined,
        line: Line,
        lines: Iterator[Sayable],
        status: Status = Status.NORMAL,
        note: str = "",
        *,
        forward: bool,
    ) -> None:
        ends = (wire.start, wire.end) if forward else (wire.end, wire.start)
        tail, head = (self.harness.part_of(end) for end in ends)
        self.harness.draft.edge(
            tail,
            head,
            line,
            wire.entry.label if wire.entry is not None else "",
            lines,
            tail_port=self.harness.port(ends[0], tail),
            head_port=self.harness.port(ends[1], head),
            href=wire_href(wire) if wire.entry is not None else "",
            status=status,
            note=note,
        )


class ReturnsHarness(Harness):
    """The parts that the ways pass; on a twin with the engine that each is on."""

    def _look(self, device_id: str, which: str) -> tuple[Kind, str, list[Sayable]]:
        kind, name, lines = super()._look(device_id, which)
        _, engine = self.wiring.devices[device_id]
        if engine is None or not self.words.several:
            return kind, name, lines
        return kind, f"{name}, {self.words.engine_name(engine).lower()}", lines
