"""Senders, alarms and instruments."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Heading, Line, Row, Stack, joined
from installgen.manual.limits import limit_line
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.electrical import (
    case_results,
    device_line,
    device_place,
    devices_of,
    finding,
    greatest,
    least,
    named,
    worst_case,
)
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.spec.electrical import AlarmSwitch, Gauge, Sender, SpeedPickup


def sender_tables(m: VesselManual) -> Iterator[Block]:
    """Whatever senses something on an engine, and what shows it."""
    rows = [*_senders(m), *_pickups(m)]
    gauges = list(_gauges(m))
    alarms = list(_alarms(m))
    if rows or gauges:
        there = [*(["senders.senders"] if rows else []), *(["senders.gauges"] if gauges else [])]
        yield Heading(m.listed(*there), "senders")
        yield from table(
            m.text("senders.senders_caption"), columns(m, "sender measures reading find"), rows
        )
        yield from table(
            m.text("senders.gauges_caption"),
            columns(
                m, "instrument measures takes# least_voltage# greatest_drop# set_to place find"
            ),
            gauges,
        )
    if alarms:
        yield m.heading("senders.alarms_heading", "alarms")
        yield from table(
            m.text("senders.alarms_caption"),
            columns(m, "alarm operates sensed_by do"),
            alarms,
        )
    yield from table(
        m.text("senders.switches_caption"),
        columns(m, "switch measures operates find"),
        _alarm_switches(m),
    )


def _senders(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, Sender):
        points: list[Line] = [
            (point.reading, ": ", m.field(point.resistance)) for point in device.table or []
        ]
        yield Row(
            (named(m, device, engine), device.measures, Stack(tuple(points)), finding(device)),
            device_id,
        )


def _pickups(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, SpeedPickup):
        yield Row(
            (
                named(m, device, engine),
                m.text("senders.engine_speed"),
                m.field(device.resistance),
                finding(device),
            ),
            device_id,
        )


def _alarm_switches(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, AlarmSwitch):
        yield Row(
            (
                named(m, device, engine),
                device.measures,
                m.field(device.operates),
                finding(device),
            ),
            device_id,
        )


def _gauges(m: VesselManual) -> Iterator[Row]:
    for device_id, device, engine in devices_of(m, Gauge):
        pulses = (
            m.say("senders.pulses", count=m.field(device.pulses))
            if device.pulses is not None
            else ""
        )
        yield Row(
            (
                named(m, device, engine),
                device.measures,
                m.field(device.current),
                worst_case(m, least(case_results(m, device_id, ".voltage"))),
                worst_case(m, greatest(case_results(m, device_id, ".drop"))),
                joined([pulses, device.setting]),
                device_place(m, device, engine),
                finding(device),
            ),
            device_id,
        )


def _alarms(m: VesselManual) -> Iterator[Row]:
    for engine in m.vessel.engines:
        for alarm in engine.sheet.alarms:
            sensor = f"{engine.name}.{alarm.sensed_by}"
            yield Row(
                (
                    sentence(alarm.name),
                    limit_line(alarm.at),
                    device_line(m, sensor) if sensor in m.devices else alarm.sensed_by,
                    alarm.what_to_do,
                )
            )
