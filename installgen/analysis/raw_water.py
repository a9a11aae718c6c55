"""Raw water: how the joints fit, what flows, pressure and velocity at each joint."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.analysis.speeds import SPEEDS, SpeedName, speed_id
from installgen.calc.fittings import bend_loss_coefficient, fitting_loss_coefficient
from installgen.calc.heights import immersion_pressure_pa
from installgen.calc.joints import FitVerdict
from installgen.calc.pipe_network import NoOperatingPoint, OperatingPoint, solve_network
from installgen.calc.pipe_pieces import (
    Closed,
    Fitting,
    MeasuredLoss,
    Network,
    Node,
    Piece,
    Pipe,
    PumpPiece,
)
from installgen.calc.pump import ImpellerPump, pump_speed_rpm
from installgen.calc.water import Liquid, fresh_water, seawater
from installgen.spec.entry import Entry, Point, known
from installgen.spec.piping import (
    Adapter,
    Cooler,
    Discharge,
    FittedCooler,
    Hose,
    Injection,
    RawWaterPump,
    Seacock,
    Strainer,
    Valve,
)
from installgen.spec.piping import VentedLoop as VentedLoopEntry
from installgen.spec.vessel import Vessel
from installgen.units import Pressure, Velocity, VolumeFlow

DARCY = "Darcy–Weisbach with Colebrook's friction factor; mass balance at each joint"


def flow_id(route: Route, speed: SpeedName) -> str:
    """Id of the flow through the pump at a speed."""
    return f"{route.engine.name}.raw-water.{speed}.flow"


def analyse_raw_water(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the fit of every joint and, at each speed, flow, pressures and velocities."""
    for joint in route.all_joints():
        _fit(book, route, joint)
    for speed in SPEEDS:
        _hydraulics(book, vessel, route, speed)


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


@dataclass
class _Plan:
    """The network of a route while it is put together."""

    nodes: list[Node]
    pieces: list[Piece]
    sides: dict[str, tuple[str, str]]


def water_at(vessel: Vessel, temperature_c: float) -> Liquid:
    """The water she floats in, at a temperature [degC]."""
    if vessel.spec.sea is not None and vessel.spec.sea.kind == "fresh":
        return fresh_water(temperature_c)
    return seawater(temperature_c)


def _hydraulics(book: Book, vessel: Vessel, route: Route, speed: SpeedName) -> None:
    state: OperatingPoint | NoOperatingPoint | None = None
    plan = _Plan([], [], {})
    with book.working(
        flow_id(route, speed),
        f"Raw-water flow at {speed}",
        "raw-water",
        formula="the flow at which pump and route agree",
        source=DARCY,
        subject=f"{route.engine.name}.raw-water",
        case=speed,
        engine=route.engine.name,
    ) as w:
        rpm = w.result(speed_id(route.engine, speed), "engine speed").rpm
        coldest = w.spec(vessel.spec.sea, "coldest", "coldest sea").c
        liquid = water_at(vessel, coldest)
        _put_together(w, route, rpm, liquid, plan)
        network = Network(tuple(plan.nodes), tuple(plan.pieces), liquid)
        state = solve_network(network)
        if isinstance(state, NoOperatingPoint):
            raise MissingInput(f"there is no operating point: {state.reason} at {state.place}")
        pump = next(step for step in route.steps if step.kind == "pump")
        w.value = VolumeFlow(state.pieces[pump.id].flow_m3_per_s)
        w.note("At the coldest sea, where the water is thickest.")
    solved = state if isinstance(state, OperatingPoint) else None
    for joint in route.all_joints():
        _joint_pressure(book, route, joint, speed, solved)
        _joint_velocity(book, route, joint, speed, solved)
    for branch in route.branches:
        _branch_flow(book, route, branch, speed, solved)


