"""Coolant, oil, fuel and crankcase vent: what is special to each of these circuits."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from installgen.analysis.analyse import Analysis
from installgen.analysis.circuits import LaidCircuit
from installgen.analysis.coolant import coolant_systems
from installgen.analysis.speeds import SpeedName, figure_id
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Line
from installgen.drawings.vessel.circuit import CircuitDrawing
from installgen.drawings.vessel.words import Sayable, Words
from installgen.spec.vessel import FittedEngine

SPEED: SpeedName = "cruise"

More = dict[str, list[Sayable]]


def fluid_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """A drawing of each circuit for each engine that has it."""
    words = Words(analysis.vessel, analysis.book)
    for system, make in MAKERS.items():
        circuit = analysis.circuits.get(system)
        for engine in analysis.vessel.engines:
            if circuit is not None and has(circuit, engine):
                yield make(words, circuit, engine)


def has(circuit: LaidCircuit, engine: FittedEngine) -> bool:
    """Whether anything of a circuit is on an engine or leads to it."""
    own = f"{engine.name}."
    names = [part.id for part in circuit.parts]
    names += [end for line in circuit.lines for end in (line.start, line.end)]
    return any(name.startswith(own) for name in names)


def coolant(words: Words, circuit: LaidCircuit, engine: FittedEngine) -> Drawing:
    """The closed loop with its vents, thermostats and tanks."""
    more: More = {}
    thermostat = engine.sheet.thermostat
    for part in circuit.of_kind("thermostat"):
        if part.engine is engine and thermostat is not None:
            more[part.id] = [
                *words.field(thermostat.opens, "opening temperature", "opens at {}"),
                *words.field(thermostat.full_open, "full-open temperature", "full open at {}"),
            ]
    for part in circuit.of_kind("jacket"):
        if part.engine is engine:
            held = engine.sheet.capacities.coolant
            more[part.id] = [*words.field(held, "coolant", "{} in the engine")]
    key = next(s.key for s in coolant_systems(words.vessel, circuit) if engine in s.engines)
    held_by_all = words.in_full(f"{key}.volume", " The whole system holds {}.")
    return CircuitDrawing(words, circuit, engine, more).drawing(
        "Coolant",
        "The closed coolant loop: from the pump through the engine, then back by way of the heat "
        f"exchanger or past it, with vents to the header tank.{held_by_all}",
        {Line.FLOW: "coolant", Line.RETURN: "back to the pump", Line.VENT: "vent"},
    )


def oil(words: Words, circuit: LaidCircuit, engine: FittedEngine) -> Drawing:
    """From the sump through pump, cooler and filter, and back by drains."""
    more: More = {}
    capacities = engine.sheet.capacities
    for part in circuit.of_kind("sump"):
        if part.engine is engine:
            more[part.id] = [
                *words.field(capacities.oil_full, "upper mark", "{} at the upper mark"),
                *words.field(capacities.oil_least, "lower mark", "{} at the lower mark"),
            ]
    fill = words.in_full(f"{engine.name}.oil.fill", " An oil change with filters takes {}.")
    return CircuitDrawing(words, circuit, engine, more).drawing(
        "Lubricating oil",
        "From the sump through pump, cooler and filter to whatever is lubricated, and back by "
        f"drains that fall.{fill}",
        {Line.FLOW: "oil under pressure", Line.RETURN: "drain to the sump"},
    )


def fuel(words: Words, circuit: LaidCircuit, engine: FittedEngine) -> Drawing:
    """Supply and return, with what flows at cruise."""
    more: More = {}
    supplied = words.result(f"{engine.name}.fuel.{SPEED}.supply", "supply", "{} at cruise")
    returned = words.result(figure_id(engine, SPEED, "fuel_return"), "return", "{} at cruise")
    for line in circuit.lines:
        own = f"{engine.name}."
        if line.engine is None and line.line.kind == "supply" and line.end.startswith(own):
            more[line.end] = [*supplied]
        if line.engine is None and line.line.kind == "return" and line.start.startswith(own):
            more[line.start] = [*returned]
    burn = words.result(figure_id(engine, SPEED, "fuel"), "burn", "burns {} at cruise")
    for part in circuit.of_kind("injector"):
        if part.engine is engine:
            more[part.id] = [*burn]
    return CircuitDrawing(words, circuit, engine, more).drawing(
        "Fuel",
        "From the tank through filters, lift pump and injection pump to the injectors, and back "
        "by leak-off and return.",
        {Line.FLOW: "supply", Line.RETURN: "return and leak-off"},
    )


def crankcase_vent(words: Words, circuit: LaidCircuit, engine: FittedEngine) -> Drawing:
    """Where the vapour goes."""
    names = {part.id: part.part.title for part in circuit.parts}
    vents = [line for line in circuit.lines if line.line.kind == "vent" and line.engine is engine]
    starts = {line.start for line in vents}
    ends = [names[line.end] for line in vents if line.end not in starts and line.end in names]
    where = f": it ends at the {' and the '.join(lower(end) for end in ends)}" if ends else ""
    return CircuitDrawing(words, circuit, engine).drawing(
        "Crankcase vent",
        f"Where the vapour of the crankcase goes{where}.",
        {Line.FLOW: "vent", Line.RETURN: "oil that runs back", Line.VENT: "vapour"},
    )


def lower(text: str) -> str:
    """The text with a small letter first."""
    return text[:1].lower() + text[1:]


MAKERS: dict[str, Callable[[Words, LaidCircuit, FittedEngine], Drawing]] = {
    "coolant": coolant,
    "oil": oil,
    "fuel": fuel,
    "crankcase-vent": crankcase_vent,
}
