"""Raw water: flow, pressures, temperatures, heights against the waterline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from installgen.analysis.raw_water import NO_POINT, branch_flow_id, flow_id
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.analysis.speeds import said
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    figure_of,
    holds,
    lacking,
    not_assessed,
    result_at_least,
    result_at_most,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import shown
from installgen.spec.entry import Entry, known
from installgen.spec.piping import Discharge, Injection, RawWaterPump, Seacock, Valve
from installgen.units import Length, Pressure, Quantity, Temperature, Velocity, VolumeFlow

SPEEDS: tuple[Literal["idle", "cruise", "rated"], ...] = ("idle", "cruise", "rated")


def _routes(survey: Survey) -> list[tuple[str, Route]]:
    return list(survey.analysis.routes.items())


@named_check("raw-water")
def operating_point(survey: Survey) -> Iterator[Judgement]:
    """At every speed pump and route agree on a flow: nothing shuts the water off.

    Without a flow the pump runs dry, and nothing cools engine and exhaust.
    """
    for name, route in _routes(survey):
        about = About(f"{name}.raw-water", f"raw water of {name}", _shutters(route), name)
        judged = []
        for speed in SPEEDS:
            result = survey.book[flow_id(route, speed)]
            if result.not_assessed.startswith(NO_POINT):
                found = result.not_assessed.removeprefix(NO_POINT).lstrip(": ")
                judged.append(holds(False, "none", "a flow", about).because(found))
            else:
                flow = figure_of(survey.book, result.id, about)
                judged.append(
                    flow if isinstance(flow, Judgement) else holds(True, "a flow", "a flow", about)
                )
        found_worst = worst(judged)
        assert found_worst is not None
        yield found_worst


def _shutters(route: Route) -> tuple[tuple[Entry | None, str], ...]:
    """What may shut a route, first what does."""
    found = [step.entry for step in route.all_steps() if isinstance(step.entry, Seacock | Valve)]
    shut = [entry for entry in found if entry.state == "closed"]
    return tuple((entry, "state") for entry in [*shut, *found][:1]) or ((route.steps[0].entry, ""),)


def pump_of(route: Route) -> tuple[int, Step] | None:
    """The raw-water pump of a route, with its number among the steps."""
    for number, step in enumerate(route.steps):
        if step.kind == "pump":
            return number, step
    return None


def sides(route: Route) -> tuple[list[RouteJoint], list[RouteJoint]]:
    """The joints before the pump and those behind it; all are suction where there is no pump."""
    found = pump_of(route)
    if found is None:
        return list(route.joints), []
    order = {step.id: number for number, step in enumerate(route.steps)}
    before = [j for j in route.joints if order.get(j.downstream.id, -1) <= found[0]]
    return before, [joint for joint in route.joints if joint not in before]


def hose_of(joint: RouteJoint) -> Entry:
    """The entry whose text settles what happens at a joint: its hose, else what comes before."""
    for step in (joint.upstream, joint.downstream):
        if step.kind == "hose":
            return step.entry
    return joint.upstream.entry


def _worst_joint(
    survey: Survey,
    joints: list[RouteJoint],
    what: str,
    limit: Quantity,
    about: About,
    speeds: tuple[str, ...] = ("rated",),
) -> Judgement:
    """The joint with the least room to a limit, over some speeds."""
    judged = []
    for joint in joints:
        for speed in speeds:
            here = replace(about, at=((hose_of(joint), "bore"),))
            found = result_at_most(survey.book, f"{joint.id}.{speed}.{what}", limit, here)
            place = f"at joint {joint.label}, {joint.upstream.name} to {joint.downstream.name}"
            judged.append(found if found.verdict == "not assessed" else found.because(place))
    return worst(judged) or not_assessed(about, "the route has no such joint")


@named_check("raw-water")
def suction_velocity(survey: Survey, limit: Velocity) -> Iterator[Judgement]:
    """At rated speed the water is nowhere faster than the limit before the pump."""
    for name, route in _routes(survey):
        about = About(f"{name}.raw-water.suction", f"suction side of {name}", (), name)
        yield _worst_joint(survey, sides(route)[0], "velocity", limit, about)


@named_check("raw-water")
def discharge_velocity(survey: Survey, limit: Velocity) -> Iterator[Judgement]:
    """At rated speed the water is nowhere faster than the limit behind the pump."""
    for name, route in _routes(survey):
        about = About(f"{name}.raw-water.discharge", f"discharge side of {name}", (), name)
        if sides(route)[1]:
            yield _worst_joint(survey, sides(route)[1], "velocity", limit, about)


@named_check("raw-water")
def pump_inlet(survey: Survey) -> Iterator[Judgement]:
    """The pressure at the pump's inlet is no lower than its maker allows, at any speed."""
    yield from _at_pump(survey, "lowest_inlet")


