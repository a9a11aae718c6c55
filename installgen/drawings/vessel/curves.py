"""Plots of one vessel: pump against route, temperatures, elevations, power and propeller."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.analysis.analyse import Analysis
from installgen.analysis.elevation import ProfilePoint, exhaust_profile, route_profile
from installgen.analysis.raw_water import flow_id
from installgen.analysis.raw_water_curves import PumpAgainstRoute, pump_against_route
from installgen.analysis.raw_water_heat import OUTLET_RULE, temperature_id
from installgen.analysis.results import MissingInput
from installgen.analysis.route import Route
from installgen.analysis.rules import rule_temperature_c
from installgen.analysis.sea_trial import runs
from installgen.analysis.speeds import SPEEDS, figure_id, range_speeds, speed_id
from installgen.drawings.graph import Cell, Table
from installgen.drawings.plots import (
    BOTTOM_PX,
    LEFT_PX,
    OTHER_PX,
    RIGHT_PX,
    TOP_PX,
    Curve,
    Limit,
    Mark,
    plot,
)
from installgen.drawings.render import Rendered
from installgen.drawings.vessel import links
from installgen.drawings.vessel.axes import (
    CELSIUS,
    FLOW,
    METRES,
    NUMBER,
    POWER,
    PRESSURE,
    SPEED,
)
from installgen.drawings.vessel.words import NOT_ASSESSED, Words
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Exhaust
from installgen.units import (
    Length,
    PressureDifference,
    Quantity,
    RotationalSpeed,
    Temperature,
    VolumeFlow,
    show,
)

WIDE_PX = 560.0
NARROW_PX = 400.0
SOLID, DASHED = 0, 1
FRAME_PX = (LEFT_PX + RIGHT_PX + OTHER_PX, TOP_PX + BOTTOM_PX + OTHER_PX)
"""What the axes and their labels take of width and height, other system included."""


def plots_for(analysis: Analysis) -> dict[str, Rendered]:
    """Every plot of a vessel by its id; none where its figures are not there."""
    return {one.drawing.id: one for one in _plots(analysis)}


def _plots(analysis: Analysis) -> Iterator[Rendered]:
    words = Words(analysis.vessel, analysis.book)
    exhausts = {analysis.vessel.engine(e.engine).name: e for e in analysis.vessel.spec.exhaust}
    for engine in analysis.vessel.engines:
        route, exhaust = analysis.routes.get(engine.name), exhausts.get(engine.name)
        yield from power_curve(words, engine)
        if route is not None:
            yield from pump_curve(words, route)
            yield from staircase(words, route)
            yield from route_elevation(words, route)
        if exhaust is not None and exhaust.kind == "wet":
            yield from exhaust_elevation(words, engine, route, exhaust)


def _cells(*texts: str) -> tuple[Cell, ...]:
    return tuple(Cell(text) for text in texts)


# ---- pump against route --------------------------------------------------------------------------


def pump_curve(words: Words, route: Route) -> Iterator[Rendered]:
    """Where pump and route agree, at idle, cruise and rated."""
    found = pump_against_route(words.book, words.vessel, route)
    if found is None:
        return
    first = words.first
    fastest = list(found.points)[-1]
    highest = 1.35 * max(point.rise_pa for point in found.points.values())
    curves = [
        Curve(
            "pump" if speed == fastest else "",
            tuple(FLOW.value(point.flow_m3_per_s, first) for point in line),
            tuple(PRESSURE.value(point.rise_pa, first) for point in line),
            SOLID,
        )
        for speed, line in found.pumps.items()
    ]
    curves += [
        Curve(
            "route" if speed == fastest else "",
            tuple(FLOW.value(point.flow_m3_per_s, first) for point in line),
            tuple(PRESSURE.value(point.rise_pa, first) for point in line),
            DASHED,
        )
        for speed, line in found.routes.items()
        if line
    ]
    marks = [
        Mark(speed, FLOW.value(point.flow_m3_per_s, first), PRESSURE.value(point.rise_pa, first))
        for speed, point in found.points.items()
    ]
    yield plot(
        words.figure_id("pump-curve", route.engine),
        words.titled("Pump against route", route.engine),
        "Solid, what the pump gives at each speed; dashed, what the route asks of it against the "
        "exhaust pressure at that speed; they agree at the dots. Clean strainer, new impeller, "
        "coldest sea.",
        FLOW.axis("Raw water", first, 0.0),
        PRESSURE.axis("Pressure that the pump adds", first, 0.0, highest),
        curves,
        marks,
        tables=(_pump_table(words, route, found),),
        size_px=(NARROW_PX, 320.0),
    )


def _working(words: Words, text: str, result_id: str) -> Cell:
    """A figure in a table, linked to its working."""
    return Cell(text, links.result(words.book[result_id]) if result_id in words.book else "")


def _pump_table(words: Words, route: Route, found: PumpAgainstRoute) -> Table:
    rows = []
    for speed, point in found.points.items():
        turns = words.book[speed_id(route.engine, speed)].value
        assert isinstance(turns, RotationalSpeed)
        rows.append(
            (
                Cell(speed),
                _working(words, show(turns, words.first), speed_id(route.engine, speed)),
                _working(
                    words,
                    show(VolumeFlow(point.flow_m3_per_s), words.first),
                    flow_id(route, speed),
                ),
                _working(
                    words,
                    show(PressureDifference(point.rise_pa), words.first),
                    flow_id(route, speed),
                ),
            )
        )
    heads = ("Speed", "Engine", "Raw water", "Pressure that the pump adds")
    return Table("Where pump and route agree", heads, tuple(rows))


# ---- temperatures --------------------------------------------------------------------------------


def staircase(words: Words, route: Route) -> Iterator[Rendered]:
    """The water's temperature from joint to joint in the hottest sea, by speed."""
    book, first = words.book, words.first
    steps: dict[str, list[float]] = {}
    for speed in SPEEDS:
        values = [book[temperature_id(joint, speed, "hottest")].value for joint in route.joints]
        if values and all(isinstance(value, Temperature) for value in values):
            steps[speed] = [value.c for value in values if isinstance(value, Temperature)]
    if not steps:
        return
    numbers = tuple(float(number) for number in range(1, len(route.joints) + 1))
    curves = [
        Curve(speed, numbers, tuple(CELSIUS.value(c, first) for c in temperatures))
        for speed, temperatures in reversed(steps.items())
    ]
    marks = []
    hottest = next(reversed(steps.values()))
    for number, joint in enumerate(route.joints):
        rise = hottest[number] - hottest[number - 1] if number else 0.0
        if rise > 0.0:
            marks.append(
                Mark(
                    joint.upstream.code or joint.upstream.name,
                    numbers[number],
                    CELSIUS.value(hottest[number], first),
                )
            )
    limits = []
    limit = _outlet_limit_c(words)
    if limit is not None:
        limits.append(Limit("scale limit", CELSIUS.value(limit, first)))
    yield plot(
        words.figure_id("temperatures", route.engine),
        words.titled("Raw-water temperature along the route", route.engine),
        "From joint to joint in the hottest sea; each cooler is one step, marked at its outlet. "
        "A colder sea lowers the whole staircase.",
        NUMBER.axis("Joint", first, 0.5, len(numbers) + 0.5),
        CELSIUS.axis("Water", first),
        curves,
        marks,
        limits,
        tables=(_temperature_table(words, route, steps),),
        size_px=(NARROW_PX, 320.0),
    )


