"""The circuit as it is written: everything that the solved cases rest on, entry by entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_model import DcModel
from installgen.analysis.results import Book
from installgen.spec.entry import Choose, Entry, Unknown
from installgen.units import ConductorSize, Quantity, ThreadSize, show

NETWORK = "dc.network"
"""Id of the result that lists what the network is made of."""

ONLY_READ = frozenset(
    {"at", "code", "fault_weight", "find", "fitted_when", "id", "name", "notes", "place", "reach"}
)
"""Fields of a device that no case rests on."""


def enter_network(book: Book, model: DcModel) -> None:
    """Enter every conductor with its resistance, and every device and link as it is written."""
    wires, devices = model.wires(), list(model.vessel.devices())
    with book.working(
        NETWORK,
        "The circuit as written",
        "dc-power",
        formula="one element for each entry; terminals that a conductor joins are one node",
        source="the specs",
        subject="dc",
    ) as w:
        for end in wires:
            if book[resistance_id(end.element)].assessed:
                w.result(resistance_id(end.element))
        for _, jumper, start, to in model.jumpers():
            w.entry(jumper, f"link {jumper.label}", f"{start} to {to}")
        for device_id, device, _ in devices:
            told = "; ".join(_fields(device)) or "as its kind"
            w.entry(device, f"{device.title} ({device_id})", told)
        w.value = f"{len(wires)} conductors, {len(devices)} devices"


def _fields(entry: Entry, before: str = "") -> Iterator[str]:
    """What an entry says, field by field: `coil resistance 90 Ω`."""
    for name in type(entry).model_fields:
        if name in entry.model_fields_set and name not in ONLY_READ:
            yield from _field(getattr(entry, name), f"{before}{name.rstrip('_')} ")


def _field(value: object, label: str) -> Iterator[str]:
    if value is None or isinstance(value, Unknown | Choose):
        return
    if isinstance(value, Entry):
        yield from _fields(value, label)
    elif isinstance(value, list | tuple) and any(isinstance(item, Entry) for item in value):
        for number, item in enumerate(value, start=1):
            yield from _field(item, f"{label}{number} ")
    else:
        yield f"{label.replace('_', ' ')}{_shown(value)}"


def _shown(value: object) -> str:
    if isinstance(value, Quantity | ConductorSize | ThreadSize):
        return show(value, "metric")
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_shown(item)}" for key, item in value.items())
    if isinstance(value, list | tuple):
        nested = any(isinstance(item, list | tuple) for item in value)
        return ", ".join("–".join(map(str, item)) if nested else str(item) for item in value)
    return str(value)
