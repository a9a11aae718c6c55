"""One-line drawing of the power distribution: sources, switches, protection, loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from installgen.analysis.analyse import Analysis
from installgen.analysis.results import Result
from installgen.drawings.graph import Cell, Drawing, Row, Table
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.vessel import links
from installgen.drawings.vessel.harness import Harness, wire_href
from installgen.drawings.vessel.sheet_parts import (
    instrument_wires,
    negative_wires,
    power_pieces,
)
from installgen.drawings.vessel.start_parts import start_pieces
from installgen.drawings.vessel.start_run_stop import LINE_WORDS
from installgen.drawings.vessel.wiring import Joined, WiringMap
from installgen.drawings.vessel.words import Sayable, Words, said, table_only, worded
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Conductor,
    DeviceBase,
    Fuse,
    Heater,
    Load,
    Starter,
)
from installgen.spec.vessel import FittedEngine
from installgen.units import Current

TITLE = "DC power distribution"
LEAST_ROWS = 3

MOST_PANELS = 2
"""Boxes with rows that stand side by side; with more of them each has a sheet of its own."""

TAKERS: tuple[type[DeviceBase], ...] = (Starter, Heater, Load, Alternator)


def dc_power_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """The vessel's distribution; nothing where she has no electrical system."""
    if analysis.dc is None:
        return
    words = Words(analysis.vessel, analysis.book)
    wiring = WiringMap(analysis.dc.model)
    wires = [piece for piece in power_pieces(wiring) if piece.is_wire]
    if not wires:
        return
    if not words.several:
        yield from PowerSheet(words, wiring, wires).drawings()
        return
    yield from PowerSheet(words, wiring, [wire for wire in wires if wire.engine is None]).drawings()
    for engine in analysis.vessel.engines:
        own = [wire for wire in wires if wire.engine is engine]
        if own:
            yield from PowerSheet(words, wiring, own, engine).drawings()


@dataclass(frozen=True)
class Branch:
    """A way that ends at one load: the conductors, the device on the way if any, the load."""

    wires: tuple[Joined, ...]
    guard: str
    load: str


