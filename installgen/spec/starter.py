"""A starting spec for a new vessel: valid, commented, its unknowns marked `unknown`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from installgen.errors import Position, SpecErrors
from installgen.spec.electrical import Plug, Starter
from installgen.spec.engine_sheet import ConnectionPoint, EngineSheet, OptionOffer
from installgen.spec.folder import FolderProblem, check_id
from installgen.spec.load import SpecLibrary
from installgen.spec.resolve import is_fitted

SIDES = ("port", "starboard")


def new_vessel_file(
    library: SpecLibrary, vessel_id: str, sheet_ids: Sequence[str], standard_id: str | None
) -> Path:
    """Write the starting spec of a vessel into the specs folder.

    sheet_ids: one engine sheet, or two for a twin, port first
    standard_id: left out, the only standard there is
    Returns the file. Raises SpecErrors where an id cannot be used, a sheet or standard is not
    there, or the vessel has a file already: nothing is ever written over.
    """
    at = Position(library.folder.root.name, 1, 1)
    try:
        check_id(vessel_id)
        if len(sheet_ids) not in (1, 2):
            raise FolderProblem(f"{len(sheet_ids)} engine sheets", "one, or two for a twin")
        sheets = [library.sheet(sheet_id) for sheet_id in sheet_ids]
        standard = standard_id or _only_standard(library)
        library.standard(standard)
        path = library.folder.root / "vessels" / f"{vessel_id}.yaml"
        if path.exists() or path.is_symlink():
            raise FolderProblem(
                f"the file {library.name('vessels', vessel_id)}, which is there already",
                "a name that no vessel has",
            )
    except FolderProblem as problem:
        raise SpecErrors([problem.at(at)]) from None
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(starting_spec(vessel_id, sheets, standard), encoding="utf-8")
    return path


def _only_standard(library: SpecLibrary) -> str:
    known = library.folder.ids("standards")
    if len(known) == 1:
        return known[0]
    raise FolderProblem(
        "no standard named", f"one of {', '.join(known)}" if known else "a standard in standards/"
    )


@dataclass(frozen=True)
class _Engine:
    """One engine of the new vessel. name: what entries call it; side: before ids, on a twin."""

    name: str
    sheet: EngineSheet
    side: str = ""

    @property
    def options(self) -> dict[str, str]:
        """Options without a default are taken as the sheet lists them first."""
        return {
            name: offer.default or next(iter(offer.choices))
            for name, offer in self.sheet.options.items()
        }

    @property
    def starter(self) -> Starter | None:
        return next(
            (
                device
                for device in self.sheet.devices
                if isinstance(device, Starter) and is_fitted(device.fitted_when, self.options)
            ),
            None,
        )

    def id(self, name: str) -> str:
        """An id of the vessel's that goes with this engine."""
        return f"{self.side}-{name}" if self.side else name

    def title(self, name: str) -> str:
        """What people call it."""
        return f"{self.side.capitalize()} {name}" if self.side else name.capitalize()

    def number(self, prefix: str, first: int) -> str:
        """A code that stands once aboard."""
        return f"{prefix}{first + SIDES.index(self.side) if self.side else first}"


def starting_spec(vessel_id: str, sheets: Sequence[EngineSheet], standard_id: str) -> str:
    """The text of a starting spec, for one engine or, with two sheets, for a twin.

    Options without a default are taken as the sheet lists them first, with a comment to check.
    """
    if len(sheets) == 1:
        engines = [_Engine("engine", sheets[0])]
    else:
        engines = [_Engine(side, sheet, side) for side, sheet in zip(SIDES, sheets, strict=True)]
    name = vessel_id.replace("-", " ").title()
    parts = [
        _head(vessel_id, name, standard_id),
        ["engines:", *(line for engine in engines for line in _engine(engine))],
        _raw_water(engines),
        _exhaust(engines),
        _coolant(engines),
        _fuel(engines),
        _electrical(engines),
        _controls(engines),
        ["# Later: openings, air, sea_trial, readings, roles, notes. The guide tells how."],
        *(list(_connections(engine)) for engine in engines),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part).rstrip() + "\n"


