"""Before starting, starting, stopping: the steps as data, each with what must be fitted for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from installgen.analysis.sequences import can_be_followed, own_sequence
from installgen.manual.blocks import Amount, Line, Outcome, joined
from installgen.manual.fitted import Fitted, Thing
from installgen.manual.links import FAULTS
from installgen.manual.pages.cranking import sharing
from installgen.manual.procedure import Before, Gaps, StepRule, always
from installgen.manual.vessel_manual import full_stop
from installgen.spec.entry import known
from installgen.units import Quantity


def things(found: Callable[[Fitted], Iterable[Thing]]) -> Callable[[Fitted], Iterator[Gaps]]:
    """One step for each thing."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        for thing in found(fitted):
            yield {"thing": thing.name, "where": thing.where}

    return of


def worked(found: Callable[[Fitted], Iterable[Thing]]) -> Callable[[Fitted], Iterator[Gaps]]:
    """One step for each thing, with what the spec says a person does there."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        for thing in found(fitted):
            how = full_stop(thing.means) if thing.means else ""
            yield {"thing": thing.name, "how": how, "where": thing.where}

    return of


def switches(
    state: str, kind: str = "", *, when: Callable[[Fitted], bool] = lambda fitted: True
) -> Callable[[Fitted], Iterator[Gaps]]:
    """One step for each switch that is worked for a state, with its position."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        for thing, position in fitted.selectors(state, kind) if when(fitted) else ():  # type: ignore[arg-type]
            yield {"thing": thing.name, "position": position.upper(), "where": thing.where}

    return of


