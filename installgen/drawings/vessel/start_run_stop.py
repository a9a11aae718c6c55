"""The circuit that starts, runs and stops an engine, with terminals, labels, sizes and colours."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Line
from installgen.drawings.vessel.harness import Harness
from installgen.drawings.vessel.start_parts import Function, start_pieces
from installgen.drawings.vessel.wiring import Joined, WiringMap
from installgen.drawings.vessel.words import Words
from installgen.spec.electrical import StopSolenoid
from installgen.spec.vessel import FittedEngine

FUNCTIONS: tuple[Function, ...] = ("start", "stop", "preheat")
TITLES: dict[Function, str] = {"start": "Start", "stop": "Stop", "preheat": "Preheat"}
MOST_WIRES = 20

LINE_WORDS = {
    Line.CABLE: "conductor of 16 mm², 4 AWG or more",
    Line.CONDUCTOR: "conductor",
    Line.LINKAGE: "coil and the contacts it works",
    Line.SIGNAL: "signal",
}


def start_run_stop_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """One for each engine that anything starts or stops."""
    if analysis.dc is None:
        return
    words = Words(analysis.vessel, analysis.book)
    wiring = WiringMap(analysis.dc.model)
    for engine in analysis.vessel.engines:
        yield from start_run_stop(words, wiring, engine)


def start_run_stop(words: Words, wiring: WiringMap, engine: FittedEngine) -> Iterator[Drawing]:
    """One engine's circuit: on one sheet or, where that would be crowded, a sheet a function."""
    whole = start_wires(wiring, engine, FUNCTIONS)
    if len(whole) <= MOST_WIRES:
        if whole:
            yield sheet(words, wiring, engine, whole, "Start, run and stop")
        return
    number = 0
    for function in FUNCTIONS:
        wires = start_wires(wiring, engine, (function,))
        if wires:
            number += 1
            name = (
                "Run and stop" if function == "stop" and runs(wiring, engine) else TITLES[function]
            )
            yield sheet(words, wiring, engine, wires, name, "" if number == 1 else f".{function}")


def start_wires(
    wiring: WiringMap, engine: FittedEngine, functions: Collection[Function]
) -> list[Joined]:
    """The conductors and links of some functions."""
    return [piece for piece in start_pieces(wiring, engine, functions) if piece.is_wire]


def runs(wiring: WiringMap, engine: FittedEngine) -> bool:
    """Whether the engine's stop solenoid must be fed for it to run."""
    return any(
        isinstance(device, StopSolenoid) and device.acts == "energised-to-run" and on is engine
        for device, on in wiring.devices.values()
    )


def sheet(
    words: Words,
    wiring: WiringMap,
    engine: FittedEngine,
    wires: list[Joined],
    title: str,
    more: str = "",
) -> Drawing:
    """One drawing of some conductors.

    more: ending of its id, where it is not the first of several
    """
    harness = Harness(words, wiring, wires, wiring.positives)
    harness.draw()
    return harness.draft.drawing(
        words.figure_id("start-run-stop", engine) + more,
        words.titled(title, engine),
        "Fed from the top, returned at the bottom. "
        "Beside each conductor stand its label, size and colour; a relay is drawn as its coil and, "
        "apart from it, its contacts; of a plug each pin is drawn where it is used. A device "
        "without a place is on the engine.",
        line_words=LINE_WORDS,
    )
