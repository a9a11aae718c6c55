"""Wet exhaust: gas, mixture, back pressure part by part, and the loss of the raw water."""

from __future__ import annotations

from installgen.analysis.exhaust_runs import dry_run_pa, wet_run_pa
from installgen.analysis.fuel_properties import fuel_properties
from installgen.analysis.raw_water import injection_flow_id, water_at
from installgen.analysis.raw_water_heat import outlet_id, sheet_figure, temperature_id
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import Route
from installgen.analysis.speeds import SPEEDS, range_speeds, said, speed_id
from installgen.calc.exhaust import (
    WetGas,
    back_pressure,
    exhaust_mass_flow_kg_per_s,
    mix_injection,
    water_lost_margin_k,
)
from installgen.calc.heights import static_head_pa
from installgen.spec.piping import Injection
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import (
    Fraction,
    MassFlow,
    PressureDifference,
    Temperature,
    TemperatureDifference,
)

HOT_PIECES = ("hose", "muffler", "riser")


def exhaust_id(engine: FittedEngine, speed: str, what: str) -> str:
    """Id of an exhaust result at a speed, such as `back-pressure`."""
    return f"{engine.name}.exhaust.{speed}.{what}"


def piece_id(engine: FittedEngine, exhaust: Exhaust, piece: ExhaustPiece) -> str:
    """Id of a piece of the exhaust, as its register names it."""
    number = exhaust.pieces.index(piece) + 1
    return f"{engine.name}.exhaust.{piece.id or number}"


def analyse_exhaust(book: Book, vessel: Vessel, route: Route | None, exhaust: Exhaust) -> None:
    """Enter gas flow, mixture temperature, back pressure and the water-lost case, by speed.

    route: of the engine's raw water; nothing where it has none
    """
    engine = vessel.engine(exhaust.engine)
    for speed in (*reversed(SPEEDS), *range_speeds(engine)):  # a muffler's loss is that at rated
        enter_gas(book, engine, speed)
        _dry_run(book, engine, exhaust, speed)
        if exhaust.kind == "dry":
            continue
        enter_wet_side(book, vessel, route, exhaust, speed)
        _sum(book, engine, speed)
        _water_lost(book, engine, exhaust, speed)
    if exhaust.kind == "wet":
        _alarm(book, engine, exhaust)
        for piece in exhaust.pieces:
            if piece.kind in ("hose", "pipe"):
                _fall(book, engine, route, exhaust, piece)


def _working(
    book: Book,
    engine: FittedEngine,
    result_id: str,
    name: str,
    formula: str,
    source: str,
    speed: str = "",
) -> Working:
    return book.working(
        result_id,
        name,
        "exhaust",
        formula=formula,
        source=source,
        subject=f"{engine.name}.exhaust",
        case=speed,
        engine=engine.name,
    )


def enter_wet_side(
    book: Book, vessel: Vessel, route: Route | None, exhaust: Exhaust, speed: str
) -> None:
    """Enter what stands behind the injection at one speed: mixture, wet run, column."""
    engine = vessel.engine(exhaust.engine)
    mixed = _mixture(book, vessel, engine, route, speed)
    _wet_run(book, vessel, engine, exhaust, speed, mixed)
    _column(book, vessel, engine, exhaust, speed)


def enter_gas(book: Book, engine: FittedEngine, speed: str) -> None:
    """Enter the gas that the engine makes at one speed."""
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "gas-flow"),
        f"Exhaust gas at {said(speed)}",
        "mass of air + mass of fuel",
        "conservation of mass",
        speed,
    ) as w:
        air = sheet_figure(w, engine, speed, "air").kg_per_s
        fuel = sheet_figure(w, engine, speed, "fuel").m3_per_s
        density = fuel_properties(w, "density_kg_per_m3").density_kg_per_m3
        w.value = MassFlow(exhaust_mass_flow_kg_per_s(air, fuel * density))


def _dry_run(book: Book, engine: FittedEngine, exhaust: Exhaust, speed: str) -> None:
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "dry-run"),
        f"Loss of the dry run at {said(speed)}",
        "(f·L/d + sum of K)·ρ·v²/2 at the density of the hot gas",
        "Darcy–Weisbach; bends by Crane TP-410",
        speed,
    ) as w:
        gas = w.result(exhaust_id(engine, speed, "gas-flow")).kg_per_s
        hot = sheet_figure(w, engine, speed, "exhaust_temperature").c
        pieces = exhaust.dry if exhaust.kind == "wet" else [*exhaust.dry, *exhaust.pieces]
        w.value = PressureDifference(dry_run_pa(w, exhaust, pieces, gas, hot))


