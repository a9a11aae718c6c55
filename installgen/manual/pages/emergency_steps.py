"""What to do in an emergency: the steps as data, each with what must be fitted for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

from installgen.manual.fitted import Fitted, Thing
from installgen.manual.pages.electrical import devices_of
from installgen.manual.pages.operation_steps import (
    SCALDS,
    emergency_switches,
    has_selector,
    scoops,
    stop_key,
    stop_switches,
    things,
    when,
)
from installgen.manual.procedure import Before, Gaps, StepRule, always
from installgen.manual.vessel_manual import coded, full_stop
from installgen.manual.ways import cut_off, live_line
from installgen.spec.electrical import Load
from installgen.spec.owner_spec import SafetyItem

Found: TypeAlias = Callable[[Fitted], Iterable[Thing]]


def equipment(fitted: Fitted, *kinds: str) -> Iterator[Gaps]:
    """Safety equipment of these kinds: what it is, how it is worked, where it sits."""
    m = fitted.m
    for item in m.vessel.spec.owners_manual.equipment:
        if item.kind in kinds:
            how = full_stop(item.how) if item.how else ""
            where = fitted.where(item.place, item.find)
            yield {
                "thing": coded(item.name or item_kind(fitted, item), item.code),
                "how": how,
                "where": where,
            }


def item_kind(fitted: Fitted, item: SafetyItem) -> str:
    """What a piece of equipment is called where it has no name of its own."""
    return fitted.m.choice("equipment", item.kind)


def engine_levers(fitted: Fitted) -> Iterable[Thing]:
    """The stop lever on the engine itself."""
    return fitted.lever_at_engine("stop")


def runs_on(fitted: Fitted) -> bool:
    """Whether the engine goes on running without current."""
    return fitted.stops_by("energised-to-stop") or not fitted.stop_solenoids


def named(of: Callable[[Fitted], Iterable[Gaps]]) -> Callable[[Fitted], Iterator[Gaps]]:
    """The same, with what the engine is called in a sentence."""

    def with_engine(fitted: Fitted) -> Iterator[Gaps]:
        name = fitted.m.engine_name(fitted.engine).lower()
        for gaps in of(fitted):
            yield {**gaps, "engine": name}

    return with_engine


def hull_valves(fitted: Fitted) -> Iterator[Gaps]:
    """Every valve at the hull besides the intakes of the routes, once for the vessel."""
    for opening in fitted.m.vessel.spec.openings:
        if opening.valve not in (None, "none", "flap"):
            yield {
                "thing": coded(opening.name or opening.use, opening.code),
                "use": opening.use,
                "where": fitted.where(opening.place, opening.find),
            }


def plugs(fitted: Fitted) -> Iterator[Gaps]:
    """Every opening with a plug, once for the vessel."""
    for opening in fitted.m.vessel.spec.openings:
        if opening.plug:
            yield {
                "thing": coded(opening.name or opening.use, opening.code),
                "plug": opening.plug,
                "where": fitted.where(opening.place, opening.find),
            }


def blowers_off(*, fuse: bool) -> Callable[[Fitted], Iterator[Gaps]]:
    """What cuts the blowers off outside the engine space: by a fuse, or by switch or breaker."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        m = fitted.m
        every = [blower for space in m.vessel.spec.air for blower in space.blowers]
        loads = {i: d for i, d, _ in devices_of(m, Load) if "blower" in d.title.lower()}
        for blower in every:
            own = [i for i, d in loads.items() if d.title.lower() == blower.name.lower()]
            if not own and len(every) == len(loads) == 1:
                own = list(loads)
            for load in own:
                name = cut_off(m, load)
                device = m.devices[name][0] if name else None
                if device is not None and (getattr(device, "kind", "") == "fuse") == fuse:
                    thing = fitted.device(name, device)
                    if not thing.inside:
                        called = blower.name[:1].lower() + blower.name[1:]
                        yield {"blower": called, "thing": thing.name, "where": thing.where}

    return of


def fire_valves(fitted: Fitted) -> Iterable[Thing]:
    """The valves of its fuel that nobody has to go to the fire for."""
    return [valve for valve in fitted.fuel_valves if not valve.inside]


def fire_valves_inside(fitted: Fitted) -> Iterable[Thing]:
    """The valves of its fuel in the engine space, where there is no other."""
    return () if fire_valves(fitted) else fitted.fuel_valves


def fire_isolators(*inside: bool | None) -> Callable[[Fitted], Iterable[Thing]]:
    """The isolators that cut a battery, by whether they stand in an engine space.

    Those that do are said only where no other can be turned off.
    """

    def of(fitted: Fitted) -> Iterable[Thing]:
        found = fitted.battery_isolators
        others = any(not thing.inside for thing in found)
        return [t for t in found if t.inside in inside and not (t.inside and others)]

    return of


def live(fitted: Fitted) -> Iterator[Gaps]:
    """What a battery feeds past every isolator, in one line."""
    if line := live_line(fitted.m):
        yield {"live": line}


def belts(fitted: Fitted) -> Iterator[Gaps]:
    """Belts that drive a pump."""
    for belt in fitted.engine.sheet.belts:
        if any("pump" in drives for drives in belt.drives):
            name = belt.name or belt.id.replace("-", " ")
            yield {"thing": name.lower(), "drives": ", ".join(belt.drives)}


