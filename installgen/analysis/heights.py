"""Heights against the waterline: can the sea siphon in, and how long may she be cranked."""

from __future__ import annotations

from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import Route, Step
from installgen.calc.heights import lowest_height_m
from installgen.calc.muffler import cranking_flood_s, free_muffler_volume_m3
from installgen.calc.siphon import needs_vented_loop
from installgen.calc.volumes import hose_volume_m3
from installgen.spec.entry import Entry
from installgen.spec.piping import Injection, RawWaterPump, VentedLoop
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Exhaust
from installgen.units import Length, Time, Volume


def analyse_heights(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the lowest heights of injection and loops, and whether a vented loop is needed."""
    engine = route.engine
    for step in route.steps:
        if isinstance(step.entry, Injection | VentedLoop):
            what = "injection" if isinstance(step.entry, Injection) else "loop"
            _lowest(book, vessel, route, step, f"{engine.name}.raw-water.{what}.lowest-height")
    if any(isinstance(step.entry, Injection) for step in route.steps):
        _vented_loop(book, route)


def _lowest(book: Book, vessel: Vessel, route: Route, step: Step, result_id: str) -> None:
    with book.working(
        result_id,
        f"Lowest height of the {step.name.lower()} over the waterline",
        "raw-water",
        formula="z″ = (z·cos φ − y·sin φ)·cos θ − x·sin θ, least over heel φ and trim θ",
        source="rotation of the waterline; heel and trim as the vessel spec states them",
        subject=step.id,
        engine=route.engine.name,
    ) as w:
        at = getattr(step.entry, "at")  # noqa: B009 (both kinds have one)
        w.value = Length(_lowest_m(w, vessel, at, step.name))
        loading = vessel.spec.waterline
        if loading is not None:
            w.note(f"Waterline: {loading.loading}.")


def _lowest_m(w: Working, vessel: Vessel, at: Entry | None, name: str) -> float:
    z = w.spec(at, "z", f"height z of the {name.lower()}").m
    heel = w.spec(vessel.spec.waterline, "worst_heel", "worst heel").deg
    y = w.spec(at, "y", f"position y of the {name.lower()}").m
    trim = w.optional(vessel.spec.waterline, "worst_trim", "worst trim")
    if trim is None or trim.deg == 0.0:
        w.note("No trim is stated: heel only.")
        return lowest_height_m(0.0, y, z, heel, 0.0)
    x = w.spec(at, "x", f"position x of the {name.lower()}").m
    length = w.spec(vessel.spec.vessel, "length", "length of the hull").m
    w.note("She is taken to trim about the middle of her length.")
    return lowest_height_m(x - length / 2.0, y, z, heel, trim.deg)


def _vented_loop(book: Book, route: Route) -> None:
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
        lowest = w.result(f"{engine.name}.raw-water.injection.lowest-height").m
        required = w.spec(engine.sheet.limits, "injection_height", "height the engine maker asks").m
        needed = needs_vented_loop(lowest, required)
        loops = [step for step in route.steps if isinstance(step.entry, VentedLoop)]
        if not needed:
            w.value = "not needed, and fitted" if loops else "not needed"
        elif not loops:
            w.value = "needed, and missing"
        else:
            w.value = _where_it_is(w, route, loops[-1])


def _where_it_is(w: Working, route: Route, loop: Step) -> str:
    order = [step.id for step in route.steps]
    exchangers = [i for i, step in enumerate(route.steps) if step.kind == "cooler"]
    at = order.index(loop.id)
    if exchangers and at < exchangers[-1]:
        return "needed, and in the wrong place: it belongs after the last cooler"
    crown = w.result(f"{route.engine.name}.raw-water.loop.lowest-height").m
    if crown <= 0.0:
        return "needed, and too low: its crown goes under"
    return "needed, and fitted"


def analyse_cranking_flood(book: Book, vessel: Vessel, exhaust: Exhaust) -> None:
    """Enter how many seconds she may be cranked before the muffler floods."""
    engine = vessel.engine(exhaust.engine)
    muffler = next((piece for piece in exhaust.pieces if piece.kind == "muffler"), None)
    if muffler is None or exhaust.kind != "wet":
        return
    _drained_back(book, engine, exhaust)
    with book.working(
        f"{engine.name}.exhaust.cranking-limit",
        "Longest cranking before the muffler floods",
        "exhaust",
        formula=(
            "t = (volume below the muffler's inlet − water that ran back) / (pump displacement · "
            "pump speed while cranking)"
        ),
        source="volume balance; no slip is counted, to be safe (common practice)",
        subject=f"{engine.name}.exhaust",
        engine=engine.name,
    ) as w:
        below = w.spec(muffler, "volume", "volume of the muffler below its inlet").m3
        back = w.result(f"{engine.name}.exhaust.drained-back", "water that runs back").m3
        pump = _pump(engine)
        displacement = w.spec(pump, "displacement", "pump displacement").m3
        ratio = w.spec(pump, "ratio", "pump turns per engine turn").ratio
        cranking = _cranking_rpm(w, engine)
        room = free_muffler_volume_m3(below, back)
        if room <= 0.0:
            raise MissingInput("the water that runs back already fills the muffler")
        w.value = Time(cranking_flood_s(room, displacement, cranking * ratio))
        w.note("All attempts together, until the engine has run.")


def _cranking_rpm(w: Working, engine: FittedEngine) -> float:
    """The fastest the starter turns her: it fills the muffler soonest."""
    result_id = f"{engine.name}.start-run-stop.cranking-speed-strongest"
    if result_id in w.book:
        return float(w.result(result_id, "cranking speed, strongest battery").rpm)
    raise MissingInput("the cranking speed is not computed")


def _drained_back(book: Book, engine: FittedEngine, exhaust: Exhaust) -> None:
    with book.working(
        f"{engine.name}.exhaust.drained-back",
        "Water that runs back from the riser",
        "exhaust",
        formula="V = π·d²/4 · L, of the pieces that rise from the muffler",
        source="geometry; the riser counted full (worst case)",
        engine=engine.name,
        subject=f"{engine.name}.exhaust",
    ) as w:
        total = 0.0
        for piece in exhaust.pieces:
            if piece.kind == "riser":
                bore = w.spec(piece, "bore", "bore of the riser").m
                total += hose_volume_m3(bore, w.spec(piece, "length", "length of the riser").m)
        w.value = Volume(total)


def _pump(engine: FittedEngine) -> RawWaterPump | None:
    water = engine.sheet.raw_water
    return water.pumps[0] if water is not None and water.pumps else None
