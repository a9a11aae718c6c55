"""Mistakes of wiring that no figure shows: dead circuits, reversed banks, coils nobody feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_topology import dead_elements, never_lifted
from installgen.findings.judgement import About, Judgement, holds, not_assessed
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Bus,
    DeviceBase,
    Fuse,
    Gauge,
    Heater,
    Isolator,
    Load,
    Plug,
    Relay,
    Starter,
    StopSolenoid,
)
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.units import show

NOTHING_A = 0.1
"""An alternator that gives less gives nothing."""


def _about(
    device_id: str, device: DeviceBase, engine: FittedEngine | None, field: str = ""
) -> About:
    name = engine.name if engine is not None else ""
    return About(device_id, device.title, ((device, field),), name)


def _working_parts(device_id: str, device: DeviceBase) -> tuple[str, ...]:
    """The elements that do a device's work; none where it only passes current on."""
    if isinstance(device, Load | Heater | Gauge | Relay):
        return (device_id,)
    if isinstance(device, Starter):
        return (f"{device_id}:motor", f"{device_id}:hold-in")
    if isinstance(device, StopSolenoid):
        return tuple(f"{device_id}:{part}" for part in ("winding", "lifting", "holding"))
    return (f"{device_id}:field",) if isinstance(device, Alternator) else ()


def _at_a_loss(survey: Survey) -> Iterator[Judgement]:
    """That no case could be solved, once, with the fields that are missing."""
    electrical = survey.vessel.spec.electrical
    if survey.cases and electrical is not None:
        about = About("cases", "the circuits", ((electrical, ""),))
        yield not_assessed(about, survey.cases[0].reason, survey.cases[0].missing)


@named_check("dc-power")
def circuit_complete(survey: Survey) -> Iterator[Judgement]:
    """No device is dead with every contact closed: a way leads from a battery to it and back.

    A device that only an open key or relay cuts off is normally dead and passes. One that nothing
    is connected to at all is left to `engine-devices-connected` and `terminals-connected`.
    """
    networks = [found.network for found in survey.cases if found.network is not None]
    if not networks:
        yield from _at_a_loss(survey)
    dead = [dead_elements(network) for network in networks]
    for device_id, device, engine in survey.devices:
        terminals = {f"{device_id}.{terminal}" for terminal in device.terminals}
        parts = _working_parts(device_id, device)
        if not parts or (terminals and not terminals & survey.connected):
            continue
        about = _about(device_id, device, engine)
        there = [
            (part, part in gone)
            for network, gone in zip(networks, dead, strict=True)
            for part in parts
            if part in network.positions
        ]
        if not there:
            continue
        names = dict.fromkeys(part for part, _ in there)
        cut = [part for part in names if all(gone for one, gone in there if one == part)]
        words = "dead with every contact closed: no way from a battery to it and back"
        what = ", ".join(part.partition(":")[2] for part in cut if ":" in part)
        told = f"{words} ({what})" if what else words
        yield holds(not cut, told if cut else "a closed way", "a closed way", about)


@named_check("start-run-stop")
def relay_can_lift(survey: Survey) -> Iterator[Judgement]:
    """No relay's coil is fed only through a contact that has to be closed by the relay itself.

    Such a relay holds once it has pulled in, and nothing ever makes it pull in. An alternator whose
    field is fed only by its own output is one of them.
    """
    found = next((case for case in survey.cases if case.network is not None), None)
    if found is None or found.network is None:
        yield from _at_a_loss(survey)
        return
    helpless = {name.partition(":")[0] for name in never_lifted(found.network)}
    for device_id, device, engine in survey.devices:
        if isinstance(device, Relay | Starter | StopSolenoid | Alternator):
            ok = device_id not in helpless
            words = "fed" if ok else "fed only through a contact that it has to close itself"
            asked = "a feed that does not depend on itself"
            about = _about(device_id, device, engine)
            if isinstance(device, Relay):
                about = replace(about, at=((device.coil, "between"), *about.at))
            yield holds(ok, words, asked, about)


