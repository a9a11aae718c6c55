"""Coolant, oil and fuel: which parts and lines each circuit has, and what they hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from installgen.analysis.results import Book, MissingInput, SystemName, Working
from installgen.calc.volumes import hose_volume_m3
from installgen.spec.piping import CircuitLine, CircuitPart
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import VesselCircuit
from installgen.units import Volume

CircuitName = Literal["coolant", "oil", "fuel", "crankcase-vent"]


@dataclass(frozen=True)
class LaidPart:
    """A part of a circuit, by the name that lines use: `engine.lift-pump`, `fuel-tank`."""

    id: str
    part: CircuitPart
    engine: FittedEngine | None


@dataclass(frozen=True)
class LaidLine:
    """A line of a circuit; `start` and `end` are parts or connection points."""

    id: str
    line: CircuitLine
    start: str
    end: str
    engine: FittedEngine | None


@dataclass(frozen=True)
class LaidCircuit:
    """One fluid's circuit: the engines' own parts and what the vessel adds."""

    system: CircuitName
    parts: tuple[LaidPart, ...]
    lines: tuple[LaidLine, ...]

    def of_kind(self, *kinds: str) -> list[LaidPart]:
        """The parts of these kinds."""
        return [part for part in self.parts if part.part.kind in kinds]


def lay_circuit(vessel: Vessel, system: CircuitName) -> LaidCircuit | None:
    """A circuit as fitted; nothing where neither engine nor vessel has one."""
    parts = list(_engine_parts(vessel, system))
    lines = list(_engine_lines(vessel, system))
    own: VesselCircuit | None = getattr(vessel.spec, system.replace("-", "_"))
    if own is not None:
        parts += [LaidPart(part.id, part, None) for part in own.parts]
        lines += [LaidLine(line.id, line, line.from_, line.to, None) for line in own.lines]
    return LaidCircuit(system, tuple(parts), tuple(lines)) if parts or lines else None


def _engine_parts(vessel: Vessel, system: str) -> Iterator[LaidPart]:
    for engine in vessel.engines:
        circuit = engine.circuit(system)
        for part in circuit.parts if circuit else []:
            yield LaidPart(f"{engine.name}.{part.id}", part, engine)


def _engine_lines(vessel: Vessel, system: str) -> Iterator[LaidLine]:
    for engine in vessel.engines:
        circuit = engine.circuit(system)
        for line in circuit.lines if circuit else []:
            yield LaidLine(
                f"{engine.name}.{line.id}",
                line,
                f"{engine.name}.{line.from_}",
                f"{engine.name}.{line.to}",
                engine,
            )


def part_volume_id(system: str, part: LaidPart) -> str:
    """Id of what a part holds."""
    return f"{system}.part.{part.id}.volume"


def line_volume_id(system: str, line: LaidLine) -> str:
    """Id of what a line holds."""
    return f"{system}.line.{line.id}.volume"


def analyse_volumes(book: Book, circuit: LaidCircuit) -> list[str]:
    """Enter the volume of every part and line that counts; returns their ids."""
    system: SystemName = "oil" if circuit.system == "crankcase-vent" else circuit.system
    ids = []
    for part in circuit.parts:
        if part.engine is None and part.part.kind in _HOLDS and part.part.kind != "tank":
            ids.append(_part_volume(book, system, part))
    for line in circuit.lines:
        if line.line.counted == "yes" and line.line.kind != "vent":
            ids.append(_line_volume(book, system, line))
    return ids


_HOLDS = {
    "tank",
    "expansion-tank",
    "header-tank",
    "heater",
    "calorifier",
    "exchanger",
    "filter",
    "water-separator",
    "cooler",
}


def _part_volume(book: Book, system: SystemName, part: LaidPart) -> str:
    result_id = part_volume_id(system, part)
    with book.working(
        result_id,
        f"Volume of {part.part.title}",
        system,
        formula="as written",
        source="vessel spec",
        subject=part.id,
    ) as w:
        w.spec(part.part, "kind", f"kind of {part.part.title}")
        volume = w.spec(part.part, "volume", f"volume of {part.part.title}")
        if part.part.kind == "expansion-tank":
            level = w.spec(part.part, "fill_level", f"fill level of {part.part.title}, cold")
            volume = Volume(volume.m3 * level.ratio)
        w.value = volume
    return result_id


def _line_volume(book: Book, system: SystemName, line: LaidLine) -> str:
    result_id = line_volume_id(system, line)
    with book.working(
        result_id,
        f"Volume of the line {line.id}",
        system,
        formula="V = π/4·d²·L",
        source="geometry",
        subject=line.id,
    ) as w:
        w.spec(line.line, "kind", "kind of line")
        w.spec(line.line, "counted", "counted")
        bore = w.spec(line.line, "bore", "bore").m
        w.value = Volume(hose_volume_m3(bore, w.spec(line.line, "length", "length").m))
    return result_id


def total(w: Working, ids: list[str], first: Volume | None = None) -> Volume:
    """The sum of volumes. Raises MissingInput where one of them is not assessed."""
    m3 = 0.0 if first is None else first.m3
    for result_id in ids:
        m3 += w.result(result_id).m3
    if m3 == 0.0:
        raise MissingInput("nothing in this circuit has a volume")
    return Volume(m3)
