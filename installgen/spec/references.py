"""Cross references: every name that one entry uses must be one that another entry gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from installgen.errors import Problem
from installgen.spec.electrical import Conductor, DeviceBase, Jumper, Relay, Selector
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry
from installgen.spec.folder import nearest
from installgen.spec.piping import CircuitLine, RoutePiece
from installgen.spec.problems import problem_at
from installgen.spec.vessel import FittedEngine, Vessel, entries

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
                problems += _named(step, field, names)
    connections = {point.id for point in sheet.connections}
    for circuit in sheet.circuits:
        ends = {part.id for part in circuit.parts} | connections
        for line in circuit.lines:
            problems += _line_problems(line, ends)
    sensors = set(devices)
    for alarm in sheet.alarms:
        problems += _named(alarm, "sensed_by", sensors)
    ratings = [rating.id for rating in sheet.ratings]
    for table in sheet.performance:
        problems += _named(table, "rating", ratings)
    return problems


def vessel_problems(vessel: Vessel) -> list[Problem]:
    """Every broken reference of a vessel whose engines are fitted."""
    spec = vessel.spec
    problems = _places(vessel)
    engines = [engine.name for engine in vessel.engines]
    problems += _unique(spec.engines, "name", "engine name")
    for engine in vessel.engines:
        for items, what in _same_names(engine):
            problems += _unique(items, "id", what)
    for entry in entries(spec):
        if "engine" in type(entry).model_fields and not isinstance(entry, RoutePiece):
            problems += _engine_named(entry, engines)
    for water in spec.raw_water:
        problems += _sections(water.route, vessel, water.engine)
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
        problems += _unique(circuit.parts, "id", "part")
        problems += _unique(circuit.lines, "id", "line")
        for line in circuit.lines:
            problems += _line_problems(line, names)
    return problems


def _same_names(engine: FittedEngine) -> Iterator[tuple[Iterable[Entry], str]]:
    yield engine.sheet.devices, "device of the engine sheet, with these options,"
    yield engine.sheet.connections, "connection of the engine sheet, with these options,"
    if engine.sheet.raw_water is not None:
        yield engine.sheet.raw_water.coolers, "cooler of the engine sheet, with these options,"


def _electrical(vessel: Vessel) -> list[Problem]:
    electrical = vessel.spec.electrical
    assert electrical is not None
    problems = _unique(electrical.devices, "id", "device")
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
            if station is not None and electrical.stations:
                problems += _named(device, "station", electrical.stations)
    wires: list[Conductor | Jumper] = [*electrical.conductors, *electrical.jumpers]
    problems += _unique(wires, "label", "conductor")
    for wire in wires:
        problems += _wire_problems(wire, terminals)
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


def _wire_problems(wire: Conductor | Jumper, terminals: set[str]) -> list[Problem]:
    problems = []
    for field in ("from_", "to"):
        end = getattr(wire, field)
        if end not in terminals:
            problems.append(_no_terminal(wire, field, end, terminals))
    if wire.from_ == wire.to:
        problems.append(
            problem_at(wire, "to", f"a conductor from `{wire.to}` to itself", "two terminals")
        )
    return problems


def _no_terminal(wire: Entry, field: str, end: str, terminals: set[str]) -> Problem:
    device = end.rpartition(".")[0]
    own = sorted(name for name in terminals if name.rpartition(".")[0] == device)
    expected = (
        f"one of {', '.join(own)}"
        if own
        else "a terminal as DEVICE.TERMINAL, of a device that is there"
    )
    return problem_at(wire, field, f"the terminal `{end}`", expected, nearest(end, terminals))


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


def _sections(route: list[RoutePiece], vessel: Vessel, engine_name: str | None) -> list[Problem]:
    problems: list[Problem] = []
    try:
        engine = vessel.engine(engine_name)
    except KeyError:
        return problems
    points = [
        step.at
        for step in (engine.sheet.raw_water.route if engine.sheet.raw_water else [])
        if step.at is not None
    ]
    for piece in route:
        if piece.engine is not None:
            problems += _named(piece.engine, "from_", points) + _named(piece.engine, "to", points)
        if piece.branch is not None:
            problems += _sections(piece.branch.route, vessel, engine_name)
            if any(inner.engine is not None for inner in piece.branch.route):
                problems.append(
                    problem_at(
                        piece.branch,
                        "route",
                        "the engine inside a branch",
                        "the engine in the main route",
                    )
                )
    return problems


def _places(vessel: Vessel) -> list[Problem]:
    known = [place.id for place in vessel.spec.places]
    problems = _unique(vessel.spec.places, "id", "place")
    for entry in entries(vessel.spec):
        if "place" in type(entry).model_fields:
            problems += _named(entry, "place", known)
        for name in getattr(entry, "through", None) or []:
            if name not in known:
                problems.append(
                    problem_at(
                        entry,
                        "through",
                        f"the place `{name}`",
                        _one_of(known),
                        nearest(name, known),
                    )
                )
    return problems


def _engine_named(entry: Entry, engines: list[str]) -> list[Problem]:
    name = getattr(entry, "engine", None)
    if name is None:
        needs = type(entry).__name__ in {"RawWater", "Exhaust"}
        if needs and len(engines) > 1:
            return [problem_at(entry, "engine", "no `engine`", _one_of(engines))]
        return []
    if isinstance(name, str) and name not in engines:
        return [
            problem_at(
                entry, "engine", f"the engine `{name}`", _one_of(engines), nearest(name, engines)
            )
        ]
    return []


def _named(entry: Entry, field: str, names: Iterable[str]) -> list[Problem]:
    name = getattr(entry, field)
    known = list(names)
    if name is None or name in known:
        return []
    return [problem_at(entry, field, f"`{name}`", _one_of(known), nearest(name, known))]


def _one_of(names: Iterable[str]) -> str:
    listed = sorted(set(names))
    return f"one of {', '.join(listed)}" if listed else "a name that is given (none is)"


def _unique(items: Iterable[Entry], field: str, what: str) -> list[Problem]:
    seen: dict[str, Entry] = {}
    problems = []
    for item in items:
        name = str(getattr(item, field))
        first = seen.setdefault(name, item)
        if first is not item:
            problems.append(
                problem_at(
                    item,
                    field,
                    f"a second {what} `{name}`",
                    f"each name once; the first is at {first.where(field)}",
                )
            )
    return problems
