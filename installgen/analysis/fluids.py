"""Coolant, lubricating oil and fuel: capacities, antifreeze, burn, endurance."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, analyse_volumes, lay_circuit, total
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.speeds import SPEEDS, SpeedName, figure_id
from installgen.calc.coolant import Antifreeze as AntifreezeTable
from installgen.calc.coolant import (
    concentrate_m3,
    drain_and_replace_m3,
    freezing_point_c,
    product_antifreeze,
    strength_needed,
)
from installgen.calc.fuel import endurance, supply_m3_per_s
from installgen.calc.lubrication import slope_deg
from installgen.spec.piping import CircuitLine
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Antifreeze
from installgen.units import (
    Angle,
    Distance,
    Fraction,
    FuelFlow,
    Length,
    Temperature,
    TemperatureDifference,
    Time,
    Volume,
)

CEILING_PERCENT = 60.0


def analyse_fluids(book: Book, vessel: Vessel) -> dict[str, LaidCircuit]:
    """Enter all that concerns coolant, oil and fuel; returns the circuits as laid."""
    circuits = {}
    for system in ("coolant", "oil", "fuel", "crankcase-vent"):
        circuit = lay_circuit(vessel, system)
        if circuit is not None:
            circuits[system] = circuit
    if "coolant" in circuits:
        _coolant(book, vessel, circuits["coolant"])
    if "oil" in circuits:
        _oil(book, vessel, circuits["oil"])
    _gear_oil(book, vessel)
    if "fuel" in circuits and vessel.spec.fuel is not None:
        _fuel(book, vessel, circuits["fuel"])
    return circuits


def _coolant(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    ids = analyse_volumes(book, circuit)
    with book.working(
        "coolant.volume",
        "Coolant in the whole system",
        "coolant",
        formula="engine(s) + tanks + heaters + hoses",
        source="sum of the parts",
        subject="coolant",
    ) as w:
        engines = 0.0
        for engine in vessel.engines:
            engines += w.spec(engine.sheet.capacities, "coolant", f"coolant in {engine.name}").m3
        w.value = total(w, ids, Volume(engines))
    mixture = vessel.spec.coolant.antifreeze if vessel.spec.coolant else None
    _concentrate(book, mixture)
    _freezing(book, vessel, mixture)
    _strength_needed(book, vessel, mixture)
    _raise_strength(book, mixture)


def _concentrate(book: Book, mixture: Antifreeze | None) -> None:
    for result_id, name in (
        ("coolant.concentrate", "Antifreeze concentrate to fill from empty"),
        ("coolant.water", "Water to fill from empty"),
    ):
        with book.working(
            result_id,
            name,
            "coolant",
            formula="volume · share of the product (the rest is water)",
            source="volume balance",
            subject="coolant",
        ) as w:
            volume = w.result("coolant.volume").m3
            share = w.spec(mixture, "volume_share", "share of the product").percent
            part = concentrate_m3(volume, share)
            w.value = Volume(part if result_id == "coolant.concentrate" else volume - part)


def _product(w: Working, mixture: Antifreeze | None) -> AntifreezeTable:
    if mixture is None or not mixture.freezes:
        w.spec(mixture, "freezes", "the product's own table of freezing points")
        raise MissingInput("the product's own table of freezing points is not given")
    name = w.spec(mixture, "product", "product")
    rows = []
    for row in mixture.freezes:
        share = w.spec(row, "volume_share", "share").percent
        rows.append((share, w.spec(row, "freezes", f"freezing point at {share:g} %").c))
    return product_antifreeze(name, rows)


def _freezing(book: Book, vessel: Vessel, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.freezing-point",
        "Freezing point of the coolant",
        "coolant",
        formula="the product's own table, a straight line between its rows",
        source="the product's data as written in the vessel spec",
        subject="coolant",
    ) as w:
        product = _product(w, mixture)
        share = w.spec(mixture, "volume_share", "share of the product").percent
        w.value = Temperature(freezing_point_c(product, share))
    with book.working(
        "coolant.freezing-margin",
        "Margin over the coldest lay-up",
        "coolant",
        formula="coldest lay-up − freezing point",
        source="common practice: keep 5 K",
        subject="coolant",
    ) as w:
        freezing = w.result("coolant.freezing-point").c
        coldest = w.spec(vessel.spec.lay_up, "coldest", "coldest lay-up").c
        w.value = TemperatureDifference(coldest - freezing)


def _strength_needed(book: Book, vessel: Vessel, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.share-needed",
        "Least share of product for the lay-up",
        "coolant",
        formula="the weakest share that freezes the margin below the coldest lay-up",
        source="the product's data; margin of the standard; ceiling 60 % (common practice)",
        subject="coolant",
    ) as w:
        product = _product(w, mixture)
        coldest = w.spec(vessel.spec.lay_up, "coldest", "coldest lay-up").c
        margin = w.assume("antifreeze_margin", "margin").k
        found = strength_needed(product, coldest, margin, CEILING_PERCENT)
        w.value = Fraction(found.strength_percent / 100.0)
        if not found.within_ceiling:
            w.note("That is over the ceiling of 60 %: no mixture of this product will do.")


def _raise_strength(book: Book, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.drain-for-five-percent",
        "To raise the share by 5 %, drain and replace with concentrate",
        "coolant",
        formula="V·(b − a) / (1 − a)",
        source="volume balance, the drained part well mixed",
        subject="coolant",
    ) as w:
        volume = w.result("coolant.volume").m3
        share = w.spec(mixture, "volume_share", "share of the product").percent
        w.value = Volume(drain_and_replace_m3(volume, share, share + 5.0))


def _oil(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    for engine in vessel.engines:
        capacities = engine.sheet.capacities
        with book.working(
            f"{engine.name}.oil.fill",
            "Oil to fill after a change with filters",
            "oil",
            formula="sump to the upper mark + filters",
            source="engine sheet",
            engine=engine.name,
            subject=f"{engine.name}.oil",
        ) as w:
            full = w.spec(capacities, "oil_full", "sump at the upper mark").m3
            w.value = Volume(full + w.spec(capacities, "oil_filter", "filters").m3)
        with book.working(
            f"{engine.name}.oil.dipstick",
            "Between the marks of the dipstick",
            "oil",
            formula="upper − lower",
            source="engine sheet",
            engine=engine.name,
            subject=f"{engine.name}.oil",
        ) as w:
            full = w.spec(capacities, "oil_full", "sump at the upper mark").m3
            w.value = Volume(full - w.spec(capacities, "oil_least", "sump at the lower mark").m3)
    for line in circuit.lines:
        if line.line.kind == "drain" and line.line.from_at is not None and line.engine is not None:
            with book.working(
                f"oil.line.{line.id}.fall",
                f"Fall of the drain {line.id}",
                "oil",
                formula="height of its start − height of its end",
                source="geometry",
                subject=line.id,
                engine=line.engine.name,
            ) as w:
                high = w.spec(line.line.from_at, "z", "height of its start").m
                w.value = Length(high - w.spec(line.line.to_at, "z", "height of its end").m)
            _slope(book, line.id, line.line, line.engine)


def _slope(book: Book, line_id: str, line: CircuitLine, engine: FittedEngine) -> None:
    if line.from_at is None or line.from_at.x is None or line.to_at is None:
        return
    with book.working(
        f"oil.line.{line_id}.slope",
        f"Slope of the drain {line_id}",
        "oil",
        formula="atan(fall / level distance)",
        source="geometry",
        subject=line_id,
        engine=engine.name,
    ) as w:
        ends = []
        for at in (line.from_at, line.to_at):
            ends.append(tuple(w.spec(at, axis, f"position {axis}").m for axis in "xyz"))
        w.value = Angle(slope_deg(*ends))


def _gear_oil(book: Book, vessel: Vessel) -> None:
    for engine in vessel.engines:
        if engine.entry.gear is None:
            continue
        with book.working(
            f"{engine.name}.gear-oil.fill",
            "Gear oil to fill",
            "gear-oil",
            formula="as written",
            source="vessel spec, from the gear maker",
            engine=engine.name,
            subject=f"{engine.name}.gear-oil",
        ) as w:
            w.value = w.spec(engine.entry.gear, "oil", "gear oil")


def _fuel(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    fuel = vessel.spec.fuel
    assert fuel is not None
    analyse_volumes(book, circuit)
    with book.working(
        "fuel.usable",
        "Usable fuel",
        "fuel",
        formula="Σ tank volume · usable share",
        source="vessel spec",
        subject="fuel",
    ) as w:
        litres = 0.0
        tanks = [part for part in circuit.of_kind("tank") if part.engine is None]
        if not tanks:
            raise MissingInput("no fuel tank is written in `fuel.parts`")
        for tank in tanks:
            volume = w.spec(tank.part, "volume", f"volume of {tank.part.title}").m3
            litres += (
                volume * w.spec(tank.part, "usable", f"usable share of {tank.part.title}").ratio
            )
        w.value = Volume(litres)
    for speed in SPEEDS:
        _burn(book, vessel, speed)
        _supply(book, vessel, speed)
    for speed in ("cruise", "rated"):
        name: SpeedName = "cruise" if speed == "cruise" else "rated"
        with book.working(
            f"fuel.{speed}.endurance",
            f"Endurance at {speed}",
            "fuel",
            formula="usable fuel · (1 − reserve) / fuel burned",
            source="volume balance",
            subject="fuel",
            case=speed,
        ) as w:
            usable = w.result("fuel.usable").m3
            burned = w.result(f"fuel.{name}.burn").m3_per_s
            w.value = Time(endurance(usable, burned, w.spec(fuel, "reserve").ratio).endurance_s)
    with book.working(
        "fuel.cruise.range",
        "Range at cruise",
        "fuel",
        formula="endurance · speed",
        source="speed from the sea trial as the vessel spec gives it",
        subject="fuel",
        case="cruise",
    ) as w:
        hours = w.result("fuel.cruise.endurance").s
        w.value = Distance(hours * w.spec(fuel, "speed_at_cruise", "speed at cruise").m_per_s)


def _burn(book: Book, vessel: Vessel, speed: SpeedName) -> None:
    with book.working(
        f"fuel.{speed}.burn",
        f"Fuel burned by all engines at {speed}",
        "fuel",
        formula="Σ of the engines",
        source="engine sheet",
        subject="fuel",
        case=speed,
    ) as w:
        w.value = FuelFlow(
            sum(
                w.result(figure_id(e, speed, "fuel"), f"{e.name}: fuel burned").m3_per_s
                for e in vessel.engines
            )
        )


def _supply(book: Book, vessel: Vessel, speed: SpeedName) -> None:
    for engine in vessel.engines:
        if figure_id(engine, speed, "fuel_return") not in book:
            continue
        with book.working(
            f"{engine.name}.fuel.{speed}.supply",
            f"Fuel through the supply line at {speed}",
            "fuel",
            formula="burned + returned",
            source="mass balance",
            case=speed,
            engine=engine.name,
            subject=f"{engine.name}.fuel",
        ) as w:
            burned = w.result(figure_id(engine, speed, "fuel")).m3_per_s
            back = w.result(figure_id(engine, speed, "fuel_return")).m3_per_s
            w.value = FuelFlow(supply_m3_per_s(burned, back))
