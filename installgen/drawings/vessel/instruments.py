"""Gauges, senders, alarms, speed signal and charge lamp of an engine."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Cell, Drawing, Table
from installgen.drawings.vessel.harness import Harness, wire_href
from installgen.drawings.vessel.sheet_parts import (
    alarm_wires,
    connected,
    instrument_wires,
    reserved_wires,
)
from installgen.drawings.vessel.start_run_stop import LINE_WORDS
from installgen.drawings.vessel.wiring import Joined, WiringMap
from installgen.drawings.vessel.words import Words
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Conductor,
    DeviceBase,
    Selector,
    Sender,
    SpeedPickup,
)
from installgen.spec.vessel import FittedEngine

TAKERS: tuple[type[DeviceBase], ...] = (Sender, AlarmSwitch, SpeedPickup, Alternator)
MOST_WIRES = 14
SIGNALS = {"signal", "speed", "return", "signal-2", "return-2"}


def instrument_drawings(analysis: Analysis) -> Iterator[Drawing]:
    """One for each engine that has any."""
    if analysis.dc is None:
        return
    words = Words(analysis.vessel, analysis.book)
    wiring = WiringMap(analysis.dc.model)
    for engine in analysis.vessel.engines:
        wires = connected(wiring, instrument_wires(wiring, engine))
        alarms = alarm_wires(wiring, engine, wires) if len(wires) > MOST_WIRES else []
        gauges = [wire for wire in wires if wire not in alarms]
        if gauges and alarms:
            yield sheet(words, wiring, engine, gauges, "Gauges and senders")
            yield sheet(words, wiring, engine, alarms, "Alarms and charge lamp", ".alarms")
        elif wires:
            yield sheet(words, wiring, engine, wires, "Instruments, senders and alarms")


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
    ends = [end for wire in wires for end in (wire.start, wire.end)]
    devices = {wiring.device_of(end) for end in ends}
    sources = [
        name
        for name in wiring.devices
        if name in devices and isinstance(wiring.devices[name][0], Selector)
    ]
    signals = {end for end in ends if end.rpartition(".")[2] in SIGNALS}
    harness = Harness(words, wiring, wires, sources, signals, TAKERS)
    harness.draw()
    return harness.draft.drawing(
        words.figure_id("instruments", engine) + more,
        words.titled(title, engine),
        "Fed from the key switch at the top, returned at the bottom. Beside each conductor stand "
        "its label, size and colour; of a plug each pin is drawn where it is used. A device "
        "without a place is on the engine.",
        line_words=LINE_WORDS,
        more_tables=[] if more else list(not_drawn(harness, engine)),
    )


def not_drawn(harness: Harness, engine: FittedEngine) -> Iterator[Table]:
    """Conductors of the harness that this vessel does not use."""
    wiring = harness.wiring
    wires = instrument_wires(wiring, engine)
    used = {wire.element for wire in connected(wiring, wires)}
    idle = [wire for wire in wires if wire.element not in used]
    if idle:
        yield spare_table("Not connected beyond the plug; not drawn", harness, idle)
    spare = reserved_wires(wiring, engine)
    if spare:
        yield spare_table("Reserved; not drawn", harness, spare)


def spare_table(caption: str, harness: Harness, wires: list[Joined]) -> Table:
    """Conductors that are not drawn."""
    rows = []
    for wire in wires:
        entry = wire.entry
        assert isinstance(entry, Conductor)
        size = ", ".join(str(line) for line in harness.size_lines(wire))
        rows.append(
            (
                Cell(entry.label, wire_href(wire)),
                Cell(harness.terminal_words(wire.start)),
                Cell(harness.terminal_words(wire.end)),
                Cell(f"{size}, {entry.colour}" if entry.colour else size),
                Cell(entry.reserved_for or entry.function),
            )
        )
    return Table(caption, ("Label", "From", "To", "Conductor", "For"), tuple(rows))
