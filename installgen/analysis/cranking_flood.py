"""How long an engine may be cranked before the pump fills its muffler and the water reaches it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from installgen.analysis.results import Book, Missing, MissingInput, Working
from installgen.analysis.route import Route
from installgen.calc.muffler import cranking_flood_s, free_muffler_volume_m3
from installgen.calc.volumes import hose_volume_m3
from installgen.spec.piping import Injection, RawWaterPump
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Time, Volume


def cranking_limit_id(engine: FittedEngine) -> str:
    """Id of the longest cranking before the muffler floods."""
    return f"{engine.name}.exhaust.cranking-limit"


def cranking_attempts_id(engine: FittedEngine) -> str:
    """Id of how many whole attempts that is."""
    return f"{engine.name}.exhaust.cranking-attempts"


def analyse_cranking_flood(
    book: Book, vessel: Vessel, engine: FittedEngine, route: Route | None
) -> None:
    """Enter the seconds that an engine may be cranked, as far as raw water reaches its exhaust.

    route: of its raw water; nothing where it has none
    """
    exhaust = next((e for e in vessel.spec.exhaust if vessel.engine(e.engine) is engine), None)
    injected = route is not None and isinstance(route.steps[-1].entry, Injection)
    if not injected and (exhaust is None or exhaust.kind != "wet"):
        return
    if exhaust is not None:
        _drained_back(book, engine, exhaust)
        _room(book, engine, exhaust)
    _limit(book, engine)
    _attempts(book, engine)


def _working(
    book: Book, engine: FittedEngine, what: str, name: str, formula: str, source: str
) -> Working:
    return book.working(
        f"{engine.name}.exhaust.{what}",
        name,
        "exhaust",
        formula=formula,
        source=source,
        subject=f"{engine.name}.exhaust",
        engine=engine.name,
    )


def _muffler(w: Working, exhaust: Exhaust) -> ExhaustPiece:
    """The muffler. Raises MissingInput where none is written."""
    for piece in exhaust.pieces:
        if piece.kind == "muffler":
            w.spec(piece, "kind", "the muffler")
            return piece
    path = exhaust.path_to("pieces")
    raise MissingInput(
        f"`{path}` has no muffler", (Missing(path, exhaust.where("pieces"), "the muffler"),)
    )


def rising_pieces(exhaust: Exhaust) -> Iterator[tuple[int, ExhaustPiece]]:
    """The pieces whose water runs back into the muffler, with their numbers.

    All behind it up to the last riser; where no riser is written, all pieces behind it.
    """
    kinds = [piece.kind for piece in exhaust.pieces]
    first = kinds.index("muffler") + 1 if "muffler" in kinds else 0
    risers = [index for index, kind in enumerate(kinds) if kind == "riser" and index >= first]
    last = risers[-1] if risers else len(kinds) - 1
    for index in range(first, last + 1):
        if kinds[index] in ("riser", "hose", "pipe"):
            yield index + 1, exhaust.pieces[index]


def _drained_back(book: Book, engine: FittedEngine, exhaust: Exhaust) -> None:
    with _working(
        book,
        engine,
        "drained-back",
        "Water that runs back from the riser",
        "V = π·d²/4 · L, of the pieces between the muffler and the top of the riser",
        "geometry; the pieces counted full (worst case)",
    ) as w:
        _muffler(w, exhaust)
        total = 0.0
        for number, piece in rising_pieces(exhaust):
            name = piece.name or f"the {piece.kind}, piece {number}"
            w.spec(piece, "kind", f"kind of {name}")
            bore = w.spec(piece, "bore", f"bore of {name}").m
            total += hose_volume_m3(bore, w.spec(piece, "length", f"length of {name}").m)
        w.value = Volume(total)


def _room(book: Book, engine: FittedEngine, exhaust: Exhaust) -> None:
    with _working(
        book,
        engine,
        "drain-back-room",
        "Room in the muffler after the riser has run back",
        "volume below the muffler's inlet, upright or heeled whichever is less, − water that "
        "stays in it − water that ran back",
        "volume balance",
    ) as w:
        muffler = _muffler(w, exhaust)
        upright = w.spec(muffler, "volume", "volume of the muffler below its inlet").m3
        heeled = w.spec(muffler, "volume_heeled", "the same at the worst heel").m3
        stays = w.spec(muffler, "stays", "water that stays in the muffler").m3
        back = w.result(f"{engine.name}.exhaust.drained-back", "water that runs back").m3
        w.value = Volume(free_muffler_volume_m3(min(upright, heeled), back + stays))


def _limit(book: Book, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        "cranking-limit",
        "Longest cranking before water comes back through the exhaust",
        "t = room for the water / (pump displacement · pump speed while cranking), rounded down "
        "to a whole second",
        "volume balance; no slip is counted, to be safe (common practice)",
    ) as w:
        room_id = f"{engine.name}.exhaust.drain-back-room"
        if room_id not in book:
            raise MissingInput(
                "`exhaust` has no entry for this engine",
                (Missing("exhaust", None, "the exhaust of this engine"),),
            )
        room = w.result(room_id).m3
        pump = _pump(engine)
        displacement = w.spec(pump, "displacement", "pump displacement").m3
        ratio = w.spec(pump, "ratio", "pump turns per engine turn").ratio
        cranking = _cranking_rpm(w, engine)
        w.value = Time(float(math.floor(cranking_flood_s(room, displacement, cranking * ratio))))
        w.note("All attempts together, until the engine has run.")
        if room <= 0.0:
            w.note("The water that runs back already fills it: it must be drained first.")


def _cranking_rpm(w: Working, engine: FittedEngine) -> float:
    """The fastest the starter turns her: it fills the muffler soonest."""
    result_id = f"{engine.name}.start-run-stop.cranking-speed-strongest"
    if result_id in w.book:
        return float(w.result(result_id, "cranking speed, strongest battery").rpm)
    raise MissingInput("the cranking speed is not computed: no battery and starter are written")


def _attempts(book: Book, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        "cranking-attempts",
        "Attempts to start before the seacock must be shut",
        "longest cranking / one attempt, rounded down",
        "one attempt as the engine maker allows it",
    ) as w:
        limit = w.result(cranking_limit_id(engine)).s
        once = w.spec_or_assume(
            engine.sheet.limits, "longest_cranking", "crank_time", "one attempt"
        ).s
        w.value = int(limit // once)
        if w.value == 0:
            w.note("Shut the seacock before the first attempt; open it when the engine fires.")


def _pump(engine: FittedEngine) -> RawWaterPump | None:
    water = engine.sheet.raw_water
    return water.pumps[0] if water is not None and water.pumps else None