@named_check("raw-water")
def pump_outlet(survey: Survey) -> Iterator[Judgement]:
    """The pressure at the pump's outlet is no higher than its maker allows, at any speed."""
    yield from _at_pump(survey, "highest_outlet")


_PUMP_CASES = ("", "-fouled-strainer", "-worst", "-headway")
"""As built, with a fouled strainer, with all that can be against it, with headway in a scoop."""


def _at_pump(
    survey: Survey, field: Literal["lowest_inlet", "highest_outlet"]
) -> Iterator[Judgement]:
    inlet = field == "lowest_inlet"
    side = "inlet" if inlet else "outlet"
    for name, route in _routes(survey):
        where = pump_of(route)
        if where is None or not isinstance(where[1].entry, RawWaterPump):
            continue
        pump = where[1].entry
        hose = _beside(route, where[0], before=inlet)
        about = About(
            f"{where[1].id}.{side}",
            f"{side} of {pump.name}",
            ((hose, "bore"), (pump, field)) if hose is not None else ((pump, field),),
            name,
        )
        limit = known(getattr(pump, field))
        if not isinstance(limit, Pressure):
            yield lacking(about, pump, field)
            continue
        against = result_at_least if inlet else result_at_most
        ids = [
            f"{name}.raw-water.{speed}.pump-{side}{case}"
            for speed in SPEEDS
            for case in _PUMP_CASES
        ]
        found = worst(against(survey.book, one, limit, about) for one in ids if one in survey.book)
        yield found or not_assessed(about, "the pressures are not computed")


def _beside(route: Route, number: int, *, before: bool) -> Entry | None:
    """The nearest hose of the vessel on one side of the pump."""
    run = route.steps[number - 1 :: -1] if before and number else route.steps[number + 1 :]
    return next((s.entry for s in run if s.kind == "hose" and not s.on_engine), None)


@named_check("raw-water")
def raw_water_outlet(survey: Survey, limit: Temperature) -> Iterator[Judgement]:
    """In the hottest sea, impeller worn, the water leaves no warmer than the limit."""
    sea = survey.vessel.spec.sea
    for name, _ in _routes(survey):
        about = About(
            f"{name}.raw-water.outlet",
            f"raw water of {name} at its outlet",
            ((sea, "hottest"),),
            name,
        )
        ids = [
            f"{name}.raw-water.{speed}.outlet-temperature-hottest{case}"
            for speed in SPEEDS
            for case in ("", "-worst")
        ]
        found = worst(
            result_at_most(survey.book, one, limit, about) for one in ids if one in survey.book
        )
        yield found or not_assessed(about, "its temperature is not computed")


@named_check("raw-water")
def vented_loop(survey: Survey) -> Iterator[Judgement]:
    """Where the injection lies too low at heel and trim there is a vented loop, in its place.

    It belongs on the pressure side, behind the last cooler and before the injection, its crown
    over the heeled waterline.
    """
    for name, route in _routes(survey):
        injection = next((s for s in route.steps if isinstance(s.entry, Injection)), None)
        if injection is None:
            continue
        at = getattr(injection.entry, "at", None)
        about = About(
            f"{name}.raw-water.injection", injection.name, ((at, "z"), (injection.entry, "")), name
        )
        result_id = f"{name}.raw-water.vented-loop"
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
            continue
        good = ("not needed", "not needed, and fitted", "needed, and fitted")
        asked = "a vented loop behind the last cooler, its crown over the heeled waterline"
        reason = _height_against_maker(survey, name)
        found = holds(value in good, str(value), asked, about, reason)
        yield replace(found, results=(result_id,))


