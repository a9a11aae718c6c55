"""Conductors that lead to their fuse or breaker, and the weakest one behind each device."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.dc_protection import BEFORE, TOO_FAR, weakest_id
from installgen.manual.blocks import Block, Code, Line, Link, Outcome, Row, Target
from installgen.manual.links import CONDUCTORS
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.electrical import wires
from installgen.manual.vessel_manual import VesselManual


def before_devices(m: VesselManual) -> Iterator[Block]:
    """What the rule for a device's place says of each conductor that leads to one."""
    rows = []
    for wire in wires(m):
        result = m.book.get(f"conductor.{wire.element}.protected-by")
        words = result.value if result is not None else None
        if result is not None and isinstance(words, str) and words.startswith((BEFORE, TOO_FAR)):
            told = " ".join(_named(m, word) for word in words.split(" "))
            label = wire.entry.label
            if wire.engine is not None and m.several:
                label = f"{wire.engine.name} {label}"
            rows.append(Row((_label(label, wire.element), Outcome(result, text=told))))
    yield from table(m.text("dc-power.before_caption"), columns(m, "label protected_by"), rows)


def weakest_behind(m: VesselManual, device_id: str) -> Line:
    """The weakest conductor behind a device, by its label."""
    result = m.book.get(weakest_id(device_id))
    if result is None or not isinstance(result.value, str):
        return m.outcome(weakest_id(device_id))
    label = next((w.entry.label for w in wires(m) if w.element == result.value), result.value)
    return _label(label, result.value)


def _label(label: str, element: str) -> Line:
    return Link(Code(label), Target(CONDUCTORS, element))


def _named(m: VesselManual, word: str) -> str:
    """The code on a device's label in place of its id, with what follows it."""
    bare = word.rstrip(":,")
    device_id, _, terminal = bare.rpartition(".")
    for name, behind in ((bare, ""), (device_id, f" {terminal}")):
        if name in m.devices:
            device, _ = m.devices[name]
            return f"{device.code or device.title}{behind}{word[len(bare) :]}"
    return word
