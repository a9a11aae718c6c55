"""Laying up for the winter and putting into commission again."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from installgen.analysis.coolant import coolant_systems
from installgen.manual.blocks import Amount, Block, Facts, Heading
from installgen.manual.fitted import Fitted, Thing, fitted_engines
from installgen.manual.links import STARTING
from installgen.manual.pages.common import facts
from installgen.manual.pages.coolant import system_name
from installgen.manual.pages.makers_papers import makers_pages
from installgen.manual.pages.operation_steps import DIESEL, SCALDS, oil, things, when
from installgen.manual.procedure import Before, Gaps, StepRule, always, steps
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.entry import known


def lay_up_page(m: VesselManual) -> Iterator[Block]:
    """Always there."""
    yield m.paragraph("lay-up.intro")
    yield m.caution("warning", "safety.general")
    yield from _antifreeze(m)
    for fitted in fitted_engines(m):
        yield from m.engine_head(fitted.engine)
        yield m.heading("lay-up.lay_up_heading", "lay-up", fitted.engine)
        yield from steps(fitted, LAYING_UP)
        yield m.heading("lay-up.recommission_heading", "recommission", fitted.engine)
        yield from steps(fitted, RECOMMISSIONING)
        yield from makers_pages(m, fitted.engine, "lay-up")
    if m.several:
        yield from _shared(m)
    yield m.paragraph("lay-up.then", link=m.link("titles.starting", STARTING))


def _shared(m: VesselManual) -> Iterator[Block]:
    """The batteries that the engines share."""
    fitted = fitted_engines(m)[0]
    away, back = list(steps(fitted, SHARED_AWAY)), list(steps(fitted, SHARED_BACK))
    if away:
        yield m.heading("lay-up.shared_heading", "shared")
        yield Heading(m.text("lay-up.lay_up_heading"), "shared-lay-up", 3)
        yield from away
        yield Heading(m.text("lay-up.recommission_heading"), "shared-recommission", 3)
        yield from back


def _antifreeze(m: VesselManual) -> Iterator[Block]:
    """What the coolant stands against what the winter asks."""
    coolant = m.vessel.spec.coolant
    mixture = coolant.antifreeze if coolant is not None else None
    if mixture is None:
        return
    lay_up = m.vessel.spec.lay_up
    yield m.heading("lay-up.antifreeze_heading", "antifreeze")
    yield from facts(
        m,
        ("product", m.field(mixture.product)),
        ("volume_share", m.field(mixture.volume_share)),
        ("coldest_lay_up", m.field(lay_up.coldest) if lay_up is not None else ""),
        ("freezes_at", m.outcome("coolant.freezing-point")),
        ("freezing_margin", m.outcome("coolant.freezing-margin")),
        ("share_needed", m.outcome("coolant.share-needed")),
        ("raise_share", m.outcome("coolant.drain-for-five-percent")),
    )
    circuit = m.analysis.circuits.get("coolant")
    for system in coolant_systems(m.vessel, circuit) if circuit is not None else ():
        if not system.alone:
            term = f"{m.text('facts.raise_share')} · {system_name(m, system)}"
            yield Facts(((term, m.outcome(f"{system.key}.drain-for-five-percent")),))


# ---- what a step is about -----------------------------------------------------------------------


def _mixture(fitted: Fitted) -> Iterator[Gaps]:
    """The coolant, where it is written what it is."""
    result = fitted.m.outcome("coolant.freezing-point")
    if result:
        yield {"freezes": result}


def _coldest(fitted: Fitted) -> Iterator[Gaps]:
    """How cold it gets where she lies."""
    lay_up = fitted.m.vessel.spec.lay_up
    coldest = known(lay_up.coldest) if lay_up is not None else None
    if coldest is not None:
        yield {"coldest": Amount(coldest)}


def _oil_change(fitted: Fitted) -> Iterator[Gaps]:
    """The engine oil with its quantity and grade."""
    fill = fitted.m.outcome(f"{fitted.engine.name}.oil.fill")
    if fill and list(oil(fitted)):
        yield {"fill": fill, "grade": fitted.engine.sheet.capacities.oil_grade}


def _coolers(fitted: Fitted) -> Iterator[Gaps]:
    """The coolers on the engine that raw water goes through."""
    water = fitted.engine.sheet.raw_water
    for cooler in water.coolers if water is not None and fitted.route is not None else []:
        yield {"thing": coded(cooler.name, cooler.code)}


def _belts(fitted: Fitted) -> Iterator[Gaps]:
    for belt in fitted.engine.sheet.belts:
        yield {"thing": (belt.name or belt.id.replace("-", " ")).lower()}


def _mufflers(fitted: Fitted) -> Iterator[Gaps]:
    """The mufflers that water stands in."""
    for piece in fitted.exhaust.pieces if fitted.exhaust is not None and fitted.wet else []:
        if piece.kind == "muffler":
            name = piece.name or fitted.m.choice("exhaust-pieces", piece.kind)
            yield {"thing": fitted.called(name, "")}


def only_engine(found: Callable[[Fitted], list[Thing]]) -> Callable[[Fitted], list[Thing]]:
    """What an engine shares with no other: where there are several it has a section of its own."""
    return lambda fitted: [] if fitted.m.several else found(fitted)


SEA = Before("warning", ("lay-up.sea_caution",))
BATTERY = Before("warning", ("lay-up.battery_caution",), lambda f: bool(f.batteries))
TURNS = Before("danger", ("emergency.turning_caution",))

LAYING_UP = (
    StepRule("lay-up.tank", things(lambda f: f.parts("fuel", "tank")), DIESEL),
    StepRule("lay-up.separator", things(lambda f: f.parts("fuel", "water-separator")), DIESEL),
    StepRule("lay-up.warm", always),
    StepRule("lay-up.oil", _oil_change, Before("caution", ("lay-up.oil_caution",))),
    StepRule("lay-up.coolant", _mixture, SCALDS),
    StepRule("lay-up.coldest", _coldest),
    StepRule("lay-up.cock_shut", things(lambda f: f.pieces("seacock")), SEA),
    StepRule("lay-up.flush", things(lambda f: f.pieces("strainer"))),
    StepRule("lay-up.cooler", _coolers),
    StepRule("lay-up.muffler", _mufflers),
    StepRule("lay-up.impeller_out", things(lambda f: f.pumps), TURNS),
    StepRule("lay-up.belt", _belts),
    StepRule("lay-up.exhaust_plug", when(lambda f: f.exhaust is not None)),
    StepRule("lay-up.fuel_shut", things(lambda f: f.fuel_valves)),
    StepRule("lay-up.isolator_off", things(lambda f: f.isolators)),
    StepRule("lay-up.isolator_off", things(only_engine(lambda f: f.other_isolators))),
    StepRule("lay-up.battery", things(lambda f: f.own_batteries), BATTERY),
    StepRule("lay-up.sign", always),
)

RECOMMISSIONING = (
    StepRule("lay-up.read_sign", always),
    StepRule("lay-up.exhaust_open", when(lambda f: f.exhaust is not None)),
    StepRule("lay-up.impeller_in", things(lambda f: f.pumps), TURNS),
    StepRule("lay-up.belt_on", _belts, TURNS),
    StepRule("lay-up.hoses", when(lambda f: f.route is not None)),
    StepRule("lay-up.battery_on", things(lambda f: f.own_batteries), BATTERY),
    StepRule("lay-up.levels", always),
    StepRule("lay-up.cock_open", things(lambda f: f.pieces("seacock")), SEA),
    StepRule("lay-up.fuel_open", things(lambda f: f.fuel_valves)),
    StepRule("lay-up.isolator_on", things(lambda f: f.isolators)),
    StepRule("lay-up.isolator_on", things(only_engine(lambda f: f.other_isolators))),
    StepRule("lay-up.stop_tried", when(lambda f: bool(f.cables("stop")))),
)

SHARED_AWAY = (
    StepRule("lay-up.isolator_off", things(lambda f: f.other_isolators)),
    StepRule("lay-up.battery", things(lambda f: f.shared_batteries), BATTERY),
)

SHARED_BACK = (
    StepRule("lay-up.battery_on", things(lambda f: f.shared_batteries), BATTERY),
    StepRule("lay-up.isolator_on", things(lambda f: f.other_isolators)),
)
