"""One fluid's circuit of one engine: its parts, its lines, what the vessel adds to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from installgen.analysis.circuits import LaidCircuit, LaidLine, LaidPart
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.vessel import links
from installgen.drawings.vessel.draft import Draft
from installgen.drawings.vessel.words import Said, Sayable, Words, said, table_only
from installgen.spec.engine_sheet import ConnectionPoint
from installgen.spec.entry import known
from installgen.spec.piping import End, LineKind, PartKind
from installgen.spec.vessel import FittedEngine
from installgen.units import Length

KINDS: dict[PartKind, Kind] = {
    "tank": Kind.TANK,
    "pump": Kind.PUMP,
    "lift-pump": Kind.PUMP,
    "filter": Kind.FILTER,
    "water-separator": Kind.FILTER,
    "injection-pump": Kind.PUMP,
    "injector": Kind.INJECTOR,
    "cooler": Kind.COOLER,
    "valve": Kind.VALVE,
    "jacket": Kind.ENGINE,
    "thermostat": Kind.THERMOSTAT,
    "turbocharger": Kind.TURBOCHARGER,
    "sump": Kind.SUMP,
    "expansion-tank": Kind.TANK,
    "header-tank": Kind.TANK,
    "heater": Kind.HEATER,
    "calorifier": Kind.HEATER,
    "exchanger": Kind.HEAT_EXCHANGER,
    "cap": Kind.DEVICE,
    "manifold": Kind.DEVICE,
    "breather": Kind.BREATHER,
    "gear": Kind.GEARBOX,
    "bearings": Kind.DEVICE,
    "fitting": Kind.DEVICE,
}
LINES: dict[LineKind, Line] = {
    "supply": Line.FLOW,
    "feed": Line.FLOW,
    "fill": Line.FLOW,
    "bypass": Line.RETURN,
    "return": Line.RETURN,
    "leak-off": Line.RETURN,
    "drain": Line.RETURN,
    "vent": Line.VENT,
    "bleed": Line.VENT,
}
SAID_BY_LINE: set[LineKind] = {"supply", "return", "vent"}
HOSES = {
    "hard-wall": "hard-wall hose",
    "soft-wall": "soft-wall hose",
    "wire-exhaust": "exhaust hose with wire",
    "fuel-a1": "fuel hose A1",
    "fuel-a2": "fuel hose A2",
    "coolant": "coolant hose",
    "oil": "oil hose",
}
LAST_USES = {"plugged": "plugged", "reserved": "reserved", "optional": "optional, not used"}


@dataclass
class CircuitDrawing:
    """Draws the circuit of one engine, or of the only one.

    more: further lines of a part or of a connection point, by its name in the circuit
    """

    words: Words
    circuit: LaidCircuit
    engine: FittedEngine
    more: Mapping[str, Iterable[Sayable]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.draft = Draft(text_width_px=176, label_width_px=150)
        self.parts = {part.id: part for part in self.circuit.parts}
        self.names = self._names()
        self.points = {
            f"{engine.name}.{point.id}": (engine, point)
            for engine in self.words.vessel.engines
            for point in engine.sheet.connections
        }

    def drawing(self, title: str, description: str, line_words: dict[Line, str]) -> Drawing:
        """The finished drawing."""
        lines = [line for line in self.circuit.lines if {line.start, line.end} <= self.names]
        ends = [end for line in lines for end in (line.start, line.end)]
        for name in dict.fromkeys([*self.parts, *ends]):
            if name in self.names:
                self._node(name)
        for line in sorted(lines, key=lambda line: list(LINES).index(line.line.kind)):
            self._edge(line)
        own = [name for name in self.names if name.startswith(f"{self.engine.name}.")]
        self.draft.group("engine", self.words.engine_name(self.engine), sorted(own))
        return self.draft.drawing(
            self.words.figure_id(self.circuit.system, self.engine),
            self.words.titled(title, self.engine),
            description,
            line_words=line_words,
        )

    # ---- what belongs to this engine -------------------------------------------------------

    def _names(self) -> set[str]:
        """Parts and points that its lines reach; tanks and other engines are not passed."""
        mine = f"{self.engine.name}."
        others = [f"{e.name}." for e in self.words.vessel.engines if e is not self.engine]
        beside: dict[str, set[str]] = {}
        for line in self.circuit.lines:
            beside.setdefault(line.start, set()).add(line.end)
            beside.setdefault(line.end, set()).add(line.start)
        waiting = [name for name in [*beside, *self.parts] if name.startswith(mine)]
        reached = set(waiting)
        while waiting:
            here = waiting.pop()
            if here.startswith(tuple(others)) or (others and self._is_tank(here)):
                continue
            fresh = beside.get(here, set()) - reached
            reached |= fresh
            waiting += sorted(fresh)
        tanks = {name for name in reached if self._is_tank(name)}
        reached |= {other for t in tanks for other in beside.get(t, ()) if self._is_tank(other)}
        loose = {part.id for part in self.circuit.parts if part.id not in beside}
        return reached | {name for name in loose if not name.startswith(tuple(others))}

    def _is_tank(self, name: str) -> bool:
        return name in self.parts and self.parts[name].part.kind == "tank"

    # ---- parts and points ------------------------------------------------------------------

    def _node(self, name: str) -> None:
        if name in self.parts:
            self._part(self.parts[name])
        elif name in self.points:
            self._point(name, *self.points[name])

    def _part(self, laid: LaidPart) -> None:
        part, words = laid.part, self.words
        lines: list[Sayable] = [
            *words.field(part.volume, "volume"),
            *words.field(part.usable, "usable share", "{} usable"),
            *self.more.get(laid.id, ()),
        ]
        if part.part_number:
            lines.append(part.part_number)
        for text in (part.change_every, words.place(part.place), part.means, part.find, part.notes):
            if text:
                lines.append(table_only(f"every {text}" if text is part.change_every else text))
        self.draft.node(
            laid.id,
            KINDS[part.kind],
            capital(part.title),
            part.code,
            lines,
            href=links.circuit_part(self.circuit.system, laid.id),
        )

    def _point(self, name: str, engine: FittedEngine, point: ConnectionPoint) -> None:
        foreign = engine is not self.engine
        title = f"{self.words.engine_name(engine)}: {point.name}" if foreign else point.name
        lines = [*end_lines(self.words, point.end), *self.more.get(name, ())]
        if not any(
            name in (line.start, line.end) and line.engine is None for line in self.circuit.lines
        ):
            lines.append(LAST_USES.get(point.use, "nothing connected"))
        self.draft.node(
            name,
            Kind.CONTINUES if foreign else Kind.POINT,
            title,
            point.code,
            [*lines, table_only(point.find)],
            href=links.connection(engine.name, point.id),
        )

    # ---- lines -----------------------------------------------------------------------------

    def _edge(self, laid: LaidLine) -> None:
        self.draft.edge(
            laid.start,
            laid.end,
            LINES[laid.line.kind],
            lines=self._line_lines(laid),
            href=links.circuit_part(self.circuit.system, laid.id),
            back=laid.line.kind == "supply" and self._is_sump(laid.start),
        )

    def _is_sump(self, name: str) -> bool:
        return name in self.parts and self.parts[name].part.kind == "sump"

    def _line_lines(self, laid: LaidLine) -> Iterator[Sayable]:
        line, words = laid.line, self.words
        if line.kind not in SAID_BY_LINE:
            yield line.kind
        yield from words.field(line.bore, "bore", "{} bore")
        yield from words.field(line.length, "length")
        hose = known(line.hose)
        if hose is not None:
            yield HOSES[hose]
        yield from self.more.get(laid.id, ())
        fall = f"{self.circuit.system}.line.{laid.id}"
        falls = [
            *words.result(f"{fall}.fall", "fall", "falls {}"),
            *words.result(f"{fall}.slope", "slope", "slope {}"),
        ]
        yield from falls
        if line.slope and not falls:
            yield {"falls": "falls all the way", "rises": "rises all the way", "level": "level"}[
                line.slope
            ]
        if line.open_when:
            yield f"when {line.open_when}"
        for text in (words.place(line.place), line.notes):
            if text:
                yield table_only(text)


def end_lines(words: Words, end: End | None) -> list[Said]:
    """Kind and size of an end of a connection point."""
    if end is None:
        return []
    kind = {
        "hose-spigot": "spigot",
        "thread-male": "male thread",
        "thread-female": "female thread",
        "flange": "flange",
        "flat-face": "stud",
        "hose": "hose",
    }[end.kind]
    size = end.thread if end.kind.startswith("thread") else end.size
    if end.kind == "flat-face" and isinstance(size, Length) and size.text:
        lines = [said(f"{size.text} {kind}")]  # nominal: not converted
    else:
        lines = words.field(size, f"size of the {kind}", f"{{}} {kind}")
    if end.flange:
        lines.append(table_only(end.flange))
    return [replace(line, family="end") if line.short else line for line in lines]


def capital(text: str) -> str:
    """The text with a capital letter first."""
    return text[:1].upper() + text[1:]
