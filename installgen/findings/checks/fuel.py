"""Fuel: how long it lasts, how it is shut off, that its return is not, what its lines are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.circuits import LaidCircuit, LaidLine, LaidPart
from installgen.findings.checks.speeds import margin_at_every_speed
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    at_most,
    figure_of,
    holds,
    lacking,
    not_assessed,
    result_at_least,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import NameList
from installgen.spec.entry import Entry, known
from installgen.spec.vessel import FittedEngine
from installgen.units import Distance, Fraction, Length, PressureDifference, Time


def _fuel(survey: Survey) -> LaidCircuit | None:
    return survey.analysis.circuits.get("fuel")


def _tanks(survey: Survey) -> list[LaidPart]:
    circuit = _fuel(survey)
    return [] if circuit is None else [p for p in circuit.of_kind("tank") if p.engine is None]


def _walk(circuit: LaidCircuit, start: str, kinds: set[str], *, forward: bool) -> list[LaidLine]:
    """Every line of some kinds that is reached from a point, with the flow or against it."""
    reached: list[LaidLine] = []
    points = [start]
    for point in points:
        for line in circuit.lines:
            here, there = (line.start, line.end) if forward else (line.end, line.start)
            if here == point and line.line.kind in kinds and line not in reached:
                reached.append(line)
                points.append(there)
    return reached


def _connection(engine: FittedEngine, kind: str) -> str | None:
    """The connection point where the vessel's supply comes in, or the return goes out."""
    for point in engine.sheet.connections:
        if point.system == "fuel" and kind in (point.id.split("-")):
            return f"{engine.name}.{point.id}"
    return None


@named_check("fuel")
def fuel_endurance(survey: Survey, limit: Time) -> Iterator[Judgement]:
    """At cruise, the reserve kept back, the fuel lasts at least this long."""
    fuel = survey.vessel.spec.fuel
    if fuel is not None:
        about = About(
            "fuel", "endurance at cruise", tuple((t.part, "volume") for t in _tanks(survey))
        )
        yield result_at_least(survey.book, "fuel.cruise.endurance", limit, about)


@named_check("fuel")
def fuel_range(survey: Survey, limit: Distance) -> Iterator[Judgement]:
    """At cruise, the reserve kept back, she runs at least this far."""
    fuel = survey.vessel.spec.fuel
    if fuel is not None:
        about = About("fuel", "range at cruise", ((fuel, "speed_at_cruise"),))
        yield result_at_least(survey.book, "fuel.cruise.range", limit, about)


