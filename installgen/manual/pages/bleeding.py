"""Bleeding the fuel, for the means of priming and bleeding that are fitted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from installgen.manual.blocks import Block
from installgen.manual.fitted import Fitted, Thing, fitted_engines
from installgen.manual.pages.makers_papers import makers_pages
from installgen.manual.pages.operation_steps import (
    DIESEL,
    OUT_OF_GEAR,
    floods,
    has_selector,
    switches,
    things,
    when,
)
from installgen.manual.procedure import Before, Gaps, StepRule, always, steps
from installgen.manual.vessel_manual import VesselManual, full_stop

PUMPS = ("lift-pump", "pump")
BLED = ("filter", "injection-pump", "injector", "fitting")


def bleeding_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where no part of the fuel system is primed or bled."""
    engines = [fitted for fitted in fitted_engines(m) if bled(fitted)]
    if not engines:
        return
    yield m.paragraph("bleeding.intro")
    yield m.caution("warning", "operation.diesel_caution", "bleeding.pressure_caution")
    for fitted in engines:
        yield m.heading_of("bleeding.heading", "bleeding", fitted.engine)
        yield from steps(fitted, BLEEDING)
        yield from makers_pages(m, fitted.engine, "bleeding")


def bled(fitted: Fitted) -> bool:
    """Whether there is a part where its fuel system is primed or bled."""
    return any(kind in (*PUMPS, *BLED) for kind, _ in fitted.priming)


def _of_kind(fitted: Fitted, *kinds: str) -> list[Thing]:
    return [thing for kind, thing in fitted.priming if kind in kinds]


def _tanks(fitted: Fitted) -> Iterable[Thing]:
    return fitted.parts("fuel", "tank")


def _separators(fitted: Fitted) -> Iterator[Gaps]:
    """Separators ahead of the lift pump: their water goes first."""
    for thing in _of_kind(fitted, "water-separator"):
        yield {"thing": thing.name, "how": full_stop(thing.means), "where": thing.where}


def _bleed_points(fitted: Fitted) -> Iterator[Gaps]:
    """Each part with a bleed screw, in the order of the fuel, with the pump that feeds it."""
    pumps = _of_kind(fitted, *PUMPS)
    for thing in _of_kind(fitted, *BLED):
        gaps: dict[str, object] = {
            "thing": thing.name,
            "means": full_stop(thing.means),
            "where": thing.where,
        }
        if pumps:
            yield {**gaps, "pump": pumps[0].name}  # type: ignore[dict-item]


def _pumps(fitted: Fitted) -> Iterator[Gaps]:
    """The pumps that prime by hand."""
    for thing in _of_kind(fitted, *PUMPS):
        yield {"thing": thing.name, "means": full_stop(thing.means), "where": thing.where}


def _bled_without_pump(fitted: Fitted) -> Iterator[Gaps]:
    """Parts with a bleed screw where nothing pumps by hand: the fuel has to run down to them."""
    if not _of_kind(fitted, *PUMPS):
        for thing in _of_kind(fitted, *BLED):
            yield {"thing": thing.name, "means": full_stop(thing.means), "where": thing.where}


def _no_pump(fitted: Fitted) -> bool:
    return not _of_kind(fitted, *PUMPS)


BLEEDING = (
    StepRule("bleeding.tank", things(_tanks)),
    StepRule("bleeding.valve", things(lambda f: f.fuel_valves)),
    StepRule("bleeding.catch", always),
    StepRule("bleeding.separator", _separators, DIESEL),
    StepRule("bleeding.no_pump", when(_no_pump)),
    StepRule("bleeding.pump", _pumps),
    StepRule("bleeding.point", _bleed_points, DIESEL),
    StepRule("bleeding.point_by_itself", _bled_without_pump, DIESEL),
    StepRule("bleeding.once_more", when(lambda f: bool(_of_kind(f, *PUMPS)))),
    StepRule("bleeding.wipe", always),
    StepRule(
        "bleeding.cock_shut",
        things(lambda f: f.pieces("seacock") if floods(f) else ()),
        Before("warning", ("bleeding.flood_caution",), floods),
    ),
    *OUT_OF_GEAR,
    StepRule("bleeding.crank", switches("cranking", when=lambda f: not floods(f)), either=True),
    StepRule("bleeding.crank_short", switches("cranking", when=floods), either=True),
    StepRule("bleeding.cock_open", things(lambda f: f.pieces("seacock") if floods(f) else ())),
    StepRule("bleeding.leaks", when(lambda f: has_selector(f, "cranking"))),
)
