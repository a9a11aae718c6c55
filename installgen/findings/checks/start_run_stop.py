"""Starting, running and stopping: what the circuits do in each case."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_signals import shared_id
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.remembered import remembered
from installgen.findings.checks.paths import blame_pieces
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    figure_of,
    holds,
    lacking,
    not_assessed,
    result_at_least,
    result_at_most,
    result_is,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import Gauge, Isolator, Relay, Sender, Starter, StopSolenoid
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.units import Resistance, Time


def _starters(survey: Survey) -> Iterator[tuple[str, Starter, FittedEngine]]:
    for device_id, device, engine in survey.devices:
        if isinstance(device, Starter) and engine is not None:
            yield device_id, device, engine


def _cranking(survey: Survey, engine: FittedEngine) -> SolvedCase | None:
    """The case in which this engine cranks, alone if there is such a case."""
    found = list(survey.cases_of(engine.name, "cranking"))
    return found[0] if found else None


@named_check("start-run-stop")
def starter_circuit(
    survey: Survey, limit: Resistance, circuit: Literal["12-v", "24-v", "32-v", "48-v"]
) -> Iterator[Judgement]:
    """The whole way from battery to starter and back has no more resistance than the limit.

    Conductors, joints, isolator and the return through the block are counted; the starter's
    motor and solenoid are not.
    """
    electrical = survey.vessel.spec.electrical
    if electrical is None or f"{electrical.system.v:g}-v" != circuit:
        return
    for device_id, device, engine in _starters(survey):
        about = About(device_id, f"circuit of {device.title}", ((device, ""),), engine.name)
        result_id = f"{engine.name}.start-run-stop.starter-circuit"
        found = result_at_most(survey.book, result_id, limit, about)
        yield blame_pieces(survey, found, device_id)


@named_check("start-run-stop")
def cranking_voltage(survey: Survey) -> Iterator[Judgement]:
    """While it turns the engine the starter has the voltage that the engine maker asks for.

    Cold and discharged battery, warm conductors, joints in.
    """
    for device_id, device, engine in _starters(survey):
        about = About(device_id, device.title, ((device.motor, "lowest_voltage"),), engine.name)
        lowest = known(device.motor.lowest_voltage)
        if lowest is None:
            yield lacking(about, device.motor, "lowest_voltage", "least voltage while cranking")
            continue
        found = worst(
            result_at_least(survey.book, result_id, lowest, about)
            for case in survey.cases_of(engine.name, "cranking")
            if (result_id := f"dc.{case.case.id}.{device_id}.voltage") in survey.book
        )
        if found is None:
            yield not_assessed(about, "no case was found in which it cranks")
        else:
            yield blame_pieces(survey, found, device_id)


@named_check("start-run-stop")
def cranking_speed(survey: Survey) -> Iterator[Judgement]:
    """With the weakest battery the engine is turned at least as fast as it needs to start."""
    for device_id, device, engine in _starters(survey):
        build, motor = engine.sheet.build, device.motor
        about = About(
            device_id,
            f"cranking speed of {engine.name}",
            ((build, "lowest_cranking_speed"), (motor, "lowest_speed")),
            engine.name,
        )
        stated = [known(build.lowest_cranking_speed), known(motor.lowest_speed)]
        needed = max((one for one in stated if one is not None), default=None)
        if needed is None:
            yield lacking(about, build, "lowest_cranking_speed")
            continue
        result_id = f"{engine.name}.start-run-stop.cranking-speed-weakest"
        found = result_at_least(survey.book, result_id, needed, about)
        yield blame_pieces(survey, found, device_id)


@named_check("start-run-stop")
def circuit_settles(survey: Survey) -> Iterator[Judgement]:
    """In every case relays and plungers come to rest; none chatters."""
    electrical = survey.vessel.spec.electrical
    if not survey.cases or electrical is None:
        return
    about = About("cases", "relays and plungers", ((electrical, ""),))
    found = worst(
        result_is(survey.book, solved_id(case.case), ["settled"], replace(about, case=case.case.id))
        for case in survey.cases
    )
    if found is not None:
        yield found


@named_check("start-run-stop")
def starter_engages(survey: Survey) -> Iterator[Judgement]:
    """The starter engages while cranking and in no other case, from every station."""
    for device_id, device, engine in _starters(survey):
        about = About(device_id, device.title, ((device, ""),), engine.name)
        judged = []
        for case in survey.cases_and_stations:
            result_id = f"dc.{case.case.id}.{device_id}.position"
            if result_id in survey.book:
                turns = case.case.state(engine.name).state in ("breakaway", "cranking")
                asked = "engaged" if turns else "released"
                here = replace(about, case=case.case.id)
                judged.append(result_is(survey.book, result_id, [asked], here))
        yield worst(judged) or not_assessed(about, "its position is not computed")


@named_check("start-run-stop")
def stop_solenoid_right(survey: Survey) -> Iterator[Judgement]:
    """The stop solenoid lets the engine run while it turns and runs, and stops it when asked.

    One that is energised to run also stops the engine with the key off. In the first instant of
    cranking nothing is asked of it: it may still lift while the engine turns.
    """
    for device_id, device, engine in survey.devices:
        if not isinstance(device, StopSolenoid) or engine is None:
            continue
        about = About(device_id, device.title, ((device, "acts"),), engine.name)
        judged = []
        for case in survey.cases_and_stations:
            asked = _asked_of_solenoid(device, case.case.state(engine.name).state)
            result_id = f"dc.{case.case.id}.{device_id}.position"
            if asked and result_id in survey.book:
                here = replace(about, case=case.case.id)
                judged.append(_solenoid(survey, result_id, asked, here))
        yield worst(judged) or not_assessed(about, "its position is not computed")


def _asked_of_solenoid(device: StopSolenoid, state: str) -> str:
    if state in ("cranking", "running"):
        return "the engine may run"
    if state in ("stopping", "emergency-stop") or (
        state == "off" and device.acts == "energised-to-run"
    ):
        return "the engine is stopped"
    return ""


def _solenoid(survey: Survey, result_id: str, asked: str, about: About) -> Judgement:
    value = figure_of(survey.book, result_id, about)
    if isinstance(value, Judgement):
        return value
    result = survey.book[result_id]
    found = holds(str(value).endswith(asked), str(value), asked, about)
    return replace(found, results=(result_id,), assumed=result.assumed)


@named_check("start-run-stop")
def relay_holds(survey: Survey) -> Iterator[Judgement]:
    """A relay that is switched on pulls in, and keeps more than the voltage at which it lets go.

    It is judged where closed wiring leads from a battery through its coil, or it was in before.
    One that works by voltage, such as a charge relay, may let go while cranking: that is its work.
    It is judged in the case in which it is fed best while an engine runs.
    """
    ended = {
        found.case.id: found.settled.state.operated
        for found in survey.cases
        if found.settled is not None
    }
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Relay):
            continue
        name = engine.name if engine is not None else device.engine or ""
        about = About(device_id, device.title, ((device.coil, "drop_out"),), name)
        drop_out, pull_in = known(device.coil.drop_out), known(device.coil.pull_in)
        if drop_out is None or pull_in is None:
            yield lacking(about, device.coil, "drop_out" if drop_out is None else "pull_in")
            continue
        waits = by_voltage(survey, device_id, device)
        judged = []
        for found in survey.cases:
            result_id = f"dc.{found.case.id}.{device_id}.voltage"
            if result_id not in survey.book or (waits and "running" not in found.case.all_states):
                continue
            armature = f"{device_id}:armature"
            before = remembered(survey.vessel, found.case, ended)
            if armature in before or armature in ended.get(found.case.id, ()):
                judged.append(result_at_least(survey.book, result_id, drop_out, about))
            elif found.settled is None or Wiring(found).switched_on(device_id):
                outside = replace(about, at=((device.coil, "pull_in"), *about.at))
                judged.append(result_at_least(survey.book, result_id, pull_in, outside))
        if waits and judged:
            judged = [max(judged, key=lambda one: one.margin_share or 0.0)]
        yield worst(judged) or not_assessed(about, "no case was found in which it is fed")


def by_voltage(survey: Survey, device_id: str, relay: Relay) -> bool:
    """Whether a relay works by voltage: it waits for a battery that is being charged.

    Its coil is fed in every case, with each key and button as it may be; or it is fed while an
    engine runs and pulls in above the nominal voltage of the system.
    """
    solved = [found for found in survey.cases if found.settled is not None]
    fed = [c for c in solved if f"dc.{c.case.id}.{device_id}.voltage" in survey.book]
    if fed and len(fed) == len(solved):
        return True
    electrical, pull_in = survey.vessel.spec.electrical, known(relay.coil.pull_in)
    above = electrical is not None and pull_in is not None and pull_in.v > electrical.system.v
    return above and any("running" in found.case.all_states for found in fed)


@named_check("start-run-stop")
def lifting_time(survey: Survey, limit: Time) -> Iterator[Judgement]:
    """A lifting winding may be fed for at least as long as one attempt to start lasts."""
    for device_id, device, engine in survey.devices:
        if not isinstance(device, StopSolenoid) or device.lifting is None:
            continue
        name = engine.name if engine is not None else ""
        about = About(device_id, device.title, ((device.lifting, "longest"),), name)
        longest = known(device.lifting.longest)
        if longest is None:
            yield lacking(about, device.lifting, "longest", "longest time it may be fed")
        else:
            yield at_least(longest, limit, about)


@named_check("start-run-stop")
def isolator_before_starter(survey: Survey) -> Iterator[Judgement]:
    """Between battery and starter there is an isolator."""
    isolators = {name for name, device, _ in survey.devices if isinstance(device, Isolator)}
    for device_id, device, engine in _starters(survey):
        about = About(device_id, f"feed of {device.title}", ((device, ""),), engine.name)
        case = _cranking(survey, engine)
        if case is None or case.settled is None:
            reason = case.reason if case is not None else "no case was found in which it cranks"
            yield not_assessed(about, reason, case.missing if case is not None else ())
            continue
        on_the_way = {hop.element for hop in Wiring(case).upstream(f"{device_id}.battery")}
        there = sorted(isolators & on_the_way)
        yield holds(bool(there), ", ".join(there) or "none", "an isolator", about)


@named_check("start-run-stop")
def sender_shared(survey: Survey) -> Iterator[Judgement]:
    """A sender that several gauges hang on is made for as many."""
    for device_id, device, engine in survey.devices:
        if (
            isinstance(device, Sender)
            and engine is not None
            and shared_id(device_id) in survey.book
        ):
            about = About(device_id, device.title, ((device, "gauges"),), engine.name)
            value = figure_of(survey.book, shared_id(device_id), about)
            if isinstance(value, Judgement):
                yield value
            else:
                asked = "a sender made for as many gauges"
                found = holds(str(value).startswith("right"), str(value), asked, about)
                yield replace(found, results=(shared_id(device_id),))


@named_check("start-run-stop")
def tachometer_setting(survey: Survey) -> Iterator[Judgement]:
    """A tachometer on the ring gear's signal is set to the teeth of the ring gear."""
    for device_id, device, _ in survey.devices:
        if not isinstance(device, Gauge):
            continue
        for engine in survey.engines:
            result_id = f"{engine.name}.start-run-stop.{device_id}.setting"
            if result_id in survey.book:
                about = About(device_id, device.title, ((device, "pulses"),), engine.name)
                yield result_is(survey.book, result_id, ["right"], about)