def _height_against_maker(survey: Survey, engine: str) -> str:
    """How high the injection stays, beside the height at which the engine maker asks no loop."""
    lowest, margin = (
        survey.book.get(f"{engine}.raw-water.injection.{what}")
        for what in ("lowest-height", "margin")
    )
    if lowest is None or margin is None or not isinstance(margin.value, Length):
        return ""
    height = shown(lowest.value, survey.vessel.spec.units.first)
    under = "less than" if margin.value.m < 0.0 else "at least"
    return (
        f"heeled and trimmed it is {height} over the waterline, {under} what the engine maker "
        "asks without a loop"
    )


@named_check("raw-water")
def branch_siphon(survey: Survey) -> Iterator[Judgement]:
    """A branch that ends at or below the waterline has a vented loop.

    Overboard or in a shaft seal, behind which the stern tube is open to the sea.
    """
    for name, route in _routes(survey):
        for branch in route.branches:
            end = branch.steps[-1] if branch.steps else None
            if end is None or not isinstance(end.entry, Discharge) or end.entry.into == "open":
                continue
            about = About(end.id, f"branch {branch.branch.name or branch.branch.id}", (), name)
            loop = any(s.kind == "vented_loop" for s in branch.steps)
            yield _branch(survey, end.entry, loop, about)


def _branch(survey: Survey, end: Discharge, loop: bool, about: About) -> Judgement:
    about = replace(about, at=((end, "at"), (end, "")))
    if loop:
        return holds(True, "it has a vented loop", "a vented loop", about)
    height = known(end.at.z) if end.at is not None else None
    if height is None:
        return lacking(about, end.at or end, "z" if end.at is not None else "at", "its height z")
    away = shown(Length(abs(height.m)), survey.vessel.spec.units.first)
    side = "over" if height.m > 0.0 else "under"
    found = f"ends {away} {side} the waterline" if height.m else "ends at the waterline"
    return holds(height.m > 0.0, found, "over the waterline, or a vented loop", about)


@named_check("raw-water")
def seal_flow(survey: Survey) -> Iterator[Judgement]:
    """A shaft seal that is fed gets at least the flow its maker asks for, at every speed."""
    for name, route in _routes(survey):
        for branch in route.branches:
            end = branch.steps[-1] if branch.steps else None
            if (
                end is None
                or not isinstance(end.entry, Discharge)
                or end.entry.into != "shaft-seal"
            ):
                continue
            about = About(end.id, f"feed of {end.name}", ((end.entry, "needs"),), name)
            needs = known(end.entry.needs)
            if needs is None:
                yield lacking(about, end.entry, "needs", "the least flow its maker asks for")
                continue
            found = worst(_fed(survey, route, branch, needs, about))
            yield found or not_assessed(about, "its flow is not computed")


def _fed(
    survey: Survey, route: Route, branch: BranchRoute, needs: VolumeFlow, about: About
) -> Iterator[Judgement]:
    for speed in SPEEDS:
        flow = branch_flow_id(route, branch, speed)
        margin = figure_of(survey.book, f"{flow}-margin", about)
        if isinstance(margin, Judgement):
            yield margin
        else:
            here = replace(about, name=f"{about.name} at {said(speed)}")
            yield result_at_least(survey.book, flow, needs, here)


@named_check("raw-water")
def seacock_depth(survey: Survey, limit: Length) -> Iterator[Judgement]:
    """The raw-water intake lies at least this far below the waterline."""
    for name, route in _routes(survey):
        for step in route.steps:
            if step.kind != "seacock":
                continue
            at = getattr(step.entry, "at", None)
            about = About(step.id, step.name, ((at, "z"), (step.entry, "")), name)
            height = known(at.z) if at is not None else None
            if height is None:
                yield lacking(about, at or step.entry, "z" if at is not None else "at", "height z")
            else:
                yield at_least(
                    Length(-height.m),
                    limit,
                    about,
                    f"its z is {shown(height, survey.vessel.spec.units.first)}",
                )
