"""A starting spec for a new vessel: valid, commented, its unknowns marked `unknown`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from installgen.errors import Position, SpecErrors
from installgen.spec.electrical import Starter
from installgen.spec.engine_sheet import ConnectionPoint, EngineSheet, OptionOffer
from installgen.spec.folder import FolderProblem, check_id
from installgen.spec.load import SpecLibrary
from installgen.spec.resolve import is_fitted


def new_vessel_file(
    library: SpecLibrary, vessel_id: str, sheet_id: str, standard_id: str | None
) -> Path:
    """Write the starting spec of a vessel into the specs folder.

    standard_id: left out, the only standard there is
    Returns the file. Raises SpecErrors where an id cannot be used, a sheet or standard is not
    there, or the vessel has a file already: nothing is ever written over.
    """
    at = Position(library.folder.root.name, 1, 1)
    try:
        check_id(vessel_id)
        sheet = library.sheet(sheet_id)
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
    path.write_text(starting_spec(vessel_id, sheet, standard), encoding="utf-8")
    return path


def _only_standard(library: SpecLibrary) -> str:
    known = library.folder.ids("standards")
    if len(known) == 1:
        return known[0]
    raise FolderProblem(
        "no standard named", f"one of {', '.join(known)}" if known else "a standard in standards/"
    )


def starting_spec(vessel_id: str, sheet: EngineSheet, standard_id: str) -> str:
    """The text of a starting spec, for one engine of a sheet.

    Options without a default are taken as the sheet lists them first, with a comment to check.
    """
    options = {
        name: offer.default or next(iter(offer.choices)) for name, offer in sheet.options.items()
    }
    volts = _volts(sheet, options)
    name = vessel_id.replace("-", " ").title()
    lines = [
        "# yaml-language-server: $schema=../schema/vessel.json",
        "# A starting spec. Replace every `unknown`; what is unknown is counted and never guessed.",
        "# A value has its unit: 1.8 m, 1-3/4 in, 70 mm², 2/0 AWG, 105 °C, 6 kPa.",
        "format: 1",
        f"vessel: {{id: {vessel_id}, name: {name}, hin: unknown, yard: unknown, revision: A, "
        "date: unknown, length: unknown}",
        "units: {first: metric}                 # metric or us: which leads; both are shown",
        f"standard: {standard_id}",
        "",
        "places:                                # spaces aboard; the warmest counts for conductors",
        "  - {id: engine-space, name: Engine space, kind: engine-space, temperature: unknown}",
        "  - {id: helm, name: Helm, kind: accommodation, temperature: unknown}",
        "",
        "waterline: {loading: to be stated, worst_heel: unknown, worst_trim: unknown}",
        "sea: {coldest: unknown, hottest: unknown}",
        "lay_up: {coldest: unknown}",
        "",
        "engines:",
        "  - name: engine                       # what other entries call it: engine.block",
        f"    sheet: {sheet.engine.id}",
        "    serial: unknown",
        "    built: unknown",
        *_rating(sheet, options),
        "    options:",
        *_options(sheet, options),
        "    cruise: unknown                    # cruising speed, such as 1800 rpm",
        "    place: engine-space",
        "",
        *_raw_water(sheet, options),
        "coolant:",
        "  antifreeze: {product: unknown, volume_share: unknown}",
        "",
        "fuel:",
        "  parts:",
        "    - {id: fuel-tank, kind: tank, name: Fuel tank, volume: unknown, usable: unknown}",
        "  reserve: unknown",
        "",
        "electrical:",
        f"  system: {volts}",
        "  devices:",
        f"    - {{id: start-bank, kind: battery, name: Start battery, voltage: {volts}, "
        "capacity: unknown, cca: unknown, place: engine-space}",
        "    - {id: isolator, kind: isolator, name: Battery isolator, rating: unknown, "
        "place: engine-space}",
        "  conductors:                          # size: as fitted, or `choose` for a proposal",
        *_battery_cables(sheet, options),
        "",
        *_connections(sheet, options),
    ]
    return "\n".join(lines).rstrip() + "\n"


def _volts(sheet: EngineSheet, options: dict[str, str]) -> str:
    for device in sheet.devices:
        if isinstance(device, Starter) and is_fitted(device.fitted_when, options):
            return f"{device.voltage.v:g} V"
    return "12 V"


def _rating(sheet: EngineSheet, options: dict[str, str]) -> Iterator[str]:
    fitted = [rating for rating in sheet.ratings if is_fitted(rating.fitted_when, options)]
    if len(fitted) > 1:
        others = ", ".join(rating.id for rating in fitted)
        yield _noted(f"    rating: {fitted[0].id}", f"one of {others}")


def _options(sheet: EngineSheet, options: dict[str, str]) -> Iterator[str]:
    if not sheet.options:
        yield "      {}"
    for name, offer in sheet.options.items():
        yield _noted(f"      {name}: {options[name]}", _choices(offer))


def _noted(text: str, comment: str) -> str:
    return f"{text:<38} # {comment}"


def _choices(offer: OptionOffer) -> str:
    listed = ", ".join(offer.choices)
    return f"one of {listed}" if offer.default else f"CHECK: the sheet has no default; {listed}"


def _raw_water(sheet: EngineSheet, options: dict[str, str]) -> Iterator[str]:
    water = sheet.raw_water
    if water is None:
        return
    points = [step.at for step in water.route if step.at and is_fitted(step.fitted_when, options)]
    yield "raw_water:"
    yield "  - route:                             # in the order the water takes"
    yield "      - seacock: {bore: unknown, at: {z: unknown}}"
    yield "      - hose: {bore: unknown, length: unknown, kind: hard-wall, clamps: double}"
    yield "      - strainer: {ports: unknown, loss: unknown}"
    yield "      - hose: {bore: unknown, length: unknown, kind: hard-wall}"
    for index in range(0, max(len(points) - 1, 1), 2):
        if len(points) > 2 and index + 1 < len(points):
            yield f"      - engine: {{from: {points[index]}, to: {points[index + 1]}}}"
        else:
            yield "      - engine"
        yield "      - hose: {bore: unknown, length: unknown}"
    yield "      - exhaust_injection: {inlet: {kind: hose-spigot, size: unknown}, at: {z: unknown}}"
    yield ""


def _battery_cables(sheet: EngineSheet, options: dict[str, str]) -> Iterator[str]:
    starter = next(
        (d for d in sheet.devices if isinstance(d, Starter) and is_fitted(d.fitted_when, options)),
        None,
    )
    cables = [("S1", "start-bank.positive", "isolator.in")]
    if starter is not None:
        cables.append(("S2", "isolator.out", f"engine.{starter.id}.battery"))
    cables.append(("S3", "engine.block", "start-bank.negative"))
    for label, start, end in cables:
        yield (
            f"    - {{label: {label}, from: {start}, to: {end}, length: unknown, size: unknown, "
            "insulation: unknown, place: engine-space}"
        )


def _connections(sheet: EngineSheet, options: dict[str, str]) -> Iterator[str]:
    fitted = [
        point
        for point in sheet.connections
        if is_fitted(point.fitted_when, options) and point.use == "connected"
    ]
    if fitted:
        yield "# The engine's connections that this vessel has to take up:"
    for point in fitted:
        yield f"#   engine.{point.id}: {_one_line(point)}"


def _one_line(point: ConnectionPoint) -> str:
    return " ".join(f"{point.name}, {point.side}; for {point.for_}".split())
