"""A laid raw-water route as a pipe network: what each piece loses, how high each joint stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from installgen.analysis.positions import connection_height_m
from installgen.analysis.raw_water_pieces import Variation, clear_bore_m, piece_of
from installgen.analysis.results import MissingInput, TableOrigin, Working
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.calc.fittings import change_of_bore_loss_coefficient, fitting_loss_coefficient
from installgen.calc.heights import immersion_pressure_pa
from installgen.calc.pipe_pieces import Fitting, FixedFlow, Network, Node, Piece
from installgen.calc.pipe_pieces import VentedLoop as Crown
from installgen.calc.water import Liquid, fresh_water, seawater
from installgen.spec.entry import Point, known
from installgen.spec.piping import Discharge, Loss, VentedLoop
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.tables.fluids import fitting_loss

AS_BUILT = Variation()


@dataclass(frozen=True)
class RouteNetwork:
    """The network of a route.

    ends: for each step, the nodes where it starts and ends
    pump: name of the pump's piece
    """

    network: Network
    ends: Mapping[str, tuple[str, str]]
    pump: str


def water_at(vessel: Vessel, temperature_c: float) -> Liquid:
    """The water she floats in, at a temperature [degC]."""
    if vessel.spec.sea is not None and vessel.spec.sea.kind == "fresh":
        return fresh_water(temperature_c)
    return seawater(temperature_c)


def end_node(step: Step) -> str:
    """Name of the node where a step ends."""
    return f"{step.id}.end"


def bleed_piece(step: Step) -> str:
    """Name of the piece that is a vented loop's open bleed."""
    return f"{step.id}.bleed"


def intake_pressure_id(engine: FittedEngine, speed: str) -> str:
    """Id of the least pressure at the intake."""
    return f"{engine.name}.raw-water.{speed}.intake-pressure"


def headway_pressure_id(engine: FittedEngine, speed: str) -> str:
    """Id of the greatest pressure at the intake, with headway in a scoop that faces forward."""
    return f"{engine.name}.raw-water.{speed}.intake-pressure-headway"


def injection_pressure_id(engine: FittedEngine, speed: str) -> str:
    """Id of the exhaust's pressure where the raw water is injected into it."""
    return f"{engine.name}.exhaust.{speed}.pressure-at-injection"


def route_network(
    w: Working,
    route: Route,
    rpm: float,
    liquid: Liquid,
    variation: Variation = AS_BUILT,
    *,
    speed: str = "",
) -> RouteNetwork:
    """The network of a route at an engine speed.

    w: takes every input; raises MissingInput where one is not there
    rpm: of the engine
    variation: fouling, wear, or a piece that is taken larger
    speed: the case whose pressures the water meets at intake and exhaust; left out, the depth of
        the intake and the standard's assumption
    """
    pump = next((step for step in route.steps if step.kind == "pump"), None)
    if pump is None:
        raise MissingInput(
            "the route has no pump: write `- engine` where the water enters the engine"
        )
    plan = _Plan(w, route, rpm, liquid, variation, speed)
    first = f"{route.steps[0].id}.start"
    heights = line_heights_m(w, route, route.steps)
    plan.line(route.steps, route.joints, first, heights)
    for branch in route.branches:
        plan.branch(branch)
    plan.remark()
    network = Network(tuple(plan.nodes), tuple(plan.pieces), liquid)
    return RouteNetwork(network, plan.ends, pump.id)


