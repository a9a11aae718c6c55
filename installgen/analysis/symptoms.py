"""What an operator sees when the electrics do or do not do their work, by engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_cases import source_of
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_elements import TurningStarter
from installgen.calc.operating_point import OperatingPoint
from installgen.spec.electrical import Alternator, Battery, Heater, Starter, StopSolenoid
from installgen.spec.entry import known


class Symptom(StrEnum):
    """What an operator reports."""

    DOES_NOT_CRANK = "does not crank"
    CLICKS = "clicks"
    CRANKS_DOES_NOT_START = "cranks, does not start"
    STOPS_ON_RELEASE = "starts, stops when the key is released"
    WILL_NOT_STOP = "will not stop"
    DOES_NOT_CHARGE = "does not charge"
    OVERCHARGES = "overcharges"
    PREHEAT_ABSENT = "preheat absent"
    PREHEAT_STUCK = "preheat stuck"
    STARTER_STAYS_IN = "the starter stays engaged"


@dataclass(frozen=True)
class Outcome:
    """Where one case ended, as far as symptoms need it.

    cycle: where it chatters, the other points that it passes
    """

    case: DcCase
    point: OperatingPoint
    operated: frozenset[str]
    chatter: frozenset[str]
    cycle: tuple[OperatingPoint, ...] = ()


@dataclass(frozen=True)
class Watch:
    """The parts of one engine by which symptoms are told, and what is normal.

    solenoid_runs: whether the lifted plunger of the stop solenoid lets the engine run
    set_v: voltage at which the alternator charges; None where not known [V]
    source: the battery that cranks this engine; a meter's negative lead goes to its post
    charged: the batteries that this engine's alternator charges with everything whole
    """

    engine: str
    starter: str | None
    solenoid: str | None
    solenoid_runs: bool
    alternator: str | None
    set_v: float | None
    heaters: tuple[str, ...]
    source: str
    charged: tuple[str, ...]


STARTER_RUNS_A = 20.0
"""More than any winding takes: the starter's contacts carry its motor."""

LOW_RATIO, HIGH_RATIO = 0.93, 1.05
"""Of the set voltage: what counts as not charging, and as overcharging (common practice)."""

CHARGES_A = 0.05
HEATS_A = 1.0


def watch(model: DcModel, engine: str, solved: Sequence[SolvedCase]) -> Watch:
    """Find the parts of an engine by which symptoms are told.

    solved: the engine's own sequence as built
    """
    starter = solenoid = alternator = set_v = None
    runs = True
    heaters: list[str] = []
    for device_id, device, owner in model.vessel.devices():
        if owner is None or owner.name != engine:
            continue
        if isinstance(device, Starter):
            starter = device_id
        elif isinstance(device, StopSolenoid):
            solenoid, runs = device_id, device.acts == "energised-to-run"
        elif isinstance(device, Alternator):
            volts = known(device.set_voltage)
            alternator, set_v = device_id, None if volts is None else volts.v
        elif isinstance(device, Heater):
            heaters.append(device_id)
    cranking = next((f for f in solved if f.case.state(engine).state == "cranking"), solved[0])
    running = next((f for f in solved if f.case.state(engine).key == "running-cruise"), None)
    return Watch(
        engine,
        starter,
        solenoid,
        runs,
        alternator,
        set_v,
        tuple(heaters),
        source_of(model, cranking, "" if starter is None else f"{starter}.battery"),
        _charged(model, running, set_v),
    )


def _charged(model: DcModel, running: SolvedCase | None, set_v: float | None) -> tuple[str, ...]:
    if running is None or running.settled is None or set_v is None:
        return ()
    point = running.settled.point
    return tuple(
        device_id
        for device_id, device, _ in model.vessel.devices()
        if isinstance(device, Battery)
        and device_id in point.network.positions
        and (point.across_v(device_id) or 0.0) <= -LOW_RATIO * set_v
    )


