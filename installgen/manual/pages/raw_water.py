"""Raw water and exhaust: the route piece by piece, its joints, what flows, how high it lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from installgen.analysis.headway import (
    flooding_headway_id,
    greatest_headway_id,
    way_over_id,
)
from installgen.analysis.raw_water_heat import temperature_id
from installgen.analysis.raw_water_intake import seacock_of
from installgen.analysis.results import Result
from installgen.analysis.route import Route, RouteJoint, Step
from installgen.analysis.speeds import SPEEDS
from installgen.calc.ends import End as CalcEnd
from installgen.manual.blocks import (
    Amount,
    Block,
    Caution,
    Line,
    Link,
    Outcome,
    Row,
    Stack,
    Target,
    joined,
)
from installgen.manual.links import RAW_WATER
from installgen.manual.pages.common import (
    columns,
    facts,
    figures_by_speed,
    height,
    over_range,
    speed_columns,
    table,
)
from installgen.manual.pages.exhaust import exhaust_blocks
from installgen.manual.pages.openings import opening_blocks
from installgen.manual.vessel_manual import VesselManual, coded, sentence
from installgen.spec.entry import known
from installgen.spec.piping import Cooler, Hose, Injection, RawWaterPump, VentedLoop
from installgen.units import Length

WORN = ("-fouled-strainer", "-worn-impeller", "-worst", "limiting-piece", "-one-size-larger")
"""Endings of results that tell of a route that is worn, fouled or to be improved."""

MANY = 3
"""What is said of so many joints is said once, below their table."""


def raw_water_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where neither a route nor an exhaust is written."""
    routes = m.analysis.routes
    exhausts = {m.vessel.engine(e.engine).name: e for e in m.vessel.spec.exhaust}
    openings = tuple(opening_blocks(m))
    if not routes and not exhausts and not openings:
        return
    if routes:
        yield m.paragraph("raw-water.intro")
        cocks = any(_has_seacock(route) for route in routes.values())
        shut = ["raw-water.shut_seacock"] if cocks else []
        yield m.caution("warning", "raw-water.hose_caution", *shut)
    for engine in m.vessel.engines:
        route, exhaust = routes.get(engine.name), exhausts.get(engine.name)
        if route is not None or exhaust is not None:
            yield from m.engine_head(engine)
        if route is not None:
            yield from _route(m, route)
        if exhaust is not None:
            yield from exhaust_blocks(m, engine, exhaust, seacock=_has_seacock(route))
    yield from openings


def _has_seacock(route: Route | None) -> bool:
    return route is not None and any(step.kind == "seacock" for step in route.steps)


def _route(m: VesselManual, route: Route) -> Iterator[Block]:
    engine = route.engine
    yield m.heading("raw-water.route_heading", "route", engine)
    yield from m.figure("raw-water", engine)
    yield from table(
        m.caption("raw-water.pieces_caption", engine),
        columns(m, "piece ends length# bends# height# place find"),
        _pieces(m, route),
    )
    yield m.heading("raw-water.joints_heading", "joints", engine)
    yield from _joints(m, route)
    yield m.heading("raw-water.flow_heading", "flow", engine)
    yield from _flow(m, route)
    yield from m.figure("pump-curve", engine)
    yield from table(
        m.caption("raw-water.joint_figures_caption", engine),
        (
            *columns(m, "joint"),
            *speed_columns(m, m.text("columns.pressure_gauge")),
            *speed_columns(m, m.text("columns.velocity")),
        ),
        (_hydraulic_row(m, joint) for joint in route.all_joints()),
        stack=False,
    )
    yield from table(
        m.caption("raw-water.temperatures_caption", engine),
        (
            *columns(m, "joint"),
            *speed_columns(m, m.text("columns.coldest_sea")),
            *speed_columns(m, m.text("columns.hottest_sea")),
        ),
        _temperature_rows(m, route),
        stack=False,
    )
    yield from m.figure("temperatures", engine)
    yield from _pieces_by_speed(m, route)
    yield from _intake(m, route)
    yield from _heights(m, route)


def _intake(m: VesselManual, route: Route) -> Iterator[Block]:
    """What stands outside the hull and, of a scoop that faces forward, what headway does there."""
    cock, engine = seacock_of(route), route.engine
    fitting = known(cock.intake) if cock is not None else None
    if cock is None or fitting is None:
        return
    yield m.heading("raw-water.intake_heading", "intake", engine)
    flooding = m.book.get(flooding_headway_id(engine))
    if flooding is not None:
        thing = coded(route.steps[0].name, route.steps[0].code)
        yield Caution("danger", (m.say("raw-water.scoop_caution", thing=thing),))
    yield from facts(
        m,
        ("intake_fitting", m.choice("intakes", fitting)),
        ("intake_recovery", m.field(cock.recovery)),
        ("way_over", m.outcome(way_over_id(engine))),
        ("flooding_headway", m.outcome(flooding_headway_id(engine))),
        ("greatest_headway", m.outcome(greatest_headway_id(engine))),
    )


