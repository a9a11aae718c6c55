"""Raw water: one engine's route in the order the water takes, joint by joint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.analyse import Analysis
from installgen.analysis.raw_water import flow_id
from installgen.analysis.raw_water_heat import duty_id, temperature_id
from installgen.analysis.route import BranchRoute, Route, RouteJoint, Step
from installgen.analysis.speeds import SpeedName, speed_id
from installgen.calc.ends import End as CalcEnd
from installgen.calc.joints import FitVerdict
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.vessel import links
from installgen.drawings.vessel.draft import Draft
from installgen.drawings.vessel.words import Said, Words, one_line, said, table_only, worded
from installgen.spec.entry import Entry
from installgen.spec.piping import Cooler, Discharge, Hose, RawWaterPump, Seacock, VentedLoop
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Length

SPEED: SpeedName = "cruise"
SEA = "hottest"
COLDEST = "{} in the coldest sea"

KINDS = {
    "seacock": Kind.SEACOCK,
    "hose": Kind.HOSE,
    "strainer": Kind.STRAINER,
    "valve": Kind.VALVE,
    "adapter": Kind.JOINT,
    "cooler": Kind.COOLER,
    "pump": Kind.PUMP,
    "vented_loop": Kind.VENTED_LOOP,
    "exhaust_injection": Kind.INJECTION,
    "discharge": Kind.OUTLET,
}
EXHAUST_KINDS = {
    "hose": (Kind.HOSE, "Exhaust hose"),
    "pipe": (Kind.PIPE, "Exhaust pipe"),
    "muffler": (Kind.MUFFLER, "Muffler"),
    "riser": (Kind.PIPE, "Exhaust riser"),
    "outlet": (Kind.OUTLET, "Exhaust outlet"),
}
COOLED = {
    "charge-air": "charge air",
    "jacket": "the jacket",
    "engine-oil": "engine oil",
    "gear-oil": "gear oil",
    "fuel": "fuel",
}
LINE_WORDS = {Line.FLOW: "raw water", Line.RETURN: "water and exhaust gas", Line.VENT: "bleed"}


def raw_water_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """One drawing for each engine that has a route."""
    words = Words(analysis.vessel, analysis.book)
    exhausts = {
        analysis.vessel.engine(exhaust.engine).name: exhaust
        for exhaust in analysis.vessel.spec.exhaust
    }
    for name, route in analysis.routes.items():
        yield RouteDrawing(words, route, exhausts.get(name)).drawing()


class RouteDrawing:
    """Draws one route."""

    def __init__(self, words: Words, route: Route, exhaust: Exhaust | None) -> None:
        self.words, self.route, self.exhaust = words, route, exhaust
        self.draft = Draft(text_width_px=216, label_width_px=200)

    def drawing(self) -> Drawing:
        """The route, its branches and, where the water joins it, the exhaust."""
        words, route = self.words, self.route
        self._sea()
        for step in route.steps:
            self._step(step)
        ends = {step.id: self._tees(step) for step in route.steps}
        for joint in route.joints:
            self._joint(joint, ends[joint.upstream.id])
        for tap in route.branches:
            self._branch(tap)
        self._exhaust()
        self._frames()
        return self.draft.drawing(
            words.figure_id("raw-water", route.engine),
            words.titled("Raw water", route.engine),
            self._description(),
            line_words=LINE_WORDS,
        )

    def _frames(self) -> None:
        """A frame around each run of pieces on the engine; the water may leave it and return."""
        runs: list[list[str]] = [[]]
        for step in self.route.steps:
            if not step.on_engine:
                runs += [[]] if runs[-1] else []
                continue
            if runs[-1]:
                before = next(j for j in self.route.joints if j.downstream is step)
                runs[-1].append(f"{before.id}.adapter")
            runs[-1].append(step.id)
        name = self.words.engine_name(self.route.engine)
        for number, run in enumerate(run for run in runs if run):
            self.draft.group(f"engine {number}", f"{name}, again" if number else name, run)

    def _description(self) -> str:
        words, engine = self.words, self.route.engine
        speed = words.result(speed_id(engine, SPEED), "speed", " ({})")
        sea = words.vessel.spec.sea
        hottest = "" if sea is None else f" ({words.amount(sea.hottest).full})"
        return (
            "From the sea to where the water leaves, in the order it takes. Each numbered joint "
            f"has its gauge pressure and temperature at cruise{speed[0].full if speed else ''} "
            f"in the hottest sea{hottest}; the table has the coldest sea and the velocity too."
        )

    def _sea(self) -> None:
        sea = self.words.vessel.spec.sea
        fresh = sea is not None and sea.kind == "fresh"
        lines: list[Said] = []
        if sea is not None:
            lines += self.words.field(sea.coldest, "coldest", "coldest {}")
            lines += self.words.field(sea.hottest, "hottest", "hottest {}")
        self.draft.node("sea", Kind.SEA, "Fresh water" if fresh else "Sea", lines=lines)
        self.draft.edge("sea", self.route.steps[0].id, Line.FLOW)

    # ---- pieces ----------------------------------------------------------------------------

    def _step(self, step: Step) -> None:
        kind = KINDS[step.kind]
        entry = step.entry
        if isinstance(entry, Discharge) and entry.into == "shaft-seal":
            kind = Kind.SEAL
        if isinstance(entry, Cooler) and entry.cools == "jacket":
            kind = Kind.HEAT_EXCHANGER
        self.draft.node(
            step.id,
            kind,
            step.name,
            step.code,
            self._step_lines(step),
            href=links.route_part(step.id),
        )
        if isinstance(entry, VentedLoop) and entry.vent == "open-line":
            bleed = f"{step.id}.bleed"
            self.draft.node(bleed, Kind.OUTLET, "Bleed of the loop, overboard")
            self.draft.edge(step.id, bleed, Line.VENT)

    def _step_lines(self, step: Step) -> Iterator[Said]:
        words, entry = self.words, step.entry
        if isinstance(entry, Hose):
            yield from self._hose_lines(step)
        else:
            yield from self._ends(step)
        if isinstance(entry, Seacock) or step.kind == "valve":
            yield from words.field(getattr(entry, "state", None), "state")
        if isinstance(entry, RawWaterPump):
            yield from words.result(flow_id(self.route, SPEED), "flow", "{} at cruise")
        if isinstance(entry, Cooler):
            duty = duty_id(self.route.engine, SPEED, entry.cools)
            yield from words.result(duty, "heat", f"{{}} from {COOLED[entry.cools]}")
        if isinstance(entry, VentedLoop):
            yield said("air valve on top" if entry.vent == "valve" else "bleed line overboard")
            yield from words.field(entry.bleed, "bleed", "bleeds {}")
        yield from self._height(step.entries[-1])
        yield from self._lowest(step)
        place = words.place(getattr(entry, "place", None))
        if place:
            yield table_only(place)
        find = getattr(entry, "find", "")
        if find:
            yield table_only(find)

    def _hose_lines(self, step: Step) -> Iterator[Said]:
        for entry in step.entries:
            assert isinstance(entry, Hose)
            yield from self.words.field(entry.bore, "bore", "{} bore")
            bends = "1 bend" if entry.bends == 1 else f"{entry.bends} bends"
            length = self.words.field(entry.length, "length")
            yield one_line([*length, bends if entry.bends else ""])

    def _ends(self, step: Step) -> Iterator[Said]:
        first, second = self._end(step.inlet), self._end(step.outlet)
        if first and second and first == second:
            yield worded("{}s" if first.short.endswith("spigot") else "both ends {}", first)
            return
        if first:
            yield worded("in: {}", first)
        if second:
            yield worded("out: {}", second)

    def _end(self, end: CalcEnd | None) -> Said | None:
        """Kind and size of an end; a hose's or a spigot's size in both systems."""
        if end is None:
            return None
        if end.threaded or end.diameter_mm is None:
            return Said(end.name, end.name, "end")
        size = self.words.amount(Length(end.diameter_mm / 1000.0), "end")
        kind = end.name.removeprefix(end.size).strip()
        return one_line([size, kind], " ")

    def _height(self, entry: Entry) -> list[Said]:
        at = getattr(entry, "at", None)
        return [] if at is None else self.words.height(at.z)

    def _lowest(self, step: Step) -> Iterator[Said]:
        """At the worst heel and trim, of what must not let the sea in."""
        what = {"exhaust_injection": "injection", "vented_loop": "loop"}.get(step.kind)
        if what is None or step.branch:
            return
        result_id = f"{self.route.engine.name}.raw-water.{what}.lowest-height"
        result = self.words.book.get(result_id)
        if result is None or result.subject != step.id:
            return
        if isinstance(result.value, Length):
            for line in self.words.height(result.value):
                told = replace(line, family="lowest", working=links.result(result))
                yield worded("{}, worst heel", told)
        else:
            yield said("height at worst heel not assessed")

    # ---- joints ----------------------------------------------------------------------------

    def _tees(self, step: Step) -> str:
        """The node from which the water goes on after a step: the last tee of its branches."""
        here = step.id
        for tap in self.route.branches:
            if tap.after.id == step.id:
                self._tee(tap, here)
                here = tee_name(tap)
        return here

    def _tee(self, tap: BranchRoute, before: str) -> None:
        """A tee where a branch leaves."""
        name = tap.branch.name or tap.branch.id
        end = self._end(tap.joints[0].upstream.outlet) if tap.joints else None
        flow = f"{self.route.engine.name}.raw-water.{tap.branch.id}.{SPEED}.flow"
        lines = [worded("branch end {}", end)] if end else []
        lines += self.words.result(flow, "branch flow", "takes {} at cruise")
        self.draft.node(tee_name(tap), Kind.JOINT, f"Tee joint: {name}", lines=lines)
        self.draft.edge(before, tee_name(tap), Line.FLOW)

    def _joint(self, joint: RouteJoint, tail: str) -> None:
        """The joint's figures beside the line and, where the ends do not fit, the adapter."""
        head = joint.downstream.id
        words = self.words
        fit = joint.fit
        adapter = f"{joint.id}.adapter"
        href = links.route_part(joint.id)
        code = joint.label if joint.downstream.branch else f"joint {joint.label}"
        if fit is not None and fit.verdict is FitVerdict.ADAPTER:
            name = " + ".join(part.name for part in fit.adapters)
            self.draft.node(adapter, Kind.JOINT, f"Needs: {name}", code, href=href)
            self.draft.edge(adapter, head, Line.FLOW)
            head = adapter
        prefix = f"{joint.id}.{SPEED}"
        lines = [
            *words.result(f"{prefix}.pressure", "pressure"),
            *words.result(temperature_id(joint, SPEED, SEA), "temperature"),
        ]
        if fit is None:
            lines.append(said("fit not assessed"))
        elif fit.verdict is not FitVerdict.ADAPTER and fit.verdict is not FitVerdict.DIRECT:
            lines.append(said(str(fit.verdict)))
        for more in (
            words.result(f"{prefix}.velocity", "velocity"),
            words.result(temperature_id(joint, SPEED, "coldest"), "coldest", COLDEST),
        ):
            lines += [table_only(line) for line in more]
        self.draft.edge(tail, head, Line.FLOW, code, lines, href=href)

    def _branch(self, tap: BranchRoute) -> None:
        for step in tap.steps:
            self._step(step)
        for number, joint in enumerate(tap.joints):
            self._joint(joint, joint.upstream.id if number else tee_name(tap))

    # ---- exhaust ---------------------------------------------------------------------------

    def _exhaust(self) -> None:
        """The way out with the exhaust gas, where the water is injected into it."""
        last = self.route.steps[-1]
        if self.exhaust is None or self.exhaust.kind != "wet" or last.kind != "exhaust_injection":
            return
        before = last.id
        for number, piece in enumerate(self.exhaust.pieces, start=1):
            name = f"{self.route.engine.name}.exhaust.{piece.id or number}"
            kind, usual = EXHAUST_KINDS[piece.kind]
            title = piece.name or usual
            lines = list(self._exhaust_lines(piece))
            self.draft.node(name, kind, title, lines=lines, href=links.route_part(name))
            self.draft.edge(before, name, Line.RETURN)
            before = name

    def _exhaust_lines(self, piece: ExhaustPiece) -> Iterator[Said]:
        words = self.words
        yield from words.field(piece.bore, "bore", "{} bore")
        yield from words.field(piece.length, "length")
        yield from words.field(piece.volume, "volume below its inlet", "{} below its inlet")
        if piece.at is not None:
            yield from words.height(piece.at.z)


def tee_name(tap: BranchRoute) -> str:
    """What the draft calls the tee of a branch."""
    return f"{tap.after.id}.tee.{tap.branch.id}"
