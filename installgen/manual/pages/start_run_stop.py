"""Start, run and stop: switches, relays and solenoids by case, plugs with their pins, signals."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.cases import STATE_WORDS
from installgen.analysis.speeds import SPEEDS
from installgen.manual.blocks import (
    Block,
    Heading,
    Line,
    Outcome,
    Row,
    Stack,
    joined,
)
from installgen.manual.pages.common import columns, facts, figures_by_speed, over_range, table
from installgen.manual.pages.electrical import (
    device_line,
    device_place,
    devices_of,
    finding,
    named,
)
from installgen.manual.pages.plugs import link_blocks, plug_blocks
from installgen.manual.pages.returns import return_blocks
from installgen.manual.pages.senders import sender_tables
from installgen.manual.pages.sequence import sequence_blocks
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.manual.ways import isolator_lines
from installgen.spec.electrical import (
    DeviceBase,
    Heater,
    Relay,
    Selector,
    SeriesResistor,
    Starter,
    StopSolenoid,
    Winding,
)


def start_run_stop_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where there is no electrical device."""
    if not m.devices:
        return
    yield m.caution("warning", "start-run-stop.moving_caution", more=isolator_lines(m))
    yield from m.figure("start-run-stop")
    yield from sequence_blocks(m)
    yield from _switches(m)
    yield from _relays(m)
    yield from _solenoids(m)
    yield from return_blocks(m)
    yield from plug_blocks(m)
    yield from link_blocks(m)
    yield from m.figure("instruments")
    yield from _signals(m)
    yield from sender_tables(m)


# ---- devices ------------------------------------------------------------------------------------


def _switches(m: VesselManual) -> Iterator[Block]:
    rows = []
    for device_id, device, engine in devices_of(m, Selector):
        states: dict[str, list[str]] = {position: [] for position in device.positions}
        for state, position in device.position_in.items():
            states[position].append(STATE_WORDS[state])
        for index, (position, groups) in enumerate(device.positions.items()):
            joins = "; ".join(" + ".join(group) for group in groups)
            rows.append(
                Row(
                    (
                        named(m, device, engine),
                        position,
                        joins or m.text("phrases.joins_nothing"),
                        ", ".join(states[position]),
                        device_place(m, device, engine),
                        finding(device),
                    ),
                    device_id if index == 0 else "",
                )
            )
    if rows:
        yield m.heading("start-run-stop.switches_heading", "switches")
        yield from table(
            m.text("start-run-stop.switches_caption"),
            columns(m, "switch position joins used_in place find"),
            rows,
        )


