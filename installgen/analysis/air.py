"""Air of each engine space: what the engines breathe, what carries the heat away, the openings."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.analysis.raw_water_heat import sheet_figure
from installgen.analysis.results import Book, MissingInput, TableOrigin, Working
from installgen.analysis.speeds import SPEEDS
from installgen.calc.air import (
    air_demand,
    alternator_heat_w,
    cooling_air_m3_per_s,
    net_area_for_pressure_m2,
    temperature_rise_k,
    textbook_vent_area_mm2,
    volume_flow_m3_per_s,
)
from installgen.calc.water import Gas
from installgen.calc.water import air as dry_air
from installgen.spec.electrical import Alternator
from installgen.spec.hull import AirSpace
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.tables.air import ship_air
from installgen.units import (
    AirFlow,
    Area,
    HeatFlow,
    PressureDifference,
    Temperature,
    TemperatureDifference,
)
from installgen.units import Velocity as Speed

BALANCE = "energy balance"


@dataclass(frozen=True)
class Space:
    """One engine space: its engines, and what the vessel spec says of its air."""

    id: str
    engines: tuple[FittedEngine, ...]
    air: AirSpace | None


def spaces(vessel: Vessel) -> tuple[Space, ...]:
    """Every space with an engine in it; an engine without a place has one of its own."""
    found: dict[str, list[FittedEngine]] = {}
    for engine in vessel.engines:
        found.setdefault(engine.entry.place or engine.name, []).append(engine)
    entries = {entry.place: entry for entry in vessel.spec.air}
    return tuple(
        Space(place, tuple(engines), entries.get(place)) for place, engines in found.items()
    )


def air_id(space: Space, what: str, speed: str = "") -> str:
    """Id of a result about the air of a space."""
    return f"air.{space.id}.{speed}.{what}" if speed else f"air.{space.id}.{what}"


def analyse_air(book: Book, vessel: Vessel) -> None:
    """Enter the air that each engine space needs and gets, by speed."""
    for space in spaces(vessel):
        _area(book, space, "in")
        _area(book, space, "out")
        for speed in SPEEDS:
            _combustion(book, space, speed)
            _heat(book, space, speed)
            _cooling(book, space, speed)
            _needed(book, space, speed)
            _inflow(book, space, speed)
            _depression(book, space, speed)
            _rise(book, space, speed)
            _rise_margin(book, space, speed)
        _after_stop(book, vessel, space)
        _area_needed(book, space)
        _textbook(book, space)


def _working(
    book: Book, space: Space, what: str, name: str, formula: str, source: str, speed: str = ""
) -> Working:
    return book.working(
        air_id(space, what, speed),
        f"{name} at {speed}" if speed else name,
        "air",
        formula=formula,
        source=source,
        subject=f"air.{space.id}",
        case=speed,
    )


def _outside(w: Working) -> Gas:
    return dry_air(w.assume("outside_air", "hottest outside air").c)


def _combustion(book: Book, space: Space, speed: str) -> None:
    name, formula = "Combustion air", "sum of mass of air / density outside"
    with _working(book, space, "combustion", name, formula, "engine sheets", speed) as w:
        for engine in space.engines:
            w.optional(engine.entry, "place", f"space of {engine.name}")
        mass = sum(sheet_figure(w, engine, speed, "air").kg_per_s for engine in space.engines)
        w.value = AirFlow(volume_flow_m3_per_s(mass, _outside(w).density_kg_per_m3))


def _heat(book: Book, space: Space, speed: str) -> None:
    name = "Heat given to the air of the space"
    formula = (
        "sum of heat radiated by engines and exhaust + loss of the alternators at full output, hot"
    )
    with _working(book, space, "heat", name, formula, BALANCE, speed) as w:
        heat = 0.0
        for engine in space.engines:
            w.optional(engine.entry, "place", f"space of {engine.name}")
            heat += sheet_figure(w, engine, speed, "radiated_heat").w
            for device in engine.sheet.devices:
                if isinstance(device, Alternator):
                    heat += _alternator_w(w, device)
        w.value = HeatFlow(heat)


def _alternator_w(w: Working, alternator: Alternator) -> float:
    current = w.spec(alternator, "rated", f"output of {alternator.name}").a
    volts = w.spec(alternator, "set_voltage", f"set voltage of {alternator.name}").v
    hot = w.spec_or_assume(
        alternator, "hot_output", "alternator_hot_output", f"hot output of {alternator.name}"
    ).ratio
    loss = w.assume("alternator_loss", "share that becomes heat").ratio
    return alternator_heat_w(current * volts * hot, loss)


def _allowed_rise_k(w: Working, space: Space) -> float:
    return min(
        float(w.spec(engine.sheet.limits, "highest_intake_rise", f"{engine.name}: allowed rise").k)
        for engine in space.engines
    )


def _cooling(book: Book, space: Space, speed: str) -> None:
    name, formula = "Air to carry the heat away", "heat / (density · cp · allowed rise)"
    with _working(book, space, "cooling", name, formula, BALANCE, speed) as w:
        heat = w.result(air_id(space, "heat", speed), "heat").w
        gas = _outside(w)
        w.value = AirFlow(
            cooling_air_m3_per_s(
                heat, gas.density_kg_per_m3, gas.specific_heat_j_per_kg_k, _allowed_rise_k(w, space)
            )
        )


def _carried(w: Working, space: Space) -> float:
    """Share of the combustion air that carries heat away."""
    row = ship_air().row(cycle=space.engines[0].sheet.build.cycle)
    origin = TableOrigin("ship_air", row.cycle, row.source, row.mark.value)
    w.table("share of combustion air that carries heat", row.heat_carried_ratio, origin)
    return row.heat_carried_ratio


def _breathes_inside(w: Working, space: Space) -> bool:
    if space.air is None or space.air.breathes_from == "space":
        return True
    w.spec(space.air, "breathes_from", "where the engines take their air")
    return False


def _needed(book: Book, space: Space, speed: str) -> None:
    name = "Air to bring into the space"
    formula = "combustion + cooling − share of the combustion air that carries heat"
    source = "form of ISO 8861:1998, its figures recalled"
    with _working(book, space, "needed", name, formula, source, speed) as w:
        cooling = w.result(air_id(space, "cooling", speed)).m3_per_s
        if not _breathes_inside(w, space):
            w.value = AirFlow(cooling)
            return
        combustion = w.result(air_id(space, "combustion", speed)).m3_per_s
        demand = air_demand(combustion, cooling, _carried(w, space))
        w.value = AirFlow(demand.total_m3_per_s)
        w.note(f"What governs: {demand.governs}.")


def _given(w: Working, space: Space) -> AirSpace:
    for engine in space.engines:
        w.optional(engine.entry, "place", f"space of {engine.name}")
    if space.air is None:
        raise MissingInput(f"`air` has no entry for the place {space.id}")
    w.spec(space.air, "place", "the space")
    return space.air


def _area(book: Book, space: Space, way: str) -> None:
    name = "Clear area of the openings, air " + way
    with _working(book, space, f"{way}let-area", name, "sum of the openings", "vessel spec") as w:
        openings = [opening for opening in _given(w, space).openings if opening.way == way]
        if not openings:
            raise MissingInput(f"no opening for air {way} is written")
        for opening in openings:
            w.spec(opening, "way", f"way of {opening.name}")
        w.value = Area(
            sum(w.spec(opening, "area", f"clear area of {opening.name}").m2 for opening in openings)
        )


def _inflow(book: Book, space: Space, speed: str) -> None:
    name = "Air that enters the space"
    formula = "the greater of: what blows in; combustion + what is drawn out"
    with _working(book, space, "inflow", name, formula, "volume balance", speed) as w:
        entry = _given(w, space)
        flows = {"in": 0.0, "out": 0.0}
        for blower in entry.blowers:
            w.spec(blower, "way", f"way of {blower.name}")
            flows[blower.way] += w.spec(blower, "flow", f"flow of {blower.name}").m3_per_s
        combustion = 0.0
        if _breathes_inside(w, space):
            combustion = w.result(air_id(space, "combustion", speed)).m3_per_s
        w.value = AirFlow(max(flows["in"], combustion + flows["out"]))
        if not entry.blowers:
            w.note("Without a blower only what the engines breathe is counted.")


def _depression(book: Book, space: Space, speed: str) -> None:
    name = "Depression that the openings cost"
    formula = "ρ/2·(flow / (C·area))², the flow less what is blown in"
    source = "Bernoulli's equation with a discharge coefficient"
    with _working(book, space, "depression", name, formula, source, speed) as w:
        inflow = w.result(air_id(space, "inflow", speed)).m3_per_s
        for blower in _given(w, space).blowers:
            if blower.way == "in":
                inflow -= w.spec(blower, "flow", f"flow of {blower.name}").m3_per_s
        area = w.result(air_id(space, "inlet-area")).m2
        coefficient = w.assume("opening_coefficient", "discharge coefficient").ratio
        velocity = max(0.0, inflow) / (coefficient * area)
        w.value = PressureDifference(_outside(w).density_kg_per_m3 * velocity**2 / 2.0)
    name, formula = "Margin of that depression", "allowed − depression"
    with _working(book, space, "depression-margin", name, formula, "standard", speed) as w:
        found = w.result(air_id(space, "depression", speed)).pa
        allowed = w.spec_or_assume(
            space.air, "largest_depression", "space_depression", "allowed depression"
        ).pa
        w.value = PressureDifference(allowed - found)
    name, formula = "Velocity in the air inlets", "flow / clear area"
    with _working(book, space, "inlet-velocity", name, formula, "continuity", speed) as w:
        inflow = w.result(air_id(space, "inflow", speed)).m3_per_s
        w.value = Speed(inflow / w.result(air_id(space, "inlet-area")).m2)


def _rise(book: Book, space: Space, speed: str) -> None:
    name = "Rise of the air in the space over outside"
    formula = "heat / (density · cp · (air that leaves by openings and blowers + share of the "
    formula += "combustion air that carries heat))"
    with _working(book, space, "rise", name, formula, BALANCE, speed) as w:
        heat = w.result(air_id(space, "heat", speed), "heat").w
        through = w.result(air_id(space, "inflow", speed)).m3_per_s
        if _breathes_inside(w, space):
            combustion = w.result(air_id(space, "combustion", speed)).m3_per_s
            through += (_carried(w, space) - 1.0) * combustion
        gas = _outside(w)
        if through <= 0.0:
            raise MissingInput("no air carries the heat away: write its openings and blowers")
        w.value = TemperatureDifference(
            temperature_rise_k(heat, through, gas.density_kg_per_m3, gas.specific_heat_j_per_kg_k)
        )


def _rise_margin(book: Book, space: Space, speed: str) -> None:
    name, formula = "Margin of that rise", "allowed rise − rise"
    with _working(book, space, "rise-margin", name, formula, "engine sheet", speed) as w:
        rise = w.result(air_id(space, "rise", speed)).k
        w.value = TemperatureDifference(_allowed_rise_k(w, space) - rise)


def _after_stop(book: Book, vessel: Vessel, space: Space) -> None:
    """Heat soak: the engines are hot, and breathe no more."""
    name = "Rise of the air just after stopping from rated"
    formula = "heat radiated at rated / (density · cp · air of the blowers that run on)"
    with _working(book, space, "soak-rise", name, formula, BALANCE) as w:
        heat = sum(
            float(sheet_figure(w, engine, "rated", "radiated_heat").w) for engine in space.engines
        )
        flows = {"in": 0.0, "out": 0.0}
        for blower in _given(w, space).blowers:
            w.spec(blower, "after_stop", f"{blower.name} runs on")
            if blower.after_stop == "yes":
                w.spec(blower, "way", f"way of {blower.name}")
                flows[blower.way] += w.spec(blower, "flow", f"flow of {blower.name}").m3_per_s
        through = max(flows.values())
        if through <= 0.0:
            raise MissingInput("no blower runs on after the engines have stopped")
        gas = _outside(w)
        w.value = TemperatureDifference(
            temperature_rise_k(heat, through, gas.density_kg_per_m3, gas.specific_heat_j_per_kg_k)
        )
        w.note("The first minutes, before the engines cool; the alternators give nothing more.")
    name, formula = "Hottest air in the space", "outside + the greatest rise, running or stopped"
    with _working(book, space, "hottest", name, formula, BALANCE) as w:
        rises = [w.result(air_id(space, "rise", speed)).k for speed in SPEEDS]
        rises.append(w.result(air_id(space, "soak-rise")).k)
        w.value = Temperature(w.assume("outside_air", "hottest outside air").c + max(rises))


def _area_needed(book: Book, space: Space) -> None:
    name = "Clear area of inlets needed, rated"
    formula = "A = flow / (C·√(2·Δp/ρ))"
    source = "Bernoulli's equation with a discharge coefficient"
    with _working(book, space, "inlet-area-needed", name, formula, source) as w:
        flow = w.result(air_id(space, "needed", "rated")).m3_per_s
        allowed = w.spec_or_assume(
            space.air, "largest_depression", "space_depression", "allowed depression"
        ).pa
        coefficient = w.assume("opening_coefficient", "discharge coefficient").ratio
        density = _outside(w).density_kg_per_m3
        w.value = Area(net_area_for_pressure_m2(flow, allowed, coefficient, density))


def _textbook(book: Book, space: Space) -> None:
    name = "Clear vent area by a boat designers' rule, to compare"
    source = "Gerr, Boat Mechanical Systems Handbook, formula 16-2"
    with _working(book, space, "textbook-area", name, "A [in²] = P [hp] / 3.3", source) as w:
        for engine in space.engines:
            w.optional(engine.entry, "place", f"space of {engine.name}")
        power = sum(
            w.result(f"{engine.name}.rating.power", f"{engine.name}: rated power").w
            for engine in space.engines
        )
        w.value = Area(textbook_vent_area_mm2(power) / 1e6)
        w.note("A check line, never the governing figure.")