def _mixture(
    book: Book, vessel: Vessel, engine: FittedEngine, route: Route | None, speed: str
) -> WetGas | None:
    mixed: WetGas | None = None
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "mixture-temperature"),
        f"Temperature after the injection, hottest sea, at {said(speed)}",
        "heat of the gas = heat of the water + heat of evaporation, the gas saturated",
        "first law, adiabatic saturation; ASHRAE Handbook Fundamentals, psychrometrics",
        speed,
    ) as w:
        if route is None or not isinstance(route.steps[-1].entry, Injection):
            raise MissingInput("no raw-water route of this engine ends at an exhaust injection")
        gas = w.result(exhaust_id(engine, speed, "gas-flow")).kg_per_s
        hot = sheet_figure(w, engine, speed, "exhaust_temperature").c
        flow = w.result(injection_flow_id(route, speed), "water injected").m3_per_s
        at_joint = temperature_id(route.joints[-1], speed, "hottest")
        water_id = at_joint if at_joint in book else outlet_id(engine, speed)
        arrives = w.result(water_id, "temperature of that water").c
        water = water_at(vessel, arrives)
        mass = flow * water.density_kg_per_m3
        mixed = mix_injection(gas, hot, mass, arrives, water.specific_heat_j_per_kg_k)
        w.value = Temperature(mixed.temperature_c)
        w.note(f"The gas evaporates {3600.0 * mixed.evaporated_kg_per_s:.0f} kg of water an hour.")
    return mixed


def _wet_run(
    book: Book,
    vessel: Vessel,
    engine: FittedEngine,
    exhaust: Exhaust,
    speed: str,
    mixed: WetGas | None,
) -> None:
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "wet-run"),
        f"Loss of the wet run at {said(speed)}",
        "falling pieces: gas in the area that the water leaves it; rising pieces: gas and water "
        "as one spray; + muffler, its stated loss with the square of the gas flow",
        "Darcy–Weisbach; separated and homogeneous two-phase flow; common practice",
        speed,
    ) as w:
        w.result(exhaust_id(engine, speed, "mixture-temperature"))
        assert mixed is not None
        gas = w.result(exhaust_id(engine, speed, "gas-flow"), "exhaust gas").kg_per_s
        rated = w.result(exhaust_id(engine, "rated", "gas-flow"), "exhaust gas at rated").kg_per_s
        density = water_at(vessel, mixed.temperature_c).density_kg_per_m3
        w.value = PressureDifference(wet_run_pa(w, exhaust.pieces, mixed, density, gas / rated))


def _column(book: Book, vessel: Vessel, engine: FittedEngine, exhaust: Exhaust, speed: str) -> None:
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "static-column"),
        f"Static column in the riser at {said(speed)}",
        "ρ·g·(top of the riser − foot of the muffler's dip tube), ρ of water or, at rated, of the "
        "aerated column",
        "hydrostatics; aeration of the yard's standard",
        speed,
    ) as w:
        riser = next((piece for piece in exhaust.pieces if piece.kind == "riser"), None)
        muffler = next((piece for piece in exhaust.pieces if piece.kind == "muffler"), None)
        if riser is None or muffler is None:
            raise MissingInput("the exhaust has no muffler with a riser behind it")
        w.spec(riser, "kind", "the riser")
        w.spec(muffler, "kind", "the muffler")
        if riser.at is None:
            w.spec(riser, "at", "top of the riser")
        if muffler.dip is None:
            w.spec(muffler, "dip", "foot of the muffler's dip tube")
        top = w.spec(riser.at, "z", "top of the riser").m
        foot = w.spec(muffler.dip, "z", "foot of the muffler's dip tube").m
        coldest = w.spec(vessel.spec.sea, "coldest", "coldest sea").c
        density = water_at(vessel, coldest).density_kg_per_m3
        turns = w.result(speed_id(engine, speed), "engine speed").rpm
        if turns >= w.result(speed_id(engine, "rated"), "rated speed").rpm:
            density *= w.assume("riser_aeration", "aerated column to water").ratio
        else:
            w.note(
                "Below rated speed the riser is counted full of water, as at the start: the most "
                "that can stand in it. At rated the gas aerates it; the figure there may be less."
            )
        if top <= foot:
            raise MissingInput("the top of the riser is not above the foot of the dip tube")
        w.value = PressureDifference(static_head_pa(density, top - foot))


