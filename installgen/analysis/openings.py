"""Register of hull openings: how high each stands, and whether the sea can come in through it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from installgen.analysis.heights import injection_height_id
from installgen.analysis.positions import ROTATION, lowest_m
from installgen.analysis.results import Book, MissingInput, SystemName, Working
from installgen.analysis.route import BranchRoute, Route, Step
from installgen.calc.siphon import can_siphon_in
from installgen.spec.entry import Entry, Point
from installgen.spec.hull import Opening
from installgen.spec.piping import Discharge, Injection, Seacock, VentedLoop
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Length

OpeningKind = Literal["intake", "discharge", "shaft-seal", "exhaust", "other"]


@dataclass(frozen=True)
class HullOpening:
    """One opening in the hull.

    id: unique in the vessel, such as `opening.engine.intake-seacock`
    kind: what it is for
    entry: where it is written
    at: its position; nothing where none is stated
    engines: the engines that share it
    route, branch, exhaust: what stands behind it
    """

    id: str
    kind: OpeningKind
    name: str
    code: str
    entry: Entry
    at: Point | None
    engines: tuple[str, ...] = ()
    route: Route | None = field(default=None, compare=False)
    branch: BranchRoute | None = field(default=None, compare=False)
    exhaust: Exhaust | None = field(default=None, compare=False)

    @property
    def system(self) -> SystemName:
        """The system whose page lists it."""
        return "exhaust" if self.kind == "exhaust" else "raw-water"

    @property
    def engine(self) -> str:
        """The engine it belongs to; empty for an opening of the vessel, or of several."""
        return self.engines[0] if len(self.engines) == 1 else ""


def hull_openings(vessel: Vessel, routes: Mapping[str, Route]) -> tuple[HullOpening, ...]:
    """Every opening: intakes, discharges, shaft seals, exhaust outlets, and those of `openings`."""
    found: list[HullOpening] = []
    for route in routes.values():
        for opening in _of_route(route):
            shared = next((i for i, one in enumerate(found) if _same(one, opening)), None)
            if shared is None:
                found.append(opening)
            else:
                found[shared] = _shared(found[shared], opening)
    for exhaust in vessel.spec.exhaust:
        engine = vessel.engine(exhaust.engine).name
        for piece in exhaust.pieces:
            if piece.kind == "outlet":
                found.append(_outlet(exhaust, piece, engine, several=len(vessel.engines) > 1))
    for entry in vessel.spec.openings:
        name = entry.name or entry.use
        found.append(HullOpening(f"opening.{entry.id}", "other", name, entry.code, entry, entry.at))
    return tuple(found)


def _of_route(route: Route) -> Iterator[HullOpening]:
    engine = route.engine.name
    first = route.steps[0]
    if isinstance(first.entry, Seacock):
        yield _of_step(first, "intake", route, None, engine)
    ends: list[tuple[Step, BranchRoute | None]] = [(route.steps[-1], None)]
    ends += [(branch.steps[-1], branch) for branch in route.branches]
    for step, branch in ends:
        if isinstance(step.entry, Discharge) and step.entry.into != "open":
            kind: OpeningKind = "shaft-seal" if step.entry.into == "shaft-seal" else "discharge"
            yield _of_step(step, kind, route, branch, engine)


def _of_step(
    step: Step, kind: OpeningKind, route: Route, branch: BranchRoute | None, engine: str
) -> HullOpening:
    at = getattr(step.entry, "at", None)
    return HullOpening(
        f"opening.{engine}.{step.key}",
        kind,
        step.name,
        step.code,
        step.entry,
        at,
        (engine,),
        route,
        branch,
    )


def _outlet(exhaust: Exhaust, piece: ExhaustPiece, engine: str, *, several: bool) -> HullOpening:
    key = piece.id or "exhaust-outlet"
    side = f"{engine.replace('-', ' ').capitalize()} exhaust" if several else "Exhaust"
    name = piece.name or f"{side} outlet"
    return HullOpening(
        f"opening.{engine}.{key}",
        "exhaust",
        name,
        "",
        piece,
        piece.at,
        (engine,),
        exhaust=exhaust,
    )


def _same(one: HullOpening, other: HullOpening) -> bool:
    """Whether two routes name one and the same opening: by its code, or its exact position."""
    if one.kind != other.kind or one.engines == other.engines:
        return False
    if one.code and one.code == other.code:
        return True
    return one.at is not None and one.at == other.at


def _shared(one: HullOpening, other: HullOpening) -> HullOpening:
    return HullOpening(
        one.id,
        one.kind,
        one.name,
        one.code,
        one.entry,
        one.at,
        (*one.engines, *other.engines),
        one.route,
        one.branch,
    )


def analyse_openings(
    book: Book, vessel: Vessel, routes: Mapping[str, Route]
) -> tuple[HullOpening, ...]:
    """Enter heights and the siphon verdict of every opening; returns the register."""
    openings = hull_openings(vessel, routes)
    for opening in openings:
        _lowest(book, vessel, opening)
        _below(book, vessel, opening)
        if opening.kind == "exhaust":
            _riser(book, vessel, opening)
        _siphon(book, vessel, opening)
    return openings


def _working(
    book: Book, opening: HullOpening, what: str, name: str, formula: str, source: str
) -> Working:
    return book.working(
        f"{opening.id}.{what}",
        f"{opening.name}: {name}",
        opening.system,
        formula=formula,
        source=source,
        subject=opening.id,
        engine=opening.engine,
    )


def _lowest(book: Book, vessel: Vessel, opening: HullOpening) -> None:
    with _working(
        book,
        opening,
        "lowest-height",
        "lowest height over the waterline",
        ROTATION,
        "rotation of the waterline",
    ) as w:
        if opening.at is None:
            w.spec(opening.entry, "at", f"position of {opening.name}")
        w.value = Length(lowest_m(w, vessel, opening.at, f"the {opening.name.lower()}"))


def _below(book: Book, vessel: Vessel, opening: HullOpening) -> None:
    with _working(
        book,
        opening,
        "against-waterline",
        "against the waterline",
        "its height at rest, and its lowest height",
        "comparison",
    ) as w:
        if opening.at is None:
            w.spec(opening.entry, "at", f"position of {opening.name}")
        z = w.spec(opening.at, "z", f"height z of {opening.name}").m
        if z <= 0.0:
            w.value = "below it at rest"
        elif w.result(f"{opening.id}.lowest-height").m <= 0.0:
            w.value = "below it when she heels or trims"
        else:
            w.value = "above it"


def _riser(book: Book, vessel: Vessel, opening: HullOpening) -> None:
    assert opening.exhaust is not None
    riser = next((piece for piece in opening.exhaust.pieces if piece.kind == "riser"), None)
    with book.working(
        f"{opening.engine}.exhaust.riser.lowest-height",
        "Lowest height of the riser's top over the waterline",
        "exhaust",
        formula=ROTATION,
        source="rotation of the waterline",
        subject=f"{opening.engine}.exhaust",
        engine=opening.engine,
    ) as w:
        if riser is None:
            raise MissingInput("the exhaust has no riser")
        if riser.at is None:
            w.spec(riser, "at", "top of the riser")
        w.value = Length(lowest_m(w, vessel, riser.at, "the riser's top"))


def _siphon(book: Book, vessel: Vessel, opening: HullOpening) -> None:
    with _working(
        book,
        opening,
        "siphon",
        "can the sea siphon in",
        "it can where the opening and a place inside can both be below the waterline, and no "
        "vented crown between them stays above it",
        "hydrostatics; a stopped impeller is no check valve (common practice)",
    ) as w:
        if opening.kind == "exhaust":
            w.value = _through_exhaust(w, opening)
        elif isinstance(opening.entry, Opening):
            w.value = _through_hull(w, vessel, opening, opening.entry)
        else:
            assert opening.route is not None
            w.value = _through_route(w, vessel, opening, opening.route)


def _through_exhaust(w: Working, opening: HullOpening) -> str:
    outlet = w.result(f"{opening.id}.lowest-height").m
    top = w.result(f"{opening.engine}.exhaust.riser.lowest-height").m
    if outlet >= 0.0:
        return "cannot: the outlet stays above the waterline"
    if top > 0.0:
        return "cannot: the riser's top stays above the waterline"
    return "can: outlet and riser go under together"


def _through_hull(w: Working, vessel: Vessel, opening: HullOpening, entry: Opening) -> str:
    outside = w.result(f"{opening.id}.lowest-height").m
    if outside >= 0.0:
        return "cannot: the opening stays above the waterline"
    if entry.inside is None:
        w.spec(entry, "inside", "lowest place inside")
    inside = lowest_m(w, vessel, entry.inside, "the lowest place inside")
    crown = None
    if entry.loop is not None:
        crown = lowest_m(w, vessel, entry.loop, "the crown of its vented loop")
    return _verdict(outside, inside, crown, "the place it leads to")


def _verdict(outside_m: float, inside_m: float, crown_m: float | None, place: str) -> str:
    if can_siphon_in(outside_m, inside_m, crown_m):
        return f"can: {place} goes under, and no vented loop stays above"
    if crown_m is not None and crown_m > 0.0:
        return "cannot: its vented loop stays above the waterline"
    if inside_m >= 0.0:
        return f"cannot: {place} stays above the waterline"
    return "cannot: the opening stays above the waterline"


def _through_route(w: Working, vessel: Vessel, opening: HullOpening, route: Route) -> str:
    outside = w.result(f"{opening.id}.lowest-height").m
    verdicts = []
    for path, end in ways_in(route, opening.branch):
        crown, inside = way_in(w, vessel, route, path, end)
        verdicts.append(_verdict(outside, inside, crown, f"the {end.name.lower()}"))
    if not verdicts:
        return "cannot: it leads nowhere inside"
    w.note(
        "At the heel and trim given, and with no margin: the height that the engine maker asks of "
        "an injection without a vented loop is judged by itself."
    )
    return next((text for text in verdicts if text.startswith("can:")), verdicts[0])


def way_in(
    w: Working, vessel: Vessel, route: Route, path: list[Step], end: Step
) -> tuple[float | None, float]:
    """Of one way in the highest crown, if it has one, and its end, each at its lowest [m]."""
    crown: float | None = None
    for step in path:
        if isinstance(step.entry, VentedLoop):
            height = lowest_m(w, vessel, step.entry.at, f"the {step.name.lower()}")
            crown = height if crown is None else max(crown, height)
    w.optional(end.entry, "name", "leads to")
    if isinstance(end.entry, Injection):
        return crown, float(w.result(injection_height_id(route.engine)).m)
    at = getattr(end.entry, "at", None)
    if at is None:
        w.spec(end.entry, "at", f"position of {end.name}")
    return crown, lowest_m(w, vessel, at, f"the {end.name.lower()}")


def ways_in(route: Route, branch: BranchRoute | None) -> Iterator[tuple[list[Step], Step]]:
    """From an opening to each open end inside: the steps on the way, and the end.

    branch: the branch that the opening ends; nothing for the intake
    """
    order = [step.id for step in route.steps]
    start: list[Step] = []
    tee = 0
    if branch is not None:
        start = list(reversed(branch.steps[:-1]))
        tee = order.index(branch.after.id) + 1
    for index, step in enumerate(route.steps):
        if isinstance(step.entry, Injection):
            low, high = sorted((tee, index))
            yield [*start, *route.steps[low:high]], step
    for other in route.branches:
        end = other.steps[-1]
        if isinstance(end.entry, Discharge) and end.entry.into == "open" and other is not branch:
            low, high = sorted((tee, order.index(other.after.id) + 1))
            yield [*start, *route.steps[low:high], *other.steps[:-1]], end
