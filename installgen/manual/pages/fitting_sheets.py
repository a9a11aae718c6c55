"""The installer's set, second part: labels, torques, commissioning."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.circuits import LaidPart
from installgen.analysis.readings import ExpectedReading
from installgen.analysis.results import Result
from installgen.manual.blocks import Amount, Code, Line, Outcome, joined
from installgen.manual.pages.common import columns
from installgen.manual.pages.electrical import devices_of, jumpers, terminal_line, wires
from installgen.manual.pages.reading_words import with_working
from installgen.manual.sheet import Sheet, SheetRow
from installgen.manual.vessel_manual import VesselManual, full_stop, sentence
from installgen.spec.electrical import Conductor, Starter
from installgen.spec.entry import known
from installgen.spec.standard_spec import TorqueRow
from installgen.units import Length, Quantity, Voltage

# ---- labels -------------------------------------------------------------------------------------


def label_sheet(m: VesselManual) -> Sheet:
    """Every short code that stands on a label aboard: what it says, how many, where it goes."""
    rows = [
        *_fittings(m), *_parts(m), *_devices(m), *_points(m), *_equipment(m), *_conductors(m)
    ]  # fmt: skip
    seen: dict[tuple[str, str], SheetRow] = {}
    for code, name, count, place, kind in rows:
        group = m.text(f"label-kinds.{kind}")
        cells: tuple[Line, ...] = (Code(code), name, str(count), place, group)
        seen.setdefault((code, name), SheetRow(cells, {"kind": group}))
    return Sheet("labels", columns(m, "label name count# goes_on kind"), tuple(seen.values()))


LabelRow = tuple[str, str, int, str, str]


def _fittings(m: VesselManual) -> Iterator[LabelRow]:
    for route in m.analysis.routes.values():
        for step in route.all_steps():
            if step.code:
                place = m.place(getattr(step.entry, "place", None))
                yield step.code, step.name, 1, place or m.engine_name(route.engine), "fitting"
    for opening in m.vessel.spec.openings:
        if opening.code:
            yield opening.code, opening.name or opening.use, 1, m.place(opening.place), "fitting"


def _parts(m: VesselManual) -> Iterator[LabelRow]:
    for circuit in m.analysis.circuits.values():
        for part in circuit.parts:
            if part.part.code:
                yield part.part.code, part.part.title, 1, _place_of(m, part), "part"


def _place_of(m: VesselManual, part: LaidPart) -> str:
    return m.engine_name(part.engine) if part.engine is not None else m.place(part.part.place)


def _devices(m: VesselManual) -> Iterator[LabelRow]:
    for device, engine in m.devices.values():
        if device.code:
            place = m.engine_name(engine) if engine is not None else m.place(device.place)
            name = device.title
            if engine is not None and m.several:
                name = m.text("phrases.of_engine", thing=name, engine=m.engine_name(engine).lower())
            yield device.code, name, 1, place, "device"


def _points(m: VesselManual) -> Iterator[LabelRow]:
    for engine in m.vessel.engines:
        for point in engine.sheet.connections:
            if point.code and point.terminal != point.code:
                yield point.code, point.name, 1, m.engine_name(engine), "connection"


def _equipment(m: VesselManual) -> Iterator[LabelRow]:
    for item in m.vessel.spec.owners_manual.equipment:
        if item.code:
            name = item.name or m.choice("equipment", item.kind)
            yield item.code, name, 1, m.place(item.place), "equipment"


def _conductors(m: VesselManual) -> Iterator[LabelRow]:
    for wire in (*wires(m), *jumpers(m)):
        if wire.engine is None:
            what = wire.entry.function if isinstance(wire.entry, Conductor) else ""
            yield wire.entry.label, what, 2, m.text("labels.both_ends"), "conductor"


# ---- torques ------------------------------------------------------------------------------------


def torque_sheet(m: VesselManual) -> Sheet:
    """Every joint that is tightened to a figure: of the engine's points, and of the studs."""
    rows = [*_point_torques(m), *_stud_torques(m)]
    heads = columns(m, "torque_of where thread torque_alone# sealant source")
    return Sheet("torques", heads, tuple(rows))


