"""Charging: what banks and alternators do while an engine runs, and what goes wrong with it."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_closed import ClosedWiring
from installgen.analysis.dc_joined import charged_groups
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_parts import FULL_FIELD
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import alternator_id
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.endurance import USABLE_RATIO, carrying_banks, essential_loads
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.surplus import surplus_id
from installgen.calc.charging import recharge_hours
from installgen.calc.dc_elements import Battery as BatteryOnCharge
from installgen.calc.dc_network import Variation
from installgen.calc.dc_solver import solve
from installgen.errors import NotSolved
from installgen.spec.electrical import Alternator, Battery, Isolator, Load
from installgen.spec.vessel import FittedEngine
from installgen.units import Current, Fraction, Time, Voltage


def sense_open_id(alternator: str) -> str:
    """Id of the bank's voltage with the sense lead open."""
    return f"{alternator}.sense-open"


def load_dump_id(alternator: str, isolator: str) -> str:
    """Id of the result that says what opening an isolator does to an alternator."""
    return f"{alternator}.load-dump.{isolator}"


def analyse_charging(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter charging by case, an open sense lead, a load dump, and hours to charge again."""
    wiring = ClosedWiring(tuple(found for found in solved if found.network is not None))
    for found in solved:
        if found.settled is not None and "running" in found.case.all_states:
            _banks(book, model, found)
            _alternators(book, model, found)
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Alternator) and engine is not None:
            if device.sense == "lead":
                _sense_open(book, model, device_id, device, engine, solved)
            _load_dump(book, model, device_id, engine, wiring)
    _recharge(book, model, solved)


def _banks(book: Book, model: DcModel, found: SolvedCase) -> None:
    for device_id, device, _ in model.vessel.devices():
        current = found.current_a(device_id) if isinstance(device, Battery) else None
        if current is None:
            continue
        high, low = (found.voltage_v(f"{device_id}.{end}") for end in ("positive", "negative"))
        charged = any(
            isinstance(element, BatteryOnCharge) and element.id == device_id
            for element in found.parts.elements
        )
        with book.working(
            f"dc.{found.case.id}.{device_id}.charge",
            f"Charging current of {device.title}, {'full' if charged else 'at rest'}: "
            f"{found.case.name}",
            "dc-power",
            formula=(
                "accepted current · (V − EMF) / (set voltage − EMF)"
                if charged
                else "(V − EMF) / internal resistance"
            ),
            source=(
                "the solved case; what a full bank accepts is common practice"
                if charged
                else "the solved case; no alternator of a running engine reaches it"
            ),
            subject=device_id,
            case=found.case.id,
        ) as w:
            w.result(solved_id(found.case), "the case")
            if charged:
                w.spec(device, "capacity", "capacity")
                w.assume("full_charge_current", "accepted by a full bank, of its Ah")
            else:
                w.note("It is not on charge here; what it gives is shown as a negative current.")
            w.value = Current(-current)
        with book.working(
            f"dc.{found.case.id}.{device_id}.voltage",
            f"Voltage at {device.title}: {found.case.name}",
            "dc-power",
            formula="V = V(+) − V(−) at its poles",
            source="the solved case",
            subject=device_id,
            case=found.case.id,
        ) as w:
            w.result(solved_id(found.case), "the case")
            if high is None or low is None:
                raise MissingInput("it floats in this case")
            w.value = Voltage(high - low)


def _alternators(book: Book, model: DcModel, found: SolvedCase) -> None:
    for device_id, device, engine in model.vessel.devices():
        current = found.current_a(device_id) if isinstance(device, Alternator) else None
        if current is None or engine is None or not isinstance(device, Alternator):
            continue
        speed = found.case.state(engine.name).speed
        with book.working(
            f"dc.{found.case.id}.{device_id}.current",
            f"Current of {device.title}: {found.case.name}",
            "dc-power",
            formula="what loads and banks take at the voltage it holds",
            source="the solved case",
            subject=device_id,
            case=found.case.id,
            engine=engine.name,
        ) as w:
            w.result(solved_id(found.case), "the case")
            w.value = Current(current)
        if speed is None:
            continue
        with book.working(
            f"dc.{found.case.id}.{device_id}.share",
            f"{device.title}, of the most it gives: {found.case.name}",
            "dc-power",
            formula="current / most at this speed, hot",
            source="the solved case",
            subject=device_id,
            case=found.case.id,
            engine=engine.name,
        ) as w:
            gives = w.result(f"dc.{found.case.id}.{device_id}.current").a
            most = w.result(alternator_id(engine, device, speed)).a
            if most <= 0.0:
                raise MissingInput("it gives nothing at this speed")
            w.value = Fraction(gives / most)


def _sense_open(
    book: Book,
    model: DcModel,
    device_id: str,
    device: Alternator,
    engine: FittedEngine,
    solved: Sequence[SolvedCase],
) -> None:
    with book.working(
        sense_open_id(device_id),
        f"Highest voltage at a bank with the sense lead of {device.title} open",
        "dc-power",
        formula=(
            "the case at cruise, its regulator reading nothing: full field up to its ceiling; the "
            "higher of that with the loads of the case on and with all of them off"
        ),
        source="nodal analysis; what a lost sense lead does is the regulator maker's (see notes)",
        subject=device_id,
        engine=engine.name,
    ) as w:
        w.result(NETWORK)
        found = next(
            (
                one
                for one in solved
                if one.case.state(engine.name).key == "running-cruise" and one.settled is not None
            ),
            None,
        )
        if found is None or found.network is None or found.settled is None:
            raise MissingInput("there is no solved case in which it runs at cruise")
        w.result(solved_id(found.case), "the case")
        _ceiling(w, device)
        at_sense = [
            element.id for element in found.network.elements if f"{device_id}.sense" in element.ends
        ]
        if not at_sense:
            raise MissingInput("no conductor comes to its sense terminal")
        elements = {element.id for element in found.network.elements}
        loads = [name for name, one, _ in model.vessel.devices() if isinstance(one, Load)]
        volts = []
        for off in ((), elements.intersection(loads)):
            broken = Variation(broken=frozenset([*at_sense, *off]))
            try:
                point = solve(found.network, found.settled.point.closed, broken)
            except NotSolved as error:
                raise MissingInput(str(error)) from error
            volts += [
                across
                for name, battery, _ in model.vessel.devices()
                if isinstance(battery, Battery)
                and (across := point.drop_v(f"{name}.positive", f"{name}.negative")) is not None
            ]
        if not volts:
            raise MissingInput("every bank floats in this case")
        w.value = Voltage(max(volts))


def _ceiling(w: Working, device: Alternator) -> None:
    """The most its stud reaches: as its sheet states it, else assumed and said so."""
    if w.optional(device, "ceiling", "highest voltage at its stud") is None:
        set_v = w.spec(device, "set_voltage", "set voltage").v
        w.method("highest voltage at its stud", Voltage(FULL_FIELD * set_v), "common practice")
        w.note("Its sheet states no `ceiling`: 1.3 times the set voltage is taken.")


def _load_dump(
    book: Book, model: DcModel, device_id: str, engine: FittedEngine, wiring: ClosedWiring
) -> None:
    output = f"{device_id}.output"
    isolators = {n: i for n, i, _ in model.vessel.devices() if isinstance(i, Isolator)}
    shut = {n for n, i in isolators.items() if i.on_in is not None and "running" not in i.on_in}
    if wiring.way(output, wiring.banks, wiring.hot_ohm, shut) is None:
        return
    for name, isolator in isolators.items():
        if name in shut:
            continue
        with book.working(
            load_dump_id(device_id, name),
            f"{isolator.title} opened while {engine.name} charges",
            "dc-power",
            formula="the ways from the alternator's stud to the batteries without it",
            source="walk through the wiring, other switches as under way; common practice",
            subject=device_id,
            engine=engine.name,
        ) as w:
            w.result(NETWORK)
            w.spec(isolator, "rating", f"rating of {isolator.title}")
            way = wiring.way(output, wiring.banks, wiring.hot_ohm, {name, *shut})
            if way is None:
                w.value = "load dump: the alternator loses every battery"
            else:
                bank = wiring.banks[way.hops[-1].reaches]
                w.value = f"it stays on {bank}"


def _recharge(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Hours at cruise to put back what the essential loads took out."""
    case = "all.running-cruise" if len(model.vessel.engines) > 1 else "running-cruise"
    if "dc.hours-on-bank" not in book or f"dc.{case}.surplus" not in book:
        return
    with book.working(
        "dc.recharge-hours",
        "Hours at cruise to charge the bank again",
        "dc-power",
        formula="t = taken · ratio / min(surplus, accepted)",
        source="charge balance; a discharged bank's acceptance is common practice",
        subject="loads",
    ) as w:
        w.result("dc.hours-on-bank", "hours it carried the essential loads")
        carrying = carrying_banks(model, solved, essential_loads(model))
        if not carrying:
            raise MissingInput("no case shows which banks carry the essential loads")
        titles = {name: device for name, device, _ in model.vessel.devices()}
        banks = [bank for name in carrying if isinstance(bank := titles[name], Battery)]
        found = next(one for one in solved if one.case.id == case)
        surplus = w.result(_surplus_on(w, model, found, banks)).a
        capacity = sum(w.spec(bank, "capacity", f"capacity of {bank.title}").ah for bank in banks)
        accepts = w.assume("bulk_charge_current", "accepted by a discharged bank, of its Ah").ratio
        ratio = w.assume("charge_ratio", "charge put in to charge taken out").ratio
        w.method("share drawn", Fraction(USABLE_RATIO), "common practice")
        hours = recharge_hours(capacity * USABLE_RATIO, surplus, capacity * accepts, ratio)
        if hours == float("inf"):
            w.value = "never: nothing is left to charge with"
            return
        w.value = Time(hours * 3600.0)
        w.note("The last fifth of a lead-acid bank takes longer.")


def _surplus_on(w: Working, model: DcModel, found: SolvedCase, banks: Sequence[Battery]) -> str:
    """The result that says what is left for some banks in a case.

    Raises MissingInput where they are not charged together, or one of them discharges.
    """
    case = found.case.id
    if found.settled is None:
        raise MissingInput(found.reason, found.missing)
    names = {name for name, device, _ in model.vessel.devices() if device in banks}
    for name in sorted(names):
        if f"dc.{case}.{name}.charge" in w.book and w.result(f"dc.{case}.{name}.charge").a < 0.0:
            raise MissingInput(f"{name} discharges in the case `{found.case.name}`")
    groups = charged_groups(model, found)
    joined = next((one for one in groups if names <= set(one.banks)), None)
    if joined is None:
        apart = ", ".join(sorted(names))
        raise MissingInput(f"no alternator charges all of these in one: {apart}")
    return surplus_id(case, joined if len(groups) > 1 else None)
