"""Cross references: every name that one entry uses must be one that another entry gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from installgen.errors import Problem
from installgen.spec.electrical import Conductor, DeviceBase, Jumper, Relay, Selector
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest
from installgen.spec.piping import CircuitLine, RoutePiece
from installgen.spec.problems import named, one_of, problem_at, unique
from installgen.spec.route_references import route_problems, sheet_route_problems
from installgen.spec.vessel import FittedEngine, Vessel, entries
from installgen.spec.vessel_spec import Electrical, Exhaust, RawWater, VesselSpec

BLOCK = "block"


def sheet_problems(sheet: EngineSheet) -> list[Problem]:
    """Every broken reference inside an engine sheet (with all of its options together)."""
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
    problems += _option_problems(sheet)
    if sheet.raw_water is not None:
        points = [point.id for point in sheet.connections]
        pumps = [pump.id for pump in sheet.raw_water.pumps]
        coolers = [cooler.id for cooler in sheet.raw_water.coolers]
        for step in sheet.raw_water.route:
            for field, names in (("at", points), ("pump", pumps), ("cooler", coolers)):
                problems += named(step, field, names)
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
    return problems + _task_problems(sheet)


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


def vessel_problems(vessel: Vessel) -> list[Problem]:
    """Every broken reference of a vessel whose engines are fitted."""
    spec = vessel.spec
    problems = _places(vessel)
    engines = [engine.name for engine in vessel.engines]
    problems += unique(spec.engines, "name", "engine")
    for engine in vessel.engines:
        problems += _fitted_problems(engine)
    for entry in entries(spec):
        if "engine" in type(entry).model_fields and not isinstance(entry, RoutePiece):
            problems += _enginenamed(entry, engines)
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
        problems += unique(circuit.parts, "id", "part")
        problems += unique(circuit.lines, "id", "line")
        for line in circuit.lines:
            problems += _line_problems(line, names)
    return problems


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
        problems += _wire_problems(wire, terminals, f", with the options {taken}" if taken else "")
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


def _electrical(vessel: Vessel) -> list[Problem]:
    electrical = vessel.spec.electrical
    assert electrical is not None
    problems = unique(electrical.devices, "id", "device")
    engines = {engine.name for engine in vessel.engines}
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
        problems += _wire_problems(wire, terminals)
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
    wire: Conductor | Jumper, terminals: set[str], options: str = ""
) -> list[Problem]:
    problems = []
    for field in ("from_", "to"):
        end = getattr(wire, field)
        if end not in terminals:
            problems.append(_no_terminal(wire, field, end, terminals, options))
    if wire.from_ == wire.to:
        problems.append(
            problem_at(wire, "to", f"a conductor from `{wire.to}` to itself", "two terminals")
        )
    return problems


def _no_terminal(wire: Entry, field: str, end: str, terminals: set[str], options: str) -> Problem:
    device = end.rpartition(".")[0]
    own = sorted(name for name in terminals if name.rpartition(".")[0] == device)
    expected = (
        f"one of {', '.join(own)}"
        if own
        else "a terminal as DEVICE.TERMINAL, of a device that is fitted"
    )
    found = f"the terminal `{end}`"
    return problem_at(wire, field, found, expected + options, nearest(end, terminals))


def _line_problems(line: CircuitLine, names: set[str]) -> list[Problem]:
    problems = []
    for field in ("from_", "to"):
        end = getattr(line, field)
        if end not in names:
            problems.append(
                problem_at(
                    line, field, f"`{end}`", "a part or a connection point", nearest(end, names)
                )
            )
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


def _places(vessel: Vessel) -> list[Problem]:
    known = [place.id for place in vessel.spec.places]
    problems = unique(vessel.spec.places, "id", "place")
    for entry in entries(vessel.spec):
        if "place" in type(entry).model_fields:
            problems += named(entry, "place", known)
        for name in getattr(entry, "through", None) or []:
            if name not in known:
                problems.append(
                    problem_at(
                        entry,
                        "through",
                        f"the place `{name}`",
                        one_of(known),
                        nearest(name, known),
                    )
                )
    return problems


def _enginenamed(entry: Entry, engines: list[str]) -> list[Problem]:
    name = getattr(entry, "engine", None)
    if name is None:
        needs = type(entry).__name__ in {"RawWater", "Exhaust"}
        if needs and len(engines) > 1:
            return [problem_at(entry, "engine", "no `engine`", one_of(engines))]
        return []
    if isinstance(name, str) and name not in engines:
        return [
            problem_at(
                entry, "engine", f"the engine `{name}`", one_of(engines), nearest(name, engines)
            )
        ]
    return []