def _head(vessel_id: str, name: str, standard_id: str) -> list[str]:
    return [
        "# yaml-language-server: $schema=../schema/vessel.json",
        "# A starting spec. Replace every `unknown`; what is unknown is counted and never guessed.",
        "# A value has its unit: 1.8 m, 1-3/4 in, 70 mm², 2/0 AWG, 105 °C, 6 kPa.",
        "# A text with a comma or a colon in it stands in straight quotation marks.",
        f"# As often as you like: installgen check {vessel_id}",
        "format: 1",
        f"vessel: {{id: {vessel_id}, name: {name}, hin: unknown, yard: unknown, revision: A, "
        "date: unknown, length: unknown}",
        "units: {first: metric}                 # CHECK: metric or us leads; both are shown",
        f"standard: {standard_id}",
        "",
        "places:                                # spaces aboard; the warmest counts for conductors",
        "  - {id: engine-space, name: Engine space, kind: engine-space, temperature: unknown}",
        "  - {id: helm, name: Helm, kind: accommodation, temperature: unknown}",
        "",
        "# Positions: x forward of the transom, y to port, z up from the waterline.",
        "waterline: {loading: to be stated, worst_heel: unknown, worst_trim: unknown}",
        "sea: {coldest: unknown, hottest: unknown}",
        "lay_up: {coldest: unknown}",
    ]


def _engine(engine: _Engine) -> Iterator[str]:
    yield _noted(f"  - name: {engine.name}", f"what other entries call it: {engine.name}.block")
    if engine.side:
        yield f"    at: {engine.side}"
    yield f"    sheet: {engine.sheet.engine.id}"
    yield _noted("    serial: unknown", "from the nameplate, as is the date of build")
    yield "    built: unknown"
    yield from _rating(engine)
    yield "    options:"
    yield from _options(engine)
    yield _noted("    cruise: unknown", "cruising speed, such as 1800 rpm")
    yield _noted("    crankshaft: {x: unknown, y: unknown, z: unknown}", "its rear face")
    yield _noted("    angle: unknown", "how far the flywheel end lies lower, such as 6°")
    yield "    place: engine-space"
    yield _noted("    gear: {model: to be stated, ratio_ahead: unknown}", "such as 2.04:1")


def _rating(engine: _Engine) -> Iterator[str]:
    ratings = engine.sheet.ratings
    fitted = [rating for rating in ratings if is_fitted(rating.fitted_when, engine.options)]
    if len(fitted) > 1:
        others = ", ".join(rating.id for rating in fitted)
        yield _noted(f"    rating: {fitted[0].id}", f"CHECK: one of {others}")


def _options(engine: _Engine) -> Iterator[str]:
    if not engine.sheet.options:
        yield "      {}"
    for name, offer in engine.sheet.options.items():
        yield _noted(f"      {name}: {engine.options[name]}", _choices(offer))


def _noted(text: str, comment: str) -> str:
    return f"{text:<38} # {comment}"


def _choices(offer: OptionOffer) -> str:
    listed = ", ".join(offer.choices)
    return f"one of {listed}" if offer.default else f"CHECK: the sheet has no default; {listed}"


def _raw_water(engines: Sequence[_Engine]) -> list[str]:
    lines = [line for engine in engines for line in _route(engine)]
    if not lines:
        return []
    return [
        "raw_water:                             # each route in the order the water takes",
        *lines,
    ]


def _route(engine: _Engine) -> Iterator[str]:
    water = engine.sheet.raw_water
    if water is None:
        return
    points = [
        step.at for step in water.route if step.at and is_fitted(step.fitted_when, engine.options)
    ]
    if engine.side:
        yield f"  - engine: {engine.name}"
        yield "    route:"
    else:
        yield "  - route:"
    seacock = f"id: {engine.id('seacock')}, name: {engine.title('seacock')}"
    code = engine.number("V", 1)
    yield (
        f"      - seacock: {{{seacock}, code: {code}, bore: unknown, intake: unknown, "
        "at: {z: unknown}}"
    )
    yield "      - hose: {bore: unknown, length: unknown, kind: unknown, clamps: unknown}"
    yield (
        f"      - strainer: {{id: {engine.id('strainer')}, code: {engine.number('ST', 1)}, "
        "ports: unknown, loss: unknown}"
    )
    yield "      - hose: {bore: unknown, length: unknown, kind: unknown, clamps: unknown}"
    for index in range(0, max(len(points) - 1, 1), 2):
        if len(points) > 2 and index + 1 < len(points):
            if index:
                yield "      # Here stands what lies outside the engine, such as `cooler:`."
            yield f"      - engine: {{from: {points[index]}, to: {points[index + 1]}}}"
        else:
            yield "      - engine"
        yield "      - hose: {bore: unknown, length: unknown, kind: unknown, clamps: unknown}"
    yield (
        f"      - exhaust_injection: {{id: {engine.id('injection')}, "
        "inlet: {kind: hose-spigot, size: unknown}, at: {z: unknown}}"
    )


