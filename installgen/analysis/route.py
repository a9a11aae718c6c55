"""One engine's raw-water route as it is laid: the vessel's pieces and the engine's, in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from installgen.calc.ends import End as CalcEnd
from installgen.calc.ends import EndKind, Gender, published_hose_limits
from installgen.calc.joints import Fit, FitVerdict, fit
from installgen.spec.entry import Entry, known
from installgen.spec.piping import Branch, End, EngineSection, Fitting, Hose, RoutePiece
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import RawWater
from installgen.units import Length


@dataclass(frozen=True)
class Step:
    """One piece of the route.

    id: unique in the vessel, such as `engine.raw-water.strainer`
    key: its short name inside the route
    kind: hose, cooler, pump, seacock, strainer, …
    entries: where it is written; two hoses that join after a cooler was left out are both here
    inlet, outlet: its ends; None where an end is the sea, or not known
    connection: the engine's connection point where the water leaves it, if it is there
    """

    id: str
    key: str
    kind: str
    name: str
    code: str
    entries: tuple[Entry, ...]
    inlet: CalcEnd | None
    outlet: CalcEnd | None
    on_engine: bool
    branch: str = ""
    connection: str = ""

    @property
    def entry(self) -> Entry:
        """Where it is written (the first place)."""
        return self.entries[0]


@dataclass(frozen=True)
class RouteJoint:
    """Where one step ends and the next begins.

    fit: how the two ends go together; None where an end is not known
    not_assessed: why there is no fit
    """

    id: str
    number: int
    upstream: Step
    downstream: Step
    fit: Fit | None
    not_assessed: str = ""

    @property
    def label(self) -> str:
        """Its number as the drawings show it."""
        branch = self.downstream.branch
        return f"{branch} {self.number}" if branch else f"{self.number}"


@dataclass(frozen=True)
class Route:
    """A raw-water route, its joints and its branches.

    taps: for each branch, the step after which it leaves
    """

    engine: FittedEngine
    water: RawWater
    steps: tuple[Step, ...]
    joints: tuple[RouteJoint, ...]
    branches: tuple[BranchRoute, ...] = ()

    def all_steps(self) -> Iterator[Step]:
        """Every step, those of branches last."""
        yield from self.steps
        for branch in self.branches:
            yield from branch.steps

    def all_joints(self) -> Iterator[RouteJoint]:
        """Every joint, those of branches last."""
        yield from self.joints
        for branch in self.branches:
            yield from branch.joints


@dataclass(frozen=True)
class BranchRoute:
    """A branch: after which step of the main route it leaves, and its own steps.

    rejoins: of a bypass, the step of the main route after which its water comes back
    """

    branch: Branch
    after: Step
    steps: tuple[Step, ...]
    joints: tuple[RouteJoint, ...]
    rejoins: Step | None = None


def lay_route(vessel: Vessel, water: RawWater) -> Route:
    """The route of one engine, with what its options leave out gone and its neighbours joined."""
    engine = vessel.engine(water.engine)
    prefix = f"{engine.name}.raw-water"
    flat: list[Step | Branch] = []
    for piece in water.route:
        flat += piece_steps(piece, engine, prefix)
    steps: list[Step] = []
    taps: list[tuple[Branch, Step]] = []
    for item in flat:
        if isinstance(item, Branch):
            taps.append((item, steps[-1]))
        elif steps and _joins(steps[-1], item) and not (taps and taps[-1][1] is steps[-1]):
            steps[-1] = _one_hose(steps[-1], item)
        else:
            steps.append(item)
    named = _named_by_ends(steps)
    taps = [(branch, named[steps.index(after)]) for branch, after in taps]
    steps = named
    limits = vessel.standard.assume.spigot_stretch
    stretch = limits.ratio if limits is not None else 0.0
    branches = []
    for branch, after in taps:
        inner = [
            replace(step, branch=branch.id)
            for piece in branch.route
            for step in piece_steps(piece, engine, f"{prefix}.{branch.id}")
            if isinstance(step, Step)
        ]
        tee = replace(after, outlet=calc_end(branch.outlet))
        back = next((step for step in steps if step.key == branch.rejoins), None)
        branches.append(
            BranchRoute(branch, after, tuple(inner), _joints([tee, *inner], prefix, stretch), back)
        )
    return Route(engine, water, tuple(steps), _joints(steps, prefix, stretch), tuple(branches))


def piece_steps(piece: RoutePiece, engine: FittedEngine, prefix: str) -> list[Step | Branch]:
    """The steps that one piece of a spec stands for: the engine's own are several."""
    if piece.branch is not None:
        return [piece.branch]
    if piece.engine is not None:
        return [*_engine_steps(piece.engine, engine, prefix)]
    entry = piece.piece
    assert isinstance(entry, Fitting)
    key = entry.id or f"{piece.kind.replace('_', '-')}-{(entry.where() or _NOWHERE).line}"
    inlet, outlet = _fitting_ends(piece.kind, entry)
    name = entry.name or piece.kind.replace("_", " ").capitalize()
    return [
        Step(f"{prefix}.{key}", key, piece.kind, name, entry.code, (entry,), inlet, outlet, False)
    ]


