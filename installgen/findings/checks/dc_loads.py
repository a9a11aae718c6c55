"""Loads and supplies: what each load has, what the alternators and banks give."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from installgen.analysis.dc_charging import sense_open_id
from installgen.analysis.duty import at_work
from installgen.findings.checks.paths import blame_pieces, heaviest_pieces
from installgen.findings.checks.start_run_stop import by_voltage
from installgen.findings.judgement import (
    About,
    Judgement,
    at_most,
    holds,
    lacking,
    not_assessed,
    result_at_least,
    result_at_most,
    with_care,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Coil,
    DeviceBase,
    Gauge,
    Heater,
    Load,
    Relay,
    Starter,
    StopSolenoid,
    Winding,
)
from installgen.spec.entry import Entry, known
from installgen.units import Charge, Current, Fraction, Time, Voltage

LEAST_PULL_IN = 0.4
"""A coil that pulls in below this share of the system's voltage is for a lower one."""
CHARGING_PULL_IN = 1.2
"""A charge relay pulls in between the voltage at rest and this share, at which a battery is charged
(common practice: a lead-acid battery is charged at 13.8 to 14.4 V for 12 V)."""


DISCHARGES_A = 0.01
"""A bank that gives less than this is at rest."""


def circuit_class(device: Load | Heater | Gauge) -> tuple[str, str]:
    """The class of a load for its drop limit, and a word where it is not written.

    A load whose class nobody wrote is judged as critical, so that leaving it out clears nothing.
    """
    if not isinstance(device, Load):
        return "other", ""
    if "circuit" in device.model_fields_set:
        return device.circuit, ""
    return "critical", "its class is not written, so it is judged as critical"


@named_check("dc-power")
def circuit_drop(
    survey: Survey, limit: Fraction, circuit: Literal["critical", "other"]
) -> Iterator[Judgement]:
    """From source to load and back no more of the nominal voltage is lost than the limit.

    Joints, switches and fuses are counted, shared pieces with all that runs together; the case
    that counts is the worst in which the load is at work: an instrument is read with the key on and
    under way, a heater works while preheating, and no drop is judged while the starter turns the
    engine, unless the load's `on_in` names that. Instruments and heaters are of the class `other`.
    """
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Load | Heater | Gauge) or _idle(survey, device_id, device):
            continue
        own, note = circuit_class(device)
        if own != circuit:
            continue
        name = engine.name if engine is not None else ""
        about = About(device_id, device.title, ((device, "circuit"),), name)
        found = worst(_drops(survey, device_id, about, limit))
        if found is None:
            yield not_assessed(about, "no case was found in which it is fed")
        else:
            found = replace(found, reason=found.reason or note)
            yield blame_pieces(survey, found, device_id)


def _drops(survey: Survey, device_id: str, about: About, limit: Fraction) -> Iterator[Judgement]:
    for found in survey.cases:
        result_id = f"dc.{found.case.id}.{device_id}.drop"
        if result_id in survey.book:
            yield result_at_most(survey.book, result_id, limit, about)


def _idle(survey: Survey, device_id: str, device: DeviceBase) -> bool:
    """Whether nothing at all is connected to a device of an engine: not used in this vessel."""
    terminals = {f"{device_id}.{terminal}" for terminal in device.terminals}
    return "." in device_id and not terminals & survey.connected


@named_check("dc-power")
def voltage_at_load(survey: Survey, circuit: Literal["critical", "other"]) -> Iterator[Judgement]:
    """Each load has at least the voltage it needs, in every case in which it is at work."""
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Load) or circuit_class(device)[0] != circuit:
            continue
        name = engine.name if engine is not None else ""
        about = About(device_id, device.title, ((device, "needs"),), name)
        needs = known(device.needs)
        if needs is None:
            yield lacking(about, device, "needs", f"the least voltage {device.title} works at")
            continue
        found = worst(
            result_at_least(survey.book, result_id, needs, about)
            for case in survey.cases
            if at_work(case.case, device, engine)
            and (result_id := f"dc.{case.case.id}.{device_id}.voltage") in survey.book
        )
        if found is None:
            yield not_assessed(about, "no case was found in which it is fed")
        elif _enough_at_source(survey, found, device_id, needs):
            yield blame_pieces(survey, found, device_id)
        else:
            yield found


