"""What joins two sources: which devices stand at its ends, and what each end may have to break."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_closed import ClosedWiring, Way
from installgen.analysis.dc_guards import Stretch
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_protection import CRANKING, distance_words, judged_stretch
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.results import Book, MissingInput, Working
from installgen.calc.conductors import temperature_ratio
from installgen.calc.protection import prospective_current_a
from installgen.spec.electrical import Alternator, Fuse
from installgen.units import Current, Resistance, Temperature, Voltage

BOTH = "at each battery's end"


def link_id(one: str, other: str) -> str:
    """Id of the result that says what stands at the ends of what joins two sources."""
    return f"link.{one}-{other}"


def analyse_links(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter what each device may have to break, and the devices on every way between sources."""
    wiring = ClosedWiring(tuple(found for found in solved if found.network is not None))
    fuses = {name: device for name, device, _ in model.vessel.devices() if isinstance(device, Fuse)}
    for name, fuse in fuses.items():
        _prospective(book, wiring, name, fuse, solved)
    for one, other in combinations(sorted(set(wiring.banks.values())), 2):
        _between(book, model, wiring, f"{one}.positive", f"{other}.positive", fuses)
    for name, device, engine in model.vessel.devices():
        if isinstance(device, Alternator) and engine is not None:
            _alternator(book, model, wiring, name, engine.name, fuses)


# ---- what a device may have to break ------------------------------------------------------------


def _prospective(
    book: Book, wiring: ClosedWiring, name: str, device: Fuse, solved: Sequence[SolvedCase]
) -> None:
    with book.working(
        f"fuse.{name}.prospective-current",
        f"Current that {device.title} may have to break",
        "dc-power",
        formula=(
            "sum over the batteries of EMF / (R of the strongest battery + R of the cold "
            "conductors up to it), from the side that gives more"
        ),
        source=(
            "Ohm's law; batteries full and warm, every switch closed, joints left out, each "
            "battery as if alone on its way (the most it can be)"
        ),
        subject=name,
        engine=name.partition(".")[0] if "." in name else "",
    ) as w:
        w.result(NETWORK)
        if not wiring.solved:
            first = solved[0] if solved else None
            raise MissingInput(
                first.reason if first else "there is no case", first.missing if first else ()
            )
        sides = [_ways(w, wiring, f"{name}.{end}", name) for end in ("in", "out")]
        if not any(sides):
            raise MissingInput("no way from it to a battery was found")
        given = [sum(_current(w, way, bank) for bank, way in side) for side in sides]
        most = given.index(max(given))
        for bank, way in sides[most]:
            w.result(f"battery.{bank}.strongest.emf")
            w.result(f"battery.{bank}.strongest.short-circuit")
            for element in way.elements:
                if resistance_id(element) in w.book:
                    w.result(resistance_id(element), f"{w.book[resistance_id(element)].name}, warm")
            w.method(f"the way from {bank}", Resistance(way.ohm), "its conductors at 20 °C")
        w.value = Current(max(given))
        w.note("The negative side is left out, so that the figure is not too small.")


def _ways(w: Working, wiring: ClosedWiring, node: str, fuse: str) -> list[tuple[str, Way]]:
    """The way from one side of a device to every battery that can feed it there."""
    found = []
    for pole, bank in wiring.banks.items():
        way = wiring.way(node, {pole}, lambda element: _cold_ohm(w, element), {fuse})
        if way is not None:
            found.append((bank, way))
    return found


def _current(w: Working, way: Way, bank: str) -> float:
    emf, short = (w.book[f"battery.{bank}.strongest.{what}"] for what in ("emf", "short-circuit"))
    for result in (emf, short):
        if result.value is None:
            raise MissingInput(result.not_assessed, result.missing)
    assert isinstance(emf.value, Voltage)
    assert isinstance(short.value, Current)
    return prospective_current_a(emf.value.v, emf.value.v / short.value.a + way.ohm)


def _cold_ohm(w: Working, element: str) -> float:
    """Resistance of a conductor at 20 °C; of everything else none [ohm]."""
    if resistance_id(element) not in w.book:
        return 0.0
    warm, at = (
        w.book[one].value for one in (resistance_id(element), f"conductor.{element}.temperature")
    )
    # None where it is not known: the current that a device must be able to break only grows.
    if not isinstance(warm, Resistance) or not isinstance(at, Temperature):
        return 0.0
    return float(warm.ohm / temperature_ratio(at.c))