@named_check("dc-power")
def battery_polarity(survey: Survey) -> Iterator[Judgement]:
    """No battery's positive leads to a block or a negative bus, no negative to the positive side.

    A reversed battery is a near-short through the diodes of the alternator.
    """
    links = _plain_links(survey)
    poles = {f"{bank.id}.{end}" for bank in survey.vessel.batteries() for end in _POLES}
    plus = {f"{name}.battery" for name, one, _ in survey.devices if isinstance(one, Starter)}
    plus |= {f"{name}.output" for name, one, _ in survey.devices if isinstance(one, Alternator)}
    minus = {f"{engine.name}.block" for engine in survey.engines}
    for name, one, _ in survey.devices:
        if isinstance(one, Bus) and one.polarity in _POLES:
            side = plus if one.polarity == "positive" else minus
            side |= {f"{name}.{contact}" for contact in one.contacts}
    for device_id, device, engine in survey.devices:
        if not isinstance(device, Battery):
            continue
        about = _about(device_id, device, engine)
        about = replace(about, at=(*about.at, (survey.vessel.spec.electrical, "conductors")))
        wrong = [
            f"its {pole} leads to {min(met)}"
            for pole, other in (("positive", minus), ("negative", plus))
            if (met := _led_to(links, f"{device_id}.{pole}", poles) & other)
        ]
        words = ", ".join(wrong)
        if len(wrong) == len(_POLES):
            words = f"reversed: {words}"
        asked = "positive to the positive side, negative to the block"
        yield holds(not wrong, words or "right", asked, about)


_POLES = ("positive", "negative")


def _plain_links(survey: Survey) -> dict[str, set[str]]:
    """Terminals that are joined without a contact that somebody or a relay works."""
    beside: dict[str, set[str]] = {}

    def join(one: str, other: str) -> None:
        beside.setdefault(one, set()).add(other)
        beside.setdefault(other, set()).add(one)

    for end in survey.wires:
        join(end.start, end.end)
    for device_id, device, engine in survey.devices:
        if isinstance(device, Bus):
            for other in device.contacts[1:]:
                join(f"{device_id}.{device.contacts[0]}", f"{device_id}.{other}")
        elif isinstance(device, Fuse | Isolator):
            join(f"{device_id}.in", f"{device_id}.out")
        elif isinstance(device, Plug) and engine is not None:
            for pin in device.pins:
                join(f"{device_id}.{pin}", f"{device_id}.{pin}:engine")
    return beside


def _led_to(beside: dict[str, set[str]], start: str, poles: set[str]) -> set[str]:
    """Every terminal that plain wiring leads to; a battery's pole ends the way."""
    waiting, seen = [start], {start}
    for node in waiting:
        if node in poles and node != start:
            continue
        for other in sorted(beside.get(node, ())):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen


@named_check("dc-power")
def alternators_agree(survey: Survey) -> Iterator[Judgement]:
    """Of alternators that charge the same batteries none is held off by another's set voltage.

    The regulator with the higher voltage does all the work; the other alternator gives nothing, and
    its lamp may light. Judged with every engine running.
    """
    alternators = [
        (device_id, device, engine)
        for device_id, device, engine in survey.devices
        if isinstance(device, Alternator) and engine is not None
    ]
    if len(alternators) < 2:
        return
    running = [found for found in survey.cases if set(found.case.all_states) == {"running"}]
    if not any(found.settled is not None for found in running):
        yield from _at_a_loss(survey)
        return
    for device_id, device, engine in alternators:
        about = _about(device_id, device, engine, "set_voltage")
        for found in running:
            if found.settled is None:
                continue
            masters = [
                other
                for other_id, other, _ in alternators
                if other_id != device_id and _holds_off(found, other_id, device_id)
            ]
            here = replace(about, case=found.case.id, at=about.at)
            if masters:
                yield _held_off(survey, device, masters[0], here, found)
                break
        else:
            yield holds(True, "gives its share", "none is held off", about)


def _holds_off(found: SolvedCase, master: str, slave: str) -> bool:
    """Whether one alternator gives while another on the same conductors gives nothing."""
    gives, rests = found.current_a(master), found.current_a(slave)
    if gives is None or rests is None or gives < 1.0 or rests >= NOTHING_A:
        return False
    return Wiring(found).joined(f"{master}.output", f"{slave}.output")


def _held_off(
    survey: Survey, device: Alternator, master: Alternator, about: About, found: SolvedCase
) -> Judgement:
    units = survey.vessel.spec.units.first
    own, other = known(device.set_voltage), known(master.set_voltage)
    told = "gives nothing"
    if own is not None and other is not None:
        told += f": the other regulator holds {show(other, units)}, its own is {show(own, units)}"
    about = replace(about, at=(*about.at, (master, "set_voltage")))
    judged = holds(False, told, "alternators on the same batteries set alike", about)
    return replace(judged, results=(solved_id(found.case),))
