"""The energy balance of an engine: where the heat of its fuel goes."""

from __future__ import annotations

from installgen.analysis.exhaust import exhaust_id
from installgen.analysis.fuel_properties import fuel_properties
from installgen.analysis.raw_water_heat import sheet_figure
from installgen.analysis.results import Book, Working
from installgen.analysis.speeds import SPEEDS, figure_id
from installgen.calc.exhaust import exhaust_heat_w, exhaust_mass_flow_kg_per_s
from installgen.calc.heat import charge_air_duty_w, energy_balance
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Fraction, HeatFlow

_PARTS = {
    "jacket_heat": "jacket",
    "engine_oil_heat": "engine oil",
    "fuel_heat": "returned fuel",
    "radiated_heat": "air of the engine space",
}


def analyse_energy(book: Book, vessel: Vessel) -> None:
    """Enter the heat of the fuel and what of it is not accounted for, by speed."""
    for engine in vessel.engines:
        for speed in SPEEDS:
            _fuel(book, engine, speed)
            _exhaust(book, engine, speed)
            _balance(book, engine, speed)


def energy_id(engine: FittedEngine, speed: str, what: str) -> str:
    """Id of a result of the balance: `energy-in`, `energy-exhaust` or `energy-unaccounted`."""
    return f"{engine.name}.rating.{speed}.{what}"


def _working(
    book: Book, engine: FittedEngine, what: str, name: str, formula: str, speed: str
) -> Working:
    return book.working(
        energy_id(engine, speed, what),
        f"{name} at {speed}",
        "rating",
        formula=formula,
        source="first law of thermodynamics, steady flow",
        subject=f"{engine.name}.rating",
        case=speed,
        engine=engine.name,
    )


def _fuel(book: Book, engine: FittedEngine, speed: str) -> None:
    name, formula = "Heat of the fuel", "fuel burned · density · lower heating value"
    with _working(book, engine, "energy-in", name, formula, speed) as w:
        w.value = HeatFlow(_fuel_kg_per_s(w, engine, speed) * _heating_value(w))


def _fuel_kg_per_s(w: Working, engine: FittedEngine, speed: str) -> float:
    density = fuel_properties(w, "density_kg_per_m3").density_kg_per_m3
    return float(sheet_figure(w, engine, speed, "fuel").m3_per_s * density)


def _heating_value(w: Working) -> float:
    """Lower heating value [J/kg]."""
    row = fuel_properties(w, "lower_heating_value_mj_per_kg")
    return row.lower_heating_value_mj_per_kg * 1e6


def _exhaust(book: Book, engine: FittedEngine, speed: str) -> None:
    name, formula = "Heat of the exhaust gas", "m·cp·(T − ambient), cp of dry air"
    with _working(book, engine, "energy-exhaust", name, formula, speed) as w:
        hot = sheet_figure(w, engine, speed, "exhaust_temperature").c
        ambient = w.assume("ambient", "ambient air").c
        gas_id = exhaust_id(engine, speed, "gas-flow")
        if gas_id in book:
            gas = w.result(gas_id).kg_per_s
        else:
            air = sheet_figure(w, engine, speed, "air").kg_per_s
            gas = exhaust_mass_flow_kg_per_s(air, _fuel_kg_per_s(w, engine, speed))
        w.value = HeatFlow(exhaust_heat_w(gas, hot, ambient))


def _balance(book: Book, engine: FittedEngine, speed: str) -> None:
    name = "Heat of the fuel not accounted for"
    formula = "1 − (shaft power + jacket + charge air + oil + returned fuel + exhaust + air) / fuel"
    with _working(book, engine, "energy-unaccounted", name, formula, speed) as w:
        w.result(energy_id(engine, speed, "energy-in"))
        power = sheet_figure(w, engine, speed, "power").w
        duties = [w.result(energy_id(engine, speed, "energy-exhaust"), "exhaust gas").w]
        if figure_id(engine, speed, "charge_into_cooler") in book:
            air = sheet_figure(w, engine, speed, "air").kg_per_s
            into = sheet_figure(w, engine, speed, "charge_into_cooler").c
            out = sheet_figure(w, engine, speed, "charge_out_of_cooler").c
            duties.append(charge_air_duty_w(air, into, out))
        left_out = []
        for figure, said in _PARTS.items():
            if figure_id(engine, speed, figure) in book:
                duties.append(sheet_figure(w, engine, speed, figure).w)
            else:
                left_out.append(said)
        fuel = _fuel_kg_per_s(w, engine, speed)
        balance = energy_balance(fuel, _heating_value(w), power, duties)
        w.value = Fraction(balance.unaccounted_ratio)
        if left_out:
            w.note(f"The engine sheet states no heat of: {', '.join(left_out)}.")
        w.note("The heat of the gear oil comes out of the shaft power and is not counted again.")