def _put_together(w: Working, route: Route, rpm: float, liquid: Liquid, plan: _Plan) -> None:
    if not any(step.kind == "pump" for step in route.steps):
        raise MissingInput(
            "the route has no pump: write `- engine` where the water enters the engine"
        )
    taps: dict[str, list[BranchRoute]] = {}
    for branch in route.branches:
        taps.setdefault(branch.after.id, []).append(branch)
    first = _node_of(route.steps[0], "start")
    heights = _heights(w, route.steps)
    _line(w, route.steps, first, heights, rpm, liquid, plan)
    for after, branches in taps.items():
        tee = _node_of(next(step for step in route.steps if step.id == after), "end")
        tee_height = next(node.elevation_m for node in plan.nodes if node.name == tee)
        for branch in branches:
            inner = [tee_height, *_heights(w, branch.steps)[1:]]
            _line(w, branch.steps, tee, inner, rpm, liquid, plan)


def _node_of(step: Step, side: str) -> str:
    return f"{step.id}.{side}"


def _line(
    w: Working,
    steps: tuple[Step, ...],
    first: str,
    heights: list[float],
    rpm: float,
    liquid: Liquid,
    plan: _Plan,
) -> None:
    """Pieces in series. `heights` has one more entry than there are steps."""
    start = first
    for index, step in enumerate(steps):
        last = index == len(steps) - 1
        end = _node_of(step, "end")
        if index == 0 and not step.branch:
            pressure = immersion_pressure_pa(liquid.density_kg_per_m3, heights[0])
            plan.nodes.append(Node(start, heights[0], pressure))
        plan.nodes.append(
            Node(
                end,
                heights[index + 1],
                _end_pressure(w, step, heights[-1], liquid) if last else None,
            )
        )
        piece = _piece(w, step, start, end, rpm)
        plan.pieces.append(piece)
        plan.sides[step.id] = (start, end)
        start = end


def _end_pressure(w: Working, step: Step, height_m: float, liquid: Liquid) -> float:
    """Gauge pressure of the space that a line opens into [Pa]."""
    if isinstance(step.entry, Discharge):
        return immersion_pressure_pa(liquid.density_kg_per_m3, height_m)
    pressure: float = w.assume("exhaust_pressure", "exhaust pressure at the injection").pa
    return pressure


def _heights(w: Working, steps: tuple[Step, ...]) -> list[float]:
    """Height of each node of a line [m]; between two known ones a straight line is assumed."""
    known_heights: list[float | None] = []
    for index, step in enumerate(steps):
        entry = step.entries[-1]
        at = getattr(entry, "at", None)
        height = _z(w, at, step.name) if isinstance(at, Point) else None
        if index == 0:
            known_heights.append(height)
        known_heights.append(height)
    if known_heights[-1] is None or (known_heights[0] is None and not steps[0].branch):
        side = steps[-1] if known_heights[-1] is None else steps[0]
        w.spec(side.entry, "at", f"position of {side.name}")
        raise MissingInput(f"the height z of {side.name} is not given")
    if known_heights[0] is None:
        known_heights[0] = next(height for height in known_heights if height is not None)
    filled: list[float] = []
    guessed = False
    for index, height in enumerate(known_heights):
        if height is None:
            guessed = True
            before = index - 1
            after = next(
                i for i in range(index, len(known_heights)) if known_heights[i] is not None
            )
            low, high = filled[before], known_heights[after]
            assert high is not None
            height = low + (high - low) / (after - before)
        filled.append(height)
    if guessed:
        w.note(
            "Joints without a stated height are taken on a straight line between their neighbours."
        )
    return filled


def _z(w: Working, at: Point, name: str) -> float | None:
    z = w.optional(at, "z", f"height of {name}")
    return None if z is None else float(z.m)


