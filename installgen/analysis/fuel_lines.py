"""Fuel lines: suction with a dirty filter and a low tank, the return, what can go wrong there."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, LaidLine, LaidPart
from installgen.analysis.fuel_paths import (
    FuelPath,
    paths_of,
    priming_steps,
    return_paths,
    supply_paths,
)
from installgen.analysis.fuel_properties import cold_viscosity_pa_s, fuel_properties
from installgen.analysis.positions import connection_height_m
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.speeds import SPEEDS, figure_id
from installgen.calc.fittings import fitting_loss_coefficient
from installgen.calc.friction import bore_area_m2, friction_loss_pa
from installgen.calc.fuel import static_lift_m, suction_pa, transfer_m3_per_s
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import FuelFlow, PressureDifference, TemperatureDifference

FILTERS = ("filter", "water-separator")
JUDGED = "with dirty filters, cold fuel and the tank at its lowest level"


def analyse_fuel_lines(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    """Enter suction and return pressures, and the hazards of the return and of a high tank."""
    for engine in vessel.engines:
        if engine.circuit("fuel") is None:
            continue
        for speed in SPEEDS:
            _suction(book, vessel, circuit, engine, speed)
            _return(book, vessel, circuit, engine, speed)
            _return_rise(book, engine, speed)
            if len(circuit.of_kind("tank")) > 1:
                _transfer(book, circuit, engine, speed)
        _shutoff(book, circuit, engine)
        _tank_above(book, circuit, engine)
        _priming(book, circuit, engine)


def _working(
    book: Book, engine: FittedEngine, what: str, name: str, formula: str, source: str, speed: str
) -> Working:
    middle = f"{speed}." if speed else ""
    return book.working(
        f"{engine.name}.fuel.{middle}{what}",
        name,
        "fuel",
        formula=formula,
        source=source,
        subject=f"{engine.name}.fuel",
        case=speed,
        engine=engine.name,
    )


def _suction(
    book: Book, vessel: Vessel, circuit: LaidCircuit, engine: FittedEngine, speed: str
) -> None:
    with _working(
        book,
        engine,
        "suction",
        f"Vacuum at the fuel supply connection at {speed}",
        "ρ·g·lift + losses of lines, valves and filters",
        "hydrostatics; Darcy–Weisbach; a filter's loss goes with the flow (common practice)",
        speed,
    ) as w:
        paths = supply_paths(circuit, engine)
        if not paths:
            raise MissingInput("no supply line leads from a tank to this engine")
        found = [_suction_of(w, vessel, circuit, engine, path, speed) for path in paths]
        w.value = PressureDifference(max(0.0, *found))
        w.note(f"Judged {JUDGED}.")
        if max(found) < 0.0:
            w.note("The tank feeds the pump: there is no vacuum.")
    with _working(
        book,
        engine,
        "suction-margin",
        f"Margin of the fuel suction at {speed}",
        "limit − vacuum",
        "the limit is the engine maker's",
        speed,
    ) as w:
        vacuum = w.result(f"{engine.name}.fuel.{speed}.suction").pa
        limit = w.spec(engine.sheet.limits, "fuel_suction", "largest vacuum").pa
        w.value = PressureDifference(limit - vacuum)


def _suction_of(
    w: Working,
    vessel: Vessel,
    circuit: LaidCircuit,
    engine: FittedEngine,
    path: FuelPath,
    speed: str,
) -> float:
    _follow(w, path)
    lift = static_lift_m(
        _connection_m(w, engine, path.connection),
        w.spec(path.tank.part, "lowest", f"lowest level in {path.tank.part.title}").m,
    )
    fuel = fuel_properties(w, "density_kg_per_m3")
    viscosity = cold_viscosity_pa_s(w, vessel, fuel.density_kg_per_m3)
    losses = [
        _line_pa(w, line, _flow_m3_per_s(w, vessel, circuit, line, speed, "supply"), viscosity)
        for line in path.lines
    ]
    for part, line in zip(path.parts, path.lines, strict=False):
        flow = _flow_m3_per_s(w, vessel, circuit, line, speed, "supply")
        losses.append(_part_pa(w, part, line, flow))
    return suction_pa(lift, fuel.density_kg_per_m3, losses)


def _follow(w: Working, path: FuelPath) -> None:
    """Note what makes a way the way it is: where its lines lead, and what they lead through."""
    for line in path.lines:
        for field in ("from_", "to", "kind"):
            w.spec(line.line, field, f"{line.id}, {field.rstrip('_')}")
    for part in (path.tank, *path.parts):
        w.spec(part.part, "kind", f"kind of {part.part.title}")


def _connection_m(w: Working, engine: FittedEngine, connection: str) -> float:
    height = connection_height_m(w, engine, connection)
    if height is None:
        if engine.entry.crankshaft is None:
            w.spec(engine.entry, "crankshaft", "where the engine's crankshaft is")
        w.spec(engine.connection(connection), "at", f"where {connection} is on the engine")
        raise MissingInput(f"the height of {connection} is not given")
    return height


def _flow_m3_per_s(
    w: Working, vessel: Vessel, circuit: LaidCircuit, line: LaidLine, speed: str, kind: str
) -> float:
    """What a line carries: the flows of all engines whose path it is on."""
    total = 0.0
    for engine in vessel.engines:
        if any(line.id == one.id for path in paths_of(circuit, engine, kind) for one in path.lines):
            result = figure_id(engine, speed, "fuel_return")
            if kind == "supply":
                result = f"{engine.name}.fuel.{speed}.supply"
            if result not in w.book:
                raise MissingInput(
                    f"the engine sheet does not say how much fuel {engine.name} sends back"
                )
            total += float(w.result(result, f"{engine.name}: fuel at {speed}").m3_per_s)
    return total


def _line_pa(w: Working, line: LaidLine, flow_m3_per_s: float, viscosity_pa_s: float) -> float:
    bore = w.spec(line.line, "bore", f"bore of {line.id}").m
    length = w.spec(line.line, "length", f"length of {line.id}").m
    fuel = fuel_properties(w)
    rough = w.assume("hose_roughness", "roughness of the hose").m
    return friction_loss_pa(
        flow_m3_per_s, bore, length, rough, fuel.density_kg_per_m3, viscosity_pa_s
    )


def _part_pa(w: Working, part: LaidPart, line: LaidLine, flow_m3_per_s: float) -> float:
    """Loss of a filter (dirty), a valve or another part on the way [Pa]."""
    loss = known(part.part.loss)
    if part.part.kind in FILTERS:
        if loss is None:
            w.spec(part.part, "loss", f"loss of {part.part.title}")
            raise MissingInput(f"the loss of {part.part.title} is not given")
        at = w.spec(loss, "flow", f"flow of the loss of {part.part.title}").m3_per_s
        dirty = w.spec(part.part, "dirty_drop", f"{part.part.title}, due for a change").pa
        return float(dirty * flow_m3_per_s / at)
    if loss is not None:
        at = w.spec(loss, "flow", f"flow of the loss of {part.part.title}").m3_per_s
        drop = w.spec(loss, "drop", f"loss of {part.part.title}").pa
        return float(drop * (flow_m3_per_s / at) ** 2)
    bore = w.spec(line.line, "bore", f"bore of {line.id}").m
    if part.part.kind != "valve":
        w.spec(part.part, "loss", f"loss of {part.part.title}")
    factor = fitting_loss_coefficient("ball valve", bore)
    w.method(f"loss coefficient of {part.part.title}", round(factor, 3), "Crane TP-410, appendix A")
    velocity = flow_m3_per_s / bore_area_m2(bore)
    return float(factor * fuel_properties(w).density_kg_per_m3 * velocity**2 / 2.0)


def _return(
    book: Book, vessel: Vessel, circuit: LaidCircuit, engine: FittedEngine, speed: str
) -> None:
    with _working(
        book,
        engine,
        "return-pressure",
        f"Pressure at the fuel return connection at {speed}",
        "ρ·g·(full tank over the connection, nothing if it is lower) + losses of lines and valves",
        "hydrostatics; Darcy–Weisbach",
        speed,
    ) as w:
        paths = return_paths(circuit, engine)
        if not paths:
            raise MissingInput("no return line leads from this engine to a tank")
        fuel = fuel_properties(w, "density_kg_per_m3")
        viscosity = cold_viscosity_pa_s(w, vessel, fuel.density_kg_per_m3)
        found = []
        for path in paths:
            _follow(w, path)
            full = w.spec(path.tank.part, "highest", f"full level in {path.tank.part.title}").m
            rise = max(0.0, static_lift_m(full, _connection_m(w, engine, path.connection)))
            losses = []
            for number, line in enumerate(path.lines):
                flow = _flow_m3_per_s(w, vessel, circuit, line, speed, "return")
                losses.append(_line_pa(w, line, flow, viscosity))
                if number < len(path.parts):
                    losses.append(_part_pa(w, path.parts[number], line, flow))
            found.append(suction_pa(rise, fuel.density_kg_per_m3, losses))
        w.value = PressureDifference(max(found))
        w.note("Judged with cold fuel and a full tank.")
    with _working(
        book,
        engine,
        "return-margin",
        f"Margin of the fuel return at {speed}",
        "limit − pressure",
        "the limit is the engine maker's",
        speed,
    ) as w:
        pressure = w.result(f"{engine.name}.fuel.{speed}.return-pressure").pa
        limit = w.spec(engine.sheet.limits, "fuel_return_pressure", "largest pressure").pa
        w.value = PressureDifference(limit - pressure)


def _return_rise(book: Book, engine: FittedEngine, speed: str) -> None:
    if figure_id(engine, speed, "fuel_heat") not in book:
        return
    with _working(
        book,
        engine,
        "return-rise",
        f"By how much the returned fuel is warmer, at {speed}",
        "heat / (flow · density · heat capacity)",
        "energy balance",
        speed,
    ) as w:
        heat = w.result(figure_id(engine, speed, "fuel_heat")).w
        if figure_id(engine, speed, "fuel_return") not in book:
            raise MissingInput("the engine sheet's performance table has no `fuel_return`")
        flow = w.result(figure_id(engine, speed, "fuel_return")).m3_per_s
        fuel = fuel_properties(w, "density_kg_per_m3", "heat_capacity_kj_per_kg_k")
        mass = flow * fuel.density_kg_per_m3
        if mass <= 0.0:
            raise MissingInput("no fuel is returned")
        w.value = TemperatureDifference(heat / (mass * 1000.0 * fuel.heat_capacity_kj_per_kg_k))
        water = engine.sheet.raw_water
        cooled = water is not None and any(cooler.cools == "fuel" for cooler in water.coolers)
        w.note(
            "The fuel cooler takes this heat."
            if cooled
            else "No fuel cooler is fitted: the tank takes this heat."
        )


def _transfer(book: Book, circuit: LaidCircuit, engine: FittedEngine, speed: str) -> None:
    with _working(
        book,
        engine,
        "transfer",
        f"Fuel that the return moves into another tank at {speed}",
        "return flow, if it does not go back to the tank drawn from",
        "mass balance",
        speed,
    ) as w:
        supply, returned = supply_paths(circuit, engine), return_paths(circuit, engine)
        for path in (*supply, *returned):
            _follow(w, path)
        drawn = {path.tank.id for path in supply}
        back = {path.tank.id for path in returned}
        if not drawn or not back:
            raise MissingInput("supply or return does not lead to a tank")
        if figure_id(engine, speed, "fuel_return") not in book:
            raise MissingInput("the engine sheet's performance table has no `fuel_return`")
        flow = w.result(figure_id(engine, speed, "fuel_return")).m3_per_s
        same = 1.0 if back == drawn else 0.0
        w.value = FuelFlow(transfer_m3_per_s(flow, same))
        if len(drawn | back) > 1:
            w.note("With every valve as it may stand: " + ", ".join(sorted(drawn | back)) + ".")


def _shutoff(book: Book, circuit: LaidCircuit, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        "return-shutoff",
        "Can the fuel return be shut",
        "every valve between the return connection and the tank",
        "a shut return dead-heads the injection pump (common practice)",
        "",
    ) as w:
        paths = return_paths(circuit, engine)
        if not paths:
            raise MissingInput("no return line leads from this engine to a tank")
        for path in paths:
            _follow(w, path)
        valves = {
            part.id: part for path in paths for part in path.parts if part.part.kind == "valve"
        }
        for part in valves.values():
            w.spec(part.part, "kind", part.part.title)
        free = [part.part.title for part in valves.values() if part.part.interlocked == "no"]
        if free:
            w.value = "can be shut, and dead-heads the pump: " + ", ".join(sorted(free))
        else:
            w.value = "interlocked" if valves else "no valve"


def _tank_above(book: Book, circuit: LaidCircuit, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        "tank-above",
        "Does a full tank stand above the engine's fuel connection",
        "full level − height of the supply connection",
        "a tank above the engine needs an anti-siphon valve or a valve at the tank "
        "(common practice)",
        "",
    ) as w:
        paths = supply_paths(circuit, engine)
        if not paths:
            raise MissingInput("no supply line leads from a tank to this engine")
        above, unguarded = [], []
        for path in paths:
            _follow(w, path)
            full = w.spec(path.tank.part, "highest", f"full level in {path.tank.part.title}").m
            if full > _connection_m(w, engine, path.connection):
                above.append(path.tank.part.title)
                if not path.parts or path.parts[0].part.kind != "valve":
                    unguarded.append(path.tank.part.title)
        if not above:
            w.value = "no"
        elif unguarded:
            w.value = "yes, and no valve is at the tank: " + ", ".join(sorted(set(unguarded)))
        else:
            w.value = "yes, with a valve at the tank: " + ", ".join(sorted(set(above)))


def _priming(book: Book, circuit: LaidCircuit, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        "priming",
        "Where the fuel system is primed and bled, in order",
        "every separator, pump, filter and bleed point with means, from the tank onward",
        "engine sheet and vessel spec",
        "",
    ) as w:
        for path in supply_paths(circuit, engine)[:1]:
            _follow(w, path)
        steps = priming_steps(circuit, engine)
        for part in steps:
            w.spec(part.part, "kind", f"kind of {part.part.title}")
            w.spec(part.part, "means", part.part.title)
            w.optional(part.part, "name")
        if not steps:
            raise MissingInput(
                "no separator, pump, filter or bleed point on the way of the fuel has `means`"
            )
        w.value = " → ".join(part.part.title for part in steps)