def symptoms(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    """Every symptom of one engine over its own sequence of cases.

    outcomes: by the state of this engine (`cranking`, `running-idle`, …), the others off
    """
    found = _cranking(parts, outcomes)
    cranks = not found & {Symptom.CLICKS, Symptom.DOES_NOT_CRANK}
    found |= _stop_solenoid(parts, outcomes, cranks=cranks)
    found |= _charging(parts, outcomes)
    found |= _preheat(parts, outcomes)
    return found


def _cranking(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    if parts.starter is None:
        return set()
    found: set[Symptom] = set()
    plunger, contacts = f"{parts.starter}:plunger", f"{parts.starter}:contacts"
    motor = f"{parts.starter}:motor"
    turning = outcomes.get("cranking")
    if turning is not None:
        stalled = outcomes.get("breakaway", turning)
        turns = _rpm(turning.point, motor, contacts) > 1.0
        if plunger in turning.chatter | stalled.chatter:
            found.add(Symptom.CLICKS)
        elif not turns:
            lifted = plunger in turning.operated
            found.add(Symptom.CLICKS if lifted else Symptom.DOES_NOT_CRANK)
    for name, outcome in outcomes.items():
        if name in ("breakaway", "cranking") or motor not in outcome.point.network.positions:
            continue
        if abs(outcome.point.through_a(contacts)) > STARTER_RUNS_A:
            found.add(Symptom.STARTER_STAYS_IN)
    return found


def _rpm(point: OperatingPoint, motor: str, contacts: str) -> float:
    """Speed at which the engine is turned [rpm]."""
    position = point.network.positions.get(motor)
    if position is None or abs(point.through_a(contacts)) <= STARTER_RUNS_A:
        return 0.0
    element = point.network.elements[position]
    volts = point.across_v(motor)
    if not isinstance(element, TurningStarter) or volts is None:
        return 0.0
    return element.speed_rpm(volts)


def _stop_solenoid(parts: Watch, outcomes: Mapping[str, Outcome], *, cranks: bool) -> set[Symptom]:
    if parts.solenoid is None:
        return set()
    plunger = f"{parts.solenoid}:plunger"

    def may_run(state: str) -> bool | None:
        outcome = outcomes.get(state)
        return None if outcome is None else (plunger in outcome.operated) == parts.solenoid_runs

    found: set[Symptom] = set()
    if cranks and may_run("cranking") is False:
        found.add(Symptom.CRANKS_DOES_NOT_START)
    elif cranks and may_run("running-idle") is False:
        found.add(Symptom.STOPS_ON_RELEASE)
    if may_run("stopping") or may_run("emergency-stop"):
        found.add(Symptom.WILL_NOT_STOP)
    return found


def _charging(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    outcome = outcomes.get("running-cruise") or outcomes.get("running-idle")
    if parts.alternator is None or parts.set_v is None or outcome is None:
        return set()
    point = outcome.point
    if parts.alternator not in point.network.positions:
        return set()
    found: set[Symptom] = set()
    # A battery's first end is its negative pole.
    volts = [abs(point.across_v(battery) or 0.0) for battery in parts.charged]
    if point.through_a(parts.alternator) <= CHARGES_A:
        found.add(Symptom.DOES_NOT_CHARGE)
    if volts and min(volts) < LOW_RATIO * parts.set_v:
        found.add(Symptom.DOES_NOT_CHARGE)
    if volts and max(volts) > HIGH_RATIO * parts.set_v:
        found.add(Symptom.OVERCHARGES)
    return found


def _preheat(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    found: set[Symptom] = set()
    for heater in parts.heaters:
        for state, outcome in outcomes.items():
            if heater not in outcome.point.network.positions:
                continue
            heated = abs(outcome.point.through_a(heater)) > HEATS_A
            if state == "preheating" and not heated:
                found.add(Symptom.PREHEAT_ABSENT)
            if state.startswith("running") and heated:
                found.add(Symptom.PREHEAT_STUCK)
    return found