def _enough_at_source(survey: Survey, found: Judgement, device_id: str, needs: Voltage) -> bool:
    """Whether its battery has what a load needs, so that what it is short of is lost on the way."""
    lost = sum(piece.lost_v for piece in heaviest_pieces(survey, device_id, found.about.case))
    return isinstance(found.figure, Voltage) and found.figure.v + lost >= needs.v


@named_check("dc-power")
def nominal_voltage(survey: Survey) -> Iterator[Judgement]:
    """Batteries, starters and alternators are for the voltage of the system, coils pull in at it.

    A coil is of another voltage where it pulls in above the system's, or far below it: then it
    burns. The usual share of the nominal voltage is 55 to 75 % (common practice). A charge relay
    waits for the voltage of charging instead.
    """
    electrical = survey.vessel.spec.electrical
    if electrical is None:
        return
    system = electrical.system
    for device_id, device, engine in survey.devices:
        name = engine.name if engine is not None else ""
        if isinstance(device, Battery | Starter | Alternator):
            at: tuple[tuple[Entry, str], ...] = ((device, "voltage"), (electrical, "system"))
            about = About(device_id, device.title, at, name)
            same = abs(device.voltage.v - system.v) < 0.01
            yield holds(same, str(device.voltage), str(system), about)
        for part in _coils(device):
            pull_in = known(part.pull_in)
            if pull_in is None:
                continue
            subject = f"{device_id}:pull-in" if isinstance(device, Starter) else device_id
            about = About(subject, device.title, ((part, "pull_in"), (electrical, "system")), name)
            waits = isinstance(device, Relay) and by_voltage(survey, device_id, device)
            most = CHARGING_PULL_IN if waits else 1.0
            fits = LEAST_PULL_IN * system.v <= pull_in.v <= most * system.v
            yield holds(fits, f"pulls in at {pull_in}", f"a coil for {system}", about)


def _coils(device: DeviceBase) -> list[Coil | Winding]:
    """The windings of a relay, a starter's solenoid or a stop solenoid."""
    if isinstance(device, Relay):
        return [device.coil]
    if isinstance(device, Starter):
        return [device.pull_in_winding]
    if isinstance(device, StopSolenoid):
        return [one for one in (device.lifting, device.single) if one is not None]
    return []


@named_check("dc-power")
def alternator_surplus(
    survey: Survey, limit: Current, circuit: Literal["idle", "cruise", "rated"]
) -> Iterator[Judgement]:
    """The alternators, hot, give at least this much more than the loads take at a speed.

    What one alternator has left helps no bank that it does not reach, and no bank discharges.
    """
    for found in survey.cases:
        states = [state for _, state in found.case.states]
        if any(s.state != "running" or s.speed != circuit for s in states):
            continue
        about = About(f"surplus-{circuit}", f"surplus of the alternators at {circuit}")
        result_id = f"dc.{found.case.id}.surplus"
        if result_id in survey.book:
            drained = worst(_discharging(survey, found.case.id, about))
            yield drained or result_at_least(survey.book, result_id, limit, about)
        else:
            yield not_assessed(about, "the alternators' surplus is not computed")


def _discharging(survey: Survey, case_id: str, about: About) -> Iterator[Judgement]:
    """Each bank that gives current although every engine runs."""
    for device_id, device, _ in survey.devices:
        result = survey.book.get(f"dc.{case_id}.{device_id}.charge")
        if not isinstance(device, Battery) or result is None:
            continue
        if isinstance(result.value, Current) and result.value.a < -DISCHARGES_A:
            name = f"charging current of {device.title} with all that is on at once"
            here = replace(about, name=name, at=((device, ""),), case=case_id)
            yield result_at_least(survey.book, result.id, Current(0.0), here)