class PowerSheet:
    """Draws the distribution: the vessel's, or what is on one engine of several."""

    def __init__(
        self,
        words: Words,
        wiring: WiringMap,
        wires: list[Joined],
        engine: FittedEngine | None = None,
    ) -> None:
        self.words, self.wiring, self.wires, self.engine = words, wiring, wires, engine
        self.branches = self._branches()
        crowded = len(self.branches) > MOST_PANELS
        self.apart = list(self.branches) if crowded else []
        self.grouped = self._grouped()
        in_rows = {
            wire.element
            for branches in self.branches.values()
            for branch in branches
            for wire in branch.wires
        } | {wire.element for many in self.grouped.values() for _, wire in many}
        drawn = [wire for wire in self.wires if wire.element not in in_rows]
        starts = wiring.positives if engine is None else self._studs()
        self.harness = PowerHarness(words, wiring, drawn, starts, takers=TAKERS)
        self.harness.shared = engine is None
        self.harness.rows = {
            device: [self._row(branch) for branch in branches]
            for device, branches in self.branches.items()
            if device not in self.apart
        }
        for device, many in self.grouped.items():
            rows = [self._feeder_row(feeder, wire) for feeder, wire in many]
            self.harness.rows[device] = [*self.harness.rows.get(device, []), *rows]

    def drawings(self) -> Iterator[Drawing]:
        """The sheet, and further ones where it would be crowded."""
        yield self.drawing()
        for feeder in self.apart:
            yield self._panel(feeder)

    def drawing(self) -> Drawing:
        """The finished drawing; the negative side is in its table."""
        self.harness.draw()
        self._onward()
        self._to_panels()
        self._between_sheets()
        whence = "the batteries" if self.engine is None else "the starter's battery stud"
        negative = "The conductors of the negative side are in the table."
        return self.harness.draft.drawing(
            self.words.figure_id("dc-power", self.engine),
            self.words.titled(TITLE, self.engine),
            f"From {whence} to whatever takes power, positive side only, one line a conductor: "
            f"its label, its size and the greatest current of all cases. {negative}",
            top=self._top(),
            line_words=LINE_WORDS | {Line.SIGNAL: "sense lead"},
            more_tables=self._tables(),
        )

    def _studs(self) -> list[str]:
        """The battery studs of the engines that this sheet draws."""
        return [
            f"{device_id}.stud"
            for device_id, (device, on) in self.wiring.devices.items()
            if isinstance(device, Starter) and (self.engine is None or on is self.engine)
        ]

    def _between_sheets(self) -> None:
        """Where several engines have a sheet each: from one sheet to the other."""
        if not self.words.several:
            return
        draft = self.harness.draft
        for stud in filter(draft.has, self._studs()):
            other = f"{stud} other sheet"
            _, on = self.wiring.devices[stud.removesuffix(".stud")]
            if self.engine is None:
                draft.node(other, Kind.CONTINUES, f"To: {self.words.titled(TITLE, on)}")
                draft.edge(stud, other, Line.CABLE)
            else:
                draft.node(other, Kind.CONTINUES, f"From: {TITLE}")
                draft.edge(other, stud, Line.CABLE)

    # ---- boxes of rows that have a sheet of their own ------------------------------------------

    def _grouped(self) -> dict[str, list[tuple[str, Joined]]]:
        """For what feeds several of these, such as a bus: each, with the conductor to it."""
        found: dict[str, list[tuple[str, Joined]]] = {}
        for feeder in self.apart:
            fed = [wire for wire in self.wires if self._leads_to(wire, feeder)]
            if len(fed) == 1 and isinstance(self.wiring.devices[feeder][0], Fuse):
                found.setdefault(self._beyond(fed[0], feeder), []).append((feeder, fed[0]))
        return {device: many for device, many in found.items() if len(many) >= LEAST_ROWS}

    def _feeder_row(self, feeder: str, wire: Joined) -> Row:
        device, _ = self.wiring.devices[feeder]
        assert isinstance(device, Fuse)
        rating = self.words.field(device.rating, "rating")[0].short
        loads = f"{len(self.branches[feeder])} loads, on a sheet of their own"
        current = said(self.harness.greatest(wire))
        cells = (
            f"{device.code or device.title} {rating}", self._labelled(wire), loads, current.full,
        )  # fmt: skip
        return Row(
            cells,
            links.device(feeder, device),
            title=", ".join((*cells, device.title)),
            working=current.working,
        )

    def _panel_title(self, feeder: str) -> str:
        device, _ = self.wiring.devices[feeder]
        return f"{TITLE}, {device.title}"

    def _to_panels(self) -> None:
        """From each feeder to the sheet of its loads."""
        draft = self.harness.draft
        for feeder in filter(draft.has, self.apart):
            onward = f"{feeder} panel"
            loads = f"{len(self.branches[feeder])} loads"
            draft.node(onward, Kind.CONTINUES, f"To: {self._panel_title(feeder)}", "", [loads])
            draft.edge(feeder, onward, Line.CONDUCTOR)

    def _panel(self, feeder: str) -> Drawing:
        """A feeder with what leads to it, and its loads as rows."""
        fed = [w for w in self.wires if self._leads_to(w, feeder)]
        before = [
            self.harness.part_of(end)
            for wire in fed
            for end in (wire.start, wire.end)
            if self.wiring.device_of(end) != feeder
        ]
        harness = PowerHarness(self.words, self.wiring, fed, before or [feeder], takers=TAKERS)
        harness.shared = self.engine is None
        harness.rows = {feeder: [self._row(branch) for branch in self.branches[feeder]]}
        harness.draw()
        if not harness.draft.has(feeder):
            harness.node(feeder)
        for part in dict.fromkeys(before) or [feeder]:
            whence = f"{part} other sheet"
            harness.draft.node(whence, Kind.CONTINUES, f"From: {TITLE}")
            harness.draft.edge(whence, part, Line.CABLE)
        device, _ = self.wiring.devices[feeder]
        return harness.draft.drawing(
            f"{self.words.figure_id('dc-power', self.engine)}.{feeder.replace('.', '-')}",
            self.words.titled(self._panel_title(feeder), self.engine),
            f"The loads behind {device.title}, positive side only, one row a load: its conductor's "
            "label, its size and the greatest current of all cases.",
            line_words=LINE_WORDS,
        )

    def _leads_to(self, wire: Joined, feeder: str) -> bool:
        """Whether a conductor joins a feeder to something that is no row of it."""
        ends = {self.wiring.device_of(wire.start), self.wiring.device_of(wire.end)}
        rows = {piece.element for branch in self.branches[feeder] for piece in branch.wires}
        return feeder in ends and wire.element not in rows

    def _top(self) -> list[str]:
        return [pole for pole in self.wiring.positives if self.harness.draft.has(pole)]

    # ---- branches that are rows of what feeds them ---------------------------------------------

    def _branches(self) -> dict[str, list[Branch]]:
        """For each device that feeds several loads and nothing behind them, its branches."""
        at: dict[str, list[Joined]] = {}
        for wire in self.wires:
            for end in (wire.start, wire.end):
                at.setdefault(self.wiring.device_of(end), []).append(wire)
        found: dict[str, list[Branch]] = {}
        for device_id, (device, _) in self.wiring.devices.items():
            if isinstance(device, Load) and len(at.get(device_id, ())) == 1:
                branch = self._branch(at, device_id)
                feeder = self._feeder(branch)
                found.setdefault(feeder, []).append(branch)
        return {feeder: many for feeder, many in found.items() if len(many) >= LEAST_ROWS}

    def _branch(self, at: dict[str, list[Joined]], load: str) -> Branch:
        wire = at[load][0]
        before = self._beyond(wire, load)
        device, _ = self.wiring.devices[before]
        if isinstance(device, Fuse) and len(at[before]) == 2:
            first = next(other for other in at[before] if other is not wire)
            return Branch((first, wire), before, load)
        return Branch((wire,), "", load)

    def _beyond(self, wire: Joined, device_id: str) -> str:
        ends = [self.wiring.device_of(end) for end in (wire.start, wire.end)]
        return ends[1] if ends[0] == device_id else ends[0]

    def _feeder(self, branch: Branch) -> str:
        return self._beyond(branch.wires[0], branch.guard or branch.load)

    def _row(self, branch: Branch) -> Row:
        load, _ = self.wiring.devices[branch.load]
        cells = []
        if branch.guard:
            guard, _ = self.wiring.devices[branch.guard]
            assert isinstance(guard, Fuse)
            rating = self.words.field(guard.rating, "rating")[0].short
            cells.append(f"{guard.code or guard.title} {rating}")
        labels = [self._labelled(wire) for wire in branch.wires]
        current = said(self.harness.greatest(branch.wires[-1]))
        cells += [" → ".join(labels), load.title, current.full]
        return Row(
            tuple(cells),
            links.device(branch.load, load),
            title=", ".join((*cells, load.code)),
            working=current.working,
        )

    def _labelled(self, wire: Joined) -> str:
        label = wire.entry.label if wire.entry else ""
        return " ".join([label, *(str(line) for line in self.harness.size_lines(wire))])

    # ---- where a way goes on ---------------------------------------------------------------

    def _onward(self) -> None:
        """After a fuse that feeds what is on another sheet: which sheet."""
        sheets: list[tuple[str, set[str]]] = []
        page = links.start_run_stop()
        for engine in self.words.vessel.engines:
            starting = {piece.element for piece in start_pieces(self.wiring, engine)}
            showing = {wire.element for wire in instrument_wires(self.wiring, engine)}
            sheets.append((self.words.titled("Start, run and stop", engine), starting))
            sheets.append((self.words.titled("Instruments", engine), showing))
        here = {wire.element for wire in self.wires}
        for device_id, (device, _) in self.wiring.devices.items():
            if not isinstance(device, Fuse) or not self.harness.draft.has(device_id):
                continue
            out = [w for w in self.wiring.wires if f"{device_id}.out" in (w.start, w.end)]
            elsewhere = {wire.element for wire in out} - here
            for name, elements in sheets:
                if elsewhere & elements:
                    onward = f"{device_id} onward {name}"
                    self.harness.draft.node(onward, Kind.CONTINUES, f"To: {name}", href=page)
                    self.harness.draft.edge(device_id, onward, Line.CONDUCTOR)
                    break

    # ---- tables ----------------------------------------------------------------------------

    def _tables(self) -> list[Table]:
        shown = {
            wire.element
            for engine in self.words.vessel.engines
            for wire in instrument_wires(self.wiring, engine)
        }
        negative = [
            wire
            for wire in negative_wires(self.wiring, shown)
            if not self.words.several or wire.engine is self.engine
        ]
        return [self._wire_table("Negative side", negative)] if negative else []

    def _wire_table(self, caption: str, wires: list[Joined]) -> Table:
        rows = []
        for wire in wires:
            assert wire.entry is not None
            colour = wire.entry.colour if isinstance(wire.entry, Conductor) else ""
            size = [*(str(line) for line in self.harness.size_lines(wire)), colour]
            greatest = said(self.harness.greatest(wire))
            rows.append(
                (
                    Cell(wire.entry.label, wire_href(wire)),
                    Cell(self.harness.terminal_words(wire.start)),
                    Cell(self.harness.terminal_words(wire.end)),
                    Cell(", ".join(part for part in size if part)),
                    Cell(greatest.full, greatest.working),
                )
            )
        columns = ("Label", "From", "To", "Conductor", "Greatest current")
        return Table(caption, columns, tuple(rows))


