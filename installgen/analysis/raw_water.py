"""Raw water: how the joints fit, what flows, pressure and velocity at each joint."""

from __future__ import annotations

from installgen.analysis.raw_water_network import (
    RouteNetwork,
    bleed_piece,
    end_node,
    route_network,
    water_at,
)
from installgen.analysis.raw_water_pieces import loss_is_open
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.analysis.speeds import SPEEDS, range_speeds, said, speed_id
from installgen.calc.joints import FitVerdict
from installgen.calc.pipe_network import NoOperatingPoint, OperatingPoint, solve_network
from installgen.spec.entry import Entry, known
from installgen.spec.piping import Discharge, VentedLoop
from installgen.spec.vessel import Vessel
from installgen.units import Pressure, PressureDifference, Velocity, VolumeFlow

__all__ = ["DARCY", "analyse_raw_water", "flow_id", "injection_flow_id", "water_at"]

DARCY = "Darcy–Weisbach with Colebrook's friction factor; mass balance at each joint"

NO_POINT = "there is no operating point"
"""How the reason begins where pump and route do not agree at any flow."""

NOT_FULL = "the pipe does not run full here: a vented loop lets air in, or nothing flows"

SOLVED = "the solved route: pressures and velocities at this flow"


def flow_id(route: Route, speed: str) -> str:
    """Id of the flow through the pump at a speed."""
    return f"{route.engine.name}.raw-water.{speed}.flow"


def branch_flow_id(route: Route, branch: BranchRoute, speed: str) -> str:
    """Id of the flow that a branch takes."""
    return f"{route.engine.name}.raw-water.{branch.branch.id}.{speed}.flow"


def bleed_flow_id(step: Step, speed: str) -> str:
    """Id of the flow that an open vented loop bleeds overboard."""
    return f"{step.id}.{speed}.bleed"


def injection_flow_id(route: Route, speed: str) -> str:
    """Id of the flow that arrives at the end of the main route."""
    return f"{route.engine.name}.raw-water.{speed}.injection-flow"


def pump_side_id(route: Route, speed: str, side: str) -> str:
    """Id of the static pressure at the pump's `inlet` or `outlet`."""
    return f"{route.engine.name}.raw-water.{speed}.pump-{side}"


