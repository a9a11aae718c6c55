"""An independent answer for direct-current networks: the circuit simulator ngspice.

A network and a frozen set of closed contacts become a netlist, element by element; nothing of the
package's own solver is used. Only for tests.
"""

from __future__ import annotations

import math
import re
import shutil
import subprocess
import time
from collections.abc import Container, Iterable, Sequence
from itertools import product
from pathlib import Path

from installgen.calc.constants import BOLTZMANN_J_PER_K, ELEMENTARY_CHARGE_C
from installgen.calc.dc_elements import (
    Alternator,
    Battery,
    ConstantPowerLoad,
    Contact,
    CurrentLoad,
    Diode,
    Element,
    Source,
    TurningStarter,
)
from installgen.calc.dc_network import AS_BUILT, ContactState, Network, Variation

REGULATOR_A_PER_V = 1e8
ROLES = ("limit", "none", "sense", "ceiling")
_OPTIONS = ".options reltol=1e-9 abstol=1e-12 vntol=1e-10 gmin=1e-12 itl1=1000 pivrel=0.1"
_GMIN_S = 1e-12
# `print boltz echarge` in ngspice 39 (CODATA 2014); the package has those of the SI of 2019.
_NGSPICE_K_BY_Q = 1.38064852e-23 / 1.6021766208e-19
_SAME_SLOPE = BOLTZMANN_J_PER_K / ELEMENTARY_CHARGE_C / _NGSPICE_K_BY_Q
_VALUE = re.compile(r"^v\((n\d+)\) = (\S+)$", re.MULTILINE)


class NoOperatingPoint(Exception):
    """The simulator found none; what it said."""


def ngspice_is_missing() -> bool:
    """Whether the simulator is not installed."""
    return shutil.which("ngspice") is None


def ngspice_voltages(
    network: Network, state: Iterable[str] = (), variation: Variation = AS_BUILT
) -> dict[str, float]:
    """Node voltages by ngspice.

    An alternator is tried as a very stiff regulator, as a constant current and as nothing, until
    its current and voltages contradict none of its bounds.

    network: any network of this package
    state: contacts that are closed
    variation: broken, welded and changed elements
    Returns the voltage against the reference of every node that has a path to it [V].
    """
    present = _present(network, frozenset(state), variation)
    joined = _joined_to_reference(network.reference, present)
    parts = [(element, ohm) for element, ohm in present if joined.issuperset(element.ends)]
    alternators = [element for element, _ in parts if isinstance(element, Alternator)]
    complaint = ""
    for roles in product(ROLES, repeat=len(alternators)):
        by_id = {alternator.id: role for alternator, role in zip(alternators, roles, strict=True)}
        try:
            voltages = _simulate(network.reference, joined, parts, by_id)
        except NoOperatingPoint as error:  # such as a regulator that cannot reach its voltage
            complaint = str(error)
            continue
        if all(_role_fits(a, by_id[a.id], voltages) for a in alternators):
            return voltages
    raise NoOperatingPoint(complaint or "no role of the alternators fits")


def ngspice_voltages_many(
    cases: Sequence[tuple[Network, ContactState]], folder: Path
) -> list[dict[str, float]]:
    """Node voltages of many networks without alternators, all by one process.

    cases: each network with the contacts that are closed
    folder: where the netlists are written
    Returns for each what `ngspice_voltages` would.
    """
    driver = ["driver", "R0 a 0 1", ".control", "set numdgt=15"]
    numbers: list[dict[str, str]] = []
    for index, (network, closed) in enumerate(cases):
        present = _present(network, frozenset(closed), AS_BUILT)
        joined = _joined_to_reference(network.reference, present)
        parts = [(element, ohm) for element, ohm in present if joined.issuperset(element.ends)]
        lines, number = _deck(network.reference, joined, parts, {})
        numbers.append(number)
        netlist = lines[: lines.index(".control")]
        (folder / f"{index}.cir").write_text("\n".join([*netlist, ".end", ""]))
        wanted = sorted(set(number.values()) - {"0"})
        driver += [f"source {folder / f'{index}.cir'}", f"echo network {index}", "op"]
        driver += [*(f"print v({name})" for name in wanted), "destroy all", "remcirc"]
    (folder / "driver.cir").write_text("\n".join([*driver, ".endc", ".end", ""]))
    done = subprocess.run(
        ["ngspice", "-b", str(folder / "driver.cir")], capture_output=True, text=True, check=False
    )
    said = re.split(r"^network \d+$", done.stdout, flags=re.MULTILINE)[1:]
    if len(said) != len(cases):
        raise NoOperatingPoint(done.stdout + done.stderr)
    results = []
    for number, text in zip(numbers, said, strict=True):
        found = {name: float(value) for name, value in _VALUE.findall(text)}
        if set(found) != set(number.values()) - {"0"}:
            raise NoOperatingPoint(text + done.stderr)
        results.append({node: found.get(name, 0.0) for node, name in number.items()})
    return results


