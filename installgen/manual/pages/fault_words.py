"""What is at fault, in the words of somebody who stands in front of it."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.fault_bench import Fault
from installgen.analysis.fault_study import FaultEffect, FaultStudy
from installgen.analysis.fault_tree import thing_of
from installgen.manual.blocks import Code, Line, Link, Target, joined
from installgen.manual.links import CONDUCTORS, START_RUN_STOP
from installgen.manual.pages.electrical import device_line, jumpers, terminal_line, wires
from installgen.manual.vessel_manual import VesselManual, full_stop
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Conductor,
    Fuse,
    Isolator,
    Jumper,
    Plug,
    Relay,
    Selector,
    Starter,
    StopSolenoid,
)
from installgen.spec.entry import Entry
from installgen.units.display import rounded

CLASSES: tuple[tuple[type[Entry], str], ...] = (
    (Conductor, "conductor"),
    (Jumper, "jumper"),
    (Plug, "pin"),
    (Fuse, "fuse"),
    (Battery, "battery"),
    (Isolator, "isolator"),
    (Selector, "switch"),
    (Relay, "relay"),
    (Starter, "starter"),
    (Alternator, "alternator"),
    (StopSolenoid, "solenoid"),
)

OHM_DIGITS = 3


def class_of(entry: Entry | None) -> str:
    """What sort of thing an entry is, as the catalogue has it."""
    return next((name for kind, name in CLASSES if isinstance(entry, kind)), "device")


def thing_line(m: VesselManual, study: FaultStudy, thing: str) -> Line:
    """A conductor with its ends, a pin of a plug, a device: linked to where it is described."""
    entry = study.entries.get(thing)
    if isinstance(entry, Conductor | Jumper):
        start, end = _run_of(study, thing)
        ends: dict[str, Line] = {"start": terminal_line(m, start), "end": terminal_line(m, end)}
        if isinstance(entry, Jumper):
            label = Link(Code(entry.label), Target(START_RUN_STOP, thing))
            return m.say("fault-things.jumper", label=label, **ends)
        label = Link(Code(entry.label), Target(CONDUCTORS, thing))
        look = joined([entry.colour, m.field(entry.size)])
        return m.say("fault-things.conductor", label=label, look=look, **ends)
    if isinstance(entry, Plug):
        plug, _, pin = thing.rpartition(".")
        return m.say("fault-things.pin", pin=pin, plug=device_line(m, plug))
    return device_line(m, thing) if thing in m.devices else thing


def short_name(m: VesselManual, study: FaultStudy, thing: str) -> str:
    """A thing by its label or code, for a small box: `W4 red`, `F1 Ignition fuse`, `P1 pin 3`."""
    entry = study.entries.get(thing)
    if isinstance(entry, Conductor):
        return " ".join(text for text in (entry.label, entry.colour) if text)
    if isinstance(entry, Jumper):
        return entry.label
    if isinstance(entry, Plug):
        plug, _, pin = thing.rpartition(".")
        return m.text("fault-things.short_pin", plug=m.devices[plug][0].code or plug, pin=pin)
    if thing not in m.devices:
        return thing
    device, _ = m.devices[thing]
    return f"{device.code} {device.title}".strip()


def thing_place(m: VesselManual, study: FaultStudy, thing: str) -> str:
    """Where a thing is, and how it is found."""
    entry = study.entries.get(thing)
    if isinstance(entry, Conductor):
        return ", ".join(m.place(place) for place in (entry.place, *(entry.through or [])) if place)
    name = thing.rpartition(".")[0] if isinstance(entry, Plug) else thing
    return device_found(m, name) if name in m.devices else ""


def device_found(m: VesselManual, device_id: str) -> str:
    """The space a device is in and the sentence to find it by."""
    device, engine = m.devices[device_id]
    if engine is None:
        place = m.place(device.place)
    elif m.several:
        place = m.text("phrases.on_named_engine", name=m.engine_name(engine).lower())
    else:
        place = m.text("phrases.on_engine")
    return " ".join(full_stop(text) for text in (place, device.find) if text.strip())


def wires_at(m: VesselManual, terminal: str) -> Line:
    """The conductors and links on a terminal, by label and colour: how one knows it."""
    found: list[Line] = []
    for wire in wires(m):
        if terminal in (wire.start, wire.end):
            label = Link(Code(wire.entry.label), Target(CONDUCTORS, wire.element))
            colour = getattr(wire.entry, "colour", "")
            found.append((label, f" {colour}") if colour else label)
    for link in jumpers(m):
        if terminal in (link.start, link.end):
            found.append(Link(Code(link.entry.label), Target(START_RUN_STOP, link.element)))
    return joined(found)


def _run_of(study: FaultStudy, thing: str) -> tuple[str, str]:
    """The terminals at the ends of a conductor, its joints included; plugs by the pin's name."""
    start, end = study.ends[thing]
    if f"{thing}:joints" in study.ends:
        end = study.ends[f"{thing}:joints"][1]
    return start.removesuffix(":engine"), end.removesuffix(":engine")


