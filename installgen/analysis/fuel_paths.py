"""The ways of the fuel through the vessel: from a tank to an engine, and back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from installgen.analysis.circuits import LaidCircuit, LaidLine, LaidPart
from installgen.spec.vessel import FittedEngine


@dataclass(frozen=True)
class FuelPath:
    """One way of the fuel through the vessel's own lines, in the sense of its flow.

    tank: where it starts (supply) or ends (return)
    lines, parts: on the way, the tank left out
    connection: the engine's connection point at the other end
    """

    tank: LaidPart
    lines: tuple[LaidLine, ...]
    parts: tuple[LaidPart, ...]
    connection: str


def supply_paths(circuit: LaidCircuit, engine: FittedEngine) -> list[FuelPath]:
    """Every way from a tank of the vessel to the engine's supply connection."""
    return list(paths_of(circuit, engine, "supply"))


def return_paths(circuit: LaidCircuit, engine: FittedEngine) -> list[FuelPath]:
    """Every way from the engine's return connection to a tank of the vessel."""
    return list(paths_of(circuit, engine, "return"))


PRIMED = ("water-separator", "lift-pump", "pump", "filter", "injection-pump", "injector", "fitting")
"""Kinds of part that are primed, drained or bled; a valve is only opened or shut."""


def priming_steps(circuit: LaidCircuit, engine: FittedEngine) -> tuple[LaidPart, ...]:
    """The parts where a person primes or bleeds, from the tank to the injection pump."""
    supply = supply_paths(circuit, engine)
    steps = [part for part in supply[0].parts if _primed(part)] if supply else []
    own = {part.id: part for part in circuit.parts if part.engine is engine}
    at = f"{engine.name}.{supply[0].connection}" if supply else ""
    passed: set[str] = set()
    while at not in passed:
        passed.add(at)
        ahead = next(
            (
                line
                for line in circuit.lines
                if line.engine is engine and line.line.kind == "supply" and line.start == at
            ),
            None,
        )
        if ahead is None:
            break
        at = ahead.end
        if at in own and _primed(own[at]):
            steps.append(own[at])
    return tuple(steps)


def _primed(part: LaidPart) -> bool:
    """A separator has its drain, said or not; the others a screw or lever only where said."""
    kind = part.part.kind
    return kind == "water-separator" or (bool(part.part.means) and kind in PRIMED)


def paths_of(circuit: LaidCircuit, engine: FittedEngine, kind: str) -> Iterator[FuelPath]:
    """Every way through the vessel's lines of a kind, `supply` or `return`."""
    parts = {part.id: part for part in circuit.parts if part.engine is None}
    lines = [line for line in circuit.lines if line.engine is None and line.line.kind == kind]
    for line in lines:
        outer = line.end if kind == "supply" else line.start
        if not outer.startswith(f"{engine.name}."):
            continue
        connection = outer.removeprefix(f"{engine.name}.")
        for found, passed, tank in _walk(line, lines, parts, kind, ()):
            if kind == "supply":
                found, passed = found[::-1], passed[::-1]
            yield FuelPath(tank, found, passed, connection)


def _walk(
    line: LaidLine,
    lines: list[LaidLine],
    parts: dict[str, LaidPart],
    kind: str,
    seen: tuple[str, ...],
) -> Iterator[tuple[tuple[LaidLine, ...], tuple[LaidPart, ...], LaidPart]]:
    """From a line at the engine, away from it, to every tank."""
    inner = line.start if kind == "supply" else line.end
    part = parts.get(inner)
    if part is None or inner in seen:
        return
    if part.part.kind == "tank":
        yield (line,), (), part
        return
    for other in lines:
        if (other.end if kind == "supply" else other.start) == inner:
            for found, passed, tank in _walk(other, lines, parts, kind, (*seen, inner)):
                yield (line, *found), (part, *passed), tank