def analyse_raw_water(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the fit of every joint and, at each speed, flow, pressures and velocities."""
    for joint in route.all_joints():
        _fit(book, route, joint)
    for speed in SPEEDS:
        laid, state = _flow(book, vessel, route, speed)
        for joint in route.all_joints():
            _joint_pressure(book, route, joint, speed, state)
            _joint_velocity(book, route, joint, speed, state)
        for step in route.all_steps():
            _step_velocity(book, route, step, speed, state)
            if step.kind != "pump":
                _step_loss(book, route, step, speed, state)
        _pump_and_ends(book, route, speed, laid, state)
    for row in range_speeds(route.engine):
        enter_flow(book, vessel, route, row)


def enter_flow(book: Book, vessel: Vessel, route: Route, speed: str) -> None:
    """Enter the flow at one speed, the pressures at the pump, and what branches and ends get."""
    laid, state = _flow(book, vessel, route, speed)
    _pump_and_ends(book, route, speed, laid, state)


def _fit(book: Book, route: Route, joint: RouteJoint) -> None:
    with book.working(
        f"{joint.id}.fit",
        f"Joint {joint.label}: {joint.upstream.name} to {joint.downstream.name}",
        "raw-water",
        formula="kind and size of one end against the other",
        source=(
            "published thread, hose and flange dimensions; looseness by the table of hose clearance"
        ),
        subject=joint.id,
        engine=route.engine.name,
    ) as w:
        for step, side in ((joint.upstream, "outlet"), (joint.downstream, "inlet")):
            _note_end(w, step, side)
        if joint.fit is None:
            raise MissingInput(joint.not_assessed)
        if joint.fit.verdict is FitVerdict.ADAPTER:
            w.value = " + ".join(adapter.name for adapter in joint.fit.adapters)
        else:
            w.value = str(joint.fit.verdict)
        if joint.fit.misfit is not None:
            w.note(f"{str(joint.fit.misfit).capitalize()}.")
        for caution in joint.fit.cautions:
            w.note(f"{str(caution).capitalize()}.")


def _note_end(w: Working, step: Step, side: str) -> None:
    end = step.outlet if side == "outlet" else step.inlet
    entry = step.entries[-1] if side == "outlet" else step.entries[0]
    field = next(
        (f for f in (side, "bore", "ports", "size") if getattr(entry, f, None) is not None), ""
    )
    if not field:
        return
    value = getattr(entry, field)
    if isinstance(value, Entry):
        inner = "thread" if getattr(value, "thread", None) is not None else "size"
        if value.where(inner) is not None and known(getattr(value, inner)) is not None:
            w.spec(value, inner, f"{side} of {step.name} ({end.name if end else value})")
    elif known(value) is not None:
        w.spec(entry, field, f"{side} of {step.name}")


def _flow(
    book: Book, vessel: Vessel, route: Route, speed: str
) -> tuple[RouteNetwork | None, OperatingPoint | None]:
    laid: RouteNetwork | None = None
    state: OperatingPoint | None = None
    with book.working(
        flow_id(route, speed),
        f"Raw-water flow at {said(speed)}",
        "raw-water",
        formula="the flow at which pump and route agree",
        source=DARCY,
        subject=f"{route.engine.name}.raw-water",
        case=speed,
        engine=route.engine.name,
    ) as w:
        rpm = w.result(speed_id(route.engine, speed), "engine speed").rpm
        coldest = w.spec(vessel.spec.sea, "coldest", "coldest sea").c
        laid = route_network(w, route, rpm, water_at(vessel, coldest), speed=speed)
        state = solved(laid)
        w.value = VolumeFlow(state.pieces[laid.pump].flow_m3_per_s)
        w.note("At the coldest sea, where the water is thickest.")
        remark_on_bleeds(w, route)
    return laid, state


def solved(laid: RouteNetwork) -> OperatingPoint:
    """The operating point of a route. Raises MissingInput where it has none."""
    state = solve_network(laid.network)
    if isinstance(state, NoOperatingPoint):
        raise MissingInput(f"{NO_POINT}: {state.reason} at {state.place}")
    return state


def remark_on_bleeds(w: Working, route: Route) -> None:
    """Say which bleeds are not counted because nobody stated them."""
    for step in route.all_steps():
        entry = step.entry
        if isinstance(entry, VentedLoop) and entry.vent == "open-line" and not known(entry.bleed):
            w.note(f"The bleed of {step.name} is not given, and not counted.")


def _working(
    book: Book, route: Route, result_id: str, name: str, formula: str, speed: str, subject: str
) -> Working:
    return book.working(
        result_id,
        name,
        "raw-water",
        formula=formula,
        source=DARCY,
        subject=subject,
        case=speed,
        engine=route.engine.name,
    )


def _known(w: Working, route: Route, speed: str, state: OperatingPoint | None) -> OperatingPoint:
    w.result(flow_id(route, speed), "flow")
    if state is None:
        raise MissingInput("the route was not solved")
    return state


def _joint_pressure(
    book: Book, route: Route, joint: RouteJoint, speed: str, state: OperatingPoint | None
) -> None:
    with _working(
        book,
        route,
        f"{joint.id}.{speed}.pressure",
        f"Pressure at joint {joint.label}, {speed}",
        "p = pressure at the sea − ρ·g·(height gained) − losses up to here (+ pump) − ρ·v²/2",
        speed,
        joint.id,
    ) as w:
        point = _known(w, route, speed, state)
        node = point.nodes[end_node(joint.upstream)]
        if node.pressure_pa is None:
            raise MissingInput("no open path leads here")
        sides = [
            (abs(velocity), pressure)
            for velocity, pressure in (
                _static(point, joint.upstream, "end"),
                _static(point, joint.downstream, "start"),
            )
            if velocity is not None and pressure is not None
        ]
        if not node.runs_full:
            sides = []
            w.note("The vented loop lets air in: the pipe does not run full here.")
        elif not sides:
            w.note("No bore is given on either side: the velocity head is not taken off.")
        else:
            w.method("total pressure", Pressure(node.pressure_pa), SOLVED)
            w.method("velocity in the wider end", Velocity(min(sides)[0]), SOLVED)
            w.note("As a gauge in the wider of the two ends would read.")
        w.value = Pressure(min(sides)[1] if sides else node.pressure_pa)


def _static(point: OperatingPoint, step: Step, side: str) -> tuple[float | None, float | None]:
    """Velocity and static pressure at one end of a step."""
    state = point.pieces[step.id]
    if side == "end":
        return state.end_velocity_m_per_s, state.end_pressure_pa
    return state.start_velocity_m_per_s, state.start_pressure_pa


def _joint_velocity(
    book: Book, route: Route, joint: RouteJoint, speed: str, state: OperatingPoint | None
) -> None:
    with _working(
        book,
        route,
        f"{joint.id}.{speed}.velocity",
        f"Velocity at joint {joint.label}, {speed}",
        "v = Q / (π·d²/4), at the narrower of the two ends",
        speed,
        joint.id,
    ) as w:
        point = _known(w, route, speed, state)
        if not point.nodes[end_node(joint.upstream)].runs_full:
            raise MissingInput(NOT_FULL)
        speeds = [
            value
            for value in (
                _static(point, joint.upstream, "end")[0],
                _static(point, joint.downstream, "start")[0],
            )
            if value is not None
        ]
        if not speeds:
            raise MissingInput("no bore is given on either side")
        for step, side in ((joint.upstream, "outlet"), (joint.downstream, "inlet")):
            _note_end(w, step, side)
        w.value = Velocity(max(speeds, key=abs))


def _step_velocity(
    book: Book, route: Route, step: Step, speed: str, state: OperatingPoint | None
) -> None:
    with _working(
        book,
        route,
        f"{step.id}.{speed}.velocity",
        f"Velocity in {step.name} at {speed}",
        "v = Q / (π·d²/4), at its narrower end",
        speed,
        step.id,
    ) as w:
        point = _known(w, route, speed, state)
        piece = point.pieces[step.id]
        if piece.loss_pa is None:
            raise MissingInput(NOT_FULL)
        ends = (piece.start_velocity_m_per_s, piece.end_velocity_m_per_s)
        speeds = [velocity for velocity in ends if velocity is not None]
        if not speeds:
            raise MissingInput(f"the bore of {step.name} is not given")
        _note_end(w, step, "inlet")
        _note_end(w, step, "outlet")
        w.value = Velocity(max(speeds, key=abs))


def _step_loss(
    book: Book, route: Route, step: Step, speed: str, state: OperatingPoint | None
) -> None:
    with _working(
        book,
        route,
        f"{step.id}.{speed}.loss",
        f"Pressure lost in {step.name} at {speed}",
        "total pressure before − after, height allowed for",
        speed,
        step.id,
    ) as w:
        loss = _known(w, route, speed, state).pieces[step.id].loss_pa
        if loss is None:
            raise MissingInput(NOT_FULL)
        w.value = PressureDifference(loss)


def _pump_and_ends(
    book: Book,
    route: Route,
    speed: str,
    laid: RouteNetwork | None,
    state: OperatingPoint | None,
) -> None:
    """Pressures at the pump, flows of the branches, and what is left for the injection."""
    pump = next((step for step in route.steps if step.kind == "pump"), None)
    for side in ("inlet", "outlet"):
        with _working(
            book,
            route,
            pump_side_id(route, speed, side),
            f"Pressure at the pump's {side} at {said(speed)}",
            "total pressure − ρ·v²/2, as a gauge at the pump's port reads",
            speed,
            pump.id if pump is not None else f"{route.engine.name}.raw-water",
        ) as w:
            point = _known(w, route, speed, state)
            assert laid is not None
            at = point.pieces[laid.pump]
            pressure = at.start_pressure_pa if side == "inlet" else at.end_pressure_pa
            if pressure is None:
                raise MissingInput("no open path leads to the pump")
            total = point.nodes[laid.ends[laid.pump][0 if side == "inlet" else 1]].pressure_pa
            velocity = at.start_velocity_m_per_s if side == "inlet" else at.end_velocity_m_per_s
            if total is not None and velocity is not None:
                w.method("total pressure", Pressure(total), SOLVED)
                w.method("velocity in its port", Velocity(abs(velocity)), SOLVED)
            w.value = Pressure(pressure)
    for branch in route.branches:
        _branch_flow(book, route, branch, speed, state)
    _bleeds(book, route, speed, state)
    _injection_flow(book, route, speed, state)


def _branch_flow(
    book: Book, route: Route, branch: BranchRoute, speed: str, state: OperatingPoint | None
) -> None:
    end = branch.steps[-1].entry
    with _working(
        book,
        route,
        branch_flow_id(route, branch, speed),
        f"Flow of the branch {branch.branch.name or branch.branch.id} at {said(speed)}",
        "mass balance at the tee",
        speed,
        f"{route.engine.name}.raw-water.{branch.branch.id}",
    ) as w:
        point = _known(w, route, speed, state)
        w.value = VolumeFlow(point.pieces[branch.steps[0].id].flow_m3_per_s)
        if isinstance(end, Discharge) and loss_is_open(end):
            w.note("The most it can be: the loss at its end is not known.")
    if not isinstance(end, Discharge) or end.needs is None:
        return
    with _working(
        book,
        route,
        branch_flow_id(route, branch, speed) + "-margin",
        f"Flow over what {branch.steps[-1].name} needs at {said(speed)}",
        "flow − least flow that its maker asks for",
        speed,
        branch.steps[-1].id,
    ) as w:
        flow = w.result(branch_flow_id(route, branch, speed)).m3_per_s
        if loss_is_open(end):
            w.spec(end, "loss", f"loss of {branch.steps[-1].name}")
        w.value = VolumeFlow(flow - w.spec(end, "needs", "least flow").m3_per_s)


def _bleeds(book: Book, route: Route, speed: str, state: OperatingPoint | None) -> None:
    for step in route.all_steps():
        if not isinstance(step.entry, VentedLoop) or step.entry.vent != "open-line":
            continue
        with _working(
            book,
            route,
            bleed_flow_id(step, speed),
            f"Bleed of {step.name} at {said(speed)}",
            "as its maker states",
            speed,
            step.id,
        ) as w:
            w.spec(step.entry, "bleed", f"bleed of {step.name}")
            point = _known(w, route, speed, state)
            w.value = VolumeFlow(point.pieces[bleed_piece(step)].flow_m3_per_s)


def _injection_flow(book: Book, route: Route, speed: str, state: OperatingPoint | None) -> None:
    last = route.steps[-1]
    with _working(
        book,
        route,
        injection_flow_id(route, speed),
        f"Flow at {last.name} at {said(speed)}",
        "flow of the pump − branches that do not come back − bleeds",
        speed,
        last.id,
    ) as w:
        point = _known(w, route, speed, state)
        for branch in route.branches:
            if branch.rejoins is None:
                w.result(branch_flow_id(route, branch, speed))
        for step in route.all_steps():
            if bleed_flow_id(step, speed) in book and book[bleed_flow_id(step, speed)].assessed:
                w.result(bleed_flow_id(step, speed))
        w.value = VolumeFlow(point.pieces[last.id].flow_m3_per_s)