def _piece(w: Working, step: Step, start: str, end: str, rpm: float) -> Piece:
    entry = step.entry
    bores = _bore_m(step.inlet), _bore_m(step.outlet)
    if isinstance(entry, Hose):
        return _hose(w, step, start, end)
    if isinstance(entry, RawWaterPump):
        return _pump(w, entry, step, start, end, rpm, bores)
    if isinstance(entry, Valve) and entry.state == "closed":
        return Closed(step.id, start, end)
    if isinstance(entry, Valve):
        bore = w.spec(entry, "bore", f"bore of {step.name}").m
        kinds = {"ball": "ball valve", "gate": "gate valve", "check": "swing check valve"}
        factor = fitting_loss_coefficient(kinds[entry.kind], bore)
        return Fitting(step.id, start, end, bore, factor)
    if isinstance(entry, Adapter):
        return _adapter(w, entry, step, start, end, bores)
    if isinstance(entry, VentedLoopEntry):
        bore = w.spec(entry, "bore", f"bore of {step.name}").m
        factor = fitting_loss_coefficient("return bend close", bore)
        return Fitting(step.id, start, end, bore, factor)
    if isinstance(entry, Seacock) and entry.open_loss is None:
        bore = w.spec(entry, "bore", f"bore of {step.name}").m
        kind = {"ball": "ball valve", "gate": "gate valve", "tapered-plug": "plug valve"}[
            entry.valve
        ]
        factor = fitting_loss_coefficient("entrance projecting", bore)
        factor += fitting_loss_coefficient(kind, bore)
        w.method(
            f"loss of {step.name}", round(factor, 3), "Crane TP-410, appendix A: entrance and valve"
        )
        return Fitting(step.id, start, end, bore, factor)
    if isinstance(entry, Injection) and entry.spray_loss is None:
        bore = bores[0]
        if bore is None:
            raise MissingInput(f"the bore of {step.name} is not given")
        return Fitting(step.id, start, end, bore, fitting_loss_coefficient("exit", bore))
    if isinstance(entry, Discharge) and entry.loss is None:
        bore = w.spec(entry, "size", f"size of {step.name}").m
        return Fitting(step.id, start, end, bore, fitting_loss_coefficient("exit", bore))
    field = {
        Seacock: "open_loss",
        Injection: "spray_loss",
        Strainer: "loss",
        Cooler: "loss",
        FittedCooler: "loss",
        Discharge: "loss",
    }[type(entry)]
    loss = known(getattr(entry, field))
    if loss is None:
        w.spec(entry, field, f"loss of {step.name}")
        raise MissingInput(f"the loss of {step.name} is not given")
    flow = w.spec(loss, "flow", f"flow of the loss of {step.name}").m3_per_s
    drop = w.spec(loss, "drop", f"loss of {step.name} at that flow").pa
    return MeasuredLoss(step.id, start, end, flow, drop, *bores)


def _adapter(
    w: Working,
    entry: Adapter,
    step: Step,
    start: str,
    end: str,
    bores: tuple[float | None, float | None],
) -> Piece:
    from installgen.calc.fittings import change_of_bore_loss_coefficient

    if bores[0] is None or bores[1] is None:
        raise MissingInput(f"the bores of {step.name} are not given")
    w.spec(entry, "inlet", f"inlet of {step.name}") if entry.where("inlet") is None else None
    factor = change_of_bore_loss_coefficient(bores[0], bores[1])
    return Fitting(step.id, start, end, min(bores[0], bores[1]), factor, bores[0], bores[1])


def _hose(w: Working, step: Step, start: str, end: str) -> Piece:
    length = 0.0
    bends = 0
    bore = 0.0
    for entry in step.entries:
        bore = w.spec(entry, "bore", f"bore of {step.name}").m
        length += w.spec(entry, "length", f"length of {step.name}").m
        bends += entry.bends if isinstance(entry, Hose) else 0
    roughness = w.assume("hose_roughness", "roughness of the hose").m
    factor = 0.0
    if bends:
        radius = w.assume("bend_radius", "bend radius to bore").ratio
        factor = bends * bend_loss_coefficient(bore, 90.0, radius)
        w.method(
            f"loss of {bends} bends in {step.name}", round(factor, 3), "Crane TP-410, appendix A"
        )
    return Pipe(step.id, start, end, bore, length, roughness, factor)


