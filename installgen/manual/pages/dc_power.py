"""DC power: batteries, alternators, switches and fuses, loads, and what voltage reaches them."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.dc_cases import CARRIES_A
from installgen.analysis.dc_faults import OVERLOADS, overload_id
from installgen.analysis.dc_protection import CRANKING
from installgen.analysis.speeds import SPEEDS
from installgen.manual.blocks import (
    Block,
    Code,
    Column,
    Heading,
    Line,
    Link,
    Outcome,
    Row,
    Stack,
    Target,
    joined,
)
from installgen.manual.links import CONDUCTORS
from installgen.manual.pages.before_devices import before_devices, weakest_behind
from installgen.manual.pages.common import columns, speed_columns, table
from installgen.manual.pages.electrical import (
    ON_DC_POWER,
    case_groups,
    case_name,
    case_results,
    device_line,
    device_place,
    devices_of,
    finding,
    greatest,
    least,
    named,
    wires,
    worst_case,
)
from installgen.manual.vessel_manual import VesselManual, coded, sentence
from installgen.manual.ways import STILL_LIVE, isolator_lines, still_live
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Bus,
    DeviceBase,
    Diode,
    Fuse,
    Isolator,
    Load,
)
from installgen.spec.vessel import FittedEngine
from installgen.units import Current


def dc_power_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where neither vessel nor engine has anything of it."""
    if not m.has(*ON_DC_POWER):
        return
    electrical = m.vessel.spec.electrical
    if electrical is not None:
        yield m.paragraph("dc-power.intro", voltage=m.field(electrical.system))
    if m.has(Battery):
        yield m.caution("warning", "dc-power.battery_caution", more=isolator_lines(m))
    yield from m.figure("dc-power")
    yield from _sources(m)
    yield from _protection(m)
    yield from _charging(m)
    yield from _loads(m)