def _engine_steps(section: EngineSection, engine: FittedEngine, prefix: str) -> list[Step]:
    """The steps of a section; the last before a connection point knows that it leaves there."""
    steps: list[Step] = []
    for item in _sheet_steps(section, engine, prefix):
        if isinstance(item, Step):
            steps.append(item)
        elif steps:
            steps[-1] = replace(steps[-1], connection=item)
    return steps


def _sheet_steps(section: EngineSection, engine: FittedEngine, prefix: str) -> Iterator[Step | str]:
    water = engine.sheet.raw_water
    if water is None:
        return
    pumps = {pump.id: pump for pump in water.pumps}
    coolers = {cooler.id: cooler for cooler in water.coolers}
    inside = section.from_ is None
    for index, step in enumerate(water.route):
        if step.at is not None:
            inside = inside or step.at == section.from_
            if inside:
                yield step.at
            if step.at == section.to:
                return
            continue
        if not inside:
            continue
        if step.pump is not None and step.pump in pumps:
            pump = pumps[step.pump]
            yield Step(
                f"{prefix}.{pump.id}",
                pump.id,
                "pump",
                pump.name,
                pump.code,
                (pump,),
                calc_end(pump.inlet),
                calc_end(pump.outlet),
                True,
            )
        elif step.cooler is not None and step.cooler in coolers:
            cooler = coolers[step.cooler]
            yield Step(
                f"{prefix}.{cooler.id}",
                cooler.id,
                "cooler",
                cooler.name,
                cooler.code,
                (cooler,),
                calc_end(cooler.inlet),
                calc_end(cooler.outlet),
                True,
            )
        elif step.hose is not None:
            hose = step.hose
            key = hose.id or f"engine-hose-{index + 1}"
            ends = _hose_end(hose)
            yield Step(
                f"{prefix}.{key}",
                key,
                "hose",
                hose.name or "Hose",
                hose.code,
                (hose,),
                ends,
                ends,
                True,
            )


def _fitting_ends(kind: str, entry: Fitting) -> tuple[CalcEnd | None, CalcEnd | None]:
    """The two ends of a vessel's piece. A bore alone means spigots for a hose of that bore."""
    if isinstance(entry, Hose):
        end = _hose_end(entry)
        return end, end
    ports = known(getattr(entry, "ports", None)) or known(getattr(entry, "bore", None))
    spigot = _spigot(ports) if ports is not None else None
    inlet = getattr(entry, "inlet", None)
    outlet = getattr(entry, "outlet", None)
    first = calc_end(inlet) if inlet is not None else spigot
    second = calc_end(outlet) if outlet is not None else spigot
    if kind == "seacock":
        return None, second
    if kind == "discharge":
        size = known(getattr(entry, "size", None))
        return (_spigot(size) if size is not None else None), None
    if kind == "exhaust_injection":
        return first, None
    return first, second


def _hose_end(hose: Hose) -> CalcEnd | None:
    bore = known(hose.bore)
    if bore is None:
        return None
    return CalcEnd(EndKind.HOSE, bore.text or f"{bore.mm:g} mm", bore.mm)


