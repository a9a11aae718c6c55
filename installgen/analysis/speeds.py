"""Engine speeds and what the sheet says of each, from which every fluid result starts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Literal, get_args

from installgen.analysis.results import Book, MissingInput, Value, Working
from installgen.spec.engine_sheet import Performance, PerformanceRow
from installgen.spec.entry import Unknown
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Quantity

SpeedName = Literal["idle", "cruise", "rated"]
SPEEDS: tuple[SpeedName, ...] = get_args(SpeedName)

FIGURES: dict[str, str] = {
    "power": "shaft power",
    "fuel": "fuel burned",
    "fuel_return": "fuel returned",
    "air": "combustion air",
    "charge_into_cooler": "charge air into the aftercooler",
    "charge_out_of_cooler": "charge air out of the aftercooler",
    "exhaust_temperature": "exhaust temperature before injection",
    "jacket_heat": "heat of the jacket",
    "gear_oil_heat": "heat of the gear oil",
    "engine_oil_heat": "heat of the engine oil",
    "fuel_heat": "heat of the returned fuel",
    "radiated_heat": "heat to the air of the engine space",
    "coolant_flow": "coolant through the heat exchanger",
}


def range_speeds(engine: FittedEngine) -> tuple[str, ...]:
    """The speeds of the sheet's own table as cases, such as `1200-rpm`, for the range."""
    table = engine.performance
    return tuple(f"{row.speed.rpm:.0f}-rpm" for row in table.rows) if table is not None else ()


def said(speed: str) -> str:
    """A speed within a name: `cruise`, `1200 rpm`."""
    return speed.replace("-rpm", " rpm")


def speed_id(engine: FittedEngine, speed: str) -> str:
    """Id of the result that holds one of the engine's speeds."""
    return f"{engine.name}.rating.{speed}.speed"


def figure_id(engine: FittedEngine, speed: str, figure: str) -> str:
    """Id of the result that holds one of the sheet's figures at a speed."""
    return f"{engine.name}.rating.{speed}.{figure.replace('_', '-')}"


def analyse_speeds(book: Book, vessel: Vessel) -> None:
    """Enter each engine's speeds, and the sheet's figures at them."""
    for engine in vessel.engines:
        for speed in (*SPEEDS, *range_speeds(engine)):
            enter_speed(book, engine, speed)
            for figure, name in _given(engine):
                _figure(book, engine, speed, figure, name)


def _given(engine: FittedEngine) -> Iterator[tuple[str, str]]:
    """The figures that the engine's performance table has in at least one row."""
    for figure, name in FIGURES.items():
        if engine.performance is None:
            if figure in ("power", "fuel"):
                yield figure, name
        elif any(getattr(row, figure) is not None for row in engine.performance.rows):
            yield figure, name


def enter_speed(book: Book, engine: FittedEngine, speed: str) -> None:
    """Enter one of an engine's speeds."""
    names = {"idle": "Low idle", "cruise": "Cruising speed", "rated": "Rated speed"}
    with book.working(
        speed_id(engine, speed),
        names.get(speed, said(speed)),
        "rating",
        formula="as written",
        source="engine sheet or vessel spec",
        case=speed,
        engine=engine.name,
    ) as w:
        if speed == "idle":
            w.value = w.spec(engine.sheet.build, "idle", "low idle")
        elif speed == "cruise":
            w.value = w.spec(engine.entry, "cruise", "cruising speed")
        elif speed == "rated":
            w.value = w.spec(engine.rating, "speed", "rated speed")
        else:
            assert engine.performance is not None
            row = next(r for r in engine.performance.rows if f"{r.speed.rpm:.0f}-rpm" == speed)
            w.value = w.spec(row, "speed", "speed of the sheet's row")


def _figure(book: Book, engine: FittedEngine, speed: str, figure: str, name: str) -> None:
    with book.working(
        figure_id(engine, speed, figure),
        f"{name[0].upper()}{name[1:]} at {said(speed)}",
        "rating",
        formula="the sheet's table; a straight line between its rows",
        source="engine sheet",
        case=speed,
        engine=engine.name,
    ) as w:
        rpm = w.result(speed_id(engine, speed), "engine speed").rpm
        w.value = _interpolated(w, engine.performance, figure, name, rpm)
        if engine.performance is not None:
            w.note(f"On the sheet's {engine.performance.load_line.replace('-', ' ')} line.")


def _interpolated(
    w: Working, table: Performance | None, figure: str, name: str, rpm: float
) -> Value:
    if table is None:
        raise MissingInput("the engine sheet has no performance table for this rating")
    rows = table.rows
    for low, high in pairwise(rows):
        if low.speed.rpm <= rpm <= high.speed.rpm:
            if rpm == low.speed.rpm:
                return _one(w, low, figure, name)
            if rpm == high.speed.rpm:
                return _one(w, high, figure, name)
            first, second = _one(w, low, figure, name), _one(w, high, figure, name)
            share = (rpm - low.speed.rpm) / (high.speed.rpm - low.speed.rpm)
            return type(first)(first.value + share * (second.value - first.value))
    raise MissingInput(
        f"the sheet's table covers {rows[0].speed} to {rows[-1].speed}, not {rpm:.0f} rpm"
    )


def _one(w: Working, row: PerformanceRow, figure: str, name: str) -> Quantity:
    value = getattr(row, figure)
    if value is None or isinstance(value, Unknown):
        w.spec(row, figure, name)  # raises, and names the field
    taken: Quantity = w.spec(row, figure, f"{name} at {row.speed}")
    return taken
