"""What the solved cases come to: cranking, path losses, surplus, hours on the bank, signals."""

from __future__ import annotations

from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_cases import solved_id, source_of
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.endurance import analyse_endurance
from installgen.analysis.results import Book, MissingInput
from installgen.analysis.speeds import SPEEDS, range_speeds, said, speed_id
from installgen.analysis.surplus import analyse_surplus
from installgen.calc.dc_elements import TurningStarter
from installgen.calc.signals import alternator_signal_hz, flywheel_signal_hz
from installgen.spec.electrical import (
    Alternator,
    Gauge,
    Plug,
    SpeedPickup,
    Starter,
)
from installgen.spec.vessel import FittedEngine
from installgen.units import Frequency, Resistance, RotationalSpeed
from installgen.units.display import rounded


def analyse_summary(
    book: Book, model: DcModel, solved: list[SolvedCase], strongest: list[SolvedCase]
) -> None:
    """Enter cranking, starter circuit, alternator surplus, hours on the bank and speed signals."""
    for engine in model.vessel.engines:
        for device in engine.sheet.devices:
            if isinstance(device, Starter):
                _cranking_speed(book, engine, device, solved, "weakest")
                _cranking_speed(book, engine, device, strongest, "strongest")
                _starter_circuit(book, model, engine, device, solved)
            if isinstance(device, Alternator):
                _alternator_signal(book, model, engine, device)
        if any(isinstance(device, SpeedPickup) for device in engine.sheet.devices):
            _flywheel_signal(book, engine)
        _tachometer(book, model, engine)
    analyse_surplus(book, model, solved)
    analyse_endurance(book, model, solved)


def _of(solved: list[SolvedCase], engine: FittedEngine, state: str) -> SolvedCase | None:
    """The case in which one engine is in a state and every other one is off."""
    for found in solved:
        others = [s.state for name, s in found.case.states if name != engine.name]
        if found.case.state(engine.name).state == state and set(others) <= {"off"}:
            return found
    return None


def _strongest(book: Book) -> list[str]:
    """What the batteries are when full and warm, as far as that is known."""
    return [
        result.id
        for result in book.values()
        if result.id.startswith("battery.") and ".strongest." in result.id and result.assessed
    ]


def _cranking_speed(
    book: Book, engine: FittedEngine, device: Starter, solved: list[SolvedCase], strength: str
) -> None:
    found = _of(solved, engine, "cranking")
    if found is None:
        return
    with book.working(
        f"{engine.name}.start-run-stop.cranking-speed-{strength}",
        f"Cranking speed, {strength} battery",
        "start-run-stop",
        formula="n = (V at the motor − brush drop − R·I) · rpm for each volt",
        source="voltage balance of a direct-current motor; figures of the engine sheet",
        subject=f"{engine.name}.{device.id}",
        case=found.case.id,
        engine=engine.name,
    ) as w:
        for name in ("brush_drop", "resistance", "cranking_current", "rpm_per_volt"):
            w.spec(device.motor, name)
        if strength == "weakest":
            w.result(solved_id(found.case), "the case")
        else:
            w.result(NETWORK)
            for result_id in _strongest(book):
                w.result(result_id)
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        element = next(
            (
                e
                for e in found.parts.elements
                if isinstance(e, TurningStarter) and e.id == f"{engine.name}.{device.id}:motor"
            ),
            None,
        )
        if element is None:
            raise MissingInput("the starter's figures are not complete")
        if f"{engine.name}.{device.id}:contacts" not in found.settled.point.closed:
            raise MissingInput("the starter's contacts do not close in this case")
        across = found.across_v(element.positive, element.negative)
        if across is None:
            raise MissingInput("no closed path leads to the starter in this case")
        w.value = RotationalSpeed(element.speed_rpm(across))
        if strength == "strongest":
            w.note("Full and warm battery: the fastest she is turned.")


def _starter_circuit(
    book: Book, model: DcModel, engine: FittedEngine, device: Starter, solved: list[SolvedCase]
) -> None:
    found = _of(solved, engine, "cranking")
    if found is None:
        return
    with book.working(
        f"{engine.name}.start-run-stop.starter-circuit",
        "Resistance of the starter circuit",
        "start-run-stop",
        formula="(V at the battery − V at the starter) / starter current, out and back",
        source=(
            "SAE J541 judges battery to starter including the return, without motor and solenoid"
        ),
        subject=f"{engine.name}.{device.id}",
        case=found.case.id,
        engine=engine.name,
    ) as w:
        starter = f"{engine.name}.{device.id}"
        volts = w.result(f"dc.{found.case.id}.{starter}.voltage").v
        amps = w.result(f"dc.{found.case.id}.{starter}.current").a
        source = source_of(model, found, f"{starter}.battery")
        at_source = found.across_v(f"{source}.positive", f"{source}.negative")
        if at_source is None or amps <= 0.0:
            raise MissingInput("the starter carries no current in this case")
        hops = Wiring(found).upstream(f"{starter}.battery")
        for hop in hops:
            if resistance_id(hop.element) in w.book:
                w.result(resistance_id(hop.element))
        w.value = Resistance((at_source - volts) / amps)
        w.note(
            "At the temperature of the conductors in the engine space; the rule is stated at 20 °C."
        )