def _pieces(m: VesselManual, route: Route) -> Iterator[Row]:
    for number, step in enumerate(route.steps, start=1):
        yield _piece(m, step, str(number))
        for branch in route.branches:
            if branch.after is step or branch.after.id == step.id:
                name = branch.branch.name or branch.branch.id
                for inner_number, inner in enumerate(branch.steps, start=1):
                    yield _piece(m, inner, f"{name} {inner_number}")


def _piece(m: VesselManual, step: Step, number: str) -> Row:
    entry = step.entry
    hoses = [entry for entry in step.entries if isinstance(entry, Hose)]
    return Row(
        (
            (f"{number}. ", coded(step.name, step.code)),
            _ends(step.inlet, step.outlet),
            Stack(tuple(m.field(hose.length) for hose in hoses)),
            Stack(tuple(str(hose.bends or "") for hose in hoses)),
            height(m, step.entries[-1]),
            m.text("phrases.on_engine")
            if step.on_engine
            else m.place(getattr(entry, "place", None)),
            joined([getattr(entry, "find", ""), getattr(entry, "notes", "")], " "),
        ),
        step.id,
    )


def _ends(inlet: CalcEnd | None, outlet: CalcEnd | None) -> Line:
    words = [_end(end) for end in (inlet, outlet) if end is not None]
    if len(words) == 2 and words[0] == words[1]:
        return words[0]
    return Stack(tuple(words))


def _end(end: CalcEnd) -> Line:
    """An end as the trade asks for it; a hose or its spigot in both systems."""
    if end.diameter_mm is None or end.threaded:
        return end.name
    word = end.name.removeprefix(end.size)
    return (Amount(Length(end.diameter_mm / 1000.0)), word)


def _joints(m: VesselManual, route: Route) -> Iterator[Block]:
    """How the ends go together; what is said of many joints is said once, below."""
    said: dict[str, list[RouteJoint]] = {}
    for joint in route.all_joints():
        for note in m.book[f"{joint.id}.fit"].notes:
            said.setdefault(note, []).append(joint)
    common = {note: joints for note, joints in said.items() if len(joints) >= MANY}
    yield from table(
        m.caption("raw-water.joints_caption", route.engine),
        columns(m, "joint from to fit"),
        (_fit_row(m, joint, common) for joint in route.all_joints()),
    )
    for note, joints in common.items():
        labels = ", ".join(runs([joint.label for joint in joints]))
        yield m.paragraph("raw-water.joints_note", note=sentence(note), joints=labels)


def runs(labels: Sequence[str]) -> list[str]:
    """Labels with numbers that follow each other drawn together: `4–7`."""
    found: list[list[str]] = []
    for label in labels:
        last = found[-1][-1] if found else ""
        if label.isdigit() and last.isdigit() and int(label) == int(last) + 1:
            found[-1].append(label)
        else:
            found.append([label])
    return [f"{run[0]}–{run[-1]}" if len(run) > 1 else run[0] for run in found]


def _fit_row(m: VesselManual, joint: RouteJoint, common: Mapping[str, Sequence[RouteJoint]]) -> Row:
    result = m.book[f"{joint.id}.fit"]
    notes: list[Line] = [sentence(note) for note in result.notes if note not in common]
    return Row(
        (
            joint.label,
            _joint_end(joint.upstream, joint.upstream.outlet),
            _joint_end(joint.downstream, joint.downstream.inlet),
            Stack((Outcome(result), *notes)),
        ),
        joint.id,
    )


def _joint_end(step: Step, end: CalcEnd | None) -> Line:
    return Stack((_step_link(step), "" if end is None else _end(end)))


def _step_link(step: Step) -> Line:
    return Link(coded(step.name, step.code), Target(RAW_WATER, step.id))


def _hydraulic_row(m: VesselManual, joint: RouteJoint) -> Row:
    pressures = [m.outcome(f"{joint.id}.{speed}.pressure", bare=True) for speed in SPEEDS]
    velocities = [m.outcome(f"{joint.id}.{speed}.velocity") for speed in SPEEDS]
    return Row((_joint_name(m, joint), *pressures, *velocities))


def _joint_name(m: VesselManual, joint: RouteJoint) -> Line:
    text = m.text("raw-water.joint_after", number=joint.label, piece=joint.upstream.name)
    return Link(text, Target(RAW_WATER, joint.id))