@dataclass
class _Plan:
    """The network of a route while it is put together."""

    w: Working
    route: Route
    rpm: float
    liquid: Liquid
    variation: Variation
    speed: str
    nodes: list[Node] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    ends: dict[str, tuple[str, str]] = field(default_factory=dict)
    steps_of_bore: int = 0
    no_bore: list[str] = field(default_factory=list)

    def height(self, node: str) -> float:
        return next(one.elevation_m for one in self.nodes if one.name == node)

    def line(
        self,
        steps: tuple[Step, ...],
        joints: tuple[RouteJoint, ...],
        start: str,
        heights: list[float],
        into: str = "",
    ) -> None:
        """Pieces in series. `heights` has one more entry than there are steps.

        into: the node that the last step leads to; left out, it opens into a space
        """
        between = {joint.downstream.id: joint for joint in joints}
        for index, step in enumerate(steps):
            if index == 0 and not step.branch:
                self.nodes.append(Node(start, heights[0], self.intake_pa(heights[0])))
            last = index == len(steps) - 1
            end = into if last and into else end_node(step)
            if step.id in between:
                start = self.step_of_bore(between[step.id], start, heights[index])
            if end != into:
                pressure_pa = self.opens_into_pa(step, heights[-1]) if last else None
                self.nodes.append(Node(end, heights[index + 1], pressure_pa))
            self.ends[step.id] = (start, end)
            if isinstance(step.entry, VentedLoop):
                self.loop(step, step.entry, start, end, heights[index + 1])
            else:
                made = piece_of(self.w, step, start, end, self.rpm, self.variation)
                self.pieces.append(made)
            start = end

    def loop(self, step: Step, entry: VentedLoop, start: str, end: str, height_m: float) -> None:
        """A bend up to the crown, and the crown that lets air in."""
        crown = f"{step.id}.crown"
        self.nodes.append(Node(crown, height_m))
        self.pieces.append(piece_of(self.w, step, start, crown, self.rpm, self.variation))
        self.pieces.append(Crown(f"{step.id}.vent", crown, end))
        if entry.vent == "open-line" and known(entry.bleed) is not None:
            flow = self.w.spec(entry, "bleed", f"bleed of {step.name}").m3_per_s
            self.nodes.append(Node(f"{step.id}.overboard", height_m, 0.0))
            self.pieces.append(FixedFlow(bleed_piece(step), crown, f"{step.id}.overboard", flow))

    def branch(self, branch: BranchRoute) -> None:
        """A tee, then the branch's own pieces, to their own end or back into the route."""
        tee = end_node(branch.after)
        if branch.rejoins is None:
            end_m, into = None, ""
        else:
            into = end_node(branch.rejoins)
            end_m = self.height(into)
        inner = line_heights_m(self.w, self.route, branch.steps, self.height(tee), end_m)
        bore = clear_bore_m(branch.joints[0].upstream.outlet)
        start = tee
        if bore is not None:
            start = f"{branch.steps[0].id}.tee"
            row = fitting_loss().row(kind="tee branch")
            factor = fitting_loss_coefficient("tee branch", bore)
            origin = TableOrigin("fitting_loss", "tee branch", row.source, row.mark.value)
            self.w.table(f"loss of the tee of {branch.branch.id}", round(factor, 3), origin)
            self.nodes.append(Node(start, self.height(tee)))
            self.pieces.append(Fitting(start, tee, start, bore, factor))
        self.line(branch.steps, branch.joints, start, inner, into)

    def step_of_bore(self, joint: RouteJoint, start: str, height_m: float) -> str:
        """The change of bore at a joint as a piece of its own; returns the node beyond it."""
        if _has_its_spigots(joint.upstream) or _has_its_spigots(joint.downstream):
            return start
        before = clear_bore_m(joint.upstream.outlet)
        after = clear_bore_m(joint.downstream.inlet)
        if before is None or after is None:
            self.no_bore.append(joint.label)
            return start
        before *= self.variation.bore_ratio(joint.upstream)
        after *= self.variation.bore_ratio(joint.downstream)
        if before == after:
            return start
        self.steps_of_bore += 1
        factor = change_of_bore_loss_coefficient(before, after)
        beyond = f"{joint.id}.beyond"
        self.nodes.append(Node(beyond, height_m))
        small = min(before, after)
        self.pieces.append(Fitting(joint.id, start, beyond, small, factor, before, after))
        return beyond

    def intake_pa(self, height_m: float) -> float:
        """Gauge pressure of the sea where the water comes in [Pa]."""
        engine = self.route.engine
        found = headway_pressure_id if self.variation.headway else intake_pressure_id
        if self.speed and found(engine, self.speed) in self.w.book:
            return float(self.w.result(found(engine, self.speed), "pressure at the intake").pa)
        return immersion_pressure_pa(self.liquid.density_kg_per_m3, height_m)

    def opens_into_pa(self, step: Step, height_m: float) -> float:
        """Gauge pressure of the space that a line opens into [Pa]."""
        if isinstance(step.entry, Discharge):
            if step.entry.into == "open":
                return 0.0
            return immersion_pressure_pa(self.liquid.density_kg_per_m3, height_m)
        return self.exhaust_pa()

    def exhaust_pa(self) -> float:
        """Gauge pressure of the exhaust that the water is injected into [Pa]."""
        name, result_id = "exhaust pressure at the injection", ""
        if self.speed:
            result_id = injection_pressure_id(self.route.engine, self.speed)
        found = self.w.book.get(result_id)
        if found is not None and found.assessed:
            return float(self.w.result(result_id, name).pa)
        if found is not None:
            self.w.note(f"The exhaust pressure is not computed: {found.not_assessed}.")
        return float(self.w.assume("exhaust_pressure", name).pa)

    def remark(self) -> None:
        if self.steps_of_bore:
            self.w.method(
                "changes of bore counted", self.steps_of_bore, "Crane TP-410, appendix A: sudden"
            )
        if self.no_bore:
            self.w.note(
                "No change of bore is counted at a joint where a fitting's bore is not given: "
                + ", ".join(self.no_bore)
                + "."
            )


def _has_its_spigots(step: Step) -> bool:
    """Whether a step's measured loss already holds the steps of its own spigots."""
    for name in ("loss", "open_loss", "spray_loss"):
        loss = getattr(step.entry, name, None)
        if isinstance(loss, Loss):
            return loss.measured_between == "hoses"
    return False


def line_heights_m(
    w: Working,
    route: Route,
    steps: tuple[Step, ...],
    start_m: float | None = None,
    end_m: float | None = None,
) -> list[float]:
    """Height of each node of a line [m]; between two known ones a straight line is assumed.

    start_m, end_m: where the line hangs on another one
    """
    found: list[float | None] = [start_m]
    for step in steps:
        at = getattr(step.entries[-1], "at", None)
        height = None
        if isinstance(at, Point):
            z = w.optional(at, "z", f"height of {step.name}")
            height = None if z is None else float(z.m)
        if height is None and isinstance(step.entry, VentedLoop):
            w.spec(at if isinstance(at, Point) else step.entry, "z" if at else "at", "crown")
        if height is None and step.connection:
            height = connection_height_m(w, route.engine, step.connection)
        found.append(height)
    if end_m is not None:
        found[-1] = end_m
    if start_m is None:
        found[0] = found[1]
    for side, height in ((steps[0], found[0]), (steps[-1], found[-1])):
        if height is None:
            w.spec(side.entry, "at", f"position of {side.name}")
            raise MissingInput(f"the height z of {side.name} is not given")
    return _filled(w, found)


def _filled(w: Working, found: list[float | None]) -> list[float]:
    filled: list[float] = []
    guessed = False
    for index, height in enumerate(found):
        if height is None:
            guessed = True
            after = next(i for i in range(index, len(found)) if found[i] is not None)
            low, high = filled[index - 1], found[after]
            assert high is not None
            height = low + (high - low) / (after - index + 1)
        filled.append(height)
    if guessed:
        w.note(
            "Joints without a stated height are taken on a straight line between their neighbours."
        )
    return filled