def _sum(book: Book, engine: FittedEngine, speed: str) -> None:
    parts = ("dry-run", "wet-run", "static-column")
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "back-pressure"),
        f"Back pressure at the engine maker's tapping at {said(speed)}",
        "dry run + wet run + static column",
        "losses in series",
        speed,
    ) as w:
        dry, wet, column = (w.result(exhaust_id(engine, speed, part)).pa for part in parts)
        w.value = PressureDifference(dry + wet + column)
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "back-pressure-margin"),
        f"Margin of the back pressure at {said(speed)}",
        "limit − back pressure",
        "the limit is the engine maker's",
        speed,
    ) as w:
        dry, wet, column = (w.result(exhaust_id(engine, speed, part)).pa for part in parts)
        limit = w.spec(engine.sheet.limits, "largest_back_pressure", "largest back pressure").pa
        w.value = PressureDifference(back_pressure(dry, wet, column, limit).margin_pa)


def _hot_limit_c(w: Working, exhaust: Exhaust) -> float:
    """The lowest temperature that a piece of the wet run stands without water [degC]."""
    limits = [
        float(w.spec(piece, "highest", f"highest temperature of {piece.name or piece.kind}").c)
        for piece in exhaust.pieces
        if piece.kind in HOT_PIECES
    ]
    if not limits:
        raise MissingInput("the exhaust has no hose and no muffler")
    return min(limits)


def _water_lost(book: Book, engine: FittedEngine, exhaust: Exhaust, speed: str) -> None:
    with _working(
        book,
        engine,
        exhaust_id(engine, speed, "water-lost-margin"),
        f"Raw water lost: what the exhaust hose stands, less the gas, at {said(speed)}",
        "temperature that it stands without water − temperature of the gas",
        "definition: nothing cools the gas then",
        speed,
    ) as w:
        hot = sheet_figure(w, engine, speed, "exhaust_temperature").c
        margin = water_lost_margin_k(hot, _hot_limit_c(w, exhaust))
        w.value = TemperatureDifference(margin)
        if margin < 0.0:
            w.note("The hose gets hotter than it stands: the alarm must be obeyed at once.")
            if exhaust.alarm == "none":
                w.note("No exhaust-temperature alarm is fitted.")


def _alarm(book: Book, engine: FittedEngine, exhaust: Exhaust) -> None:
    with _working(
        book,
        engine,
        f"{engine.name}.exhaust.alarm-over-mixture",
        "Exhaust alarm over the hottest mixture",
        "where the alarm operates − hottest temperature after the injection",
        "an alarm must not sound while the water flows (common practice)",
    ) as w:
        at = w.spec(exhaust, "alarm_at", "where the alarm operates").c
        mixtures = [
            float(w.result(exhaust_id(engine, speed, "mixture-temperature")).c) for speed in SPEEDS
        ]
        w.value = TemperatureDifference(at - max(mixtures))
    with _working(
        book,
        engine,
        f"{engine.name}.exhaust.alarm-under-hose",
        "Exhaust alarm below what the hose stands",
        "temperature that it stands without water − where the alarm operates",
        "an alarm must sound before the hose is harmed (common practice)",
    ) as w:
        at = w.spec(exhaust, "alarm_at", "where the alarm operates").c
        w.value = TemperatureDifference(_hot_limit_c(w, exhaust) - at)


def _fall(
    book: Book, engine: FittedEngine, route: Route | None, exhaust: Exhaust, piece: ExhaustPiece
) -> None:
    """How steeply a hose falls, from the piece before it that has a height."""
    index = exhaust.pieces.index(piece)
    result_id = f"{piece_id(engine, exhaust, piece)}.fall"
    with book.working(
        result_id,
        f"Fall of {piece.name or piece.kind + ' ' + str(index + 1)}",
        "exhaust",
        formula="(height before − height at its end) / length",
        source="geometry",
        subject=piece_id(engine, exhaust, piece),
        engine=engine.name,
    ) as w:
        before = _start_m(w, route, exhaust, index)
        if piece.at is None:
            w.spec(piece, "at", "its end")
        end = w.spec(piece.at, "z", "height of its end").m
        w.value = Fraction((before - end) / w.spec(piece, "length", "length").m)


def _start_m(w: Working, route: Route | None, exhaust: Exhaust, index: int) -> float:
    """Height where a piece of the exhaust starts: at the piece before it, or the injection [m]."""
    if index > 0:
        upstream: ExhaustPiece | Injection = exhaust.pieces[index - 1]
        name = f"end of the {exhaust.pieces[index - 1].kind} before it"
    elif route is not None and isinstance(route.steps[-1].entry, Injection):
        upstream, name = route.steps[-1].entry, "height of the injection"
    else:
        raise MissingInput("no raw-water route of this engine ends at an exhaust injection")
    if upstream.at is None:
        w.spec(upstream, "at", name)
    return float(w.spec(upstream.at, "z", name).m)
