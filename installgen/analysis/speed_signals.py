"""The speed signals of pick-ups and alternators, and how the tachometers are set to them."""

from __future__ import annotations

from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.results import Book
from installgen.analysis.speeds import SPEEDS, range_speeds, said, speed_id
from installgen.calc.signals import alternator_signal_hz, flywheel_signal_hz
from installgen.spec.electrical import Alternator, Gauge, Plug, SpeedPickup
from installgen.spec.vessel import FittedEngine
from installgen.units import Frequency
from installgen.units.display import rounded


def analyse_speed_signals(book: Book, model: DcModel, engine: FittedEngine) -> None:
    """Enter the frequency of each speed signal of an engine, and each tachometer's setting."""
    own = [
        device
        for _, device, on in model.vessel.devices()
        if model.vessel.engine_of(device, on) is engine
    ]
    for device in own:
        if isinstance(device, Alternator):
            _alternator_signal(book, engine, device)
    if any(isinstance(device, SpeedPickup) for device in own):
        _flywheel_signal(book, engine)
    _tachometers(book, model, engine)


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


def _alternator_signal(book: Book, engine: FittedEngine, device: Alternator) -> None:
    if device.pole_pairs is None:  # It has no terminal that gives one.
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


def _tachometers(book: Book, model: DcModel, engine: FittedEngine) -> None:
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
        for device_id, device, on in model.vessel.devices()
        if isinstance(device, SpeedPickup | Alternator)
        and (engine := model.vessel.engine_of(device, on)) is not None
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
