"""Heights against the waterline: can the sea siphon in, and where a vented loop belongs."""

from __future__ import annotations

from installgen.analysis.positions import ROTATION, lowest_m
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import Route, Step
from installgen.calc.siphon import JointKind, RouteJoint, VentedLoopVerdict, vented_loop
from installgen.spec.piping import Injection, RawWaterPump, VentedLoop
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Length

_FITTED = {
    VentedLoopVerdict.RIGHT: "needed, and fitted",
    VentedLoopVerdict.MISSING: "needed, and missing",
    VentedLoopVerdict.ON_SUCTION: "in the wrong place: on the suction it lets the pump draw air",
    VentedLoopVerdict.WRONG_PLACE: (
        "needed, and in the wrong place: it belongs after the last cooler"
    ),
    VentedLoopVerdict.TOO_LOW: "needed, and too low: its crown goes under",
}


def injection_height_id(engine: FittedEngine) -> str:
    """Id of the injection's least height over the waterline."""
    return f"{engine.name}.raw-water.injection.lowest-height"


def analyse_heights(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the lowest heights of injection and loops, and whether a vented loop is needed."""
    engine = route.engine
    for step in route.steps:
        if isinstance(step.entry, Injection | VentedLoop):
            what = "injection" if isinstance(step.entry, Injection) else "loop"
            _lowest(book, vessel, route, step, f"{engine.name}.raw-water.{what}.lowest-height")
    for branch in route.branches:
        for step in branch.steps:
            if isinstance(step.entry, VentedLoop):
                _lowest(book, vessel, route, step, f"{step.id}.lowest-height")
    if any(isinstance(step.entry, Injection) for step in route.steps):
        _margin(book, route)
        _vented_loop(book, vessel, route)
        _loop_place(book, route)


def _lowest(book: Book, vessel: Vessel, route: Route, step: Step, result_id: str) -> None:
    if result_id in book:  # a second loop in one route
        result_id = f"{step.id}.lowest-height"
    with book.working(
        result_id,
        f"Lowest height of the {step.name.lower()} over the waterline",
        "raw-water",
        formula=ROTATION,
        source="rotation of the waterline; heel and trim as the vessel spec states them",
        subject=step.id,
        engine=route.engine.name,
    ) as w:
        at = getattr(step.entry, "at")  # noqa: B009 (both kinds have one)
        w.value = Length(lowest_m(w, vessel, at, f"the {step.name.lower()}"))
        loading = vessel.spec.waterline
        if loading is not None:
            w.note(f"Waterline: {loading.loading}.")


def _margin(book: Book, route: Route) -> None:
    engine = route.engine
    with book.working(
        f"{engine.name}.raw-water.injection.margin",
        "Injection over the height that needs no vented loop",
        "raw-water",
        formula="lowest height − height the engine maker asks",
        source="the height is the engine maker's",
        subject=f"{engine.name}.raw-water",
        engine=engine.name,
    ) as w:
        lowest = w.result(injection_height_id(engine)).m
        asked = w.spec(engine.sheet.limits, "injection_height", "height the engine maker asks").m
        w.value = Length(lowest - asked)


def _vented_loop(book: Book, vessel: Vessel, route: Route) -> None:
    engine = route.engine
    with book.working(
        f"{engine.name}.raw-water.vented-loop",
        "Whether a vented loop is needed, and is there",
        "raw-water",
        formula="needed where the lowest height of the injection is below the engine maker's",
        source="common practice; the height is the engine maker's",
        engine=engine.name,
        subject=f"{engine.name}.raw-water",
    ) as w:
        w.result(injection_height_id(engine))
        required = w.spec(engine.sheet.limits, "injection_height", "height the engine maker asks").m
        joints = [_as_joint(w, route, step) for step in route.steps]
        pumps = sum(joint.kind is JointKind.PUMP for joint in joints)
        if pumps != 1:
            raise MissingInput(f"the route has {pumps} pumps, and the place is judged for one")
        check = vented_loop(joints, required, 0.0)
        if check.verdict is VentedLoopVerdict.NOT_NEEDED:
            w.value = "not needed"
            return
        needed = joints[check.before].height_m < required
        if check.verdict is VentedLoopVerdict.RIGHT and not needed:
            w.value = "not needed, and fitted"
        else:
            w.value = _FITTED[check.verdict]
        if check.margin_m is not None and check.verdict is not VentedLoopVerdict.ON_SUCTION:
            w.note(f"Its crown stays {1000.0 * check.margin_m:.0f} mm over the waterline.")


def _as_joint(w: Working, route: Route, step: Step) -> RouteJoint:
    entry = step.entry
    if isinstance(entry, RawWaterPump):
        return RouteJoint(JointKind.PUMP, 0.0)
    if step.kind == "cooler":
        return RouteJoint(JointKind.EXCHANGER, 0.0)
    if isinstance(entry, Injection):
        return RouteJoint(JointKind.INJECTION, w.result(injection_height_id(route.engine)).m)
    if isinstance(entry, VentedLoop):
        own = f"{step.id}.lowest-height"
        first = f"{route.engine.name}.raw-water.loop.lowest-height"
        return RouteJoint(JointKind.VENTED_LOOP, w.result(own if own in w.book else first).m)
    return RouteJoint(JointKind.OTHER, 0.0)


def _loop_place(book: Book, route: Route) -> None:
    with book.working(
        f"{route.engine.name}.raw-water.vented-loop-place",
        "Where a vented loop belongs",
        "raw-water",
        formula="on the pressure side, between the last cooler and the injection",
        source="common practice",
        engine=route.engine.name,
        subject=f"{route.engine.name}.raw-water",
    ) as w:
        coolers = [step for step in route.steps if step.kind == "cooler"]
        before = next(step for step in route.steps if isinstance(step.entry, Injection))
        pumps = [step for step in route.steps if step.kind == "pump"]
        if not coolers and not pumps:
            raise MissingInput("the route has neither cooler nor pump")
        after = (coolers or pumps)[-1]
        for step in (after, before):
            w.optional(step.entry, "name", step.kind)
        w.value = f"between {after.name} and {before.name}"