def _pump(
    w: Working,
    pump: RawWaterPump,
    step: Step,
    start: str,
    end: str,
    rpm: float,
    bores: tuple[float | None, float | None],
) -> Piece:
    slip = known(pump.slip)
    if slip is None:
        w.spec(pump, "slip", f"slip of {step.name}")
        raise MissingInput(f"the slip of {step.name} is not given")
    full = w.optional(pump, "full_flow_vacuum", "inlet vacuum up to which the flow is whole")
    none = w.optional(pump, "no_flow_vacuum", "inlet vacuum at which nothing flows")
    model = ImpellerPump(
        displacement_m3_per_rev=w.spec(pump, "displacement", f"displacement of {step.name}").m3,
        slip_ratio=w.spec(slip, "free", "slip against no pressure").ratio,
        loaded_slip_ratio=w.spec(slip, "loaded", "slip at the stated pressure").ratio,
        loaded_slip_pressure_pa=w.spec(slip, "pressure", "pressure of the stated slip").pa,
        loaded_slip_speed_rpm=w.spec(slip, "speed", "pump speed of the stated slip").rpm,
        full_flow_vacuum_pa=full.pa if full is not None and none is not None else None,
        no_flow_vacuum_pa=none.pa if full is not None and none is not None else None,
    )
    ratio = w.spec(pump, "ratio", "pump turns per engine turn").ratio
    return PumpPiece(step.id, start, end, model, pump_speed_rpm(rpm, ratio), *bores)


def _bore_m(end: object) -> float | None:
    bore = getattr(end, "clear_bore_mm", None) or getattr(end, "diameter_mm", None)
    return None if bore is None else bore / 1000.0


def _joint_pressure(
    book: Book, route: Route, joint: RouteJoint, speed: SpeedName, state: OperatingPoint | None
) -> None:
    with book.working(
        f"{joint.id}.{speed}.pressure",
        f"Pressure at joint {joint.label}, {speed}",
        "raw-water",
        formula="p = pressure at the sea − ρ·g·(height gained) − losses up to here (+ pump)",
        source=DARCY,
        subject=joint.id,
        case=speed,
        engine=route.engine.name,
    ) as w:
        w.result(flow_id(route, speed), "flow")
        if state is None:
            raise MissingInput("the route was not solved")
        node = state.nodes[_node_of(joint.upstream, "end")]
        if node.pressure_pa is None:
            raise MissingInput("no open path leads here")
        w.value = Pressure(node.pressure_pa)


def _joint_velocity(
    book: Book, route: Route, joint: RouteJoint, speed: SpeedName, state: OperatingPoint | None
) -> None:
    with book.working(
        f"{joint.id}.{speed}.velocity",
        f"Velocity at joint {joint.label}, {speed}",
        "raw-water",
        formula="v = Q / (π·d²/4), at the narrower of the two ends",
        source="continuity",
        subject=joint.id,
        case=speed,
        engine=route.engine.name,
    ) as w:
        w.result(flow_id(route, speed), "flow")
        if state is None:
            raise MissingInput("the route was not solved")
        speeds = [
            value
            for value in (
                state.pieces[joint.upstream.id].end_velocity_m_per_s,
                state.pieces[joint.downstream.id].start_velocity_m_per_s,
            )
            if value is not None
        ]
        if not speeds:
            raise MissingInput("no bore is given on either side")
        for step, side in ((joint.upstream, "outlet"), (joint.downstream, "inlet")):
            _note_end(w, step, side)
        w.value = Velocity(max(speeds, key=abs))


def _branch_flow(
    book: Book, route: Route, branch: BranchRoute, speed: SpeedName, state: OperatingPoint | None
) -> None:
    with book.working(
        f"{route.engine.name}.raw-water.{branch.branch.id}.{speed}.flow",
        f"Flow of the branch {branch.branch.name or branch.branch.id} at {speed}",
        "raw-water",
        formula="mass balance at the tee",
        source=DARCY,
        subject=f"{route.engine.name}.raw-water.{branch.branch.id}",
        case=speed,
        engine=route.engine.name,
    ) as w:
        w.result(flow_id(route, speed), "flow of the pump")
        if state is None:
            raise MissingInput("the route was not solved")
        w.value = VolumeFlow(state.pieces[branch.steps[0].id].flow_m3_per_s)
