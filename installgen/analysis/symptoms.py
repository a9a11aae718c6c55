"""What an operator sees when the electrics do or do not do their work, by engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_model import DcModel
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
    """Where one case ended, as far as symptoms need it."""

    case: DcCase
    point: OperatingPoint
    operated: frozenset[str]
    chatter: frozenset[str]


@dataclass(frozen=True)
class Watch:
    """The parts of one engine by which symptoms are told, and what is normal.

    charge_a: current into its battery with everything whole, by case [A]
    """

    engine: str
    starter: str | None
    solenoid: tuple[str, StopSolenoid] | None
    alternator: tuple[str, Alternator] | None
    heaters: tuple[str, ...]
    batteries: tuple[str, ...]


def watch(model: DcModel, engine: str) -> Watch:
    """Find the parts of an engine by which symptoms are told."""
    starter = solenoid = alternator = None
    heaters: list[str] = []
    batteries: list[str] = []
    for device_id, device, owner in model.vessel.devices():
        if isinstance(device, Battery):
            batteries.append(device_id)
        if owner is None or owner.name != engine:
            continue
        if isinstance(device, Starter):
            starter = device_id
        elif isinstance(device, StopSolenoid):
            solenoid = device_id, device
        elif isinstance(device, Alternator):
            alternator = device_id, device
        elif isinstance(device, Heater):
            heaters.append(device_id)
    return Watch(engine, starter, solenoid, alternator, tuple(heaters), tuple(batteries))


def symptoms(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    """Every symptom of one engine over its own sequence of cases.

    outcomes: by the state of this engine (`cranking`, `running-idle`, …), the others off
    """
    found: set[Symptom] = set()
    found |= _cranking(parts, outcomes)
    found |= _stop_solenoid(parts, outcomes, cranks=not found)
    found |= _charging(parts, outcomes)
    found |= _preheat(parts, outcomes)
    return found


def _cranking(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    if parts.starter is None:
        return set()
    found: set[Symptom] = set()
    plunger, contacts = f"{parts.starter}:plunger", f"{parts.starter}:contacts"
    turning = outcomes.get("cranking")
    stalled = outcomes.get("breakaway")
    if turning is not None:
        clicks = plunger in turning.chatter or bool(
            stalled is not None and plunger in stalled.chatter
        )
        motor = f"{parts.starter}:motor"
        element = next((e for e in turning.point.network.elements if e.id == motor), None)
        rpm = 0.0
        if element is not None and abs(float(turning.point.current_a[contacts])) > STARTER_RUNS_A:
            drop = turning.point.across_v(motor)
            speed = getattr(element, "speed_rpm", None)
            rpm = speed(drop) if speed is not None and drop is not None else 0.0
        if clicks or (plunger in turning.operated and rpm <= 1.0):
            found.add(Symptom.CLICKS)
        elif rpm <= 1.0:
            found.add(Symptom.DOES_NOT_CRANK)
    motor = f"{parts.starter}:motor"
    for name, outcome in outcomes.items():
        if name in ("breakaway", "cranking") or motor not in outcome.point.network.positions:
            continue
        if abs(float(outcome.point.current_a[contacts])) > STARTER_RUNS_A:
            found.add(Symptom.STARTER_STAYS_IN)
    return found


def _stop_solenoid(parts: Watch, outcomes: Mapping[str, Outcome], *, cranks: bool) -> set[Symptom]:
    if parts.solenoid is None:
        return set()
    device_id, device = parts.solenoid
    plunger = f"{device_id}:plunger"
    to_run = device.acts == "energised-to-run"
    found: set[Symptom] = set()

    def may_run(state: str) -> bool | None:
        outcome = outcomes.get(state)
        return None if outcome is None else (plunger in outcome.operated) == to_run

    if cranks and may_run("cranking") is False:
        found.add(Symptom.CRANKS_DOES_NOT_START)
    elif cranks and may_run("running-idle") is False:
        found.add(Symptom.STOPS_ON_RELEASE)
    if may_run("stopping"):
        found.add(Symptom.WILL_NOT_STOP)
    return found


STARTER_RUNS_A = 20.0
"""More than any winding takes: the starter's contacts carry its motor."""

LOW_RATIO, HIGH_RATIO = 0.93, 1.05
"""Of the set voltage: what counts as not charging, and as overcharging (common practice)."""


def _charging(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    outcome = outcomes.get("running-cruise") or outcomes.get("running-idle")
    if parts.alternator is None or outcome is None:
        return set()
    device_id, device = parts.alternator
    if device_id not in outcome.point.network.positions:
        return set()
    set_v = known(device.set_voltage)
    if set_v is None:
        return set()
    volts = [
        volt
        for battery in parts.batteries
        if battery in outcome.point.network.positions
        and (volt := outcome.point.across_v(battery)) is not None
    ]
    current = float(outcome.point.current_a[device_id])
    battery_v = max((abs(volt) for volt in volts), default=0.0)
    found: set[Symptom] = set()
    if current <= 0.05 or battery_v < LOW_RATIO * set_v.v:
        found.add(Symptom.DOES_NOT_CHARGE)
    if battery_v > HIGH_RATIO * set_v.v:
        found.add(Symptom.OVERCHARGES)
    return found


def _preheat(parts: Watch, outcomes: Mapping[str, Outcome]) -> set[Symptom]:
    found: set[Symptom] = set()
    for heater in parts.heaters:
        for state, outcome in outcomes.items():
            if heater not in outcome.point.network.positions:
                continue
            heated = abs(float(outcome.point.current_a[heater])) > 1.0
            if state == "preheating" and not heated:
                found.add(Symptom.PREHEAT_ABSENT)
            if state.startswith("running") and heated:
                found.add(Symptom.PREHEAT_STUCK)
    return found