def _sources(m: VesselManual) -> Iterator[Block]:
    kinds: dict[type[DeviceBase], str] = {
        Battery: "dc-power.batteries",
        Alternator: "dc-power.alternators",
    }
    there = [key for kind, key in kinds.items() if m.has(kind)]
    if there:
        yield Heading(m.listed(*there), "sources")
    yield from table(
        m.text("dc-power.batteries_caption"),
        columns(m, "battery purpose voltage# chemistry capacity# cca# place find"),
        (
            Row(
                (
                    coded(device.title, device.code),
                    m.choice("purposes", device.purpose),
                    m.field(device.voltage),
                    m.choice("chemistries", device.chemistry),
                    m.field(device.capacity),
                    m.field(device.cca),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in devices_of(m, Battery)
        ),
    )
    yield from table(
        m.text("dc-power.models_caption"),
        columns(m, "battery weakest_emf# weakest_ohm# strongest_emf# short_circuit#"),
        (
            Row(
                (
                    device_line(m, device_id),
                    m.outcome(f"battery.{device_id}.weakest.emf"),
                    m.outcome(f"battery.{device_id}.weakest.resistance"),
                    m.outcome(f"battery.{device_id}.strongest.emf"),
                    m.outcome(f"battery.{device_id}.strongest.short-circuit"),
                )
            )
            for device_id, _, _ in devices_of(m, Battery)
        ),
    )
    yield from table(
        m.text("dc-power.alternators_caption"),
        (
            *columns(m, "alternator rated# set_voltage# sense"),
            *speed_columns(m, m.text("columns.hot_output")),
            *columns(m, "find"),
        ),
        (
            Row(
                (
                    named(m, device, engine),
                    m.field(device.rated),
                    m.field(device.set_voltage),
                    m.choice("senses", device.sense),
                    *(m.outcome(f"{device_id}.{speed}.output") for speed in SPEEDS),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in devices_of(m, Alternator)
        ),
    )


def _protection(m: VesselManual) -> Iterator[Block]:
    kinds: dict[type[DeviceBase], str] = {
        Isolator: "dc-power.isolators",
        Fuse: "dc-power.fuses",
        Bus: "dc-power.buses",
        Diode: "dc-power.diodes",
    }
    there = [key for kind, key in kinds.items() if m.has(kind)]
    if there:
        yield Heading(m.listed(*there), "protection")
    yield from table(
        m.text("dc-power.isolators_caption"),
        columns(m, "isolator rating# cranking_rating# place find"),
        (
            Row(
                (
                    named(m, device, engine),
                    m.field(device.rating),
                    m.field(device.cranking_rating),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in devices_of(m, Isolator)
        ),
    )
    yield from _still_live(m)
    fuses = list(devices_of(m, Fuse))
    yield from table(
        m.text("dc-power.fuses_caption"),
        columns(m, "fuse rating# type place find"),
        (
            Row(
                (
                    named(m, device, engine),
                    m.field(device.rating),
                    device.type or m.choice("device-kinds", device.kind),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in fuses
        ),
    )
    yield from table(
        m.text("dc-power.fuse_figures_caption"),
        columns(m, "fuse load# rating# fuse_window weakest may_break# breaks# position"),
        (_fuse_figures(m, device_id, device) for device_id, device, _ in fuses),
    )
    yield from _overloads(m, [device_id for device_id, _, _ in fuses])
    yield from before_devices(m)
    yield from _links(m)
    yield from _cranking_exempt(m)
    yield from table(
        m.text("dc-power.buses_caption"),
        columns(m, "bus polarity studs rating# place find"),
        (
            Row(
                (
                    named(m, device, engine),
                    m.choice("polarities", device.polarity),
                    ", ".join(device.contacts),
                    m.field(device.rating),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in devices_of(m, Bus)
        ),
    )
    yield from table(
        m.text("dc-power.diodes_caption"),
        columns(m, "diode forward_drop# place find"),
        (
            Row(
                (
                    named(m, device, engine),
                    joined(
                        [m.field(device.drop), m.say("phrases.at", what=m.field(device.drop_at))],
                        " ",
                    ),
                    device_place(m, device, engine),
                    finding(device),
                ),
                device_id,
            )
            for device_id, device, engine in devices_of(m, Diode)
        ),
    )


def _still_live(m: VesselManual) -> Iterator[Block]:
    """What a battery feeds past every isolator, and what cuts it."""
    rows: list[Row] = []
    for one in still_live(m):
        device, engine = m.devices[one.device]
        fuses = joined([device_line(m, fuse) for fuse in one.through])
        rows.append(
            Row(
                (
                    device_line(m, one.device),
                    device_line(m, one.battery),
                    fuses or m.text("fitted.none"),
                    device_place(m, device, engine),
                ),
                "" if rows else STILL_LIVE,
            )
        )
    yield from table(
        m.text("dc-power.still_live_caption"), columns(m, "what fed_from by_way_of place"), rows
    )


def _overloads(m: VesselManual, fuses: list[str]) -> Iterator[Block]:
    """What becomes of currents a little above each rating."""
    heads = [
        Column(m.text("dc-power.times", multiple=f"{one:g}"), False, "", "overloads")
        for one in OVERLOADS
    ]
    yield from table(
        m.text("dc-power.overloads_caption"),
        (*columns(m, "fuse"), *heads),
        (
            Row((device_line(m, fuse), *(m.outcome(overload_id(fuse, one)) for one in OVERLOADS)))
            for fuse in fuses
            if overload_id(fuse, OVERLOADS[0]) in m.book
        ),
    )


def _links(m: VesselManual) -> Iterator[Block]:
    """What stands between two sources."""
    yield from table(
        m.text("dc-power.links_caption"),
        columns(m, "what value"),
        (
            Row((sentence(result.name), Outcome(result)))
            for result in m.book.values()
            if result.id.startswith("link.")
        ),
    )


def _cranking_exempt(m: VesselManual) -> Iterator[Block]:
    """Which conductors nothing but the isolator clears."""
    exempt: list[Line] = [
        Link(Code(wire.entry.label), Target(CONDUCTORS, wire.element))
        for wire in wires(m)
        if str(
            getattr(m.book.get(f"conductor.{wire.element}.protected-by"), "value", "")
        ).startswith(CRANKING)
    ]
    if exempt:
        yield m.paragraph("dc-power.cranking_exempt", conductors=joined(exempt))


def _fuse_figures(m: VesselManual, device_id: str, device: Fuse) -> Row:
    return Row(
        (
            device_line(m, device_id),
            _fuse_load(m, device_id),
            m.field(device.rating),
            m.outcome(f"fuse.{device_id}.rating"),
            weakest_behind(m, device_id),
            m.outcome(f"fuse.{device_id}.prospective-current"),
            _can_break(m, device),
            m.outcome(f"fuse.{device_id}.position"),
        )
    )


def _fuse_load(m: VesselManual, device_id: str) -> Line:
    """The greatest current through it, and whether any case sends one."""
    load = m.outcome(f"fuse.{device_id}.load")
    found = m.book.get(f"fuse.{device_id}.load")
    value = found.value if found is not None else None
    if isinstance(value, Current) and value.a < CARRIES_A:
        return Stack((load, m.text("dc-power.in_no_case")))
    return load


def _can_break(m: VesselManual, device: Fuse) -> Line:
    """What it can break: as written, else as the yard's stock says of its type."""
    family = m.vessel.standard.stock.family(device.type)
    if device.interrupting is None and family is not None:
        return m.field(family.interrupting)
    return m.field(device.interrupting)


def _loads(m: VesselManual) -> Iterator[Block]:
    loads = list(devices_of(m, Load))
    if not loads:
        return
    yield m.heading("dc-power.loads_heading", "loads")
    yield from table(
        m.text("dc-power.loads_caption"),
        columns(m, "load takes# duty needs# least_voltage# greatest_drop# place"),
        (_load(m, device_id, device, engine) for device_id, device, engine in loads),
    )
    yield from _balance(m)
    yield from _voltages(m, [device_id for device_id, _, _ in loads])


def _load(m: VesselManual, device_id: str, device: Load, engine: FittedEngine | None) -> Row:
    voltage = least(case_results(m, device_id, ".voltage"))
    drop = greatest(case_results(m, device_id, ".drop"))
    takes = next(
        (value for value in (device.current, device.power, device.resistance) if value is not None),
        None,
    )
    essential = m.text("phrases.essential") if device.essential == "yes" else ""
    return Row(
        (
            named(m, device, engine),
            m.field(takes),
            joined([m.field(device.duty), essential]),
            m.field(device.needs),
            worst_case(m, voltage),
            worst_case(m, drop),
            device_place(m, device, engine),
        ),
        device_id,
    )


def _balance(m: VesselManual) -> Iterator[Block]:
    """What the alternators give beyond the loads, and how long the bank lasts alone."""
    rows = []
    for group in case_groups(m):
        for case in group.cases:
            load, surplus = m.outcome(f"dc.{case.id}.load"), m.outcome(f"dc.{case.id}.surplus")
            if load or surplus:
                rows.append(Row((case_name(m, case.id), load, surplus)))
    yield from table(m.text("dc-power.balance_caption"), columns(m, "case loads# surplus#"), rows)
    essential, hours = m.outcome("dc.essential-load"), m.outcome("dc.hours-on-bank")
    if hours:
        yield m.paragraph("dc-power.hours", load=essential, hours=hours)
    again = m.outcome("dc.recharge-hours")
    if again:
        yield m.paragraph("dc-power.recharge", hours=again)


def _charging(m: VesselManual) -> Iterator[Block]:
    """What banks and alternators do by speed, and what opening a switch or a lead does."""
    for group in case_groups(m):
        rows = []
        for device_id, device, _ in devices_of(m, Battery, Alternator):
            endings = ("voltage", "charge") if isinstance(device, Battery) else ("current", "share")
            for ending in endings:
                cells = [m.outcome(f"dc.{case.id}.{device_id}.{ending}") for case in group.cases]
                running = [
                    cell if "running" in case.all_states else ""
                    for cell, case in zip(cells, group.cases, strict=True)
                ]
                if any(running):
                    what = m.text(f"dc-power.charging_{ending}")
                    rows.append(Row(((device_line(m, device_id), ", ", what), *running)))
        caption = m.text("dc-power.charging_caption")
        heads = [Column(title, True, "", "cases") for title in group.titles]
        yield from table(
            f"{caption} · {group.name}" if group.name else caption,
            (*columns(m, "device"), *heads),
            rows,
        )
    faults = [
        result
        for result in m.book.values()
        if ".load-dump." in result.id or result.id.endswith(".sense-open")
    ]
    yield from table(
        m.text("dc-power.charging_faults_caption"),
        columns(m, "what value"),
        (Row((sentence(result.name), Outcome(result))) for result in faults),
    )


def _voltages(m: VesselManual, devices: list[str]) -> Iterator[Block]:
    groups = case_groups(m)
    if not any(
        f"dc.{case.id}.{d}.voltage" in m.book for g in groups for case in g.cases for d in devices
    ):
        return
    yield m.heading("dc-power.voltages_heading", "voltages")
    for group in groups:
        rows = []
        for device_id in devices:
            cells = [m.outcome(f"dc.{case.id}.{device_id}.voltage") for case in group.cases]
            if any(cells):
                rows.append(Row((device_line(m, device_id), *cells)))
        caption = m.text("dc-power.voltages_caption")
        heads = [Column(title, True, "", "cases") for title in group.titles]
        yield from table(
            f"{caption} · {group.name}" if group.name else caption,
            (*columns(m, "load"), *heads),
            rows,
            stack=False,
        )
