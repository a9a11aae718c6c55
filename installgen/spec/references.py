"""Cross references: every name that one entry uses must be one that another entry gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from installgen.errors import Problem
from installgen.spec.electrical import Conductor, DeviceBase, Jumper, Relay, Selector
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry
from installgen.spec.folder import natural_order, nearest
from installgen.spec.piping import CircuitLine, RoutePiece
from installgen.spec.problems import (
    missing_name,
    named,
    one_of,
    problem_at,
    told_once,
    unique,
)
from installgen.spec.route_references import route_problems, sheet_route_problems
from installgen.spec.salvage import NOTHING_LOST, Lost
from installgen.spec.vessel import Build, FittedEngine, entries
from installgen.spec.vessel_spec import Electrical, Exhaust, RawWater, VesselSpec

BLOCK = "block"
_USUAL_ENGINES = ("engine", "port", "starboard", "main", "centre")
"""What a person calls an engine; where she has none of that name, the others are offered."""


def sheet_problems(sheet: EngineSheet, lost: Lost = NOTHING_LOST) -> list[Problem]:
    """Every broken reference inside an engine sheet (with all of its options together).

    lost: what could not be read of it
    """
    problems: list[Problem] = []
    devices: dict[str, list[DeviceBase]] = {}
    for device in sheet.devices:
        devices.setdefault(device.id, []).append(device)
        problems += _device_problems(device)
    terminals = {BLOCK} | {
        f"{name}.{terminal}"
        for name, versions in devices.items()
        for version in versions
        for terminal in version.terminals
    }
    wires: list[Conductor | Jumper] = [*sheet.wires, *sheet.jumpers]
    for wire in wires:
        problems += _wire_problems(wire, terminals)
    if not lost.touches("options"):
        problems += _option_problems(sheet)
    if sheet.raw_water is not None:
        points = [point.id for point in sheet.connections]
        pumps = [pump.id for pump in sheet.raw_water.pumps]
        coolers = [cooler.id for cooler in sheet.raw_water.coolers]
        for step in sheet.raw_water.route:
            for field, known in (("at", points), ("pump", pumps), ("cooler", coolers)):
                problems += named(step, field, known)
    connections = {point.id for point in sheet.connections}
    for circuit in sheet.circuits:
        ends = {part.id for part in circuit.parts} | connections
        for line in circuit.lines:
            problems += _line_problems(line, ends)
    sensors = set(devices)
    for alarm in sheet.alarms:
        problems += named(alarm, "sensed_by", sensors)
    ratings = [rating.id for rating in sheet.ratings]
    for table in sheet.performance:
        problems += named(table, "rating", ratings)
    problems += _task_problems(sheet)
    return _without_what_is_lost(problems, lost)


def _task_problems(sheet: EngineSheet) -> list[Problem]:
    """Maintenance tasks of parts or documents that the sheet does not have."""
    parts = sheet_part_ids(sheet)
    numbers = [document.number for document in sheet.documents]
    problems = unique(sheet.maintenance, "id", "maintenance task")
    for task in sheet.maintenance:
        problems += named(task, "of", parts)
        if task.document:
            problems += named(task, "document", numbers)
    return problems


def sheet_part_ids(sheet: EngineSheet) -> set[str]:
    """The ids of everything on an engine that somebody can work on."""
    water = sheet.raw_water
    lists: list[Iterable[Entry]] = [
        sheet.devices, sheet.connections, sheet.controls, sheet.belts, sheet.parts,
        *(circuit.parts for circuit in sheet.circuits),
        water.pumps if water is not None else [],
        water.coolers if water is not None else [],
    ]  # fmt: skip
    return {str(getattr(entry, "id")) for entries in lists for entry in entries}  # noqa: B009


def vessel_problems(vessel: Build, lost: Lost = NOTHING_LOST) -> list[Problem]:
    """Every broken reference of a vessel.

    lost: what could not be read of her, engines that could not be fitted among it
    """
    spec = vessel.spec
    problems = _places(vessel)
    engines = [engine.name for engine in spec.engines]
    problems += unique(spec.engines, "name", "engine")
    for engine in vessel.engines:
        problems += _fitted_problems(engine)
    for entry in entries(spec):
        if "engine" in type(entry).model_fields and not isinstance(entry, RoutePiece):
            problems += _engine_named(entry, engines)
    problems += _conditions(spec) + route_problems(vessel)
    problems += _one_each(spec.raw_water, "raw-water route") + _one_each(spec.exhaust, "exhaust")
    if spec.electrical is not None:
        problems += _electrical(vessel)
    for system, circuit in (
        ("coolant", spec.coolant),
        ("fuel", spec.fuel),
        ("oil", spec.oil),
        ("crankcase-vent", spec.crankcase_vent),
    ):
        if circuit is None:
            continue
        names = {part.id for part in circuit.parts}
        for fitted in vessel.engines:
            names |= {f"{fitted.name}.{point.id}" for point in fitted.sheet.connections}
            own = fitted.circuit(system)
            if own is not None:
                names |= {f"{fitted.name}.{part.id}" for part in own.parts}
        problems += unique(circuit.parts, "id", "part", system)
        problems += unique(circuit.lines, "id", "line")
        for line in circuit.lines:
            problems += _line_problems(line, names, engines, system)
    return _without_what_is_lost(problems, lost)


def _without_what_is_lost(problems: list[Problem], lost: Lost) -> list[Problem]:
    """Problems that are none of their own only because something else cannot be read."""
    told = told_once(problems, lambda name: lost.everything or name in lost.names)
    return [one for one in told if not _in_a_torn_route(one, lost)]


def _in_a_torn_route(problem: Problem, lost: Lost) -> bool:
    """Whether a problem is of a route that lost a piece, and so its order."""
    route = problem.path.partition(".")[0]
    return route.startswith("raw_water") and lost.touches(route)


def _fitted_problems(engine: FittedEngine) -> list[Problem]:
    """What an engine sheet says twice, or of nothing, once its options are taken."""
    sheet = engine.sheet
    problems = sheet_route_problems(engine)
    for items, field, what in _same_names(sheet):
        problems += unique(items, field, f"{what} of the engine, with these options,")
    terminals = {BLOCK} | {
        f"{device.id}.{terminal}" for device in sheet.devices for terminal in device.terminals
    }
    wires: list[Conductor | Jumper] = [*sheet.wires, *sheet.jumpers]
    taken = ", ".join(f"{option}: {choice}" for option, choice in engine.options.items())
    for wire in wires:
        suffix = f", with the options {taken}" if taken else ""
        problems += _wire_problems(wire, terminals, options=suffix)
    return problems


def _same_names(sheet: EngineSheet) -> Iterator[tuple[Iterable[Entry], str, str]]:
    yield sheet.devices, "id", "device"
    yield sheet.connections, "id", "connection"
    yield [*sheet.wires, *sheet.jumpers], "label", "wire"
    yield sheet.ratings, "id", "rating"
    yield sheet.controls, "id", "control cable"
    yield sheet.belts, "id", "belt"
    yield sheet.alarms, "id", "alarm"
    yield sheet.parts, "id", "patterned part"
    if sheet.raw_water is not None:
        yield sheet.raw_water.pumps, "id", "raw-water pump"
        yield sheet.raw_water.coolers, "id", "cooler"
    for circuit in sheet.circuits:
        yield circuit.parts, "id", f"{circuit.system} part"
        yield circuit.lines, "id", f"{circuit.system} line"


def _electrical(vessel: Build) -> list[Problem]:
    electrical = vessel.spec.electrical
    assert electrical is not None
    problems = unique(electrical.devices, "id", "device")
    engines = [engine.name for engine in vessel.spec.engines]
    terminals = {f"{engine}.{BLOCK}" for engine in engines}
    for device_id, device, on_engine in vessel.devices():
        terminals |= {f"{device_id}.{terminal}" for terminal in device.terminals}
        if on_engine is None:
            problems += _device_problems(device)
            if device.id in engines:
                problems.append(
                    problem_at(
                        device,
                        "id",
                        f"a device called `{device.id}`, like an engine",
                        "a name that no engine has",
                    )
                )
            station = getattr(device, "station", None)
            if station is not None:
                problems += named(device, "station", electrical.stations)
    wires: list[Conductor | Jumper] = [*electrical.conductors, *electrical.jumpers]
    problems += unique(wires, "label", "conductor")
    problems += _case_problems(electrical)
    for wire in wires:
        problems += _wire_problems(wire, terminals, engines)
    for cable in vessel.spec.controls:
        if cable.touches and cable.touches not in terminals:
            problems.append(_no_terminal(cable, "touches", terminals, engines, ""))
    return problems


def _conditions(spec: VesselSpec) -> list[Problem]:
    """`fitted_when` belongs to engine sheets: a vessel says what is there."""
    return [
        problem_at(
            entry, "fitted_when", "`fitted_when` in a vessel", "only what is fitted in this vessel"
        )
        for entry in entries(spec)
        if getattr(entry, "fitted_when", None) is not None
    ]


def _one_each(items: Iterable[RawWater | Exhaust], what: str) -> list[Problem]:
    """A problem for each engine that has two of what it has one of."""
    seen: dict[str | None, Entry] = {}
    problems = []
    for item in items:
        first = seen.setdefault(item.engine, item)
        if first is not item:
            problems.append(
                problem_at(
                    item,
                    "engine",
                    f"a second {what} of one engine",
                    f"one for each engine; the first is at {first.where()}",
                )
            )
    return problems


def _case_problems(electrical: Electrical) -> list[Problem]:
    cases = electrical.cases or []
    problems = unique(cases, "id", "case")
    for case in cases:
        problems += named(case, "station", electrical.stations)
        problems += unique(case.engines, "engine", "state for the engine")
    return problems


def _device_problems(device: DeviceBase) -> list[Problem]:
    problems: list[Problem] = []
    if len(set(device.terminals)) != len(device.terminals):
        problems.append(
            problem_at(device, "contacts", "a terminal named twice", "each terminal once")
        )
    if isinstance(device, Selector):
        for position, groups in device.positions.items():
            for name in (name for group in groups for name in group):
                if name not in device.contacts:
                    problems.append(
                        problem_at(
                            device,
                            "positions",
                            f"`{name}` in the position `{position}`",
                            f"one of its contacts: {', '.join(device.contacts)}",
                            nearest(name, device.contacts),
                        )
                    )
            for group in groups:
                if len(group) < 2 or len(set(group)) < len(group):
                    problems.append(
                        problem_at(
                            device,
                            "positions",
                            f"`[{', '.join(group)}]` in the position `{position}`",
                            "two or more different contacts that it joins; a position that joins "
                            "nothing is `[]`",
                        )
                    )
        for position in device.position_in.values():
            if position not in device.positions:
                problems.append(
                    problem_at(
                        device,
                        "position_in",
                        f"the position `{position}`",
                        f"one of {', '.join(device.positions)}",
                        nearest(position, device.positions),
                    )
                )
    if isinstance(device, Relay) and device.coil.between[0] == device.coil.between[1]:
        problems.append(
            problem_at(device.coil, "between", "a coil from a terminal to itself", "two terminals")
        )
    return problems


def _wire_problems(
    wire: Conductor | Jumper,
    terminals: set[str],
    engines: Sequence[str] = (),
    options: str = "",
) -> list[Problem]:
    problems = []
    for field in ("from_", "to"):
        end = getattr(wire, field)
        if end not in terminals:
            problems.append(_no_terminal(wire, field, terminals, engines, options))
    if wire.from_ == wire.to:
        problems.append(
            problem_at(wire, "to", f"a conductor from `{wire.to}` to itself", "two terminals")
        )
    return problems


def _no_terminal(
    wire: Entry, field: str, terminals: set[str], engines: Sequence[str], options: str
) -> Problem:
    end: str = getattr(wire, field)
    found = f"the terminal `{end}`"
    if (other := _on_another(end, terminals, engines)) is not None:
        problem = problem_at(wire, field, f"{found}, and no engine called so", other)
        return missing_name(problem, _called(end, "device")[1:])
    device, _, terminal = end.rpartition(".")
    own = [name for name in terminals if name.rpartition(".")[0] == device]
    if own:
        # Its terminals are listed; a letter may be mistyped, a number is another terminal.
        expected = f"one of {', '.join(sorted(own, key=natural_order))}"
        problem = problem_at(wire, field, found, expected + options, nearest(end, own))
        return missing_name(problem, [("terminal", device)])
    expected = "a terminal as DEVICE.TERMINAL, of a device that is fitted"
    devices = {name.rpartition(".")[0] for name in terminals}
    guess = nearest(device, devices) if device else None
    instead = f"{guess}.{terminal}" if f"{guess}.{terminal}" in terminals else None
    problem = problem_at(wire, field, found, expected + options, instead)
    return missing_name(problem, _called(device or end, "device"))


def _on_another(end: str, known: Iterable[str], engines: Sequence[str]) -> str | None:
    """What to write where an engine is named that she does not have; nothing where none is."""
    first, dot, rest = end.partition(".")
    if not dot or first in engines or first not in _USUAL_ENGINES:
        return None
    if any(name.startswith(f"{first}.") for name in known):
        return None
    there = [
        f"`{engine}.{rest}`" for engine in dict.fromkeys(engines) if f"{engine}.{rest}" in known
    ]
    if there:
        return " or ".join(there)
    names = " or ".join(f"`{engine}.`" for engine in dict.fromkeys(engines))
    return f"{names} before what the engine has" if engines else None


def _called(name: str, kind: str) -> list[tuple[str, str]]:
    """What a name may be short of: the thing itself, or the engine that it is on."""
    first, dot, _ = name.partition(".")
    return [(kind, name), ("engine", first)] if dot else [(kind, name), ("engine", name)]


def _line_problems(
    line: CircuitLine, names: set[str], engines: Sequence[str] = (), kind: str = "part"
) -> list[Problem]:
    problems: list[Problem] = []
    for field in ("from_", "to"):
        end = getattr(line, field)
        if end in names:
            continue
        if (other := _on_another(end, names, engines)) is not None:
            problem = problem_at(line, field, f"`{end}`, and no engine called so", other)
            problems.append(missing_name(problem, _called(end, kind)[1:]))
            continue
        first, dot, _ = end.partition(".")
        own = [name for name in names if dot and name.startswith(f"{first}.")]
        expected = one_of(own) if own else "a part or a connection point"
        problem = problem_at(line, field, f"`{end}`", expected, nearest(end, own or names))
        problems.append(problem if own else missing_name(problem, _called(end, kind)))
    if line.from_ == line.to:
        problems.append(problem_at(line, "to", f"a line from `{line.to}` to itself", "two ends"))
    return problems


def _option_problems(sheet: EngineSheet) -> list[Problem]:
    problems = []
    for entry in entries(sheet):
        condition: Mapping[str, str | list[str]] = getattr(entry, "fitted_when", None) or {}
        for option, wanted in condition.items():
            offer = sheet.options.get(option)
            if offer is None:
                problems.append(
                    problem_at(
                        entry,
                        "fitted_when",
                        f"the option `{option}`",
                        f"one of {', '.join(sheet.options)}",
                        nearest(option, sheet.options),
                    )
                )
                continue
            for choice in wanted if isinstance(wanted, list) else [wanted]:
                if choice not in offer.choices:
                    problems.append(
                        problem_at(
                            entry,
                            "fitted_when",
                            f"`{option}: {choice}`",
                            f"one of {', '.join(offer.choices)}",
                            nearest(choice, offer.choices),
                        )
                    )
    return problems


def _places(vessel: Build) -> list[Problem]:
    known = [place.id for place in vessel.spec.places]
    problems = unique(vessel.spec.places, "id", "place")
    for entry in entries(vessel.spec):
        if "place" in type(entry).model_fields:
            problems += named(entry, "place", known, "place")
        for name in getattr(entry, "through", None) or []:
            if name not in known:
                found = f"the place `{name}`"
                guess = nearest(name, known)
                problem = problem_at(entry, "through", found, one_of(known), guess)
                problems.append(missing_name(problem, [("place", name)]))
    return problems


def _engine_named(entry: Entry, engines: list[str]) -> list[Problem]:
    name = getattr(entry, "engine", None)
    if name is None:
        needs = type(entry).__name__ in {"RawWater", "Exhaust", "SpeedPickup"}
        needs = needs or getattr(entry, "kind", None) == "key-switch"
        if needs and len(engines) > 1:
            return [problem_at(entry, "engine", "no `engine`", one_of(engines))]
        return []
    if isinstance(name, str) and name not in engines:
        found = f"the engine `{name}`"
        problem = problem_at(entry, "engine", found, one_of(engines), nearest(name, engines))
        return [missing_name(problem, [("engine", name)])]
    return []