def _outlet_limit_c(words: Words) -> float | None:
    scratch = words.book.working("", "", "raw-water", formula="", source="")
    try:
        return rule_temperature_c(scratch, words.vessel.standard, OUTLET_RULE)
    except MissingInput:
        return None


def _temperature_table(words: Words, route: Route, steps: dict[str, list[float]]) -> Table:
    rows = [
        (
            *_cells(joint.label, joint.upstream.name),
            *(
                _working(
                    words,
                    show(Temperature(steps[speed][number]), words.first),
                    temperature_id(joint, speed, "hottest"),
                )
                for speed in steps
            ),
        )
        for number, joint in enumerate(route.joints)
    ]
    return Table(
        "Temperature at each joint, hottest sea",
        ("Joint", "After", *(speed.capitalize() for speed in steps)),
        tuple(rows),
    )


# ---- elevations ----------------------------------------------------------------------------------


def route_elevation(words: Words, route: Route) -> Iterator[Rendered]:
    """How the raw-water route rises and falls."""
    profile = route_profile(words.book, words.vessel, route)
    title = "Elevation of the raw-water route"
    yield from _elevation(words, route.engine, "elevation", title, "raw water", profile)


def exhaust_elevation(
    words: Words, engine: FittedEngine, route: Route | None, exhaust: Exhaust
) -> Iterator[Rendered]:
    """How the exhaust rises and falls behind the injection."""
    profile = exhaust_profile(words.book, words.vessel, route, exhaust)
    title = "Elevation of the exhaust"
    yield from _elevation(words, engine, "exhaust-elevation", title, "exhaust", profile)