def _exhaust(engines: Sequence[_Engine]) -> list[str]:
    lines = ["exhaust:                               # from the injection to the hull"]
    for engine in engines:
        if engine.side:
            lines.append(f"  - engine: {engine.name}")
        lines += [
            f"  {' ' if engine.side else '-'} kind: wet",
            "    pieces:",
            "      - {kind: hose, bore: unknown, length: unknown}",
            f"      - {{kind: muffler, id: {engine.id('muffler')}, volume: unknown}}",
            f"      - {{kind: outlet, id: {engine.id('exhaust-outlet')}, bore: unknown}}",
        ]
    return lines


def _fuel(engines: Sequence[_Engine]) -> list[str]:
    lines = [line for engine in engines for line in _fuel_lines(engine)]
    return [
        "fuel:                                  # CHECK: strike out what is not fitted",
        "  parts:",
        *(line for engine in engines for line in _fuel_parts(engine)),
        *(["  lines:", *lines] if lines else []),
        "  reserve: unknown",
    ]


def _fuel_parts(engine: _Engine) -> Iterator[str]:
    first = len(SIDES) if engine.side else 1
    for id_, kind, name, prefix, number, rest in (
        ("tank", "tank", "fuel tank", "T", 1, "volume: unknown, usable: unknown"),
        ("shutoff", "valve", "fuel shut-off", "V", first + 1, "place: engine-space"),
        ("separator", "water-separator", "water separator", "FS", 1, "volume: unknown"),
    ):
        yield (
            f"    - {{id: {engine.id(id_)}, kind: {kind}, name: {engine.title(name)}, "
            f"code: {engine.number(prefix, number)}, {rest}}}"
        )


def _fuel_lines(engine: _Engine) -> Iterator[str]:
    """Lines to and from each fuel connection; back to the tank where the engine gives fuel back."""
    for point in _to_connect(engine, "fuel"):
        end, tank = f"{engine.name}.{point.id}", engine.id("tank")
        if "return" in f"{point.id} {point.name}".casefold() or "back" in point.for_:
            yield _line(engine.id("fuel-return"), "return", end, tank)
            continue
        way = [tank, engine.id("shutoff"), engine.id("separator"), end]
        for number, (start, to) in enumerate(pairwise(way), start=1):
            yield _line(engine.id(f"fuel-supply-{number}"), "supply", start, to)


def _line(id_: str, kind: str, start: str, to: str) -> str:
    return (
        f"    - {{id: {id_}, kind: {kind}, from: {start}, to: {to}, bore: unknown, "
        "length: unknown, hose: unknown}"
    )


def _coolant(engines: Sequence[_Engine]) -> list[str]:
    """What an overflow needs, and the antifreeze."""
    tanks, lines = [], []
    for engine in engines:
        first = len(engines) + 1
        for point in _to_connect(engine, "coolant"):
            if "overflow" in point.id:
                tank = engine.id("expansion")
                tanks.append(
                    f"    - {{id: {tank}, kind: expansion-tank, "
                    f"name: {engine.title('expansion bottle')}, code: {engine.number('T', first)}, "
                    "volume: unknown, fill_level: unknown}"
                )
                hose = engine.id("overflow-hose")
                lines.append(_line(hose, "vent", f"{engine.name}.{point.id}", tank))
    parts = ["  parts:", *tanks, "  lines:", *lines] if tanks else []
    return ["coolant:", *parts, "  antifreeze: {product: unknown, volume_share: unknown}"]


