"""What the coolers give to the raw water, and its temperature at every joint."""

from __future__ import annotations

from typing import Any

from installgen.analysis.raw_water import (
    bleed_flow_id,
    branch_flow_id,
    flow_id,
    water_at,
)
from installgen.analysis.raw_water_cases import case_flow_id
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.analysis.rules import rule_temperature_c
from installgen.analysis.speeds import SPEEDS, figure_id, range_speeds, said
from installgen.calc.heat import (
    charge_air_duty_w,
    flow_for_outlet_m3_per_s,
    scale_margin_k,
    temperature_rise_k,
)
from installgen.spec.piping import Cooler, FittedCooler, VentedLoop
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import HeatFlow, Temperature, TemperatureDifference, VolumeFlow

SEAS = ("coldest", "hottest")
OUTLET_RULE = "raw-water-outlet"
"""The check of the yard's standard whose limit is the highest outlet temperature."""

_DUTY_FIGURE = {
    "jacket": "jacket_heat",
    "gear-oil": "gear_oil_heat",
    "engine-oil": "engine_oil_heat",
    "fuel": "fuel_heat",
}


def duty_id(engine: FittedEngine, speed: str, cools: str) -> str:
    """Id of the heat that one cooler gives to the raw water."""
    return f"{engine.name}.raw-water.{speed}.{cools}.duty"


def temperature_id(joint: RouteJoint, speed: str, sea: str) -> str:
    """Id of the water's temperature at a joint, in the coldest or the hottest sea."""
    return f"{joint.id}.{speed}.temperature-{sea}"


def outlet_id(engine: FittedEngine, speed: str, case: str = "") -> str:
    """Id of the water's temperature behind the last cooler, in the hottest sea."""
    ending = f"-{case}" if case else ""
    return f"{engine.name}.raw-water.{speed}.outlet-temperature-hottest{ending}"


def cooled(step: Step) -> str:
    """What a step cools; empty where it is no cooler."""
    if isinstance(step.entry, Cooler):
        return step.entry.cools
    return step.entry.duty if isinstance(step.entry, FittedCooler) else ""