def _relays(m: VesselManual) -> Iterator[Block]:
    rows = []
    for device_id, device, engine in devices_of(m, Relay):
        contacts: list[Line] = [
            (
                m.say(
                    f"start-run-stop.contact_{contact.kind}", between=" – ".join(contact.between)
                ),
                ("" if contact.rating is None else (" ", m.field(contact.rating))),
            )
            for contact in device.contacts
        ]
        rows.append(
            Row(
                (
                    named(m, device, engine),
                    " – ".join(device.coil.between),
                    m.field(device.coil.resistance),
                    m.field(device.coil.pull_in),
                    m.field(device.coil.drop_out),
                    Stack(tuple(contacts)),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
        )
    if rows:
        yield m.heading("start-run-stop.relays_heading", "relays")
        yield from table(
            m.text("start-run-stop.relays_caption"),
            columns(m, "relay coil resistance# pulls_in# lets_go# contacts place find"),
            rows,
        )


def _solenoids(m: VesselManual) -> Iterator[Block]:
    rows = [*_starter_rows(m), *_stop_rows(m), *_heater_rows(m), *_resistor_rows(m)]
    if not rows:
        return
    kinds: dict[type[DeviceBase], str] = {
        Starter: "start-run-stop.starter",
        StopSolenoid: "start-run-stop.stop_solenoid",
        Heater: "start-run-stop.heaters",
        SeriesResistor: "start-run-stop.resistors",
    }
    there = [key for kind, key in kinds.items() if m.has(kind)]
    yield Heading(m.listed(*there), "solenoids")
    yield from table(
        m.text("start-run-stop.solenoids_caption"),
        columns(m, "device winding resistance# takes# pulls_in# lets_go# longest# find"),
        rows,
    )
    for device_id, device, engine in devices_of(m, Starter):
        if engine is None:
            continue
        prefix = f"{engine.name}.start-run-stop"
        yield from facts(
            m,
            ("starter", device_line(m, device_id)),
            ("cranking_weakest", m.outcome(f"{prefix}.cranking-speed-weakest")),
            ("stated_cold", m.field(m.vessel.standard.assume.weakest_temperature)),
            ("stated_charge", m.field(m.vessel.standard.assume.weakest_charge)),
            ("cranking_strongest", m.outcome(f"{prefix}.cranking-speed-strongest")),
            ("lowest_cranking_speed", m.field(device.motor.lowest_speed)),
            ("starter_circuit", m.outcome(f"{prefix}.starter-circuit")),
            ("starter_lowest_voltage", m.field(device.motor.lowest_voltage)),
        )
    for device_id, solenoid, _ in devices_of(m, StopSolenoid):
        yield m.paragraph(f"start-run-stop.{solenoid.acts}", device=device_line(m, device_id))


def _starter_rows(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, Starter):
        name = named(m, device, engine)
        yield _winding(m, name, "pull-in", device.pull_in_winding, finding(device), device_id)
        yield _winding(m, name, "hold-in", device.hold_in_winding)


def _stop_rows(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, StopSolenoid):
        name, anchor, find = named(m, device, engine), device_id, finding(device)
        for kind in ("single", "lifting", "holding"):
            winding = getattr(device, kind)
            if winding is not None:
                yield _winding(m, name, kind, winding, find, anchor)
                anchor, find = "", ""


def _heater_rows(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, Heater):
        kind = m.choice("device-kinds", device.kind)
        missing = (
            m.text("start-run-stop.no_controller") if device.controller == "not-supplied" else ""
        )
        yield Row(
            (
                named(m, device, engine),
                kind,
                "",
                m.field(device.current),
                "",
                "",
                m.field(device.longest),
                joined([finding(device), missing], " "),
            ),
            device_id,
        )


def _resistor_rows(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, SeriesResistor):
        yield Row(
            (
                named(m, device, engine),
                m.text("start-run-stop.in_series"),
                m.field(device.resistance),
                "",
                "",
                "",
                "",
                finding(device),
            ),
            device_id,
        )


def _winding(
    m: VesselManual, name: Line, kind: str, winding: Winding, find: Line = "", anchor: str = ""
) -> Row:
    return Row(
        (
            name,
            m.choice("windings", kind),
            m.field(winding.resistance),
            "",
            m.field(winding.pull_in),
            m.field(winding.drop_out),
            m.field(winding.longest),
            find,
        ),
        anchor,
    )


def _signals(m: VesselManual) -> Iterator[Block]:
    """The speed signal by speed, and how each instrument is set to it."""
    by_speed = [
        r for r in m.results("start-run-stop") if r.case in SPEEDS and not r.id.startswith("dc.")
    ]
    settings = [r for r in m.results("start-run-stop") if r.id.endswith((".setting", ".shared"))]
    if not by_speed and not settings:
        return
    yield m.heading("start-run-stop.signal_heading", "speed-signal")
    for engine in m.vessel.engines:
        own = [result for result in by_speed if result.engine == engine.name]
        yield from figures_by_speed(m, own, m.caption("start-run-stop.signal_caption", engine))
        ranged = [
            result
            for result in m.results("start-run-stop")
            if result.engine == engine.name and result.id.endswith("-signal")
        ]
        yield from over_range(
            m,
            ranged,
            m.caption("start-run-stop.signal_caption", engine),
            m.text("start-run-stop.signal_range"),
        )
    yield from table(
        m.text("start-run-stop.settings_caption"),
        columns(m, "what value"),
        (Row((sentence(result.name), Outcome(result))) for result in settings),
    )
