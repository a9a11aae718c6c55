"""Rating: the power in its units, what follows from it, and whether the stated figures agree."""

from __future__ import annotations

from installgen.analysis.results import Book
from installgen.analysis.speeds import SPEEDS, SpeedName, figure_id, speed_id
from installgen.calc import rating as calc
from installgen.spec.engine_sheet import Rating
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import (
    Displacement,
    Fraction,
    FuelFlow,
    Power,
    PressureDifference,
    Torque,
    Velocity,
    VolumeFlow,
    format_one,
)

LIMIT_PERCENT = 1.0
GEAR_LOSS_PERCENT = (2.0, 5.0)

_BASIS = {
    "crankshaft": calc.PowerBasis.CRANKSHAFT,
    "propeller-shaft": calc.PowerBasis.PROPELLER_SHAFT,
    "not-stated": calc.PowerBasis.NOT_STATED,
}


def analyse_rating(book: Book, vessel: Vessel) -> None:
    """Enter what follows from each engine's rating."""
    for engine in vessel.engines:
        if engine.rating is None:
            continue
        _power(book, engine, engine.rating)
        _torque(book, engine)
        _displacement(book, engine)
        _mean_pressure(book, engine)
        _piston_speed(book, engine)
        _consumption(book, engine)
        _agreement(book, engine, engine.rating)


def _power(book: Book, engine: FittedEngine, rating: Rating) -> None:
    with book.working(
        f"{engine.name}.rating.power",
        "Rated power",
        "rating",
        formula="as the sheet states it",
        source=rating.standard,
        engine=engine.name,
        subject=f"{engine.name}.rating",
    ) as w:
        w.value = w.spec(rating, "power", "rated power")
        w.note(f"Measured at the {rating.basis.replace('-', ' ')}.")


def _torque(book: Book, engine: FittedEngine) -> None:
    for speed in SPEEDS:
        with book.working(
            f"{engine.name}.rating.{speed}.torque",
            f"Torque at {speed}",
            "rating",
            formula="T = P / (2π·n)",
            source="definition of power",
            case=speed,
            engine=engine.name,
        ) as w:
            power = w.result(figure_id(engine, speed, "power"), "shaft power").w
            rpm = w.result(speed_id(engine, speed), "speed").rpm
            w.value = Torque(calc.torque_n_m(power, rpm))


def _displacement(book: Book, engine: FittedEngine) -> None:
    with book.working(
        f"{engine.name}.rating.displacement",
        "Displacement from bore and stroke",
        "rating",
        formula="V = z·π/4·B²·S",
        source="geometry",
        engine=engine.name,
    ) as w:
        build = engine.sheet.build
        bore, stroke = w.spec(build, "bore").m, w.spec(build, "stroke").m
        volume = calc.displacement_m3(
            bore, stroke, w.spec(build, "cylinders", "number of cylinders")
        )
        w.value = Displacement(volume)
        stated = w.optional(build, "displacement", "displacement as stated")
        if stated is not None:
            difference = 100 * abs(stated.m3 - volume) / volume
            word = "agrees" if difference <= LIMIT_PERCENT else "does not agree"
            w.note(f"The stated displacement {word} with it ({difference:.1f} % apart).")


def _mean_pressure(book: Book, engine: FittedEngine) -> None:
    with book.working(
        f"{engine.name}.rating.mean-effective-pressure",
        "Brake mean effective pressure, rated",
        "rating",
        formula="p = P·n_c / (V·n), n_c = 2 turns a cycle (four-stroke), 1 (two-stroke)",
        source="definition",
        engine=engine.name,
    ) as w:
        power = w.result(f"{engine.name}.rating.power").w
        rpm = w.result(speed_id(engine, "rated")).rpm
        volume = w.result(f"{engine.name}.rating.displacement").m3
        strokes = 4 if engine.sheet.build.cycle == "four-stroke" else 2
        w.value = PressureDifference(calc.mean_effective_pressure_pa(power, rpm, volume, strokes))


def _piston_speed(book: Book, engine: FittedEngine) -> None:
    with book.working(
        f"{engine.name}.rating.piston-speed",
        "Mean piston speed, rated",
        "rating",
        formula="c = 2·S·n",
        source="definition",
        engine=engine.name,
    ) as w:
        stroke = w.spec(engine.sheet.build, "stroke").m
        rpm = w.result(speed_id(engine, "rated")).rpm
        w.value = Velocity(calc.mean_piston_speed_m_per_s(stroke, rpm))


def _consumption(book: Book, engine: FittedEngine) -> None:
    for speed in ("cruise", "rated"):
        name: SpeedName = "cruise" if speed == "cruise" else "rated"
        with book.working(
            f"{engine.name}.rating.{speed}.specific-fuel-volume",
            f"Fuel for each kilowatt hour, {speed}",
            "rating",
            formula="fuel burned / shaft power",
            source="definition",
            case=speed,
            engine=engine.name,
        ) as w:
            fuel = w.result(figure_id(engine, name, "fuel"), "fuel burned")
            power = w.result(figure_id(engine, name, "power"), "shaft power")
            w.value = for_each_unit_of_power(fuel, power)


def _agreement(book: Book, engine: FittedEngine, rating: Rating) -> None:
    """Every stated power beside the rated one; nothing is averaged."""
    for index, stated in enumerate(rating.stated, start=1):
        with book.working(
            f"{engine.name}.rating.stated-{index}.difference",
            f"Power on the {stated.printed_on} beside the rated power",
            "rating",
            formula="|a − b| / the larger",
            source="common practice: over 1 % is reported, nothing is averaged",
            subject=f"{engine.name}.rating.stated-{index}",
            engine=engine.name,
        ) as w:
            rated = w.result(f"{engine.name}.rating.power", "rated power")
            power = w.spec(stated, "power", f"power on the {stated.printed_on}")
            pairs = calc.compare_stated_powers(
                [
                    _as_stated("rating", rated, rating.basis),
                    _as_stated(stated.printed_on, power, stated.basis),
                ],
                LIMIT_PERCENT,
                *GEAR_LOSS_PERCENT,
            )
            pair = pairs[0]
            w.value = Fraction(pair.difference_percent / 100.0)
            w.note(
                "They "
                f"{'agree' if pair.agreement is calc.Agreement.AGREE else str(pair.agreement)}."
            )
            for explanation in pair.explanations:
                w.note(f"{str(explanation).capitalize()}: ask whoever stated it.")


def _as_stated(name: str, power: Power, basis: str) -> calc.StatedPower:
    text = power.text.lower()
    unit = calc.PowerUnit.KILOWATT
    if text.endswith("hp") and "metric" not in text:
        unit = calc.PowerUnit.BRAKE_HORSEPOWER
    elif text.endswith(("ps", "cv")) or "metric" in text:
        unit = calc.PowerUnit.METRIC_HORSEPOWER
    return calc.StatedPower(name, calc.power_in(power.w, unit), unit, _BASIS[basis])


def for_each_unit_of_power(flow: FuelFlow | VolumeFlow, power: Power) -> str:
    """A flow for each kilowatt and, in US units, for each horsepower."""
    kilowatt = format_one(type(flow)(flow.value / (power.w / 1000.0)), "metric")
    horsepower = format_one(
        type(flow)(flow.value / (power.w / calc.WATT_PER_BRAKE_HORSEPOWER)), "us"
    )
    return f"{kilowatt} for each kW ({horsepower} for each hp)"