def _spigot(bore: Length) -> CalcEnd:
    return CalcEnd(EndKind.HOSE_SPIGOT, bore.text or f"{bore.mm:g} mm", bore.mm)


_THREADS = {
    "NPT": EndKind.NPT,
    "NPTF": EndKind.NPT,
    "BSPP": EndKind.BSPP,
    "BSPT": EndKind.BSPT,
    "metric": EndKind.METRIC,
    "UN": EndKind.UNF,
    "UNC": EndKind.UNF,
    "UNF": EndKind.UNF,
    "UNEF": EndKind.UNF,
    "UNS": EndKind.UNF,
    "ORB": EndKind.UNF,
    "ORFS": EndKind.UNF,
    "JIC": EndKind.JIC,
}
_FACES = {"flange": EndKind.FLANGE, "flat-face": EndKind.FLAT_FACE}


def calc_end(end: End) -> CalcEnd | None:
    """A spec's end as the fit of joints takes it; nothing where its size is unknown."""
    bore = known(end.bore)
    bore_mm = bore.mm if bore is not None else None
    if end.kind.startswith("thread"):
        thread = known(end.thread)
        if thread is None:
            return None
        gender = Gender.MALE if end.kind == "thread-male" else Gender.FEMALE
        return CalcEnd(_THREADS[thread.standard], thread.nominal, gender=gender, bore_mm=bore_mm)
    size_length = known(end.size)
    if size_length is None:
        return None
    text = size_length.text or f"{size_length.mm:g} mm"
    if end.kind in _FACES:
        return CalcEnd(_FACES[end.kind], end.flange or text, bore_mm=bore_mm or size_length.mm)
    kind = EndKind.HOSE if end.kind == "hose" else EndKind.HOSE_SPIGOT
    return CalcEnd(kind, text, size_length.mm, bore_mm=bore_mm)


def _joins(first: Step, second: Step) -> bool:
    """Whether two steps are lengths of the same hose that now meet on the engine."""
    return (
        first.kind == second.kind == "hose"
        and first.on_engine
        and second.on_engine
        and first.outlet is not None
        and second.inlet is not None
        and first.outlet.diameter_mm == second.inlet.diameter_mm
    )


def _one_hose(first: Step, second: Step) -> Step:
    return replace(
        first,
        entries=(*first.entries, *second.entries),
        connection=second.connection,
    )


def _named_by_ends(steps: list[Step]) -> list[Step]:
    """The steps, a length that was made of several named by what lies at its two ends."""
    named = list(steps)
    for index, step in enumerate(steps):
        if len(step.entries) > 1 and 0 < index < len(steps) - 1:
            before, behind = steps[index - 1].name, steps[index + 1].name
            named[index] = replace(step, name=f"{before} to {_within_a_sentence(behind)}")
    return named


def _within_a_sentence(name: str) -> str:
    """A name with a small first letter, but for abbreviations such as `EGR cooler`."""
    return name[0].lower() + name[1:] if name[1:2].islower() else name


def _joints(steps: list[Step], prefix: str, stretch: float) -> tuple[RouteJoint, ...]:
    limits = published_hose_limits(stretch)
    joints = []
    for number, (first, second) in enumerate(pairwise(steps), start=1):
        # Named after the piece before it, so that a cooler left out renames no other joint.
        where = f"{second.branch}.after-{first.key}" if second.branch else f"after-{first.key}"
        found, reason = None, ""
        if first.outlet is None or second.inlet is None:
            side = first if first.outlet is None else second
            reason = f"the size of an end of {side.name} is not known"
        else:
            found = fit(first.outlet, second.inlet, limits)
        joints.append(RouteJoint(f"{prefix}.{where}", number, first, second, found, reason))
    return tuple(joints)


def adapters(route: Route) -> list[tuple[RouteJoint, str]]:
    """Every adapter the route needs, by joint and trade name."""
    found = []
    for joint in route.all_joints():
        if joint.fit is not None and joint.fit.verdict is FitVerdict.ADAPTER:
            found += [(joint, adapter.name) for adapter in joint.fit.adapters]
    return found


class _Nowhere:
    line = 0


_NOWHERE = _Nowhere()