@named_check("dc-power")
def load_dump(survey: Survey) -> Iterator[Judgement]:
    """No isolator, opened while the engine runs, takes the alternator off every battery.

    A caution where one does: it must never be opened then, and says so where it is.
    """
    devices = {name: device for name, device, _ in survey.devices}
    unsolved = next((found for found in survey.cases if found.settled is None), None)
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Alternator) or engine is None:
            continue
        if unsolved is not None:
            about = About(device_id, f"ways of {device.title}", ((device, ""),), engine.name)
            yield not_assessed(about, unsolved.reason, unsolved.missing)
            continue
        prefix = f"{device_id}.load-dump."
        for result_id, result in survey.book.items():
            if result_id.startswith(prefix):
                isolator = devices[result_id.removeprefix(prefix)]
                subject = result_id.replace(".load-dump.", ":")
                about = About(subject, isolator.title, ((isolator, ""),), engine.name)
                words = str(result.value)
                asked = "a battery stays on the alternator"
                found = (
                    with_care(words, asked, about, "never turn it off while the engine runs")
                    if words.startswith("load dump")
                    else holds(True, words, asked, about)
                )
                yield replace(found, results=(result_id,))


@named_check("dc-power")
def sense_open(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """With its sense lead open an alternator raises no bank above this share of its set voltage."""
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Alternator) or device.sense != "lead" or engine is None:
            continue
        about = About(device_id, f"sense lead of {device.title}", ((device, "sense"),), engine.name)
        set_v = known(device.set_voltage)
        if set_v is None:
            yield lacking(about, device, "set_voltage")
        else:
            most = Voltage(limit.ratio * set_v.v)
            yield result_at_most(survey.book, sense_open_id(device_id), most, about)


@named_check("dc-power")
def hours_on_bank(survey: Survey, limit: Time) -> Iterator[Judgement]:
    """With no engine running the bank carries the essential loads for at least this long."""
    electrical = survey.vessel.spec.electrical
    if electrical is None:
        return
    about = About("essential-loads", "essential loads on the bank", ((electrical, "devices"),))
    if "dc.hours-on-bank" not in survey.book:
        yield not_assessed(about, "no load is marked `essential`")
    else:
        yield result_at_least(survey.book, "dc.hours-on-bank", limit, about)


@named_check("dc-power")
def house_bank(survey: Survey) -> Iterator[Judgement]:
    """Essential loads have a bank of their own, so that they cannot empty the start battery."""
    essential = [
        device
        for _, device, _ in survey.devices
        if isinstance(device, Load) and device.essential == "yes"
    ]
    if not essential:
        return
    batteries = survey.vessel.batteries()
    at = tuple((battery, "purpose") for battery in batteries)
    about = About("house-bank", "bank for the essential loads", at)
    own = any(battery.purpose == "house" for battery in batteries)
    found = "a bank of their own" if own else "the start battery carries them"
    yield holds(own, found, "a bank of their own", about)


@named_check("dc-power")
def alternator_share(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """The alternators together are rated at no more than this share of the banks' Ah."""
    electrical = survey.vessel.spec.electrical
    alternators = [d for _, d, _ in survey.devices if isinstance(d, Alternator)]
    banks = survey.vessel.batteries()
    if electrical is None or not alternators or not banks:
        return
    at = tuple((bank, "capacity") for bank in banks)
    about = About("alternator-share", "alternators against the banks", at)
    total_a, total_ah = 0.0, 0.0
    for alternator in alternators:
        rated = known(alternator.rated)
        if rated is None:
            yield lacking(about, alternator, "rated")
            return
        total_a += rated.a
    for bank in banks:
        capacity = known(bank.capacity)
        if capacity is None:
            yield lacking(about, bank, "capacity")
            return
        total_ah += capacity.ah
    told = f"{Current(total_a)} for {Charge(total_ah)}"
    yield at_most(Fraction(total_a / total_ah), limit, about, told)
