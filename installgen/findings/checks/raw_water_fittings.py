"""Raw water: how the pieces fit, what they are made of, how they are clamped."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.route import RouteJoint, Step
from installgen.calc.joints import FitVerdict
from installgen.findings.checks.raw_water import pump_of, sides
from installgen.findings.judgement import (
    About,
    Judgement,
    at_most,
    holds,
    lacking,
    not_assessed,
    with_care,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import NameList
from installgen.spec.entry import Entry, known
from installgen.spec.piping import Hose, Seacock, Valve
from installgen.units import Fraction, Length


def _steps(survey: Survey) -> Iterator[tuple[str, Step]]:
    for name, route in survey.analysis.routes.items():
        for step in route.all_steps():
            yield name, step


def _about(name: str, step: Step, *fields: str) -> About:
    called = f"{step.name} {step.code}".strip() if step.kind != "hose" else f"hose {step.key}"
    return About(step.id, called, tuple((step.entry, field) for field in fields), name)


@named_check("raw-water")
def joint_fit(survey: Survey) -> Iterator[Judgement]:
    """The two ends at every joint go together, with no adapter that is not written.

    Between two pieces of the engine's own an adapter is a caution: it comes with the engine.
    """
    for name, route in survey.analysis.routes.items():
        for joint in route.all_joints():
            yield _fit(joint, name)


def _fit(joint: RouteJoint, engine: str) -> Judgement:
    first, second = joint.upstream, joint.downstream
    ends: list[tuple[Entry | None, str]] = []
    for step in sorted((first, second), key=lambda s: (s.on_engine, s.kind != "hose")):
        field = "bore" if step.kind == "hose" else ""
        ends.append((step.entry, field))
    about = About(
        joint.id, f"joint {joint.label}, {first.name} to {second.name}", tuple(ends), engine
    )
    if joint.fit is None:
        step = first if first.outlet is None else second
        field = "ports" if step.kind == "strainer" else "size" if step.kind == "discharge" else ""
        found = lacking(about, step.entry, field or "bore", f"an end of {step.name}")
        return found.because(joint.not_assessed)
    if joint.fit.verdict is FitVerdict.ADAPTER:
        named = ", ".join(adapter.name for adapter in joint.fit.adapters)
        if first.on_engine and second.on_engine:
            told = "between two pieces of the engine: see that it is there"
            return with_care(f"needs {named}", "ends that go together", about, told)
        return holds(False, f"needs {named}", "ends that go together", about)
    ok = joint.fit.verdict is FitVerdict.DIRECT
    return holds(ok, str(joint.fit.verdict), "ends that go together", about)


@named_check("raw-water")
def double_clamps(survey: Survey, limit: Length) -> Iterator[Judgement]:
    """A hose with an end lower than this over the waterline has two clamps at each end."""
    for name, route in survey.analysis.routes.items():
        for run in (route.steps, *(branch.steps for branch in route.branches)):
            for number, step in enumerate(run):
                if isinstance(step.entry, Hose) and not step.on_engine:
                    before = run[number - 1] if number else None
                    yield _clamps(step, before, limit, name)


def _clamps(step: Step, before: Step | None, limit: Length, engine: str) -> Judgement:
    hose = step.entry
    assert isinstance(hose, Hose)
    about = _about(engine, step, "clamps", "at")
    asked = f"double, for it has an end below {limit} over the waterline"
    clamps = known(hose.clamps)
    if clamps == "double":
        return holds(True, "double", asked, about)
    heights = [_height(step.entry)]
    if before is not None and not before.on_engine:
        heights.append(_height(before.entry))
    low = [height for height in heights if height is not None and height.m < limit.m]
    if low and clamps is None:
        return lacking(about, hose, "clamps")
    if low:
        return holds(False, clamps or "", asked, about)
    if None in heights:
        return lacking(about, hose, "at", "the heights z of its ends")
    return holds(True, clamps or "not stated", asked, about)


def _height(entry: Entry) -> Length | None:
    at = getattr(entry, "at", None)
    return None if at is None else known(at.z)


@named_check("raw-water")
def seacock_first(survey: Survey) -> Iterator[Judgement]:
    """A raw-water route begins at a seacock."""
    for name, route in survey.analysis.routes.items():
        first = route.steps[0]
        about = About(f"{name}.raw-water", f"raw water of {name}", ((first.entry, ""),), name)
        yield holds(first.kind == "seacock", f"begins with a {_kind(first)}", "a seacock", about)


@named_check("raw-water")
def strainer_before_pump(survey: Survey) -> Iterator[Judgement]:
    """There is a strainer between the seacock and the pump."""
    for name, route in survey.analysis.routes.items():
        found = pump_of(route)
        before = route.steps[: found[0]] if found is not None else route.steps
        about = About(f"{name}.raw-water", f"raw water of {name}", ((route.water, "route"),), name)
        there = any(step.kind == "strainer" for step in before)
        yield holds(there, "a strainer" if there else "none", "a strainer before the pump", about)


@named_check("raw-water")
def seacock_material(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Seacocks are of a material that the standard allows in sea water."""
    yield from _materials(survey, ("seacock",), limit)


