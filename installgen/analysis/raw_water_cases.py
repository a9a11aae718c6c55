"""Raw water not as built: a fouled strainer, a worn impeller, one piece a size larger."""

from __future__ import annotations

from typing import Literal

from installgen.analysis.rating import for_each_unit_of_power
from installgen.analysis.raw_water import (
    DARCY,
    flow_id,
    pump_side_id,
    remark_on_bleeds,
    solved,
)
from installgen.analysis.raw_water_intake import faces_forward
from installgen.analysis.raw_water_network import headway_pressure_id, route_network, water_at
from installgen.analysis.raw_water_pieces import Variation
from installgen.analysis.results import Book, MissingInput, TableOrigin, Working
from installgen.analysis.route import Route, Step
from installgen.analysis.speeds import SPEEDS, speed_id
from installgen.calc.pipe_network import OperatingPoint
from installgen.spec.vessel import Vessel
from installgen.tables.hoses import inch_hoses, metric_hoses
from installgen.units import Pressure, PressureDifference, VolumeFlow

CASES = {
    "fouled-strainer": "with a fouled strainer",
    "worn-impeller": "with a worn impeller",
    "worst": "with a fouled strainer and a worn impeller",
}
HEADWAY = "headway"
_SAID = {**CASES, HEADWAY: "with headway in the scoop"}
_MM_PER_IN = 25.4


def case_flow_id(route: Route, speed: str, case: str) -> str:
    """Id of the flow in one of the cases that are not as built."""
    return f"{flow_id(route, speed)}-{case}"


def limiting_id(route: Route, speed: str) -> str:
    """Id of the name of the piece that loses most."""
    return f"{route.engine.name}.raw-water.{speed}.limiting-piece"