def by_switch(fitted: Fitted) -> bool:
    """Whether a button, key or switch stops the engine."""
    switches = (emergency_switches, stop_key, stop_switches)
    return any(True for of in switches for _ in of(fitted))


def by_hand(fitted: Fitted) -> bool:
    """Whether a hand stop at a station does."""
    return bool(fitted.levers("stop"))


def next_way(found: Found, *before: Callable[[Fitted], bool]) -> Found:
    """What stops the engine where it still runs: there is another way before this one."""
    return lambda fitted: found(fitted) if any(way(fitted) for way in before) else ()


def first_way(found: Found, *before: Callable[[Fitted], bool]) -> Found:
    """The same where there is no other way before this one."""
    return lambda fitted: () if any(way(fitted) for way in before) else found(fitted)


def hand_stops(fitted: Fitted) -> Iterable[Thing]:
    """The hand stops at the stations."""
    return fitted.levers("stop")


def fuel_valves(fitted: Fitted) -> Iterable[Thing]:
    """The valves in its fuel supply."""
    return fitted.fuel_valves


_LEVER = Before("danger", ("emergency.lever_caution",))

STOP = (
    StepRule("emergency.stop_button", emergency_switches, either=True),
    StepRule("emergency.stop_key", stop_key, each=True),
    StepRule("emergency.stop_switch", stop_switches, either=True),
    StepRule("emergency.stop_hand_first", things(first_way(hand_stops, by_switch)), either=True),
    StepRule("emergency.stop_hand", things(next_way(hand_stops, by_switch)), either=True),
    StepRule(
        "emergency.stop_lever_first", things(first_way(engine_levers, by_switch, by_hand)), _LEVER
    ),
    StepRule("emergency.stop_lever", things(next_way(engine_levers, by_switch, by_hand)), _LEVER),
    StepRule("emergency.stop_fuel", things(fuel_valves)),
    StepRule("emergency.stop_scoop", scoops),
)

STOP_ALL = (
    StepRule("emergency.stop_key_short", named(stop_key), each=True),
    StepRule("emergency.stop_switch_short", named(stop_switches), either=True),
    StepRule(
        "emergency.stop_hand_short",
        named(things(lambda f: () if [*stop_key(f), *stop_switches(f)] else f.levers("stop"))),
        either=True,
    ),
)

LEAK_FIRST = (
    StepRule("emergency.life_jackets", always),
    StepRule("emergency.pump", lambda f: equipment(f, "bilge-pump")),
    StepRule("emergency.hand_pump", lambda f: equipment(f, "hand-bilge-pump")),
)
LEAK_ENGINE = (
    StepRule(
        "emergency.engine_leak",
        named(things(lambda f: f.pieces("seacock"))),
        Before("caution", ("emergency.leak_caution",)),
    ),
)
LEAK_HULL = (
    StepRule("emergency.hull_valve", hull_valves),
    StepRule("emergency.plug", plugs),
    StepRule("emergency.stuff", always),
)

FIRE_FIRST = (StepRule("emergency.all_on_deck", always),)
FIRE_FUEL = (
    StepRule("emergency.fire_fuel", things(fire_valves)),
    StepRule("emergency.fire_inside", things(fire_valves_inside)),
)
FIRE_THEN = (
    StepRule("emergency.blower_off", blowers_off(fuse=False)),
    StepRule("emergency.blower_fuse", blowers_off(fuse=True)),
    StepRule("emergency.hatches_shut", always, Before("danger", ("emergency.hatch_caution",))),
    StepRule("emergency.fixed", lambda f: equipment(f, "fixed-extinguisher")),
    StepRule("emergency.port", lambda f: equipment(f, "fire-port")),
    StepRule("emergency.extinguisher", lambda f: equipment(f, "fire-extinguisher")),
    StepRule("emergency.blanket", lambda f: equipment(f, "fire-blanket")),
    StepRule("emergency.fire_isolator", things(fire_isolators(False))),
    StepRule("emergency.fire_isolator_somewhere", things(fire_isolators(None))),
    StepRule("emergency.fire_inside", things(fire_isolators(True))),
    StepRule("emergency.fire_live", live),
    StepRule("emergency.stay_out", always),
)

NO_WATER = (
    StepRule("emergency.throttle_back", things(lambda f: f.levers("throttle")), either=True),
    StepRule("emergency.look_outlet", when(lambda f: f.wet)),
    *STOP_ALL,
    StepRule("emergency.cock_open", things(lambda f: f.pieces("seacock"))),
    StepRule(
        "emergency.cock_shut",
        things(lambda f: f.pieces("seacock")),
        Before("warning", ("emergency.open_route_caution",)),
    ),
    StepRule("emergency.strainer", things(lambda f: f.pieces("strainer"))),
    StepRule(
        "emergency.impeller",
        things(lambda f: f.pumps),
        Before("danger", ("emergency.turning_caution",), lambda f: has_selector(f, "cranking")),
    ),
    StepRule("emergency.belt", belts),
    StepRule("emergency.cock_again", things(lambda f: f.pieces("seacock"))),
    StepRule("emergency.coolant", things(lambda f: f.parts("coolant", "header-tank")), SCALDS),
    StepRule("emergency.start_again", always),
)