class PowerHarness(Harness):
    """Conductors with their currents in place of their colours.

    rows: branches inside the box of what feeds them, by its id
    shared: whether devices of several engines are on the sheet
    """

    rows: dict[str, list[Row]]
    shared: bool

    def wire_lines(self, wire: Joined) -> Iterator[Sayable]:
        """Size and greatest current; in the table colour, length, place and purpose too."""
        for line in super().wire_lines(wire):
            colour = isinstance(wire.entry, Conductor) and line == wire.entry.colour
            yield table_only(line) if colour else line
        yield self.greatest(wire)

    def greatest(self, wire: Joined) -> Sayable:
        """The greatest current of a conductor over all cases."""
        lines = self.words.result(f"conductor.{wire.element}.current", "current")
        return lines[0] if lines else "current not assessed"

    def _look(self, device_id: str, which: str) -> tuple[Kind, str, list[Sayable]]:
        kind, name, lines = super()._look(device_id, which)
        if not self.shared:
            return kind, name, lines
        return kind, self.words.titled(name, self.wiring.devices[device_id][1]), lines

    def _terminals(self, part: str, device: DeviceBase, which: str) -> list[str]:
        return []

    def port(self, terminal: str, part: str) -> str:
        return ""

    def _line(self, wire: Joined) -> Line:
        if {wire.start.rpartition(".")[2], wire.end.rpartition(".")[2]} & {"sense"}:
            return Line.SIGNAL
        return super()._line(wire)

    def _case(self, device_id: str, device: DeviceBase, which: str) -> None:
        """The negative side is not drawn."""

    def _rows(self, part: str) -> list[Row]:
        return self.rows.get(part, [])

    def _more(self, part: str, device: DeviceBase) -> list[Sayable]:
        """What a device carries or gives."""
        if isinstance(device, Fuse):
            return [*self.words.result(f"fuse.{part}.load", "current", "carries {}")]
        if isinstance(device, Alternator):
            return [*self.words.result(f"{part}.cruise.output", "output", "{} hot at cruise")]
        if isinstance(device, Battery):
            return self._battery(part.removesuffix(".positive"))
        if isinstance(device, Starter | Load | Heater):
            return self._taken(part)
        return []

    def _battery(self, device_id: str) -> list[Sayable]:
        negative = f"{device_id}.negative"
        labels = [
            wire.entry.label
            for wire in self.wiring.wires
            if wire.entry and negative in (wire.start, wire.end)
        ]
        return [f"negative: {', '.join(labels)}"] if labels else []

    def _taken(self, device_id: str) -> list[Sayable]:
        """The greatest current of a starter, a load or a heater over all cases."""
        results = [r for r in self.words.book.about(device_id) if r.id.endswith(".current")]
        if not results:
            return []
        if any(result.value is None for result in results):
            return ["current not assessed"]
        worst = max(results, key=amperes)
        assert worst.value is not None
        taken = worded("takes {}", self.words.amount(worst.value))
        return [replace(taken, working=links.result(worst))]


def amperes(result: Result) -> float:
    """The value of a current [A]."""
    return result.value.a if isinstance(result.value, Current) else 0.0
