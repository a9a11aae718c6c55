"""Pressure of a wet exhaust where the raw water meets it, agreed with the flow of that water.

The water that is injected decides what the wet run loses, and that pressure holds the water back:
both are solved by turns, in a book of their own, before anything of the raw water is entered.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from installgen.analysis.exhaust import enter_gas, enter_wet_side, exhaust_id
from installgen.analysis.raw_water import enter_flow
from installgen.analysis.raw_water_heat import enter_outlet, enter_temperatures
from installgen.analysis.raw_water_network import injection_pressure_id
from installgen.analysis.results import (
    Book,
    Input,
    MethodOrigin,
    MissingInput,
    Result,
    ResultOrigin,
    Working,
)
from installgen.analysis.route import Route
from installgen.analysis.speeds import SPEEDS, range_speeds, said
from installgen.errors import NotSolved
from installgen.spec.piping import Injection
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import Exhaust
from installgen.units import PressureDifference

CLOSE_PA = 1.0
MOST_ROUNDS = 25
_PARTS = {"wet-run": "loss of the wet run", "static-column": "static column in the riser"}


def analyse_injection_pressure(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the pressure at the injection by speed, where the route ends in a wet exhaust.

    book: with the speeds and the sheet's figures in it, and nothing yet of the raw water
    """
    engine = route.engine
    exhaust = next((e for e in vessel.spec.exhaust if vessel.engine(e.engine) is engine), None)
    injected = isinstance(route.steps[-1].entry, Injection)
    if exhaust is None or exhaust.kind != "wet" or not injected:
        return
    before = list(book.values())
    for speed in (*SPEEDS, *range_speeds(engine)):
        with book.working(
            injection_pressure_id(engine, speed),
            f"Exhaust pressure where the water is injected, at {said(speed)}",
            "exhaust",
            formula="loss of the wet run + static column, with the raw water that flows against it",
            source="losses in series; solved by turns with the raw-water flow",
            subject=f"{engine.name}.exhaust",
            case=speed,
            engine=engine.name,
        ) as w:
            w.value = _agreed(w, before, vessel, route, exhaust, speed)


def _agreed(
    w: Working, before: list[Result], vessel: Vessel, route: Route, exhaust: Exhaust, speed: str
) -> PressureDifference:
    """The pressure that gives itself back to within `CLOSE_PA`."""
    guess, change = 0.0, 0.0
    for number in range(1, MOST_ROUNDS + 1):
        pilot = _round(before, w, vessel, route, exhaust, speed, guess)
        parts = [pilot[exhaust_id(route.engine, speed, part)] for part in _PARTS]
        for part in parts:
            if part.value is None:
                raise MissingInput(part.not_assessed, part.missing)
        found = sum(part.value.pa for part in parts if isinstance(part.value, PressureDifference))
        change = found - guess
        if abs(change) < CLOSE_PA:
            for part, name in zip(parts, _PARTS.values(), strict=True):
                assert part.value is not None
                origin = MethodOrigin(f"agreed with the raw-water flow in {number} rounds")
                w.inputs.append(Input(name, part.value, origin, part.assumed))
            known = {result.id for result in before}
            taken = dict.fromkeys(item for part in parts for item in _taken(pilot, part, known, w))
            w.inputs += [item for item in taken if item not in w.inputs]
            return PressureDifference(found)
        guess = found
    raise NotSolved("exhaust pressure at the injection", change, MOST_ROUNDS)


def _taken(
    pilot: Book,
    result: Result,
    known: Collection[str],
    w: Working,
    seen: set[str] | None = None,
) -> Iterator[Input]:
    """What a result of the last round rests on: texts, tables, and results entered before.

    known: ids of the results that are entered already, and have a working of their own
    """
    seen = set() if seen is None else seen
    for item in result.inputs:
        if not isinstance(item.origin, ResultOrigin):
            if not isinstance(item.origin, MethodOrigin):
                yield item
        elif item.origin.result in known:
            yield item
        elif item.origin.result not in (*seen, w.id):
            seen.add(item.origin.result)
            yield from _taken(pilot, pilot[item.origin.result], known, w, seen)


def _round(
    before: list[Result],
    w: Working,
    vessel: Vessel,
    route: Route,
    exhaust: Exhaust,
    speed: str,
    guess_pa: float,
) -> Book:
    """What flows, and what the exhaust loses, against a guessed pressure."""
    pilot = Book(w.book.assumptions)
    for result in before:
        pilot.add(result)
    pilot.add(
        Result(
            id=w.id,
            name=w.name,
            system=w.system,
            value=PressureDifference(guess_pa),
            formula="",
            inputs=(),
            source="",
        )
    )
    enter_flow(pilot, vessel, route, speed)
    if speed in SPEEDS:
        enter_temperatures(pilot, vessel, route, speed, "hottest")
    else:
        enter_outlet(pilot, vessel, route, speed)
    for needed in dict.fromkeys(("rated", speed)):
        enter_gas(pilot, route.engine, needed)
    enter_wet_side(pilot, vessel, route, exhaust, speed)
    return pilot
