"""The sea trial: does the engine reach its speed, and how far does the propeller slip."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.results import Book, MissingInput
from installgen.analysis.speeds import speed_id
from installgen.calc.driveline import apparent_slip_ratio, shaft_speed_rpm
from installgen.spec.hull import SeaTrial
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Fraction


def runs(vessel: Vessel, engine: FittedEngine) -> Iterator[tuple[int, SeaTrial]]:
    """The runs of one engine with their numbers, as the vessel spec lists them."""
    for number, run in enumerate(vessel.spec.sea_trial, start=1):
        if (run.engine or vessel.engines[0].name) == engine.name:
            yield number, run


def analyse_sea_trial(book: Book, vessel: Vessel) -> None:
    """Enter the match of propeller and engine, and the apparent slip of every run."""
    for engine in vessel.engines:
        if engine.entry.gear is None or engine.entry.propeller is None:
            continue
        _match(book, vessel, engine)
        for number, run in runs(vessel, engine):
            _slip(book, engine, number, run)


def _match(book: Book, vessel: Vessel, engine: FittedEngine) -> None:
    with book.working(
        f"{engine.name}.driveline.propeller-match",
        "Engine speed at full throttle over rated speed",
        "driveline",
        formula="speed of the run at full throttle / rated speed",
        source="common practice: a propeller that suits lets the engine just reach its rated speed",
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        full = [run for _, run in runs(vessel, engine) if run.throttle == "full"]
        if not full:
            raise MissingInput("no run of the sea trial at full throttle is written")
        w.spec(full[-1], "throttle")
        reached = w.spec(full[-1], "speed", "speed at full throttle").rpm
        ratio = reached / w.result(speed_id(engine, "rated"), "rated speed").rpm
        w.value = Fraction(ratio)
        w.note(
            "She does not reach her rated speed: the propeller asks too much, and the engine is "
            "overloaded."
            if ratio < 1.0
            else "She reaches her rated speed."
        )
        if full[-1].loading:
            w.note(f"Loading: {full[-1].loading}.")


def _slip(book: Book, engine: FittedEngine, number: int, run: SeaTrial) -> None:
    with book.working(
        f"{engine.name}.driveline.trial-{number}.slip",
        f"Apparent slip of the propeller, run {number}",
        "driveline",
        formula="1 − boat speed / (pitch · shaft speed)",
        source="definition",
        engine=engine.name,
        subject=f"{engine.name}.driveline",
    ) as w:
        pitch = w.spec(engine.entry.propeller, "pitch", "pitch of the propeller").m
        ratio = w.spec(engine.entry.gear, "ratio_ahead", "ratio ahead").ratio
        rpm = w.spec(run, "speed", "engine speed of the run").rpm
        boat = w.spec(run, "boat_speed", "boat speed of the run").m_per_s
        w.value = Fraction(apparent_slip_ratio(boat, pitch, shaft_speed_rpm(rpm, ratio)))