@named_check("raw-water")
def fitting_material(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Coolers, adapters, valves and injection are of a material allowed in sea water."""
    kinds = ("cooler", "adapter", "valve", "exhaust_injection")
    yield from _materials(survey, kinds, limit)


def _materials(survey: Survey, kinds: tuple[str, ...], limit: NameList) -> Iterator[Judgement]:
    for name, step in _steps(survey):
        if step.kind in kinds:
            about = _about(name, step, "material")
            material = getattr(step.entry, "material", None)
            if material is None:
                yield lacking(about, step.entry, "material")
            else:
                yield holds(material in limit, material, str(limit), about)


NOBLE = frozenset(
    {"bronze", "brass", "dzr-brass", "copper", "copper-nickel", "stainless-316", "titanium"}
)
ACTIVE = frozenset({"aluminium", "steel", "cast-iron"})


@named_check("raw-water")
def metals_apart(survey: Survey) -> Iterator[Judgement]:
    """No piece of aluminium or iron is screwed to one of a copper alloy or stainless steel.

    In sea water the less noble one dissolves. A hose between them keeps them apart; what the engine
    maker joined is left to him.
    """
    for name, route in survey.analysis.routes.items():
        for joint in route.all_joints():
            pair = (joint.upstream, joint.downstream)
            if any(step.kind == "hose" for step in pair) or all(s.on_engine for s in pair):
                continue
            yield _metals(joint, name)


def _metals(joint: RouteJoint, engine: str) -> Judgement:
    pair = [step for step in (joint.upstream, joint.downstream) if not step.on_engine]
    about = About(
        joint.id,
        f"joint {joint.label}, {joint.upstream.name} to {joint.downstream.name}",
        tuple((step.entry, "material") for step in pair),
        engine,
    )
    found: list[str] = []
    for step in (joint.upstream, joint.downstream):
        material = getattr(step.entry, "material", None)
        if material is None:
            return lacking(about, step.entry, "material", f"material of {step.name}")
        found.append(material)
    meet = any(one in NOBLE for one in found) and any(one in ACTIVE for one in found)
    return holds(not meet, " against ".join(found), "metals that may meet in sea water", about)


@named_check("raw-water")
def suction_hose(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Hoses before the pump are of a kind that the vacuum does not flatten."""
    for name, route in survey.analysis.routes.items():
        before = {
            step.id for joint in sides(route)[0] for step in (joint.upstream, joint.downstream)
        }
        for step in route.steps:
            if step.id in before and isinstance(step.entry, Hose):
                about, kind = _about(name, step, "kind"), known(step.entry.kind)
                if kind is None:
                    yield lacking(about, step.entry, "kind", "kind of hose")
                else:
                    yield holds(kind in limit, kind, str(limit), about)


@named_check("raw-water")
def valves_open(survey: Survey) -> Iterator[Judgement]:
    """No valve in the way of the raw water is written as closed; a check valve is a caution."""
    for name, step in _steps(survey):
        if isinstance(step.entry, Seacock):
            about = _about(name, step, "state")
            yield holds(step.entry.state == "open", step.entry.state, "open", about)
        elif isinstance(step.entry, Valve):
            about = _about(name, step, "state", "kind")
            if step.entry.kind == "check" and step.entry.state == "open":
                yield with_care("a check valve", "no check valve in raw water", about)
            else:
                yield holds(step.entry.state == "open", step.entry.state, "open", about)


@named_check("raw-water")
def hose_length(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """No hose is longer than this share of the vessel's length, which a slip of the pen is.

    Hoses of the raw-water routes and of the exhausts, and lines of every circuit that she adds.
    """
    length = known(survey.vessel.spec.vessel.length)
    for entry, about in _runs(survey):
        run = known(getattr(entry, "length", None))
        if length is None:
            yield lacking(about, survey.vessel.spec.vessel, "length", "length of the vessel")
        elif run is None:
            yield lacking(about, entry, "length")
        else:
            yield at_most(run, Length(limit.ratio * length.m), about)


def _runs(survey: Survey) -> Iterator[tuple[Entry, About]]:
    """Every hose and line of the vessel's own."""
    for name, step in _steps(survey):
        if isinstance(step.entry, Hose) and not step.on_engine:
            yield step.entry, _about(name, step, "length")
    for exhaust in survey.vessel.spec.exhaust:
        engine = survey.vessel.engine(exhaust.engine).name
        for number, piece in enumerate(exhaust.pieces, start=1):
            if piece.kind in ("hose", "riser", "pipe"):
                called = piece.name or f"exhaust {piece.kind} {piece.id or number}"
                subject = f"{engine}.exhaust.{piece.id or number}"
                yield piece, About(subject, called, ((piece, "length"),), engine)
    for circuit in survey.analysis.circuits.values():
        for line in circuit.lines:
            if line.engine is None:
                yield line.line, About(line.id, f"line {line.id}", ((line.line, "length"),))


@named_check("raw-water")
def hose_stocked(survey: Survey) -> Iterator[Judgement]:
    """Every hose of the vessel's route is of a kind and bore that the yard keeps."""
    for name, step in _steps(survey):
        if isinstance(step.entry, Hose) and not step.on_engine:
            about = _about(name, step, "bore", "kind")
            bore, kind = known(step.entry.bore), known(step.entry.kind)
            if bore is None or kind is None:
                yield lacking(about, step.entry, "bore" if bore is None else "kind")
                continue
            kept = any(
                one.kind == kind and abs(own.mm - bore.mm) < 0.01
                for one in survey.standard.stock.hoses
                for own in one.bores
            )
            yield holds(kept, f"{kind}, {bore}", "a hose of the yard's stock", about)


@named_check("raw-water")
def route_stated(survey: Survey) -> Iterator[Judgement]:
    """Every hose says its length and bends, every fitting its loss, and each end its height.

    What is left out here would count as nothing, so that leaving it out clears nothing.
    """
    for name, step in _steps(survey):
        if step.on_engine:
            continue
        about = _about(name, step)
        gap = _gap(step)
        yield holds(True, "stated", "stated", about) if gap is None else lacking(about, *gap)


def _gap(step: Step) -> tuple[Entry, str, str] | None:
    entry = step.entry
    if isinstance(entry, Hose):
        if known(entry.length) is None:
            return entry, "length", f"length of {step.key}"
        if "bends" not in entry.model_fields_set:
            return entry, "bends", f"bends of {step.key}"
        return None
    for field in ("loss", "open_loss", "spray_loss"):
        if field in type(entry).model_fields and known(getattr(entry, field)) is None:
            if step.kind == "discharge":
                continue
            return entry, field, f"loss of {step.name}"
    if step.kind in ("seacock", "exhaust_injection", "vented_loop") and _height(entry) is None:
        at = getattr(entry, "at", None)
        return (at or entry), "z" if at is not None else "at", f"height z of {step.name}"
    return None


@named_check("raw-water")
def heel_stated(survey: Survey) -> Iterator[Judgement]:
    """The vessel says at which loading z is counted, and her worst heel."""
    waterline = survey.vessel.spec.waterline
    about = About("waterline", "waterline", ((waterline, "worst_heel"),))
    if waterline is None:
        yield lacking(about, survey.vessel.spec, "waterline")
    elif known(waterline.worst_heel) is None:
        yield lacking(about, waterline, "worst_heel")
    else:
        yield holds(True, "stated", "stated", about)


@named_check("raw-water")
def engine_order(survey: Survey) -> Iterator[Judgement]:
    """A route passes the engine's raw-water pump, for without it nothing flows."""
    for name, route in survey.analysis.routes.items():
        about = About(f"{name}.raw-water", f"raw water of {name}", ((route.water, "route"),), name)
        if route.engine.sheet.raw_water is None:
            yield not_assessed(about, f"the sheet of {name} has no raw water")
        else:
            found = pump_of(route) is not None
            yield holds(found, "passes the pump" if found else "no pump", "the pump", about)


def _kind(step: Step) -> str:
    return step.kind.replace("_", " ")
