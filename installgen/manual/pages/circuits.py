"""What the pages of coolant, oil and fuel share: parts, lines, volumes of a laid circuit."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.circuits import LaidCircuit, LaidLine, LaidPart
from installgen.manual.blocks import Block, Line, Link, Row, Target, joined
from installgen.manual.links import CIRCUIT_PAGES, CONNECTIONS
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine


def circuit_tables(m: VesselManual, circuit: LaidCircuit) -> Iterator[Block]:
    """The parts of a circuit, then its lines, the vessel's own before the engine's."""
    parts = sorted(circuit.parts, key=lambda part: part.engine is not None)
    lines = sorted(circuit.lines, key=lambda line: line.engine is not None)
    yield from table(
        m.text("circuits.parts_caption"),
        columns(m, "part where volume# do part_number change_every"),
        (_part(m, part) for part in parts),
    )
    yield from table(
        m.text("circuits.lines_caption"),
        columns(m, "line from to bore# length# notes"),
        (_line(m, circuit, line) for line in lines if _is_run(line)),
    )
    yield from table(
        m.text("circuits.inside_caption"),
        columns(m, "line from to when"),
        (_inside(m, circuit, line) for line in lines if not _is_run(line)),
    )


def _is_run(line: LaidLine) -> bool:
    """Whether a line is a hose or pipe that somebody lays, and not a passage in the engine."""
    return line.engine is None or line.line.bore is not None or line.line.length is not None


def _part(m: VesselManual, part: LaidPart) -> Row:
    entry = part.part
    where: Line = m.place(entry.place)
    if part.engine is not None:
        where = on_engine(m, part.engine)
    return Row(
        (
            coded(entry.title, entry.code),
            where,
            m.field(entry.volume),
            joined([entry.means, entry.find, entry.notes], " "),
            entry.part_number,
            entry.change_every,
        ),
        part.id,
    )


def on_engine(m: VesselManual, engine: FittedEngine) -> str:
    """That something sits on the engine, and on which where there are several."""
    if m.several:
        return m.text("phrases.on_named_engine", name=m.engine_name(engine))
    return m.text("phrases.on_engine")


def _line(m: VesselManual, circuit: LaidCircuit, line: LaidLine) -> Row:
    entry = line.line
    kind = known(entry.hose)
    hose: Line = m.choice("hoses", kind) if kind else m.field(entry.hose)
    slope = m.choice("slopes", entry.slope) if entry.slope else ""
    return Row(
        (
            m.choice("lines", entry.kind),
            end_of_line(m, circuit, line.start),
            end_of_line(m, circuit, line.end),
            m.field(entry.bore),
            m.field(entry.length),
            joined([hose, slope, entry.open_when, m.place(entry.place), entry.notes]),
        ),
        line.id,
    )


def _inside(m: VesselManual, circuit: LaidCircuit, line: LaidLine) -> Row:
    entry = line.line
    slope = m.choice("slopes", entry.slope) if entry.slope else ""
    return Row(
        (
            m.choice("lines", entry.kind),
            end_of_line(m, circuit, line.start),
            end_of_line(m, circuit, line.end),
            joined([entry.open_when, slope, entry.notes]),
        ),
        line.id,
    )


def end_of_line(m: VesselManual, circuit: LaidCircuit, name: str) -> Line:
    """A part of the circuit, or a connection point of an engine."""
    for part in circuit.parts:
        if part.id == name:
            text = coded(part.part.title, part.part.code)
            return Link(text, Target(CIRCUIT_PAGES[circuit.system], part.id))
    engine_name, _, point_id = name.partition(".")
    for engine in m.vessel.engines:
        if engine.name == engine_name:
            for point in engine.sheet.connections:
                if point.id == point_id:
                    return Link(coded(point.name, point.code), Target(CONNECTIONS, name))
    return name
