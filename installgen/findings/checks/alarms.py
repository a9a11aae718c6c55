"""Alarms: what has to be watched, by which sensor, and that it is wired."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from installgen.findings.judgement import About, Judgement, holds, lacking, not_assessed
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import AlarmSwitch, DeviceBase, Plug
from installgen.spec.engine_sheet import Alarm
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine


def _sensor(engine: FittedEngine, alarm: Alarm) -> DeviceBase | None:
    return next((d for d in engine.sheet.devices if d.id == alarm.sensed_by), None)


@named_check("start-run-stop")
def alarm_for(
    survey: Survey, circuit: Literal["oil-pressure", "coolant-temperature"]
) -> Iterator[Judgement]:
    """Each engine has an alarm for this, from a sensor that measures it."""
    for engine in survey.engines:
        watching = [
            alarm
            for alarm in engine.sheet.alarms
            if getattr(_sensor(engine, alarm), "measures", "").replace(" ", "-") == circuit
        ]
        about = About(
            f"{engine.name}.alarm.{circuit}",
            f"alarm for {circuit.replace('-', ' ')}",
            tuple((alarm, "sensed_by") for alarm in watching) or ((engine.sheet, "alarms"),),
            engine.name,
        )
        words = ", ".join(alarm.name for alarm in watching) or "none"
        yield holds(bool(watching), words, "an alarm", about)


@named_check("start-run-stop")
def alarm_wired(survey: Survey) -> Iterator[Judgement]:
    """What senses an alarm is wired through to something of the vessel."""
    for engine in survey.engines:
        for alarm in engine.sheet.alarms:
            sensor = _sensor(engine, alarm)
            about = About(
                f"{engine.name}.alarm.{alarm.id}",
                alarm.name,
                ((survey.vessel.spec.electrical, "conductors"), (alarm, "sensed_by")),
                engine.name,
            )
            if sensor is None:
                yield not_assessed(about, f"`{alarm.sensed_by}` is not fitted")
                continue
            start = {f"{engine.name}.{sensor.id}.{t}" for t in sensor.terminals}
            reached = _reached(survey, engine, start)
            words = "wired through" if reached else "ends on the engine"
            yield holds(reached, words, "wired through to the vessel", about)


def _reached(survey: Survey, engine: FittedEngine, start: set[str]) -> bool:
    """Whether conductors lead from some terminals, through plugs, to a device of the vessel."""
    seen, queue = set(start), sorted(start)
    plugs = {f"{engine.name}.{d.id}" for d in engine.sheet.devices if isinstance(d, Plug)}
    for node in queue:
        for wire in survey.wires:
            ends = (wire.start.removesuffix(":engine"), wire.end.removesuffix(":engine"))
            if node not in ends:
                continue
            other = ends[0] if ends[1] == node else ends[1]
            if not other.startswith(f"{engine.name}."):
                return True
            if other not in seen and other.rpartition(".")[0] in plugs:
                seen.add(other)
                queue.append(other)
    return False


@named_check("start-run-stop")
def alarm_stated(survey: Survey) -> Iterator[Judgement]:
    """Every alarm says where it operates and what to do, and its switch says the same point."""
    for engine in survey.engines:
        for alarm in engine.sheet.alarms:
            about = About(
                f"{engine.name}.alarm.{alarm.id}", alarm.name, ((alarm, "at"),), engine.name
            )
            sensor = _sensor(engine, alarm)
            if not alarm.what_to_do:
                yield lacking(about, alarm, "what_to_do")
            elif isinstance(sensor, AlarmSwitch) and known(sensor.operates) is None:
                yield lacking(about, sensor, "operates")
            else:
                yield holds(True, alarm.at, "stated", about)


@named_check("start-run-stop")
def alarm_tested_by_key(survey: Survey) -> Iterator[Judgement]:
    """A low-pressure switch is closed with the ignition on, so that the key tests its alarm."""
    for device_id, device, engine in survey.devices:
        if not isinstance(device, AlarmSwitch) or engine is None:
            continue
        operates = known(device.operates)
        about = About(device_id, device.title, ((device, "closed_in"),), engine.name)
        if operates is None:
            yield lacking(about, device, "operates")
        elif "falling" in operates:
            ok = "ignition-on" in device.closed_in
            words = "closed" if ok else "open"
            yield holds(ok, f"{words} with the ignition on", "closed with the ignition on", about)