def ngspice_sweep_s(
    network: Network, state: Iterable[str], varied_ohm: Sequence[tuple[str, float]]
) -> float:
    """Time ngspice takes for many operating points in one process, for benchmarks.

    network: without alternators
    state: contacts that are closed
    varied_ohm: one point each: a resistor or contact, and its resistance at that point [ohm]
    Returns the time from start to end of the process, nothing printed [s].
    """
    present = _present(network, frozenset(state), AS_BUILT)
    joined = _joined_to_reference(network.reference, present)
    parts = [(element, ohm) for element, ohm in present if joined.issuperset(element.ends)]
    lines, _ = _deck(network.reference, joined, parts, {})
    index = {element.id: position for position, (element, _) in enumerate(parts)}
    as_built = {element.id: ohm for element, ohm in parts}
    for name, ohm in varied_ohm:
        if name in index:
            lines += [f"alter R{index[name]} = {ohm:.17g}", "op"]
            lines += ["destroy all", f"alter R{index[name]} = {as_built[name]:.17g}"]
        else:
            lines += ["op", "destroy all"]
    started = time.perf_counter()
    subprocess.run(
        ["ngspice", "-b"],
        input="\n".join([*lines, ".endc", ".end"]),
        capture_output=True,
        text=True,
        check=False,
    )
    return time.perf_counter() - started


def _simulate(
    reference: str, joined: set[str], parts: list[tuple[Element, float]], roles: dict[str, str]
) -> dict[str, float]:
    lines, number = _deck(reference, joined, parts, roles)
    wanted = sorted(set(number.values()) - {"0"})
    lines += ["op", *(f"print v({name})" for name in wanted), ".endc", ".end"]
    done = subprocess.run(
        ["ngspice", "-b"], input="\n".join(lines), capture_output=True, text=True, check=False
    )
    found = {name: float(value) for name, value in _VALUE.findall(done.stdout)}
    if set(found) != set(wanted):
        raise NoOperatingPoint("\n".join([done.stdout, done.stderr, *lines]))
    return {node: found.get(name, 0.0) for node, name in number.items()}


def _deck(
    reference: str, joined: set[str], parts: list[tuple[Element, float]], roles: dict[str, str]
) -> tuple[list[str], dict[str, str]]:
    """The netlist up to its control section, and the simulator's name of each node."""
    number = {node: f"n{index}" for index, node in enumerate(sorted(joined))}
    number[reference] = "0"
    for element, ohm in parts:
        if ohm == 0.0 and not isinstance(element, Source):
            kept, dropped = sorted(number[node] for node in element.ends)
            number = {n: kept if name == dropped else name for n, name in number.items()}
    temperatures_c = {e.junction_temperature_c for e, _ in parts if isinstance(e, Diode)}
    assert len(temperatures_c) <= 1, "one simulation has one junction temperature"
    junction_c = min(temperatures_c, default=27.0)
    lines = ["network", *_netlist(parts, number, roles)]
    lines += [_OPTIONS, f".options temp={junction_c:.17g} tnom={junction_c:.17g}"]
    return [*lines, ".control", "set numdgt=15"], number


def _role_fits(alternator: Alternator, role: str, voltages: dict[str, float]) -> bool:
    lost = alternator.sense is not None and alternator.sense not in voltages
    if lost and alternator.when_sense_lost == "no output":
        return role == "none"
    case_v = voltages[alternator.negative]
    stud_v = voltages[alternator.positive] - case_v
    sensed_v = voltages.get(_sense_node(alternator, voltages), case_v) - case_v
    short_v, room_v = alternator.set_voltage_v - sensed_v, alternator.ceiling_v - stud_v
    match role:
        case "sense":
            delivered_a = _gain_a_per_v(alternator, role) * short_v
            return 0.0 <= delivered_a <= alternator.current_limit_a and room_v >= 0.0
        case "ceiling":
            delivered_a = _gain_a_per_v(alternator, role) * room_v
            return 0.0 <= delivered_a <= alternator.current_limit_a and short_v >= 0.0
        case "limit":
            droop_v = alternator.droop_ohm * alternator.current_limit_a
            return short_v >= droop_v and room_v >= 0.0
        case _:
            return short_v <= 0.0 or room_v <= 0.0


def _sense_node(alternator: Alternator, joined: Container[str]) -> str:
    """Where the regulator reads: a node without any path reads nothing."""
    if alternator.sense is None:
        return alternator.positive
    if alternator.sense not in joined and alternator.when_sense_lost == "own stud":
        return alternator.positive
    return alternator.sense


