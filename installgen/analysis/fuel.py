"""Fuel: usable volume, burn, endurance, and what the supply lines carry."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, analyse_volumes
from installgen.analysis.results import Book, MissingInput
from installgen.analysis.speeds import SPEEDS, figure_id
from installgen.calc.fuel import endurance, supply_m3_per_s
from installgen.spec.vessel import Vessel
from installgen.units import Distance, FuelFlow, Time, Volume


def analyse_fuel(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    fuel = vessel.spec.fuel
    assert fuel is not None
    analyse_volumes(book, circuit)
    with book.working(
        "fuel.usable",
        "Usable fuel",
        "fuel",
        formula="sum of tank volume · usable share",
        source="vessel spec",
        subject="fuel",
    ) as w:
        litres = 0.0
        tanks = [part for part in circuit.of_kind("tank") if part.engine is None]
        if not tanks:
            raise MissingInput("no fuel tank is written in `fuel.parts`")
        for tank in tanks:
            w.spec(tank.part, "kind", f"kind of {tank.part.title}")
            volume = w.spec(tank.part, "volume", f"volume of {tank.part.title}").m3
            litres += (
                volume * w.spec(tank.part, "usable", f"usable share of {tank.part.title}").ratio
            )
        w.value = Volume(litres)
    for speed in SPEEDS:
        _burn(book, vessel, speed)
        _supply(book, vessel, speed)
    for speed in ("cruise", "rated"):
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
            burned = w.result(f"fuel.{speed}.burn").m3_per_s
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


def _burn(book: Book, vessel: Vessel, speed: str) -> None:
    with book.working(
        f"fuel.{speed}.burn",
        f"Fuel burned by all engines at {speed}",
        "fuel",
        formula="sum of the engines",
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


def _supply(book: Book, vessel: Vessel, speed: str) -> None:
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