def when(condition: Callable[[Fitted], bool]) -> Callable[[Fitted], Iterator[Gaps]]:
    """One step where a condition holds."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        if condition(fitted):
            yield {}

    return of


# ---- what a step is about -----------------------------------------------------------------------


def has_selector(fitted: Fitted, state: str) -> bool:
    """Whether a switch is worked by hand for a state."""
    return bool(fitted.selectors(state))  # type: ignore[arg-type]


def oil(fitted: Fitted) -> Iterator[Gaps]:
    """The engine oil, where the sheet says how much there is."""
    if known(fitted.engine.sheet.capacities.oil_full) is not None:
        yield {}


def gear(fitted: Fitted) -> Iterator[Gaps]:
    """The gear."""
    entry = fitted.engine.entry.gear
    if entry is not None:
        yield {"gear": " ".join(part for part in (entry.maker, entry.model) if part)}


def gear_without_lever(fitted: Fitted) -> Iterator[Gaps]:
    """The gear, where no shift cable is written."""
    if fitted.engine.entry.gear is not None and not fitted.cables("shift"):
        yield {}


def shift_levers(fitted: Fitted) -> Iterable[Thing]:
    """The levers that shift the gear."""
    return fitted.levers("shift") if fitted.engine.entry.gear is not None else ()


def preheats(fitted: Fitted) -> Iterator[Gaps]:
    """Switches that preheat, with the longest time its heaters may be fed."""
    for thing, position in fitted.selectors("preheating"):
        for _, heater in fitted.heaters[:1]:
            longest = known(heater.longest)
            yield {
                "thing": thing.name,
                "position": position.upper(),
                "time": _time(fitted, longest),
                "where": thing.where,
            }


def cranks(fitted: Fitted) -> Iterator[Gaps]:
    """Switches that crank, with the longest attempt."""
    longest = known(fitted.engine.sheet.limits.longest_cranking)
    for thing, position in fitted.selectors("cranking"):
        yield {
            "thing": thing.name,
            "position": position.upper(),
            "time": _time(fitted, longest),
            "where": thing.where,
        }


def _time(fitted: Fitted, longest: Quantity | None) -> Line:
    if longest is None:
        return fitted.m.text("operation.not_stated")
    return fitted.m.say("operation.at_most", time=Amount(longest))


def rests(fitted: Fitted) -> Iterator[Gaps]:
    """How long the starter rests."""
    rest = known(fitted.engine.sheet.limits.cranking_rest)
    if rest is not None and has_selector(fitted, "cranking"):
        yield {"time": Amount(rest)}


def rests_unstated(fitted: Fitted) -> bool:
    """Whether it is cranked by a switch and no rest is stated."""
    return has_selector(fitted, "cranking") and not list(rests(fitted))


def open_seacocks(fitted: Fitted) -> Iterable[Thing]:
    """The seacocks that are open while it is cranked."""
    return () if fitted.no_cranking_time else fitted.pieces("seacock")


def shut_seacocks(fitted: Fitted) -> Iterable[Thing]:
    """The seacocks that stay shut until it fires: not one attempt is known to be safe."""
    return fitted.pieces("seacock") if fitted.no_cranking_time else ()


def flood_limits(fitted: Fitted) -> Iterator[Gaps]:
    """The cranking limit, and the seacock that is shut before it is passed."""
    limit = fitted.cranking_limit
    if limit is not None:
        for cock in open_seacocks(fitted):
            yield {"thing": cock.name, "limit": Outcome(limit), "where": cock.where}


def drains(fitted: Fitted) -> Iterator[Gaps]:
    """The cranking limit, where no seacock can be shut."""
    if fitted.cranking_limit is not None and not fitted.pieces("seacock"):
        yield {"limit": Outcome(fitted.cranking_limit)}


def finds_faults(fitted: Fitted) -> Iterator[Gaps]:
    """The way to the search for the fault."""
    dc = fitted.m.analysis.dc
    cases = () if dc is None else dc.cases
    engines = fitted.m.vessel.engines
    if any(can_be_followed(own_sequence(engine.name, cases)) for engine in engines):
        yield {"faults": fitted.m.link("titles.faults", FAULTS)}


def floods(fitted: Fitted) -> bool:
    """Whether cranking can fill the muffler."""
    return fitted.cranking_limit is not None


def alarm_tests(fitted: Fitted) -> Iterator[Gaps]:
    """The alarms that sound with the key on."""
    if not has_selector(fitted, "ignition-on"):
        return
    for alarm in fitted.alarms_with_key():
        yield {"alarm": alarm.name.lower()}


def oil_gauges(fitted: Fitted) -> Iterable[Thing]:
    """The gauges that show oil pressure."""
    return [
        fitted.device(device_id, gauge)
        for device_id, gauge in fitted.gauges
        if "oil" in gauge.measures
        and "gear" not in gauge.measures
        and fitted.reads(device_id, gauge)
    ]


def idles(fitted: Fitted) -> Iterator[Gaps]:
    """How long it idles before it is stopped."""
    time = known(fitted.engine.sheet.limits.idle_before_stop)
    if time is not None:
        yield {"time": Amount(time)}


def turbocharged(fitted: Fitted) -> bool:
    """Whether exhaust gas drives a turbocharger."""
    return fitted.engine.sheet.build.aspiration != "natural"


def keys_off(fitted: Fitted) -> Iterator[Gaps]:
    """The key switches, with the position that is off."""
    for thing, position in fitted.rest_positions():
        yield {"thing": thing.name, "position": position.upper(), "where": thing.where}


def stop_key(fitted: Fitted) -> Iterator[Gaps]:
    """The key switches, where letting their current go stops the engine."""
    if fitted.stops_by("energised-to-run"):
        yield from keys_off(fitted)


def key_after_stop(fitted: Fitted) -> Iterator[Gaps]:
    """The key switches, where something else stops the engine."""
    if not fitted.stops_by("energised-to-run"):
        yield from keys_off(fitted)


def stop_switches(fitted: Fitted) -> Iterator[Gaps]:
    """The switches that feed a stop solenoid."""
    if fitted.stops_by("energised-to-stop"):
        for thing, _ in fitted.selectors("stopping"):
            yield {"thing": thing.name, "where": thing.where}


def emergency_switches(fitted: Fitted) -> Iterator[Gaps]:
    """Buttons that are there for an emergency stop alone."""
    usual = {thing.name for thing, _ in fitted.selectors("stopping")}
    for thing, _ in fitted.selectors("emergency-stop"):
        if thing.name not in usual:
            yield {"thing": thing.name, "where": thing.where}


def only_hand_stop(fitted: Fitted) -> Iterable[Thing]:
    """The hand stops, where nothing electrical stops the engine."""
    electrical = list(stop_key(fitted)) or list(stop_switches(fitted))
    return () if electrical else (fitted.levers("stop") or fitted.lever_at_engine("stop"))


def reserve_hand_stop(fitted: Fitted) -> Iterable[Thing]:
    """The hand stops, where something electrical stops the engine first."""
    electrical = list(stop_key(fitted)) or list(stop_switches(fitted))
    return fitted.levers("stop") if electrical else ()


def scoops(fitted: Fitted) -> Iterator[Gaps]:
    """The seacock by whose scoop headway fills its exhaust, and who else draws through it."""
    others = sharing(fitted.m, fitted.engine)
    how: Line = ""
    if others:
        how = fitted.m.say("operation.scoop_shared", others=", ".join(others))
    for cock in fitted.scoops:
        yield {"thing": cock.name, "how": how, "where": cock.where}


def scoops_from(*, several: bool) -> Callable[[Fitted], Iterator[Gaps]]:
    """The same with the speed from which on it does; `several`: she has other engines."""

    def of(fitted: Fitted) -> Iterator[Gaps]:
        result = fitted.flooding_headway
        if result is None or fitted.m.several != several:
            return
        for gaps in scoops(fitted):
            how = [gaps["how"]]
            if result.assessed:
                how.insert(0, fitted.m.say("operation.scoop_from", speed=Outcome(result)))
            yield {**gaps, "how": joined(how, " ")}

    return of


def has_stop_cable(fitted: Fitted) -> bool:
    """Whether a hand stop is led to a station."""
    return bool(fitted.cables("stop"))


# ---- the procedures -----------------------------------------------------------------------------

DIESEL = Before("warning", ("operation.diesel_caution",))
SCALDS = Before("warning", ("operation.scald_caution",))

BEFORE_STARTING = (
    StepRule("operation.look", always),
    StepRule("operation.oil", oil),
    StepRule("operation.coolant", things(lambda f: f.parts("coolant", "header-tank")), SCALDS),
    StepRule("operation.expansion", things(lambda f: f.parts("coolant", "expansion-tank"))),
    StepRule("operation.gear_oil", gear),
    StepRule("operation.seacock", things(open_seacocks)),
    StepRule("operation.seacock_until", things(shut_seacocks)),
    StepRule("operation.strainer", things(lambda f: f.pieces("strainer"))),
    StepRule("operation.fuel_valve", things(lambda f: f.fuel_valves)),
    StepRule("operation.separator", worked(lambda f: f.parts("fuel", "water-separator")), DIESEL),
    StepRule("operation.isolator", things(lambda f: f.isolators)),
    StepRule("operation.isolator_other", things(lambda f: f.other_isolators)),
    StepRule("operation.isolator_left", things(lambda f: f.isolators_left_off)),
)

OUT_OF_GEAR = (
    StepRule(
        "operation.neutral",
        things(shift_levers),
        Before("danger", ("operation.propeller_caution",)),
        either=True,
    ),
    StepRule(
        "operation.neutral_somehow",
        gear_without_lever,
        Before("danger", ("operation.propeller_caution",)),
    ),
)
"""Before an engine is cranked, wherever that is."""

STARTING = (
    *OUT_OF_GEAR,
    StepRule("operation.throttle", things(lambda f: f.levers("throttle")), either=True),
    StepRule("operation.stop_in", things(lambda f: f.levers("stop")), either=True),
    StepRule(
        "operation.key_run",
        switches("ignition-on", "key-switch"),
        Before("warning", ("operation.turning_caution",)),
        either=True,
    ),
    StepRule("operation.alarm", alarm_tests),
    StepRule("operation.preheat", preheats, either=True),
    StepRule(
        "operation.crank",
        cranks,
        either=True,
    ),
    StepRule("operation.open_again", things(shut_seacocks)),
    StepRule("operation.oil_pressure", things(oil_gauges)),
    StepRule("operation.alarms_silent", when(lambda f: bool(f.engine.sheet.alarms))),
    StepRule(
        "operation.water",
        when(lambda f: f.wet),
        Before("caution", ("operation.no_water_caution",), lambda f: f.wet),
    ),
)

NOT_STARTING = (
    StepRule("operation.let_go", when(lambda f: has_selector(f, "cranking"))),
    StepRule("operation.rest", rests),
    StepRule("operation.rest_unstated", when(rests_unstated)),
    StepRule("operation.limit", flood_limits),
    StepRule("operation.drain", drains),
    StepRule("operation.water_in_cylinders", when(floods)),
    StepRule("operation.find_fault", finds_faults),
)

STOPPING = (
    StepRule("operation.to_idle", things(lambda f: f.levers("throttle")), either=True),
    StepRule("operation.out_of_gear", things(shift_levers), either=True),
    StepRule("operation.idle_on", idles),
    StepRule("operation.stop_by_key", stop_key, each=True),
    StepRule("operation.stop_by_switch", stop_switches, either=True),
    StepRule("operation.stop_by_hand", things(only_hand_stop), either=True),
    StepRule("operation.stop_if_not", things(reserve_hand_stop), either=True),
    StepRule("operation.key_off", key_after_stop, each=True),
    StepRule("operation.scoop_stop", scoops),
    StepRule(
        "operation.isolator_off",
        things(lambda f: f.isolators),
        Before("caution", ("operation.load_dump_caution",), lambda f: bool(f.alternators)),
    ),
    StepRule("operation.isolator_other_off", things(lambda f: f.other_isolators)),
    StepRule("operation.seacock_shut", things(lambda f: f.pieces("seacock"))),
    StepRule("operation.fuel_shut", things(lambda f: f.fuel_valves)),
)

SCOOP = Before("danger", ("operation.scoop_caution",))

STANDING_STILL = (
    StepRule("operation.scoop_shut", scoops_from(several=False), SCOOP),
    StepRule("operation.scoop_shut_one", scoops_from(several=True), SCOOP),
    StepRule("operation.scoop_left_open", when(lambda f: bool(f.scoops))),
    StepRule("operation.scoop_again", things(lambda f: f.scoops)),
)
"""The boat moves, the engine does not."""
