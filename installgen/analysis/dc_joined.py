"""What closed contacts join in a case: which alternators reach which banks, which banks what loads.

A bank that no alternator of a running engine reaches is not on charge: it rests, or is drained.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_closed import NOT_WIRING
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_parts import DcParts
from installgen.analysis.dc_solved import SolvedCase
from installgen.calc.dc_elements import Contact, Diode, Resistor
from installgen.calc.reach import reached
from installgen.spec.electrical import Alternator, Battery, Gauge, Load, SeriesResistor
from installgen.spec.entry import known


@dataclass(frozen=True)
class Joined:
    """Alternators, banks and loads whose positive sides are joined in a case, by their ids."""

    alternators: tuple[str, ...]
    banks: tuple[str, ...]
    loads: tuple[str, ...]


def joined_groups(model: DcModel, found: SolvedCase) -> list[Joined]:
    """The parts of a solved case that nothing joins, each with at least one alternator or bank.

    A load that no such part feeds is in none. Empty where the case was not solved.
    """
    if found.settled is None:
        return []
    return _groups(model, found.parts, found.settled.point.closed)


def charged_groups(model: DcModel, found: SolvedCase) -> list[Joined]:
    """Those parts of a case in which an alternator reaches a bank."""
    return [one for one in joined_groups(model, found) if one.alternators and one.banks]


def on_charge(
    model: DcModel, case: DcCase, parts: DcParts, closed: Collection[str]
) -> dict[str, float]:
    """The banks that the alternator of a running engine reaches, with the voltage it holds [V].

    closed: contacts that count as closed
    Of several alternators the least set voltage; a bank whose alternators state none is left out.
    """
    running = {name for name, state in case.states if state.state == "running"}
    set_v = {
        device_id: volts.v
        for device_id, device, engine in model.vessel.devices()
        if isinstance(device, Alternator)
        and engine is not None
        and engine.name in running
        and (volts := known(device.set_voltage)) is not None
    }
    found: dict[str, float] = {}
    for joined in _groups(model, parts, closed) if set_v else ():
        held = [set_v[name] for name in joined.alternators if name in set_v]
        if held:
            found |= dict.fromkeys(joined.banks, min(held))
    return found


def _groups(model: DcModel, parts: DcParts, closed: Collection[str]) -> list[Joined]:
    beside = _neighbours(parts, closed)
    kinds: dict[str, Alternator | Battery | Load | Gauge] = {}
    poles: dict[str, str] = {}
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Battery | Load):
            poles[device_id] = f"{device_id}.positive"
        elif isinstance(device, Gauge):
            poles[device_id] = f"{device_id}.supply"
        elif isinstance(device, Alternator) and engine is not None:
            poles[device_id] = f"{device_id}.output"
        else:
            continue
        kinds[device_id] = device
    groups: list[Joined] = []
    taken: set[str] = set()
    for device_id, pole in poles.items():
        if device_id in taken or not isinstance(kinds[device_id], Alternator | Battery):
            continue
        joined = reached(beside, [pole])
        here = [name for name, node in poles.items() if node in joined]
        taken |= set(here)
        groups.append(
            Joined(
                tuple(name for name in here if isinstance(kinds[name], Alternator)),
                tuple(name for name in here if isinstance(kinds[name], Battery)),
                tuple(name for name in here if isinstance(kinds[name], Load | Gauge)),
            )
        )
    return groups


def _neighbours(parts: DcParts, closed: Collection[str]) -> Mapping[str, list[str]]:
    """For each node, those at the other end of a closed piece of wiring."""
    beside: dict[str, list[str]] = {}
    for element in parts.elements:
        entry = parts.entries.get(element.id)
        if isinstance(entry, NOT_WIRING) and not isinstance(entry, SeriesResistor):
            continue
        if type(element) in (Resistor, Diode) or (
            isinstance(element, Contact) and element.id in closed
        ):
            first, second = element.ends
            beside.setdefault(first, []).append(second)
            beside.setdefault(second, []).append(first)
    return beside