def analyse_raw_water_cases(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter flow and suction when fouled and worn, and what one size larger would give."""
    for speed in SPEEDS:
        for case in CASES:
            state = _flow(book, vessel, route, speed, case)
            if "strainer" in case or case == "worst":
                _at_pump(book, route, speed, case, state, "inlet")
        if faces_forward(route):
            state = _flow(book, vessel, route, speed, HEADWAY)
            _at_pump(book, route, speed, HEADWAY, state, "inlet")
            _at_pump(book, route, speed, HEADWAY, state, "outlet")
        _largest_loss(book, route, speed)
        _one_larger(book, vessel, route, speed)
    _flow_for_power(book, route)


def _flow(
    book: Book, vessel: Vessel, route: Route, speed: str, case: str
) -> tuple[OperatingPoint, str] | None:
    found: tuple[OperatingPoint, str] | None = None
    with _working(
        book,
        route,
        case_flow_id(route, speed, case),
        f"Raw-water flow {_SAID[case]} at {speed}",
        "as the flow, with the loss of the strainer or the slip of the pump multiplied"
        if case in CASES
        else "as the flow, with the greatest pressure at the intake",
        speed,
    ) as w:
        w.result(flow_id(route, speed), "flow as built")
        strainer = slip = 1.0
        if case == HEADWAY:
            w.result(headway_pressure_id(route.engine, speed), "pressure at the intake")
        if case in ("fouled-strainer", "worst"):
            if not any(step.kind == "strainer" for step in route.steps):
                raise MissingInput("the route has no strainer")
            strainer = w.assume("strainer_fouling", "fouled strainer to a clean one").ratio
        if case in ("worn-impeller", "worst"):
            slip = w.assume("impeller_wear", "slip of a worn impeller to a new one").ratio
        variation = Variation(strainer, slip, headway=case == HEADWAY)
        found = _solve(w, vessel, route, speed, variation)
        w.value = VolumeFlow(found[0].pieces[found[1]].flow_m3_per_s)
        remark_on_bleeds(w, route)
    return found


def _solve(
    w: Working, vessel: Vessel, route: Route, speed: str, variation: Variation
) -> tuple[OperatingPoint, str]:
    """The route in a variation, and the name of its pump. Its inputs stand in the flow as built."""
    scratch = w.book.working("", "", "raw-water", formula="", source="")
    rpm = scratch.result(speed_id(route.engine, speed)).rpm
    coldest = scratch.spec(vessel.spec.sea, "coldest").c
    laid = route_network(scratch, route, rpm, water_at(vessel, coldest), variation, speed=speed)
    return solved(laid), laid.pump


def _at_pump(
    book: Book,
    route: Route,
    speed: str,
    case: str,
    state: tuple[OperatingPoint, str] | None,
    side: Literal["inlet", "outlet"],
) -> None:
    with _working(
        book,
        route,
        f"{pump_side_id(route, speed, side)}-{case}",
        f"Pressure at the pump's {side} {_SAID[case]} at {speed}",
        "static, as a gauge at the pump's port reads",
        speed,
    ) as w:
        w.result(case_flow_id(route, speed, case), f"flow {_SAID[case]}")
        assert state is not None
        pump = state[0].pieces[state[1]]
        pressure = pump.start_pressure_pa if side == "inlet" else pump.end_pressure_pa
        if pressure is None:
            raise MissingInput("no open path leads to the pump")
        w.value = Pressure(pressure)


def _largest_loss(book: Book, route: Route, speed: str) -> None:
    with _working(
        book,
        route,
        limiting_id(route, speed),
        f"Piece that loses most at {speed}",
        "the greatest pressure lost in one piece of the main route",
        speed,
    ) as w:
        losses = _losses_pa(w, route, speed)
        most, step = max(losses, key=lambda found: found[0])
        w.value = step.name
        total = sum(loss for loss, _ in losses)
        if total > 0.0:
            w.note(f"It loses {100.0 * most / total:.0f} % of what all pieces lose.")
        w.note("The pump is of positive displacement: what the pieces lose costs slip only.")


def _losses_pa(w: Working, route: Route, speed: str) -> list[tuple[float, Step]]:
    """What each piece of the main route loses, those that do not run full left out."""
    w.result(flow_id(route, speed), "flow")
    losses = []
    for step in route.steps:
        if step.kind == "pump":
            continue
        result_id = f"{step.id}.{speed}.loss"
        if w.book[result_id].assessed:
            lost: PressureDifference = w.result(result_id, f"lost in {step.name}")
            losses.append((lost.pa, step))
        else:
            w.note(f"{step.name} does not run full and is left out.")
    if not losses:
        raise MissingInput("the route has no piece but the pump")
    return losses


def _one_larger(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    with _working(
        book,
        route,
        f"{flow_id(route, speed)}-one-size-larger",
        f"Raw-water flow with that piece one size larger, at {speed}",
        "as the flow, that piece with its bores one hose size larger; a stated loss then goes "
        "with 1/d⁴",
        speed,
    ) as w:
        built = w.result(flow_id(route, speed), "flow as built").m3_per_s
        w.result(limiting_id(route, speed), "piece that loses most")
        losses = _losses_pa(w, route, speed)
        step = max(losses, key=lambda found: found[0])[1]
        ratio = _next_size(w, step)
        state, pump = _solve(w, vessel, route, speed, Variation(larger={step.id: ratio}))
        flow = state.pieces[pump].flow_m3_per_s
        w.value = VolumeFlow(flow)
        w.note(f"That is {100.0 * (flow / built - 1.0):.1f} % more than as built.")


def _next_size(w: Working, step: Step) -> float:
    """Bore of the next hose size over the size of a step's larger end."""
    ends = [end for end in (step.inlet, step.outlet) if end is not None and end.diameter_mm]
    if not ends:
        raise MissingInput(f"{step.name} has no hose size")
    size = max(end.diameter_mm or 0.0 for end in ends)
    if any(end.size.endswith("in") for end in ends):
        inch = inch_hoses()
        row = inch.at_least("bore_in", size / _MM_PER_IN + 1e-6)
        origin = TableOrigin(inch.name, row.size, row.source, row.mark.value)
        w.table("next hose size", f"{row.size} in", origin)
        return row.bore_mm / size
    metric = metric_hoses()
    larger = metric.at_least("size_mm", size * 1.05)
    origin = TableOrigin(metric.name, f"{larger.size_mm:g}", larger.source, larger.mark.value)
    w.table("next hose size", f"{larger.size_mm:g} mm", origin)
    return larger.size_mm / size


def _flow_for_power(book: Book, route: Route) -> None:
    with _working(
        book,
        route,
        f"{route.engine.name}.raw-water.rated.flow-for-power",
        "Raw water for each kilowatt at rated",
        "flow / shaft power",
        "rated",
    ) as w:
        flow = w.result(flow_id(route, "rated"), "flow")
        power = w.result(f"{route.engine.name}.rating.power", "rated power")
        w.value = for_each_unit_of_power(flow, power)


def _working(
    book: Book, route: Route, result_id: str, name: str, formula: str, speed: str
) -> Working:
    return book.working(
        result_id,
        name,
        "raw-water",
        formula=formula,
        source=DARCY,
        subject=f"{route.engine.name}.raw-water",
        case=speed,
        engine=route.engine.name,
    )