def _elevation(
    words: Words,
    engine: FittedEngine,
    name: str,
    title: str,
    line: str,
    profile: Sequence[ProfilePoint],
) -> Iterator[Rendered]:
    """Lengths and heights to one scale, the waterline at rest and the water at the worst heel."""
    if len(profile) < 2 or profile[-1].along_m <= 0.0:
        return
    first = words.first
    drawn = [point for point in profile if point.stated or point is profile[-1]]
    along = tuple(METRES.value(point.along_m, first) for point in drawn)
    curves = [Curve(line, along, tuple(METRES.value(p.height_m, first) for p in drawn), SOLID)]
    heeled = [point for point in profile if point.lowest_m is not None]
    water = [p.height_m - p.lowest_m for p in heeled if p.lowest_m is not None]
    if len(heeled) > 1:
        curves.append(
            Curve(
                "water at worst heel",
                tuple(METRES.value(point.along_m, first) for point in heeled),
                tuple(METRES.value(height, first) for height in water),
                DASHED,
            )
        )
    heights = [point.height_m for point in profile] + water + [0.0]
    low, high = min(heights) - 0.15, max(heights) + 0.25
    length = profile[-1].along_m * 1.04
    across = WIDE_PX - FRAME_PX[0]
    tall = max(150.0, min(560.0, across * (high - low) / length))
    spare = tall * length / across - (high - low)
    marks = [
        Mark(point.label, at, METRES.value(point.height_m, first))
        for point, at in zip(drawn, along, strict=True)
        if point.label
    ]
    said = "" if len(heeled) > 1 else " The water at the worst heel and trim is not assessed."
    yield plot(
        words.figure_id(name, engine),
        words.titled(title, engine),
        "Lengths along the line and heights over the waterline, to one scale. Where the dashed "
        f"water stands over the line, that place goes under.{said}",
        METRES.axis("Along", first, 0.0, length),
        METRES.axis("Height", first, low, high + max(0.0, spare)),
        curves,
        marks,
        [Limit("waterline at rest", 0.0)],
        tables=(_elevation_table(words, profile),),
        size_px=(WIDE_PX, tall + FRAME_PX[1]),
    )


def _elevation_table(words: Words, profile: Sequence[ProfilePoint]) -> Table:
    rows = []
    for point in profile:
        lowest = Cell(NOT_ASSESSED)
        if point.lowest is not None and point.lowest_m is not None:
            lowest = _working(words, show(Length(point.lowest_m), words.first), point.lowest.id)
        height = show(Length(point.height_m), words.first)
        rows.append(
            (
                *_cells(
                    f"{point.name}, {point.label}" if point.label == "dip tube" else point.name,
                    show(Length(point.along_m), words.first),
                    height if point.stated else f"{height}, on a line between its neighbours",
                ),
                lowest,
            )
        )
    heads = ("End of", "Along", "Height over the waterline", "Lowest, worst heel and trim")
    return Table("Heights along the line", heads, tuple(rows))


# ---- power and propeller -------------------------------------------------------------------------


def power_curve(words: Words, engine: FittedEngine) -> Iterator[Rendered]:
    """The sheet's power over the speed, and what a propeller asks that takes rated power."""
    table, book, first = engine.performance, words.book, words.first
    if table is None:
        return
    rows = []
    for speed in range_speeds(engine):
        turns = book[speed_id(engine, speed)].value
        power = book.get(figure_id(engine, speed, "power"))
        if isinstance(turns, RotationalSpeed) and power is not None and power.assessed:
            assert isinstance(power.value, Quantity)
            rows.append((turns.rpm, power.value.value))
    if len(rows) < 2:
        return
    line = "full load" if table.load_line == "full-load" else "propeller load"
    curves = [
        Curve(
            f"sheet, {line}",
            tuple(rpm for rpm, _ in rows),
            tuple(POWER.value(watts, first) for _, watts in rows),
            SOLID,
        )
    ]
    top_rpm, top_w = rows[-1]
    steps = [rows[0][0] + (top_rpm - rows[0][0]) * n / 20 for n in range(21)]
    curves.append(
        Curve(
            "cube of the speed",
            tuple(steps),
            tuple(POWER.value(top_w * (rpm / top_rpm) ** 3, first) for rpm in steps),
            DASHED,
        )
    )
    limits = []
    for _, run in runs(words.vessel, engine):
        reached = known(run.speed)
        if run.throttle == "full" and reached is not None:
            limits = [Limit("reached on trial", reached.rpm, upright=True)]
    yield plot(
        words.figure_id("power-curve", engine),
        words.titled("Power and propeller", engine),
        "Power by the engine sheet, and the cube of the speed that a propeller follows which "
        "takes rated power at rated speed (common practice). An engine held below its rated "
        "speed at full throttle has too much propeller.",
        SPEED.axis("Engine speed", first, 0.0, 1.08 * top_rpm),
        POWER.axis("Power", first, 0.0, 1.12 * top_w),
        curves,
        [Mark("rated", top_rpm, POWER.value(top_w, first))],
        limits,
        size_px=(NARROW_PX, 320.0),
    )
