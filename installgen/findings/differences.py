"""A vessel's build as a flat list of facts, so that two builds can be laid side by side.

Lists whose items have a name are matched by it, so their order does not matter; only a route, where
order is real, is matched by the order of its unnamed pieces.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from installgen.errors import Position
from installgen.memo import once_for_each
from installgen.spec.entry import Choose, Entry, PathKey, Unknown, yaml_key
from installgen.spec.piping import RoutePiece, SheetStep
from installgen.spec.vessel import Vessel
from installgen.units import ConductorSize, Quantity, ThreadSize, show

Source = Literal["vessel", "sheet", "standard"]
NAME_FIELDS = (
    "id", "label", "name", "role", "works", "system", "engine", "size", "of", "item", "check",
    "function", "path", "at", "pump", "cooler", "speed", "printed_on", "title", "kind",
)  # fmt: skip


@dataclass(frozen=True)
class Fact:
    """One written value: what it says as printed, and where it stands.

    path: in meaning, items of lists by what they are called (these steps are of the class `Item`)
    document: in the document, items of lists by their number
    """

    path: tuple[str, ...]
    system: str
    source: Source
    shown: str
    position: Position | None
    document: tuple[PathKey, ...] = ()


SYSTEM_OF_KEY = {
    "vessel": "identity", "roles": "identity", "notes": "identity", "readings": "readings",
    "units": "identity", "standard": "standard", "places": "places", "waterline": "places",
    "sea": "raw-water", "lay_up": "coolant", "raw_water": "raw-water", "exhaust": "exhaust",
    "coolant": "coolant", "fuel": "fuel", "oil": "oil", "crankcase_vent": "oil",
    "electrical": "electrical", "engines": "engine", "build": "engine",
    "ratings": "engine", "performance": "engine", "capacities": "fluids", "limits": "engine",
    "thermostat": "coolant", "connections": "connections", "devices": "electrical",
    "wires": "electrical", "jumpers": "electrical", "belts": "driveline", "alarms": "electrical",
    "parts": "parts", "circuits": "fluids", "air": "air", "openings": "openings",
    "sea_trial": "readings",
    "maintenance": "engine", "owners_manual": "identity",
    "controls": "controls", "exemptions": "standard", "not_fitted": "identity",
}  # fmt: skip


class Item(str):
    """A step of a path that names an item of a list."""

    __slots__ = ()


@dataclass(frozen=True)
class Holder:
    """A list or an entry that holds facts: its path in meaning and in the document."""

    path: tuple[str, ...]
    document: tuple[PathKey, ...]


@once_for_each
def facts(vessel: Vessel) -> Mapping[tuple[str, ...], Fact]:
    """Every written value of a vessel, her fitted sheets and her standard, by its path."""
    found: dict[tuple[str, ...], Fact] = {}
    parts: list[tuple[Entry, tuple[str, ...], Source]] = [(vessel.spec, (), "vessel")]
    parts += [(e.sheet, ("sheet", Item(e.name)), "sheet") for e in vessel.engines]
    parts.append((vessel.standard, ("standard",), "standard"))
    for entry, path, source in parts:
        for fact in _of_entry(entry, path, source):
            if isinstance(fact, Fact):
                found[fact.path] = fact
    return found


def documents(entry: Entry) -> dict[tuple[str, ...], tuple[PathKey, ...]]:
    """Where everything of one file stands in its document, by its path in meaning."""
    return {one.path: one.document for one in _of_entry(entry, (), "vessel")}


def _of_entry(entry: Entry, path: tuple[str, ...], source: Source) -> Iterator[Fact | Holder]:
    if isinstance(entry, RoutePiece):
        yield from _of_entry(entry.piece, path, source)
        return
    for field in type(entry).model_fields:
        if field in ("format", "fitted_when", "earlier"):
            continue
        value = getattr(entry, field)
        key = yaml_key(type(entry), field)
        document = (*entry.origin.path, key) if entry.origin is not None else ()
        yield from _of_value(value, (*path, key), source, entry.where(field), document)


def _of_value(
    value: Any,
    path: tuple[str, ...],
    source: Source,
    position: Position | None,
    document: tuple[PathKey, ...] = (),
) -> Iterator[Fact | Holder]:
    if value is None or value == "" or value == [] or value == {}:
        return
    if isinstance(value, Entry | Mapping | list | tuple):
        yield Holder(path, document)
    if isinstance(value, Entry):
        yield from _of_entry(value, path, source)
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from _of_value(item, (*path, str(key)), source, position, (*document, str(key)))
    elif isinstance(value, list | tuple):
        yield from _of_list(list(value), path, source, position, document)
    else:
        yield Fact(path, system_of(path), source, printed(value), position, document)


def _of_list(
    items: list[Any],
    path: tuple[str, ...],
    source: Source,
    position: Position | None,
    document: tuple[PathKey, ...],
) -> Iterator[Fact | Holder]:
    if not any(isinstance(item, Entry | Mapping | list) for item in items):
        shown = ", ".join(_in_any_order(path, [printed(item) for item in items]))
        yield Fact(path, system_of(path), source, shown, position, document)
        return
    seen: dict[str, int] = {}
    for number, item in enumerate(items):
        name = _name(item)
        seen[name] = seen.get(name, 0) + 1
        key = name if seen[name] == 1 else f"{name} {seen[name]}"
        own = item.origin.path if isinstance(item, Entry) and item.origin is not None else None
        where = own if own is not None else (*document, number)
        yield from _of_value(item, (*path, Item(key)), source, position, where)


ORDERED = {"between", "contacts", "cautions", "notes", "drives", "parts"}
"""Keys whose lists of plain values mean something else in another order."""


def _in_any_order(path: tuple[str, ...], shown: list[str]) -> list[str]:
    """The items of a list in an order that does not depend on how they were written."""
    return shown if path[-1] in ORDERED else sorted(shown)


def _name(item: Any) -> str:
    """What an item of a list is called: its own name, or what kind of thing it is."""
    if isinstance(item, RoutePiece):
        own = getattr(item.piece, "id", None)
        return str(own) if own else item.kind.replace("_", " ")
    if isinstance(item, SheetStep) and item.hose is not None:
        return item.hose.id or "hose"
    for field in NAME_FIELDS:
        value = getattr(item, field, None)
        if value is not None and value != "" and not isinstance(value, Entry):
            return printed(value)
    return "item"


def printed(value: Any) -> str:
    """A value as a manual prints it, so that 12 mm and 0.472 in are told apart only in print."""
    if isinstance(value, Quantity | ConductorSize | ThreadSize):
        return show(value, "metric")
    if isinstance(value, Unknown | Choose):
        return str(value)
    return str(value)


def system_of(path: tuple[str, ...]) -> str:
    """Which system a path belongs to."""
    if path[0] == "standard":
        return "standard"
    top = path[2] if path[0] == "sheet" and len(path) > 2 else path[0]
    return SYSTEM_OF_KEY.get(top, "other")