def analyse_heat(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the duty of every cooler and the temperatures along the route, by speed."""
    for speed in SPEEDS:
        for sea in SEAS:
            enter_temperatures(book, vessel, route, speed, sea)
        _total(book, route, speed)
        _outlet(book, vessel, route, speed)
        for case in ("worn-impeller", "worst"):
            _outlet_in_case(book, vessel, route, speed, case)
        _margin(book, vessel, route, speed)
        _flow_needed(book, vessel, route, speed)
    for row in range_speeds(route.engine):
        _duties(book, route, row)
        enter_outlet(book, vessel, route, row)


def enter_temperatures(book: Book, vessel: Vessel, route: Route, speed: str, sea: str) -> None:
    """Enter the duties at one speed and, in one sea, the temperature at every joint."""
    _duties(book, route, speed)
    _Staircase(book, vessel, route, speed, sea).climb()


def enter_outlet(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    """Enter the heat at one speed, and the temperature behind all coolers in the hottest sea."""
    _duties(book, route, speed)
    _total(book, route, speed)
    _outlet_in_case(book, vessel, route, speed, "")


def _duties(book: Book, route: Route, speed: str) -> None:
    for step in route.all_steps():
        if cooled(step) and duty_id(route.engine, speed, cooled(step)) not in book:
            _duty(book, route.engine, step, speed)


def _duty(book: Book, engine: FittedEngine, step: Step, speed: str) -> None:
    cools = cooled(step)
    if cools == "charge-air":
        formula, source = (
            "heat = air flow · cp · (in − out)",
            "energy balance; cp from the table of dry air",
        )
    else:
        formula, source = "as the engine sheet says at this speed", "engine sheet"
    with book.working(
        duty_id(engine, speed, cools),
        f"Heat of the {step.name.lower()} at {said(speed)}",
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
        elif cools in _DUTY_FIGURE:
            w.value = sheet_figure(w, engine, speed, _DUTY_FIGURE[cools])
        else:
            raise MissingInput(f"the heat of the {cools} is not known to the engine sheet")


def sheet_figure(w: Working, engine: FittedEngine, speed: str, figure: str) -> Any:
    """A figure of the sheet's performance table. Raises MissingInput where no row has it."""
    result_id = figure_id(engine, speed, figure)
    if result_id not in w.book:
        raise MissingInput(f"the engine sheet's performance table has no `{figure}`")
    return w.result(result_id)


class _Staircase:
    """The temperature after each step is that before it and what the step gives."""

    def __init__(self, book: Book, vessel: Vessel, route: Route, speed: str, sea: str) -> None:
        self.book, self.vessel, self.route = book, vessel, route
        self.speed, self.sea = speed, sea
        self.flows: list[str] = [flow_id(route, speed)]

    def climb(self) -> None:
        """Along the main route, then along each branch; a bypass first, as it comes back."""
        after: dict[str, str | None] = {}
        before: str | None = None
        for joint in self.route.joints:
            before = self.joint(joint, before, self.flows)
            after[joint.upstream.id] = before
            step = joint.upstream
            for branch in self.route.branches:
                if branch.after.id == step.id:
                    self.branch(branch, before)
            if isinstance(step.entry, VentedLoop) and bleed_flow_id(step, self.speed) in self.book:
                self.flows = [*self.flows, f"-{bleed_flow_id(step, self.speed)}"]
            for branch in self.route.branches:
                if branch.after.id == step.id:
                    taken = branch_flow_id(self.route, branch, self.speed)
                    self.flows = [*self.flows, f"-{taken}"]
                if branch.rejoins is not None and branch.rejoins.id == step.id:
                    before = self.mixed(joint, branch, before)
                    taken = branch_flow_id(self.route, branch, self.speed)
                    self.flows = [flow for flow in self.flows if flow != f"-{taken}"]

    def branch(self, branch: BranchRoute, before: str | None) -> None:
        flows = [branch_flow_id(self.route, branch, self.speed)]
        for joint in branch.joints:
            first = joint is branch.joints[0]
            before = self.joint(joint, before, flows, heats=not first)

    def joint(
        self, joint: RouteJoint, before: str | None, flows: list[str], *, heats: bool = True
    ) -> str:
        """The temperature at one joint.

        before: result of the joint before; nothing where the water is still the sea's
        flows: results that add up to the flow; those with a minus sign are taken off
        heats: False at a tee, whose upstream step has been counted in the main route
        """
        result_id = temperature_id(joint, self.speed, self.sea)
        with self.working(result_id, joint) as w:
            start = self.start_c(w, before)
            self.refuse_backwards(flows)
            step = joint.upstream
            if not heats or not cooled(step):
                w.value = Temperature(start)
                return result_id
            duty = w.result(duty_id(self.route.engine, self.speed, cooled(step))).w
            flow = self.flow_m3_per_s(w, flows)
            water = water_at(self.vessel, start)
            mass = flow * water.density_kg_per_m3
            rise = temperature_rise_k(duty, mass, water.specific_heat_j_per_kg_k)
            w.value = Temperature(start + rise)
        return result_id

    def mixed(self, joint: RouteJoint, branch: BranchRoute, before: str | None) -> str:
        """The temperature where a bypass comes back."""
        result_id = f"{joint.id}.{self.speed}.temperature-{self.sea}-mixed"
        formula = "T = (Q·T of the route + Q·T of the bypass) / (sum of both flows)"
        with self.working(result_id, joint, formula) as w:
            main = self.start_c(w, before)
            last = temperature_id(branch.joints[-1], self.speed, self.sea)
            other = w.result(last, "temperature of the bypass").c
            self.refuse_backwards(self.flows)
            through = self.flow_m3_per_s(w, self.flows)
            taken = w.result(branch_flow_id(self.route, branch, self.speed)).m3_per_s
            if through + taken <= 0.0:
                raise MissingInput("nothing flows here")
            w.value = Temperature((through * main + taken * other) / (through + taken))
        return result_id

    def working(self, result_id: str, joint: RouteJoint, formula: str = "") -> Working:
        return self.book.working(
            result_id,
            f"Water temperature at joint {joint.label}, {self.speed}, {self.sea} sea",
            "raw-water",
            formula=formula or "T = T before + heat / (flow · density · cp)",
            source=(
                "energy balance; seawater after TEOS-10 or fresh water after IAPWS-95, as tabulated"
            ),
            subject=joint.id,
            case=self.speed,
            engine=self.route.engine.name,
        )

    def start_c(self, w: Working, before: str | None) -> float:
        if before is None:
            return float(w.spec(self.vessel.spec.sea, self.sea, f"{self.sea} sea").c)
        return float(w.result(before, "temperature before").c)

    def refuse_backwards(self, flows: list[str]) -> None:
        """Water that runs back through a branch is warmer, or colder, than the route's own."""
        for name in flows:
            found = self.book[name.removeprefix("-")].value
            if isinstance(found, VolumeFlow) and found.m3_per_s < 0.0:
                raise MissingInput("water runs back through a branch, at a temperature of its own")

    def flow_m3_per_s(self, w: Working, flows: list[str]) -> float:
        total = 0.0
        for name in flows:
            taken = name.startswith("-")
            flow = w.result(name.removeprefix("-")).m3_per_s
            total += -flow if taken else flow
        return total


def _coolers(route: Route) -> list[Step]:
    return [step for step in route.steps if cooled(step)]


def _working(
    book: Book, route: Route, result_id: str, name: str, formula: str, source: str, speed: str
) -> Working:
    return book.working(
        result_id,
        f"{name} at {said(speed)}",
        "raw-water",
        formula=formula,
        source=source,
        subject=f"{route.engine.name}.raw-water",
        case=speed,
        engine=route.engine.name,
    )


def _total(book: Book, route: Route, speed: str) -> None:
    name = "Heat that the raw water takes up"
    result_id = f"{route.engine.name}.raw-water.{speed}.heat"
    with _working(book, route, result_id, name, "sum of the coolers", "sum", speed) as w:
        duties = [duty_id(route.engine, speed, cooled(step)) for step in route.all_steps()
                  if cooled(step)]  # fmt: skip
        if not duties:
            raise MissingInput("the route has no cooler")
        w.value = HeatFlow(sum(w.result(duty).w for duty in dict.fromkeys(duties)))


def _outlet(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    coolers = _coolers(route)
    name = "Water temperature behind the last cooler, hottest sea,"
    formula, source = "as at that joint", "energy balance"
    with _working(book, route, outlet_id(route.engine, speed), name, formula, source, speed) as w:
        if not coolers:
            raise MissingInput("the route has no cooler")
        joint = next((j for j in route.joints if j.upstream is coolers[-1]), None)
        if joint is None:
            raise MissingInput("the route ends with its last cooler")
        w.value = w.result(temperature_id(joint, speed, "hottest"))


def _outlet_in_case(book: Book, vessel: Vessel, route: Route, speed: str, case: str) -> None:
    """All heat into the pump's flow: a branch before a cooler makes it a little hotter."""
    formula = "T = hottest sea + sum of heat / (flow · density · cp)"
    name = "Water temperature behind the coolers, hottest sea,"
    if case:
        name += " with a worn impeller" if case == "worn-impeller" else " fouled and worn,"
    result_id = outlet_id(route.engine, speed, case)
    with _working(book, route, result_id, name, formula, "energy balance", speed) as w:
        sea = w.spec(vessel.spec.sea, "hottest", "hottest sea").c
        heat = w.result(f"{route.engine.name}.raw-water.{speed}.heat", "heat").w
        flow = w.result(case_flow_id(route, speed, case) if case else flow_id(route, speed))
        water = water_at(vessel, sea)
        mass = flow.m3_per_s * water.density_kg_per_m3
        w.value = Temperature(sea + temperature_rise_k(heat, mass, water.specific_heat_j_per_kg_k))
        if route.branches:
            w.note("Branches are left out here: the whole flow of the pump is counted.")


def _margin(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    name = "Margin of the raw-water outlet to the scale limit, hottest sea,"
    formula, source = "limit − outlet", "limit of the yard's standard"
    result_id = f"{route.engine.name}.raw-water.{speed}.outlet-margin"
    with _working(book, route, result_id, name, formula, source, speed) as w:
        outlet = w.result(outlet_id(route.engine, speed), "outlet").c
        limit = rule_temperature_c(w, vessel.standard, OUTLET_RULE)
        w.value = TemperatureDifference(scale_margin_k(outlet, limit))


def _flow_needed(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    name = "Least raw-water flow that keeps the outlet below the scale limit, hottest sea,"
    formula = "Q = heat / (density · cp · (limit − sea))"
    result_id = f"{route.engine.name}.raw-water.{speed}.flow-needed"
    with _working(book, route, result_id, name, formula, "energy balance", speed) as w:
        heat = w.result(f"{route.engine.name}.raw-water.{speed}.heat", "heat").w
        sea = w.spec(vessel.spec.sea, "hottest", "hottest sea").c
        limit = rule_temperature_c(w, vessel.standard, OUTLET_RULE)
        water = water_at(vessel, sea)
        w.value = VolumeFlow(
            flow_for_outlet_m3_per_s(
                heat, sea, limit, water.density_kg_per_m3, water.specific_heat_j_per_kg_k
            )
        )