@named_check("fuel")
def fuel_usable(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """No more of a tank is counted as usable than this share: the rest is unpumpable or air."""
    for tank in _tanks(survey):
        about = About(tank.id, tank.part.title, ((tank.part, "usable"),))
        usable = known(tank.part.usable)
        if usable is None:
            yield lacking(about, tank.part, "usable", f"usable share of {tank.part.title}")
        else:
            yield at_most(usable, limit, about)


@named_check("fuel")
def fuel_reserve(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """At least this share is kept back before endurance and range are reckoned."""
    fuel = survey.vessel.spec.fuel
    if fuel is not None:
        about = About("fuel", "fuel kept back", ((fuel, "reserve"),))
        reserve = known(fuel.reserve)
        if reserve is None:
            yield lacking(about, fuel, "reserve")
        else:
            yield at_least(reserve, limit, about)


@named_check("fuel")
def return_never_shut(survey: Survey) -> Iterator[Judgement]:
    """No valve stands in a fuel return: shut, it would dead-head the injection pump."""
    circuit = _fuel(survey)
    if circuit is None:
        return
    parts = {part.id: part for part in circuit.parts}
    for engine in survey.engines:
        start = _connection(engine, "return")
        about = About(
            f"{engine.name}.fuel-return", f"fuel return of {engine.name}", (), engine.name
        )
        if start is None:
            yield not_assessed(about, f"the sheet of {engine.name} names no `fuel-return`")
            continue
        lines = _walk(circuit, start, {"return", "leak-off"}, forward=True)
        if not lines:
            about = About(
                about.subject, about.name, ((survey.vessel.spec.fuel, "lines"),), engine.name
            )
            yield not_assessed(about, f"no line leads away from `{start}`")
            continue
        valves = [
            parts[line.end] for line in lines if line.end in parts and _is_valve(parts[line.end])
        ]
        at: tuple[tuple[Entry, str], ...] = tuple((valve.part, "kind") for valve in valves)
        at = at or tuple((line.line, "to") for line in lines)
        about = About(about.subject, about.name, at, engine.name)
        words = ", ".join(valve.part.title for valve in valves) or "no valve"
        yield holds(not valves, words, "no valve in the return", about)


def _is_valve(part: LaidPart) -> bool:
    return part.part.kind == "valve"


@named_check("fuel")
def fuel_shutoff(survey: Survey) -> Iterator[Judgement]:
    """Between each engine and the tank there is a valve that shuts the supply."""
    yield from _on_supply(survey, "valve", "a shut-off valve")


@named_check("fuel")
def water_separator(survey: Survey) -> Iterator[Judgement]:
    """Between the tank and each engine there is a water separator."""
    yield from _on_supply(survey, "water-separator", "a water separator")


def _on_supply(survey: Survey, kind: str, asked: str) -> Iterator[Judgement]:
    circuit = _fuel(survey)
    if circuit is None:
        return
    parts = {part.id: part for part in circuit.parts}
    for engine in survey.engines:
        start = _connection(engine, "supply")
        about = About(
            f"{engine.name}.fuel-supply",
            f"fuel supply of {engine.name}",
            ((survey.vessel.spec.fuel, "lines"),),
            engine.name,
        )
        if start is None:
            yield not_assessed(about, f"the sheet of {engine.name} names no `fuel-supply`")
            continue
        lines = _walk(circuit, start, {"supply"}, forward=False)
        there = [
            parts[line.start]
            for line in lines
            if line.start in parts and parts[line.start].part.kind == kind
        ]
        if there:
            about = About(about.subject, about.name, ((there[0].part, "kind"),), engine.name)
        words = ", ".join(part.part.title for part in there) or "none"
        yield holds(bool(there), words, asked, about)


@named_check("fuel")
def return_to_tank(survey: Survey) -> Iterator[Judgement]:
    """Fuel returns to a tank that the same engine draws from, so that it does not overflow one."""
    circuit = _fuel(survey)
    if circuit is None:
        return
    tanks = {tank.id for tank in _tanks(survey)}
    for engine in survey.engines:
        supply, back = _connection(engine, "supply"), _connection(engine, "return")
        about = About(
            f"{engine.name}.fuel-return",
            f"fuel return of {engine.name}",
            ((survey.vessel.spec.fuel, "lines"),),
            engine.name,
        )
        if supply is None or back is None:
            yield not_assessed(about, f"the sheet of {engine.name} names no supply and return")
            continue
        up = _walk(circuit, supply, {"supply"}, forward=False)
        down = _walk(circuit, back, {"return", "leak-off"}, forward=True)
        drawn = tanks & {line.start for line in up}
        returned = tanks & {line.end for line in down}
        if down:
            about = About(about.subject, about.name, ((down[-1].line, "to"),), engine.name)
        source, goal = (", ".join(sorted(ends)) or "no tank" for ends in (drawn, returned))
        words = f"from {source}, to {goal}"
        ok = bool(returned) and returned <= drawn
        yield holds(ok, words, "back to the tank drawn from", about)


@named_check("fuel")
def fuel_hose(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Fuel lines of the vessel are of a kind that withstands fire."""
    for line in _own_lines(survey):
        about = About(line.id, f"fuel line {line.id}", ((line.line, "hose"),))
        hose = known(line.line.hose)
        if hose is None:
            yield lacking(about, line.line, "hose", "kind of hose")
        else:
            yield holds(hose in limit, hose, str(limit), about)


def _own_lines(survey: Survey) -> list[LaidLine]:
    circuit = _fuel(survey)
    return [] if circuit is None else [line for line in circuit.lines if line.engine is None]


@named_check("fuel")
def fuel_line_bore(survey: Survey) -> Iterator[Judgement]:
    """A fuel line of the vessel is no narrower than the engine's connection that it serves."""
    circuit = _fuel(survey)
    if circuit is None:
        return
    for engine in survey.engines:
        for kind, kinds, forward in (
            ("supply", {"supply"}, False),
            ("return", {"return", "leak-off"}, True),
        ):
            start = _connection(engine, kind)
            if start is None:
                continue
            end = engine.connection(start.partition(".")[2]).end
            asked = known(end.bore) if end is not None else None
            for line in _walk(circuit, start, kinds, forward=forward):
                if line.engine is None:
                    yield _bore(line, asked, engine.name)


def _bore(line: LaidLine, asked: Length | None, engine: str) -> Judgement:
    about = About(line.id, f"fuel line {line.id}", ((line.line, "bore"),), engine)
    bore = known(line.line.bore)
    if bore is None:
        return lacking(about, line.line, "bore")
    if asked is None:
        return not_assessed(about, f"the sheet of {engine} gives no bore of its connection")
    return at_least(bore, asked, about)


@named_check("fuel")
def filters_stated(survey: Survey) -> Iterator[Judgement]:
    """Every fuel filter and separator says its part number and when it is changed."""
    circuit = _fuel(survey)
    for part in circuit.of_kind("filter", "water-separator") if circuit is not None else ():
        engine = part.engine.name if part.engine is not None else ""
        about = About(part.id, part.part.title, ((part.part, "part_number"),), engine)
        gap = next((f for f in ("part_number", "change_every") if not getattr(part.part, f)), None)
        if gap is None:
            yield holds(True, part.part.part_number, "stated", about)
        else:
            yield lacking(about, part.part, gap)


@named_check("fuel")
def fuel_suction(survey: Survey) -> Iterator[Judgement]:
    """Filters dirty and tank low, the lift pump sucks no harder than the engine maker allows."""
    for engine in survey.engines:
        about = About(
            f"{engine.name}.fuel-suction",
            f"fuel suction of {engine.name}",
            ((survey.vessel.spec.fuel, "lines"), (engine.entry, "crankshaft")),
            engine.name,
        )
        if survey.vessel.spec.fuel is not None:
            pattern = f"{engine.name}.fuel.{{speed}}.suction-margin"
            yield margin_at_every_speed(survey, pattern, PressureDifference(0.0), about)


@named_check("fuel")
def tank_above_engine(survey: Survey) -> Iterator[Judgement]:
    """A tank that stands above the engine has a valve at the tank, or its fuel siphons out."""
    for engine in survey.engines:
        about = About(
            f"{engine.name}.fuel-tank",
            f"tank of {engine.name} against her engine",
            tuple((tank.part, "highest") for tank in _tanks(survey)),
            engine.name,
        )
        result_id = f"{engine.name}.fuel.tank-above"
        if survey.vessel.spec.fuel is None:
            continue
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
        else:
            ok = "no valve" not in str(value)
            asked = "below the engine, or a valve at the tank"
            yield replace(holds(ok, str(value), asked, about), results=(result_id,))