def fault_line(m: VesselManual, study: FaultStudy, fault: Fault) -> str:
    """What is wrong with a thing: `contact 30–87 does not close`."""
    entry = study.entries.get(fault.element)
    part = fault.element.partition(":")[2]
    kind = class_of(entry)
    key = f"fault-kinds.{kind}-{part}-{fault.kind}"
    if not m.words.knows(key):
        key = f"fault-kinds.{kind}-{_sort_of_part(entry, part)}{fault.kind}"
    if not m.words.knows(key):
        key = f"fault-kinds.device-{fault.kind}"
    text = m.text(key).replace("[part]", part.replace("-", " – "))
    if fault.ohm is None:
        return text
    return m.text("fault-kinds.from_ohm", what=text, ohm=f"{rounded(fault.ohm)}\N{NO-BREAK SPACE}Ω")


def _sort_of_part(entry: Entry | None, part: str) -> str:
    if isinstance(entry, Relay) and part:
        first, _, second = part.partition("-")
        between = next((c for c in entry.contacts if c.between == [first, second]), None)
        return "opening-" if between is not None and between.kind == "opens" else "contact-"
    return f"{part}-" if part and not isinstance(entry, Selector) else ""


def suspects_by_thing(
    suspects: Sequence[FaultEffect],
) -> list[tuple[str, list[FaultEffect]]]:
    """Suspects put together by the thing that one would mend, the likeliest thing first."""
    found: dict[str, list[FaultEffect]] = {}
    for effect in suspects:
        found.setdefault(thing_of(effect.fault.element), []).append(effect)
    return list(found.items())


def what_is_wrong(m: VesselManual, study: FaultStudy, effects: Sequence[FaultEffect]) -> str:
    """Everything that may be wrong with one thing, in one line."""
    texts = [fault_line(m, study, effect.fault) for effect in effects]
    return "; ".join(dict.fromkeys(texts))


def cure_line(m: VesselManual, study: FaultStudy, thing: str) -> Line:
    """What to do with a thing that is at fault."""
    entry = study.entries.get(thing)
    cure = m.say(f"fault-cures.{class_of(entry)}")
    behind = _behind(m, thing) if isinstance(entry, Fuse) else []
    if not behind:
        return cure
    return (cure, " ", m.say("fault-cures.behind_fuse", conductors=joined(behind)))


def _behind(m: VesselManual, fuse: str) -> list[Line]:
    """The conductors that a fuse protects: a short of one of them has blown it."""
    found: list[Line] = []
    for wire in wires(m):
        result_id = f"conductor.{wire.element}.protected-by"
        if result_id in m.book and fuse in str(m.book[result_id].value).split(" and "):
            found.append(Link(Code(wire.entry.label), Target(CONDUCTORS, wire.element)))
    return found