def _electrical(engines: Sequence[_Engine]) -> list[str]:
    volts = _volts(engines[0])
    return [
        "electrical:",
        _noted(f"  system: {volts}", "CHECK: as the engines and their batteries"),
        "  devices:                             # what has a terminal and is not on an engine",
        *(line for engine in engines for line in _devices(engine, volts)),
        "  conductors:                          # size: as fitted, or `choose` for a proposal",
        *(line for engine in engines for line in _battery_cables(engine)),
        *_joined_negatives(engines),
        *(line for engine in engines for line in _pins(engine)),
    ]


def _volts(engine: _Engine) -> str:
    return f"{engine.starter.voltage.v:g} V" if engine.starter is not None else "12 V"


def _devices(engine: _Engine, volts: str) -> Iterator[str]:
    whose = f"engine: {engine.name}, " if engine.side else ""
    yield (
        f"    - {{id: {engine.id('bank')}, kind: battery, name: {engine.title('battery')}, "
        f"code: {engine.number('BT', 1)}, voltage: {volts}, capacity: unknown, cca: unknown, "
        "place: engine-space} # CHECK the voltage"
    )
    yield (
        f"    - {{id: {engine.id('isolator')}, kind: isolator, name: {engine.title('isolator')}, "
        f"code: {engine.number('Q', 1)}, rating: unknown, {whose}place: engine-space}}"
    )


def _battery_cables(engine: _Engine) -> Iterator[str]:
    bank, isolator = engine.id("bank"), engine.id("isolator")
    cables = [("1", f"{bank}.positive", f"{isolator}.in")]
    if engine.starter is not None:
        cables.append(("2", f"{isolator}.out", f"{engine.name}.{engine.starter.id}.battery"))
    cables.append(("3", f"{engine.name}.block", f"{bank}.negative"))
    for number, start, end in cables:
        label = f"{engine.side[:1].upper()}S{number}"
        yield _conductor(label, start, end)


def _joined_negatives(engines: Sequence[_Engine]) -> Iterator[str]:
    if len(engines) > 1:
        yield "    # Two banks are one circuit only where their negatives are joined."
        yield _conductor("N1", *(f"{engine.id('bank')}.negative" for engine in engines))


def _conductor(label: str, start: str, end: str) -> str:
    return (
        f"    - {{label: {label}, from: {start}, to: {end}, length: unknown, size: unknown, "
        "insulation: unknown, place: engine-space}"
    )


def _pins(engine: _Engine) -> Iterator[str]:
    """What the panel's conductors come to, for whoever writes them next."""
    for device in engine.sheet.devices:
        if not isinstance(device, Plug) or not is_fitted(device.fitted_when, engine.options):
            continue
        used = {pin: what for pin, what in device.pins.items() if pin not in (device.unused or {})}
        if used:
            first = f"{engine.name}.{device.id}.{next(iter(used))}"
            yield f"    # To the pins of {device.title}, such as `from: {first}`:"
        for pin, what in used.items():
            yield f"    #   {engine.name}.{device.id}.{pin}: {_one_line(what)}"


def _controls(engines: Sequence[_Engine]) -> list[str]:
    lines = []
    for engine in engines:
        works = [c.works for c in engine.sheet.controls if is_fitted(c.fitted_when, engine.options)]
        # The gear, and so its cable, is the vessel's own: no sheet has it.
        lines += [
            f"  - {{works: {what}, engine: {engine.name}, station: helm, length: unknown}}"
            for what in dict.fromkeys((*works, "shift"))
        ]
    return ["controls:                              # the cables as run", *lines]


def _to_connect(engine: _Engine, system: str = "") -> list[ConnectionPoint]:
    return [
        point
        for point in engine.sheet.connections
        if is_fitted(point.fitted_when, engine.options)
        and point.use == "connected"
        and system in ("", point.system)
    ]


def _connections(engine: _Engine) -> Iterator[str]:
    points = _to_connect(engine)
    if points:
        yield f"# What this vessel has to take up of `{engine.name}`:"
    for point in points:
        told = _one_line(f"{point.name}, {point.side}; for {point.for_}")
        yield f"#   {engine.name}.{point.terminal or point.id}: {told}"


def _one_line(text: str) -> str:
    return " ".join(text.split())