def _temperature_rows(m: VesselManual, route: Route) -> Iterator[Row]:
    """One row for each joint behind something that heats the water, and for the first."""
    for joint in route.all_joints():
        first = joint is route.joints[0]
        if first or (isinstance(joint.upstream.entry, Cooler) and not joint.upstream.branch):
            cells = [
                m.outcome(temperature_id(joint, speed, sea))
                for sea in ("coldest", "hottest")
                for speed in SPEEDS
            ]
            if any(cells):
                yield Row((_joint_name(m, joint), *cells))


def _flow(m: VesselManual, route: Route) -> Iterator[Block]:
    """Flow, pressures at the pump and heat by speed; then when it is worn or fouled."""
    engine = route.engine
    results = [r for r in m.results("raw-water") if r.engine == engine.name]
    own = [r for r in results if _of_route(r, engine.name) or r.id.endswith(".duty")]
    flows = [r for r in results if r.case in SPEEDS and _of_branch(r, route)]
    worn = [r for r in own if r.id.rpartition(".")[2].endswith(WORN)]
    yield from figures_by_speed(
        m, [*(r for r in own if r not in worn), *flows], m.caption("raw-water.flow_caption", engine)
    )
    yield from figures_by_speed(m, worn, m.caption("raw-water.worn_caption", engine))
    yield from over_range(
        m,
        [r for r in own if not r.id.endswith(".duty")],
        m.caption("raw-water.range_caption", engine),
        m.text("raw-water.range"),
    )
    for step in route.steps:
        if isinstance(step.entry, RawWaterPump):
            yield from _pump_facts(m, step.entry)


def _of_route(result: Result, engine: str) -> bool:
    """Whether a result is about the whole route at a speed: `engine.raw-water.cruise.flow`."""
    parts = result.id.split(".")
    return len(parts) == 4 and parts[0] == engine and parts[2] == result.case


def _of_branch(result: Result, route: Route) -> bool:
    """Whether a result is the flow of one of the branches."""
    names = {branch.branch.id for branch in route.branches}
    parts = result.id.split(".")
    return len(parts) == 5 and parts[2] in names and parts[4] == "flow"


def _pieces_by_speed(m: VesselManual, route: Route) -> Iterator[Block]:
    """What each piece costs, and how fast the water is in it."""
    rows = []
    for step in route.all_steps():
        cells = [
            m.outcome(f"{step.id}.{s}.{what}") for what in ("loss", "velocity") for s in SPEEDS
        ]
        if any(cells):
            rows.append(Row((_step_link(step), *cells)))
    yield from table(
        m.caption("raw-water.losses_caption", route.engine),
        (
            *columns(m, "piece"),
            *speed_columns(m, m.text("columns.pressure_lost")),
            *speed_columns(m, m.text("columns.velocity")),
        ),
        rows,
        stack=False,
    )


def _pump_facts(m: VesselManual, pump: RawWaterPump) -> Iterator[Block]:
    slip = known(pump.slip)
    yield from facts(
        m,
        ("pump", coded(pump.name, pump.code)),
        ("pump_displacement", m.field(pump.displacement)),
        ("pump_ratio", m.field(pump.ratio)),
        (
            "pump_slip",
            m.field(pump.slip)
            if slip is None
            else m.say(
                "raw-water.slip",
                free=m.field(slip.free),
                loaded=m.field(slip.loaded),
                pressure=m.field(slip.pressure),
                speed=m.field(slip.speed),
            ),
        ),
        ("pump_lowest_inlet", m.field(pump.lowest_inlet)),
        ("pump_highest_outlet", m.field(pump.highest_outlet)),
        ("impeller", pump.impeller),
    )


def _heights(m: VesselManual, route: Route) -> Iterator[Block]:
    engine = route.engine
    if not any(isinstance(step.entry, Injection | VentedLoop) for step in route.steps):
        return
    yield m.heading("raw-water.heights_heading", "heights", engine)
    waterline = m.vessel.spec.waterline
    prefix = f"{engine.name}.raw-water"
    needed = m.book[f"{prefix}.vented-loop"].value != "not needed"
    place = m.outcome(f"{prefix}.vented-loop-place")
    yield from facts(
        m,
        ("loading", waterline.loading if waterline else ""),
        ("worst_heel", m.field(waterline.worst_heel) if waterline else ""),
        ("worst_trim", m.field(waterline.worst_trim) if waterline else ""),
        ("injection_height", m.outcome(f"{prefix}.injection.lowest-height")),
        ("loop_height", m.outcome(f"{prefix}.loop.lowest-height")),
        ("injection_height_asked", m.field(engine.sheet.limits.injection_height)),
        ("injection_margin", m.outcome(f"{prefix}.injection.margin")),
        ("vented_loop", m.outcome(f"{prefix}.vented-loop")),
        ("vented_loop_place", place if needed else ""),
    )
    yield from m.figure("elevation", engine)
