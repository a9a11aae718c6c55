"""Senders that several gauges share: what each of them then shows."""

from __future__ import annotations

import re

from installgen.analysis.dc_model import DcModel
from installgen.analysis.results import Book, MissingInput
from installgen.calc.signals import SenderPoint, SenderTable, sender_reading
from installgen.errors import OutOfRange
from installgen.spec.electrical import Gauge, Plug, Sender
from installgen.spec.entry import known
from installgen.units.display import rounded

_NUMBER = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*(.*)$")


def shared_id(sender: str) -> str:
    """Id of the result that says what several gauges on one sender show."""
    return f"{sender}.shared"


def analyse_shared_senders(book: Book, model: DcModel) -> None:
    """Enter what the gauges of each sender show, where there are several of them."""
    for device_id, device, engine in model.vessel.devices():
        if not isinstance(device, Sender) or engine is None:
            continue
        gauges = gauges_on(model, f"{device_id}.signal")
        if len(gauges) > 1:
            _shared(book, device_id, device, gauges, engine.name)


def gauges_on(model: DcModel, terminal: str) -> list[tuple[str, Gauge]]:
    """The gauges whose signal terminals wires lead to from a terminal."""
    devices = {name: device for name, device, _ in model.vessel.devices()}
    seen, queue = {terminal}, [terminal]
    for node in queue:
        for wire in model.wires():
            ends = (wire.start.removesuffix(":engine"), wire.end.removesuffix(":engine"))
            if node not in ends:
                continue
            other = ends[1] if ends[0] == node else ends[0]
            passable = isinstance(devices.get(other.rpartition(".")[0]), Plug | Gauge)
            if passable and other not in seen:
                seen.add(other)
                queue.append(other)
    return [
        (name, device)
        for name, device in devices.items()
        if isinstance(device, Gauge) and f"{name}.signal" in seen
    ]


def _shared(
    book: Book, sender_id: str, sender: Sender, gauges: list[tuple[str, Gauge]], engine: str
) -> None:
    with book.working(
        shared_id(sender_id),
        f"What each of the {len(gauges)} gauges on {sender.title} shows",
        "start-run-stop",
        formula=(
            "each gauge reads R · Ri / (its share): R′ = R · Ri · sum of 1/Ri; the sender's table"
        ),
        source="voltage divider of the gauges' inner resistances and the sender; common practice",
        subject=sender_id,
        engine=engine,
    ) as w:
        if sender.gauges is not None:
            made_for = w.spec(sender, "gauges", "gauges that its table is for")
            if made_for == len(gauges):
                w.value = f"right: its table is for {made_for} gauges"
                return
        siemens = 0.0
        for _, gauge in gauges:
            inner = w.spec(gauge, "signal_resistance", f"inside {gauge.title}")
            siemens += 1.0 / inner.ohm
        table, unit = _table(sender)
        said = []
        for point in sender.table or []:
            at = w.spec(point, "resistance", f"sender at {point.reading}").ohm
            first = known(gauges[0][1].signal_resistance)
            assert first is not None
            seen_ohm = at * first.ohm * siemens
            said.append(f"{_shown(table, seen_ohm, unit)} at {point.reading}")
        w.value = f"wrong: {', '.join(said)}"
        w.note(f"The gauge reads as if the sender had {len(gauges)} times its resistance.")
        w.note("A sender made for two stations has half the resistance (common practice).")


def _table(sender: Sender) -> tuple[SenderTable, str]:
    """The sender's table as numbers, and the unit of its readings."""
    points, unit = [], ""
    for point in sender.table or []:
        found = _NUMBER.match(point.reading)
        if found is None:
            raise MissingInput(f"`{point.reading}` begins with no number")
        points.append(SenderPoint(float(found[1]), point.resistance.ohm))
        unit = found[2]
    return SenderTable(sender.title, tuple(points)), unit


def _shown(table: SenderTable, ohm: float, unit: str) -> str:
    """The reading for a resistance; at the end of its scale where it is beyond the table."""
    try:
        return f"{rounded(sender_reading(table, ohm))} {unit}".strip()
    except OutOfRange:
        most = max(table.points, key=lambda point: point.resistance_ohm)
        least = min(table.points, key=lambda point: point.resistance_ohm)
        end = most if ohm > most.resistance_ohm else least
        return f"beyond {rounded(end.reading)} {unit}".strip()
