"""Plugs with their pins, loop-back links, reserved wires: part of the page on start, run, stop."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Code, Heading, Line, Row, Stack, joined
from installgen.manual.pages.common import columns, facts, table
from installgen.manual.pages.electrical import (
    Wire,
    devices_of,
    finding,
    jumpers,
    terminal_line,
    wires,
)
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.electrical import Conductor, Plug
from installgen.spec.vessel import FittedEngine


def plug_blocks(m: VesselManual) -> Iterator[Block]:
    """Each plug with its pins: what is on them, on both sides."""
    plugs = list(devices_of(m, Plug))
    if not plugs:
        return
    every = list(wires(m))
    links = list(jumpers(m))
    yield m.heading("start-run-stop.plugs_heading", "plugs")
    for device_id, device, engine in plugs:
        yield Heading(_plain(m, device, engine), device_id, 3)
        yield from facts(
            m,
            ("find", finding(device)),
            ("pin_rating", m.field(device.pin_rating)),
        )
        yield from table(
            m.text("start-run-stop.pins_caption", name=_plain(m, device, engine)),
            columns(m, "pin for on_engine on_vessel"),
            (
                Row(
                    (
                        pin,
                        _pin_use(m, device, pin),
                        _on_pin(
                            m,
                            [w for w in [*every, *links] if w.engine is not None],
                            f"{device_id}.{pin}",
                        ),
                        _on_pin(
                            m,
                            [w for w in [*every, *links] if w.engine is None],
                            f"{device_id}.{pin}",
                        ),
                    ),
                    f"{device_id}.{pin}",
                )
                for pin in device.pins
            ),
        )


def _plain(m: VesselManual, device: Plug, engine: FittedEngine | None) -> str:
    """A plug's code and name, as text alone."""
    name = f"{device.code} {device.title}" if device.code else device.title
    if engine is not None and m.several:
        return m.text("phrases.of_engine", thing=name, engine=m.engine_name(engine).lower())
    return name


def _pin_use(m: VesselManual, device: Plug, pin: str) -> Line:
    reserved = (device.unused or {}).get(pin)
    use = device.pins[pin]
    return use if reserved is None else m.say("start-run-stop.reserved_for", use=use, what=reserved)


def _on_pin(m: VesselManual, candidates: list[Wire], terminal: str) -> Line:
    """The conductors on one pin: label, size, colour, and where their other end is."""
    found: list[Line] = []
    for wire in candidates:
        if terminal not in (wire.start, wire.end):
            continue
        other = wire.end if wire.start == terminal else wire.start
        size = (
            m.field(wire.entry.size)
            if isinstance(wire.entry, Conductor)
            else m.text("phrases.link")
        )
        colour = wire.entry.colour if isinstance(wire.entry, Conductor) else ""
        found.append(
            (Code(wire.entry.label), " ", joined([size, colour]), " → ", terminal_line(m, other))
        )
    return Stack(tuple(found))


def link_blocks(m: VesselManual) -> Iterator[Block]:
    """Loop-back links, and wires that are there and not used."""
    rows = [
        Row(
            (
                Code(link.entry.label),
                terminal_line(m, link.start),
                terminal_line(m, link.end),
                getattr(link.entry, "reserved_for", ""),
            ),
            link.element,
        )
        for link in jumpers(m)
    ]
    if rows:
        yield m.heading("start-run-stop.links_heading", "links")
        yield from table(
            m.text("start-run-stop.links_caption"), columns(m, "label from to reserved_for"), rows
        )
    reserved = [
        Row(
            (
                Code(wire.entry.label),
                terminal_line(m, wire.start),
                terminal_line(m, wire.end),
                wire.entry.reserved_for,
            )
        )
        for wire in wires(m)
        if isinstance(wire.entry, Conductor) and wire.entry.reserved_for
    ]
    if reserved:
        yield m.heading("start-run-stop.reserved_heading", "reserved")
        yield from table(
            m.text("start-run-stop.reserved_caption"),
            columns(m, "label from to reserved_for"),
            reserved,
        )
