"""Before starting, starting, running checks with her own figures, stopping."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.speeds import SPEEDS
from installgen.manual.blocks import Block, Caution, Line, Link, Row, Target, is_empty, joined
from installgen.manual.fitted import Fitted, fitted_engines
from installgen.manual.limits import limit_line
from installgen.manual.links import EMERGENCIES
from installgen.manual.pages.common import columns, speed_columns, table
from installgen.manual.pages.cranking import cranking_panel
from installgen.manual.pages.makers_papers import makers_pages
from installgen.manual.pages.operation_steps import (
    BEFORE_STARTING,
    NOT_STARTING,
    STANDING_STILL,
    STARTING,
    STOPPING,
)
from installgen.manual.procedure import Procedure, steps
from installgen.manual.vessel_manual import VesselManual, full_stop
from installgen.spec.maintenance_spec import Topic


def operation_page(m: VesselManual) -> Iterator[Block]:
    """Always there: every engine is started and stopped somehow."""
    yield m.paragraph("operation.intro")
    limits = tuple(cranking_panel(m, lead=False))
    deferral = [] if limits else [m.say("safety.deferral")]
    yield Caution("warning", (m.say("operation.caution"), *deferral))
    yield from limits
    for fitted in fitted_engines(m):
        yield from m.engine_head(fitted.engine)
        yield from _part(fitted, "before-starting", BEFORE_STARTING)
        yield from _part(fitted, "starting", STARTING, "starting")
        yield from _part(fitted, "not-starting", NOT_STARTING)
        yield from _running(fitted)
        yield from _part(fitted, "stopping", STOPPING, "stopping")
        yield from _part(fitted, "standing-still", STANDING_STILL)


def _part(
    fitted: Fitted, anchor: str, procedure: Procedure, topic: Topic | None = None
) -> Iterator[Block]:
    made = tuple(steps(fitted, procedure))
    if not made:
        return
    yield fitted.m.heading(f"operation.{anchor}", anchor, fitted.engine)
    yield from made
    if topic is not None:
        yield from makers_pages(fitted.m, fitted.engine, topic)


def _running(fitted: Fitted) -> Iterator[Block]:
    m = fitted.m
    rows = [*_figures(fitted), *_alarms(fitted)]
    yield m.heading("operation.running", "running", fitted.engine)
    link = Link(m.text("titles.emergencies"), Target(EMERGENCIES))
    yield m.paragraph("operation.running_intro", link=link)
    yield from table(
        m.caption("operation.running_caption", fitted.engine),
        (*columns(m, "what read_at"), *speed_columns(m), *columns(m, "stop_if")),
        rows,
    )
    yield from makers_pages(m, fitted.engine, "running")


def _figures(fitted: Fitted) -> Iterator[Row]:
    """What each instrument shows at idle, cruise and rated, from her own results."""
    m, name = fitted.m, fitted.engine.name
    wanted = (
        ("speed", "{name}.rating.{speed}.speed", "engine speed"),
        ("coolant", "{name}.coolant.{speed}.temperature-hottest", "coolant temperature"),
        ("mixture", "{name}.exhaust.{speed}.mixture-temperature", "exhaust temperature"),
        ("flow", "{name}.raw-water.{speed}.flow", ""),
        ("fuel", "{name}.rating.{speed}.fuel", "fuel"),
    )
    for key, pattern, measured in wanted:
        cells = [m.outcome(pattern.format(name=name, speed=speed)) for speed in SPEEDS]
        if any(not is_empty(cell) for cell in cells):
            gauges = _gauges(fitted, measured)
            yield Row((m.text(f"operation.figure_{key}"), gauges, *cells, ""))


def _gauges(fitted: Fitted, measured: str) -> Line:
    """The instruments that show this of this engine."""
    own: list[Line] = [
        fitted.device(device_id, gauge).name
        for device_id, gauge in fitted.gauges
        if measured and measured in gauge.measures and fitted.reads(device_id, gauge)
    ]
    return joined(own) if own else fitted.m.text("operation.no_instrument")


def _alarms(fitted: Fitted) -> Iterator[Row]:
    """What each alarm says, and what to do."""
    m = fitted.m
    for alarm in fitted.engine.sheet.alarms:
        text = m.say("operation.alarm_at", at=limit_line(alarm.at))
        do = full_stop(alarm.what_to_do) if alarm.what_to_do else ""
        yield Row((alarm.name, m.text("operation.by_alarm"), "", "", "", joined([text, do], " ")))
    exhaust = fitted.exhaust
    if exhaust is not None and exhaust.alarm == "fitted":
        at = m.field(exhaust.alarm_at)
        text = m.say("operation.above", at=at) if not is_empty(at) else ""
        do = m.text("operation.exhaust_alarm_do") if fitted.wet else m.text("operation.stop_look")
        yield Row(
            (m.text("operation.exhaust_alarm"), m.text("operation.by_alarm"), "", "", "",
             joined([text, do], " "))
        )  # fmt: skip
