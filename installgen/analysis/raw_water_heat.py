"""What the coolers give to the raw water, and its temperature at every joint."""

from __future__ import annotations

from typing import Any

from installgen.analysis.raw_water import flow_id, water_at
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import Route, RouteJoint, Step
from installgen.analysis.speeds import SPEEDS, SpeedName, figure_id
from installgen.calc.heat import charge_air_duty_w, temperature_rise_k
from installgen.spec.piping import Cooler
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import HeatFlow, Temperature

SEAS = ("coldest", "hottest")

_DUTY_FIGURE = {
    "jacket": "jacket_heat",
    "gear-oil": "gear_oil_heat",
    "engine-oil": "engine_oil_heat",
    "fuel": "fuel_heat",
}


def duty_id(engine: FittedEngine, speed: SpeedName, cools: str) -> str:
    """Id of the heat that one cooler gives to the raw water."""
    return f"{engine.name}.raw-water.{speed}.{cools}.duty"


def temperature_id(joint: RouteJoint, speed: SpeedName, sea: str) -> str:
    """Id of the water's temperature at a joint, in the coldest or the hottest sea."""
    return f"{joint.id}.{speed}.temperature-{sea}"


def analyse_heat(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the duty of every cooler and the temperatures along the route, by speed."""
    for speed in SPEEDS:
        for step in route.steps:
            if isinstance(step.entry, Cooler):
                _duty(book, route.engine, step, step.entry.cools, speed)
        for sea in SEAS:
            _staircase(book, vessel, route, speed, sea)


def _duty(book: Book, engine: FittedEngine, step: Step, cools: str, speed: SpeedName) -> None:
    if cools == "charge-air":
        formula, source = (
            "heat = air flow · cp · (in − out)",
            "energy balance; cp from the table of dry air",
        )
    else:
        formula, source = "as the engine sheet says at this speed", "engine sheet"
    with book.working(
        duty_id(engine, speed, cools),
        f"Heat of the {step.name.lower()} at {speed}",
        "raw-water",
        formula=formula,
        source=source,
        subject=step.id,
        case=speed,
        engine=engine.name,
    ) as w:
        if cools == "charge-air":
            air = sheet_figure(w, engine, speed, "air").kg_per_s
            into = sheet_figure(w, engine, speed, "charge_into_cooler").c
            out = sheet_figure(w, engine, speed, "charge_out_of_cooler").c
            w.value = HeatFlow(charge_air_duty_w(air, into, out))
        else:
            w.value = sheet_figure(w, engine, speed, _DUTY_FIGURE[cools])


def sheet_figure(w: Working, engine: FittedEngine, speed: SpeedName, figure: str) -> Any:
    """A figure of the sheet's performance table. Raises MissingInput where no row has it."""
    result_id = figure_id(engine, speed, figure)
    if result_id not in w.book:
        raise MissingInput(f"the engine sheet's performance table has no `{figure}`")
    return w.result(result_id)


def _staircase(book: Book, vessel: Vessel, route: Route, speed: SpeedName, sea: str) -> None:
    """The temperature after each step is that before it and what the step gives."""
    before: str | None = None
    by_step: dict[str, str | None] = {}
    for joint in route.joints:
        before = _temperature(book, vessel, route, joint, speed, sea, before)
        by_step[joint.upstream.id] = before
    for branch in route.branches:
        start = by_step.get(branch.after.id)
        for joint in branch.joints:
            start = _temperature(book, vessel, route, joint, speed, sea, start)


def _temperature(
    book: Book,
    vessel: Vessel,
    route: Route,
    joint: RouteJoint,
    speed: SpeedName,
    sea: str,
    before: str | None,
) -> str:
    result_id = temperature_id(joint, speed, sea)
    with book.working(
        result_id,
        f"Water temperature at joint {joint.label}, {speed}, {sea} sea",
        "raw-water",
        formula="T = T before + heat / (flow · density · cp)",
        source="energy balance; seawater after TEOS-10 or fresh water after IAPWS-95, as tabulated",
        subject=joint.id,
        case=speed,
        engine=route.engine.name,
    ) as w:
        if before is None:
            start = w.spec(vessel.spec.sea, sea, f"{sea} sea").c
        else:
            start = w.result(before, "temperature before").c
        entry = joint.upstream.entry
        if not isinstance(entry, Cooler) or joint.upstream.branch:
            w.value = Temperature(start)
            return result_id
        duty = w.result(duty_id(route.engine, speed, entry.cools)).w
        flow = w.result(flow_id(route, speed), "flow").m3_per_s
        water = water_at(vessel, start)
        rise = temperature_rise_k(
            duty, flow * water.density_kg_per_m3, water.specific_heat_j_per_kg_k
        )
        if route.branches:
            w.note(
                "The whole pump flow is counted; a branch before this joint takes a little of it."
            )
        w.value = Temperature(start + rise)
    return result_id