def _point_torques(m: VesselManual) -> Iterator[SheetRow]:
    for engine in m.vessel.engines:
        for point in engine.sheet.connections:
            thread = known(point.end.thread) if point.end is not None else None
            row = _standard_row(m, str(thread)) if thread is not None else None
            own = point.torque is not None
            if not own and row is None:
                continue
            torque = m.field(point.torque) if own else Amount(row.torque) if row else ""
            source: Line = m.say("torques.maker", maker=engine.sheet.engine.maker)
            if not own and row is not None:
                source = m.say("torques.standard", source=row.source)
            name: Line = (Code(point.code), " ", point.name) if point.code else point.name
            if m.several:
                name = (name, " · ", m.engine_name(engine))
            yield SheetRow(
                (name, point.find, m.field(thread), torque, point.sealant, source),
                {},
                f"{engine.name}.{point.id}",
            )


def _standard_row(m: VesselManual, thread: str) -> TorqueRow | None:
    return next((row for row in m.vessel.standard.torques if str(row.thread) == thread), None)


def _stud_torques(m: VesselManual) -> Iterator[SheetRow]:
    """The standard's torque of each stud that lugs go on."""
    found: dict[Length, list[str]] = {}
    for wire in wires(m):
        stud = known(wire.entry.stud) if isinstance(wire.entry, Conductor) else None
        if wire.engine is None and stud is not None:
            found.setdefault(stud, []).append(wire.entry.label)
    for stud, labels in sorted(found.items()):
        size = f"M{stud.mm:g}"
        row = next(
            (
                row
                for row in m.vessel.standard.torques
                if row.thread.standard == "metric" and row.thread.nominal.split("x")[0] == size
            ),
            None,
        )
        yield SheetRow(
            (
                m.say("torques.lugs", stud=Amount(stud)),
                ", ".join(labels),
                m.field(row.thread) if row is not None else "",
                Amount(row.torque) if row is not None else m.text("torques.not_stated"),
                "",
                m.say("torques.standard", source=row.source) if row is not None else "",
            ),
            {},
        )


# ---- commissioning ------------------------------------------------------------------------------


def commissioning_sheet(m: VesselManual) -> Sheet:
    """What is read before she is handed over: what to expect, its band, room for the reading."""
    rows = [*_electrical(m), *_running(m), *_trial(m)]
    heads = columns(m, "system reading_of when expected band")
    return Sheet("commissioning", heads, tuple(rows))


def checklist_sheet(m: VesselManual) -> Sheet:
    """The steps of the yard's standard that somebody signs."""
    rows = [
        SheetRow(
            (
                full_stop(item.step),
                item.system.replace("-", " "),
                m.choice("roles", item.role) if item.role else "",
                full_stop(item.because) if item.because else "",
            ),
            {},
        )
        for item in m.vessel.standard.checklist
    ]
    return Sheet("checklist", columns(m, "step system role because"), tuple(rows))


def _electrical(m: VesselManual) -> Iterator[SheetRow]:
    """The battery and the starter of each engine, whose voltage tells most, case by case."""
    for found in m.readings:
        battery = found.black.rpartition(".")[0]
        starters = [i for i, _, on in devices_of(m, Starter) if on and on.name == found.engine]
        posts = [f"{battery}.positive", *(f"{starter}.battery" for starter in starters)]
        engine = m.vessel.engine(found.engine)
        for case in found.cases:
            words = joined(
                [
                    sentence(case.state(found.engine).words),
                    m.engine_name(engine) if m.several else "",
                ],
                " · ",
            )
            for post in posts:
                reading = found.by_case[case.id].get(post)
                if reading is not None and reading.computed_v and reading.widened_v:
                    yield _reading(m, reading, words, reading.computed_v, reading.widened_v)


