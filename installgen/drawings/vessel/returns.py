"""The ways that a starter's current takes with a main negative loose: block, bonding, battery."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.analyse import Analysis
from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_returns import LooseNegative, Return
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Line, Status
from installgen.drawings.vessel.harness import Harness, is_heavy, wire_href
from installgen.drawings.vessel.wiring import Joined, WiringMap
from installgen.drawings.vessel.words import Sayable, Words, said, table_only
from installgen.spec.electrical import DeviceBase
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
        was = self.words.amount(Current(self.loose.before_a), "current")
        self._edge(
            self.main,
            Line.RETURN,
            [*self.harness.size_lines(self.main), "loose", f"{was.short} before"],
            forward=self.loose.forward,
        )
        for way, wire in self.ways:
            heavy = Line.CABLE if is_heavy(self.harness.size_of(wire)) else Line.CONDUCTOR
            line = Line.LINKAGE if isinstance(way.entry, VesselCable) else heavy
            self._edge(wire, line, self._lines(way, wire), self._status(way), forward=way.forward)
        engine = self.words.vessel.engine(self.loose.engine)
        label = self.loose.main.wire.label
        return self.harness.draft.drawing(
            self.words.figure_id("returns", engine) + further,
            self.words.titled(f"Ways of the starter's current with {label} loose", engine),
            "From the engine block to the battery, the starter engaged, in the first instant. "
            "Arrows show which way the current runs. Beside each way stand its label, its size, "
            "what it then carries and what it may carry.",
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

    def _lines(self, way: Return, wire: Joined) -> Iterator[Sayable]:
        if way.wire is None:
            yield way.label
        else:
            yield from self.harness.size_lines(wire)
        yield from self.words.result(self.loose.current_id(way), "current", "carries {}")
        yield from self.words.result(ampacity_id(way.element), "ampacity", "may carry {}")
        length = known(getattr(way.entry, "length", None))
        yield from map(table_only, self.words.field(length, "length"))
        yield table_only(said(getattr(way.entry, "function", "")))

    def _status(self, way: Return) -> Status:
        """Whether it carries more than it may."""
        allowed = self.words.book.get(ampacity_id(way.element))
        if allowed is None:
            return Status.NORMAL
        if not isinstance(allowed.value, Current):
            return Status.NOT_ASSESSED
        return Status.FAIL if way.current_a > allowed.value.a else Status.NORMAL

    def _edge(
        self,
        wire: Joined,
        line: Line,
        lines: list[Sayable] | Iterator[Sayable],
        status: Status = Status.NORMAL,
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
            note="too much" if status is Status.FAIL else "",
        )


class ReturnsHarness(Harness):
    """The parts that the ways pass; on a twin with the engine that each is on."""

    def _more(self, part: str, device: DeviceBase) -> list[Sayable]:
        device_id = part if part in self.wiring.devices else part.rpartition(".")[0]
        _, engine = self.wiring.devices[device_id]
        if engine is None or not self.words.several:
            return []
        return [self.words.engine_name(engine).lower()]