# ---- both ends of a link ------------------------------------------------------------------------


def _between(
    book: Book, model: DcModel, wiring: ClosedWiring, one: str, other: str, fuses: dict[str, Fuse]
) -> None:
    way = wiring.way(one, {other}, wiring.hot_ohm)
    if way is None:
        return
    first, second = (node.rpartition(".")[0] for node in (one, other))
    with book.working(
        link_id(first, second),
        f"Devices between {_title(model, first)} and {_title(model, second)}",
        "dc-power",
        formula="from each battery the first device, after nothing but cranking conductors",
        source="each battery feeds a fault on what joins them; ABYC E-11",
        subject=first,
    ) as w:
        w.result(NETWORK)
        _take(w, way)
        ways = (first, way.elements), (second, way.elements[::-1])
        ends = [_first_device(w, elements, fuses) for _, elements in ways]
        far = _far_devices(w, model, [way for way, end in zip(ways, ends, strict=True) if not end])
        w.value = "; ".join([_said(model, ends), *(told for name, told in far if name not in ends)])


def _alternator(
    book: Book, model: DcModel, wiring: ClosedWiring, name: str, engine: str, fuses: dict[str, Fuse]
) -> None:
    way = wiring.way(f"{name}.output", wiring.banks, wiring.hot_ohm)
    if way is None or not way.hops:
        return
    bank = wiring.banks[way.hops[-1].reaches]
    with book.working(
        link_id(name, bank),
        f"Device between {_title(model, bank)} and {_title(model, name)}",
        "dc-power",
        formula="from the battery the first device, after nothing but cranking conductors",
        source="the battery feeds a fault on the alternator's lead; ABYC E-11",
        subject=name,
        engine=engine,
    ) as w:
        w.result(NETWORK)
        _take(w, way)
        first = _first_device(w, way.elements[::-1], fuses)
        far = [] if first else _far_devices(w, model, [(bank, way.elements[::-1])])
        w.value = "; ".join([_said(model, [first]), *(told for _, told in far)])


def _take(w: Working, way: Way) -> None:
    for element in way.elements:
        result_id = f"conductor.{element}.protected-by"
        if result_id in w.book:
            w.result(result_id)


def _first_device(w: Working, elements: Sequence[str], fuses: dict[str, Fuse]) -> str:
    """The first device from an end; empty where an unprotected conductor comes before it."""
    for element in elements:
        if element in fuses:
            return element
        result = w.book.get(f"conductor.{element}.protected-by")
        if result is not None:
            words = str(result.value)
            if not words.startswith((CRANKING, "before its device")):
                return ""
    return ""


def _far_devices(
    w: Working, model: DcModel, ways: Sequence[tuple[str, Sequence[str]]]
) -> list[tuple[str, str]]:
    """The first device from each battery, which stands too far off, with how far that is.

    ways: each battery with the elements that lead away from it
    """
    fuses = {name: device for name, device, _ in model.vessel.devices() if isinstance(device, Fuse)}
    wires = {end.element: end for end in model.wires()}
    found = []
    for bank, elements in ways:
        device = next((element for element in elements if element in fuses), None)
        if device is None:
            continue
        before = [wires[e] for e in elements[: elements.index(device)] if e in wires]
        bare = tuple(end for end in before if not _cranking(w, end.element))
        length_m = sum(model.length_m(end) or 0.0 for end in bare)
        judged = judged_stretch(model, Stretch(device, bank, bare, length_m))
        if not judged.met:
            for end in bare:
                w.optional(end.wire, "length", f"length of {end.wire.label}")
            source = _title(model, bank) if bare == tuple(before) else "the cranking conductors"
            told = f"{_title(model, device)} is too far: {distance_words(source, judged)}"
            found.append((device, told))
    return found


def _cranking(w: Working, element: str) -> bool:
    return str(w.book[f"conductor.{element}.protected-by"].value).startswith(CRANKING)


def _said(model: DcModel, ends: Sequence[str]) -> str:
    there = list(dict.fromkeys(end for end in ends if end))
    if len(there) < len(ends):
        return f"only {_title(model, there[0])}" if there else "none"
    return f"{BOTH}: {', '.join(_title(model, end) for end in there)}"


def _title(model: DcModel, device: str) -> str:
    return {name: entry.title for name, entry, _ in model.vessel.devices()}.get(device, device)