def _reading(
    m: VesselManual,
    reading: ExpectedReading,
    case: Line,
    computed_v: tuple[float, float],
    band_v: tuple[float, float],
) -> SheetRow:
    system = m.choice("systems", "dc-power")
    return SheetRow(
        (
            system,
            terminal_line(m, reading.node),
            case,
            with_working(m, reading.case, _between(m, computed_v)),
            with_working(m, reading.case, _between(m, band_v)),
        ),
        {},
    )


def _between(m: VesselManual, volts: tuple[float, float]) -> Line:
    """Two voltages to a tenth of a volt; one where both are the same."""
    least, most = (Voltage(round(volt, 1)) for volt in volts)
    if least == most:
        return Amount(least)
    return m.say("commissioning.between", least=Amount(least), most=Amount(most))


def _running(m: VesselManual) -> Iterator[SheetRow]:
    """Speeds, temperatures and pressures with the limit that each keeps to."""
    for engine in m.vessel.engines:
        name, limits, build = engine.name, engine.sheet.limits, engine.sheet.build
        who = m.engine_name(engine) if m.several else ""
        yield from _row(m, who, "rating", "idle", f"{name}.rating.idle.speed", "")
        if known(build.high_idle) is not None:
            yield _written(m, who, "rating", "high_idle", m.field(build.high_idle))
        thermostat = engine.sheet.thermostat
        if thermostat is not None:
            band = m.say(
                "commissioning.between",
                least=m.field(thermostat.opens),
                most=m.field(thermostat.full_open),
            )
            yield from _row(
                m, who, "coolant", "coolant", f"{name}.coolant.cruise.temperature-hottest", band
            )
        back_pressure = limits.largest_back_pressure
        for key, system, result, limit in (
            ("mixture", "exhaust", f"{name}.exhaust.rated.mixture-temperature", None),
            ("back_pressure", "exhaust", f"{name}.exhaust.rated.back-pressure", back_pressure),
            ("inlet", "raw-water", f"{name}.raw-water.rated.pump-inlet", None),
            ("suction", "fuel", f"{name}.fuel.rated.suction", limits.fuel_suction),
            ("cranking", "start-run-stop", f"{name}.start-run-stop.cranking-speed-weakest", None),
        ):  # fmt: skip
            most = m.say("phrases.at_most", limit=m.field(limit)) if known(limit) else ""
            if key == "cranking":
                most = _cranking_band(m, name)
            yield from _row(m, who, system, key, result, most)


def _cranking_band(m: VesselManual, name: str) -> Line:
    weakest = m.book.get(f"{name}.start-run-stop.cranking-speed-weakest")
    strongest = m.book.get(f"{name}.start-run-stop.cranking-speed-strongest")
    if weakest is None or strongest is None or not (weakest.assessed and strongest.assessed):
        return ""
    return m.say("commissioning.between", least=Outcome(weakest), most=Outcome(strongest))


def _row(
    m: VesselManual, who: str, system: str, key: str, result_id: str, band: Line
) -> Iterator[SheetRow]:
    """A reading that is computed; nothing where nobody asked for it."""
    result: Result | None = m.book.get(result_id)
    if result is not None:
        yield _written(m, who, system, key, Outcome(result), band)


def _written(
    m: VesselManual, who: str, system: str, key: str, expected: Line, band: Line = ""
) -> SheetRow:
    name = joined([m.text(f"commissioning.{key}"), who], " · ")
    when = m.text(f"commissioning.{key}_when")
    return SheetRow((m.choice("systems", system), name, when, expected, band), {})


def _trial(m: VesselManual) -> Iterator[SheetRow]:
    """Full throttle at sea: she reaches her rated speed."""
    for engine in m.vessel.engines:
        result = m.book.get(f"{engine.name}.rating.rated.speed")
        if result is not None and isinstance(result.value, Quantity):
            who = m.engine_name(engine) if m.several else ""
            yield _written(m, who, "driveline", "full_throttle", Outcome(result))