def _gain_a_per_v(alternator: Alternator, role: str) -> float:
    droop_ohm = alternator.droop_ohm if role == "sense" else 0.0
    return 1.0 / (1.0 / REGULATOR_A_PER_V + droop_ohm)


def _present(
    network: Network, closed: frozenset[str], variation: Variation
) -> list[tuple[Element, float]]:
    """Elements that exist electrically, each with its resistance (nan where it has none)."""
    present = []
    for element in network.elements:
        ohm = variation.resistance_ohm.get(element.id, getattr(element, "resistance_ohm", math.nan))
        if element.id in variation.broken or math.isinf(ohm):
            continue
        if isinstance(element, Contact) and element.id not in closed | variation.welded:
            continue
        if isinstance(element, Alternator) and element.current_limit_a == 0.0:
            continue
        present.append((element, ohm))
    return present


def _joined_to_reference(reference: str, present: list[tuple[Element, float]]) -> set[str]:
    """Nodes that a walk over conducting elements reaches."""
    reached, grew = {reference}, True
    while grew:
        grew = False
        for element, _ in present:
            ends = set(element.ends)
            if not isinstance(element, Alternator) and len(ends & reached) == 1:
                reached |= ends
                grew = True
    return reached


def _netlist(
    parts: list[tuple[Element, float]], number: dict[str, str], roles: dict[str, str]
) -> list[str]:
    lines = []
    for index, (element, ohm) in enumerate(parts):
        first, second = (number[node] for node in element.ends)
        v = f"v({first},{second})"
        match element:
            case Source():
                inner = f"m{index}" if ohm > 0.0 else second
                lines.append(f"V{index} {inner} {first} DC {element.emf_v:.17g}")
                if ohm > 0.0:
                    lines.append(f"R{index} {inner} {second} {ohm:.17g}")
            case Battery():
                over = f"({element.emf_v:.17g}-v({second},{first}))"
                lines.append(
                    f"B{index} {first} {second} I = {over} > 0 ? {over}/{ohm:.17g}"
                    f" : {over}/{element.charge_resistance_ohm:.17g}"
                )
            case CurrentLoad():
                least, drawn = f"{element.min_voltage_v:.17g}", f"{element.load_current_a:.17g}"
                lines.append(
                    f"B{index} {first} {second} I = {v} > {least} ? {drawn} : {v}*{drawn}/{least}"
                )
            case ConstantPowerLoad():
                least, watts = f"{element.min_voltage_v:.17g}", f"{element.power_w:.17g}"
                lines.append(
                    f"B{index} {first} {second} I = {v} > {least} ?"
                    f" {watts}/max({v},{least}) : {v}*{watts}/({least}*{least})"
                )
            case TurningStarter():
                start_a = element.turning_current_a
                stall_v = element.brush_drop_v + element.resistance_ohm * start_a
                rise = element.current_rise_a_per_rpm
                speed = (
                    f"({v}-{stall_v:.17g})"
                    f"/{element.back_emf_v_per_rpm + element.resistance_ohm * rise:.17g}"
                )
                lines.append(
                    f"B{index} {first} {second} I = {v} > {stall_v:.17g} ?"
                    f" {start_a:.17g}+{rise:.17g}*{speed} : {v}*{start_a / stall_v:.17g}"
                )
            case Diode():
                lines.append(f"D{index} {first} {second} model{index}")
                lines.append(
                    f".model model{index} D(IS={element.saturation_current_a:.17g}"
                    f" N={element.ideality_ratio * _SAME_SLOPE:.17g})"
                )
                if element.leakage_s > _GMIN_S:
                    leak_ohm = 1.0 / (element.leakage_s - _GMIN_S)
                    lines.append(f"R{index} {first} {second} {leak_ohm:.17g}")
            case Alternator():
                lines += _alternator(index, element, number, roles[element.id])
            case _ if ohm > 0.0:
                lines.append(f"R{index} {first} {second} {ohm:.17g}")
    return lines


def _alternator(index: int, alternator: Alternator, number: dict[str, str], role: str) -> list[str]:
    case, stud = number[alternator.negative], number[alternator.positive]
    if role == "limit":
        return [f"I{index} {case} {stud} DC {alternator.current_limit_a:.17g}"]
    if role == "none":
        return []
    at, held_v = alternator.positive, alternator.ceiling_v
    if role == "sense":
        at, held_v = _sense_node(alternator, number), alternator.set_voltage_v
    return [
        f"V{index} held{index} {case} DC {held_v:.17g}",
        f"G{index} {case} {stud} held{index} {number.get(at, case)}"
        f" {_gain_a_per_v(alternator, role):.17g}",
    ]