def _flywheel_signal(book: Book, engine: FittedEngine) -> None:
    for speed in (*SPEEDS, *range_speeds(engine)):
        with book.working(
            f"{engine.name}.start-run-stop.{speed}.speed-signal",
            f"Speed signal of the pick-up at {said(speed)}",
            "start-run-stop",
            formula="f = teeth · n / 60",
            source="one pulse for each tooth",
            case=speed,
            engine=engine.name,
            subject=f"{engine.name}.speed-signal",
        ) as w:
            teeth = w.spec(engine.sheet.build, "ring_gear_teeth", "ring-gear teeth")
            rpm = w.result(speed_id(engine, speed)).rpm
            w.value = Frequency(flywheel_signal_hz(teeth, rpm))


def _alternator_signal(
    book: Book, model: DcModel, engine: FittedEngine, device: Alternator
) -> None:
    """Nothing for an alternator that gives no speed signal: no pole pairs and no wire to it."""
    terminal = f"{engine.name}.{device.id}.signal"
    wired = any(terminal in (wire.start, wire.end) for wire in model.wires())
    if device.pole_pairs is None and not wired:
        return
    for speed in (*SPEEDS, *range_speeds(engine)):
        with book.working(
            f"{engine.name}.start-run-stop.{speed}.alternator-signal",
            f"Speed signal of {device.title} at {said(speed)}",
            "start-run-stop",
            formula="f = pole pairs · pulley ratio · n / 60",
            source="one cycle for each pole pair",
            case=speed,
            engine=engine.name,
            subject=f"{engine.name}.{device.id}",
        ) as w:
            pairs = w.spec(device, "pole_pairs", "pole pairs")
            ratio = w.spec(device, "pulley_ratio", "pulley ratio").ratio
            rpm = w.result(speed_id(engine, speed)).rpm
            w.value = Frequency(alternator_signal_hz(pairs, ratio, rpm))


def _tachometer(book: Book, model: DcModel, engine: FittedEngine) -> None:
    """The setting of every tachometer whose signal comes from this engine."""
    for device_id, device, _ in model.vessel.devices():
        if not isinstance(device, Gauge):
            continue
        source = signal_source(model, f"{device_id}.signal")
        if source is None or source[0] is not engine:
            continue
        sender = source[1]
        flywheel = isinstance(sender, SpeedPickup)
        with book.working(
            f"{engine.name}.start-run-stop.{device_id}.setting",
            f"Setting of {device.title}",
            "start-run-stop",
            formula=(
                "pulses it is set to / teeth of the ring gear"
                if flywheel
                else "pulses it is set to / (pole pairs · pulley ratio)"
            ),
            source=("one pulse for each tooth" if flywheel else "one pulse for each pair of poles"),
            engine=engine.name,
            subject=device_id,
        ) as w:
            w.result(NETWORK)
            pulses = w.spec(device, "pulses", "pulses for each turn, as set")
            if flywheel:
                made = float(w.spec(engine.sheet.build, "ring_gear_teeth", "ring-gear teeth"))
            else:
                ratio = w.spec(sender, "pulley_ratio", "pulley ratio").ratio
                made = w.spec(sender, "pole_pairs", "pole pairs") * ratio
            w.value = (
                "right"
                if abs(pulses / made - 1.0) < 0.005
                else f"shows {rounded(made / pulses)} times the speed"
            )


def signal_source(
    model: DcModel, terminal: str
) -> tuple[FittedEngine, SpeedPickup | Alternator] | None:
    """The pick-up or alternator whose speed signal wires lead from to a terminal."""
    makes = {
        f"{device_id}.{name}": (engine, device)
        for device_id, device, engine in model.vessel.devices()
        if engine is not None and isinstance(device, SpeedPickup | Alternator)
        for name in ("signal", "signal-2", "speed")
    }
    passes = {d_id for d_id, d, _ in model.vessel.devices() if isinstance(d, Plug | Gauge)}
    seen, queue = {terminal}, [terminal]
    for node in queue:
        if node in makes:
            return makes[node]
        for wire in model.wires():
            ends = (wire.start.removesuffix(":engine"), wire.end.removesuffix(":engine"))
            if node not in ends:
                continue
            other = ends[1] if ends[0] == node else ends[0]
            passable = other.rpartition(".")[0] in passes or other in makes
            if passable and other not in seen:
                seen.add(other)
                queue.append(other)
    return None
