"""Faults that a fuse must end: a dead short at a conductor's end, and overloads near the rating."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from installgen.analysis.conductors import (
    ampacity_id,
    in_engine_space,
    resistance_id,
    taken_size,
)
from installgen.analysis.dc_closed import ClosedWiring, Way
from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.results import Book, Missing, MissingInput, Working
from installgen.calc.clearing import (
    Clearing,
    Cooling,
    CurvePoint,
    FaultClearing,
    TimeCurrentCurve,
    adiabatic_factor,
    fault_clearing,
)
from installgen.calc.conductors import area_mm2, temperature_ratio
from installgen.spec.electrical import Conductor, Diode, Fuse
from installgen.spec.standard_spec import FuseStock
from installgen.units import Current, Resistance, Time

OVERLOADS = (1.1, 1.35, 1.5, 2.0)
"""Multiples of the rating at which devices open late or not at all: the fire case."""

ENGINE_SPACE_C, OUTSIDE_C = 50.0, 30.0
"""Air that the published ampacities are for."""

_PVC_FINAL_C, _XLPE_FINAL_C, _XLPE_FROM_C = 160.0, 250.0, 125.0

SOURCE = (
    "the device maker's time–current curve, slowest device; IEC 60364-5-54, adiabatic formula, and "
    "IEC 60949 for its factor; beyond 5 s with the heat that leaves, derived from the ampacity"
)


LATE = "too late"


def fault_current_id(element: str, guard: str = "") -> str:
    """Id of the least current of a dead short at a conductor's end.

    guard: of several devices that each feed the short from a source of their own, the one
    """
    return ".".join(["conductor", element, "fault-current", *([guard] if guard else [])])


def fault_id(element: str) -> str:
    """Id of the result that says how a dead short at a conductor's end clears."""
    return f"conductor.{element}.fault"


def overload_id(fuse: str, multiple: float) -> str:
    """Id of the result that says what becomes of an overload of a fuse."""
    return f"fuse.{fuse}.overload-{multiple * 100:.0f}"


def analyse_faults(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter how a dead short of each protected conductor and overloads of each device clear."""
    cases = tuple(found for found in solved if found.network is not None)
    wiring, through_loads = ClosedWiring(cases), ClosedWiring(cases, through_loads=True)
    fuses = {name: device for name, device, _ in model.vessel.devices() if isinstance(device, Fuse)}
    rated = {end.element: end.wire for end in model.wires()}
    diodes = {name for name, device, _ in model.vessel.devices() if isinstance(device, Diode)}
    straight: dict[str, list[WireEnd]] = {}
    for end in model.wires():
        # A link between two batteries has a device at each end, and each has to clear its part.
        words = str(book[f"conductor.{end.element}.protected-by"].value)
        guards = [guard for guard in words.split(" and ") if guard in fuses]
        currents: dict[str, str] = {}
        for guard in guards:
            way = _way_through(wiring, guard, end)
            if way is not None:
                straight.setdefault(guard, []).append(end)
            else:
                way = _way_through(through_loads, guard, end)
            through = fuses[guard].title if len(guards) > 1 else ""
            currents[guard] = fault_current_id(end.element, guard if through else "")
            _fault_current(book, currents[guard], way, end, rated, diodes, through)
        if currents:
            _fault(book, model, {guard: fuses[guard] for guard in guards}, currents, end)
    for name, ends in straight.items():
        for multiple in OVERLOADS:
            _overload(book, model, name, fuses[name], ends, multiple)


def family_of(model: DcModel, device: Fuse) -> FuseStock | None:
    """The stocked family that a device says it is of."""
    wanted = device.type.casefold()
    fuses = model.vessel.standard.stock.fuses
    return next((one for one in fuses if one.type.casefold() == wanted), None)


def _fault_current(
    book: Book,
    result_id: str,
    found: tuple[Way, str] | None,
    end: WireEnd,
    rated: Mapping[str, Conductor],
    diodes: Collection[str],
    through: str,
) -> None:
    """Enter the least current that a device lets through to a short at a conductor's end.

    rated: every conductor by its element; diodes: those aboard
    through: the device's title where there are several
    """
    with book.working(
        result_id,
        f"Least current of a dead short at the end of {end.wire.label}"
        + (f", through {through}" if through else ""),
        "dc-power",
        formula="I = EMF of the weak battery / (its resistance + twice the way there)",
        source=(
            "Ohm's law; the way back is taken as long and as thin as the way there, conductors "
            "as warm as their insulation allows, joints, fuses and switches in: the least it can be"
        ),
        subject=end.element,
        engine=_engine(end),
    ) as w:
        w.result(NETWORK)
        if found is None:
            raise MissingInput("no way from a battery through its device was found")
        there, bank = found
        if set(diodes) & set(there.elements):
            raise MissingInput("a diode lies on its way, whose loss at this current is not known")
        emf = w.result(f"battery.{bank}.weakest.emf").v
        inside = w.result(f"battery.{bank}.weakest.resistance").ohm
        copper, rest = 0.0, there.ohm
        for element in there.elements:
            if element in rated:
                warm = w.result(resistance_id(element)).ohm
                at = w.result(f"conductor.{element}.temperature").c
                hottest = w.spec(rated[element], "insulation", f"insulation of {element}").c
                copper += warm * temperature_ratio(max(hottest, at)) / temperature_ratio(at)
                rest -= warm
        others = Resistance(max(rest, 0.0))
        w.method("the rest of the way: joints, fuses, pins, switches", others, "sum")
        w.value = Current(emf / (inside + 2.0 * (copper + others.ohm)))


def _way_through(wiring: ClosedWiring, fuse: str, end: WireEnd) -> tuple[Way, str] | None:
    """From a battery through a fuse to the far end of a conductor behind it, and that battery."""
    before = wiring.way(f"{fuse}.in", wiring.banks, wiring.hot_ohm, {fuse})
    behind = [
        way
        for node in (end.start, end.end)
        if (way := wiring.way(f"{fuse}.out", {node}, wiring.hot_ohm, {fuse})) is not None
    ]
    if before is None or not behind or fuse not in wiring.elements:
        return None
    farther = max(behind, key=lambda way: way.ohm)
    bank = wiring.banks[before.hops[-1].reaches if before.hops else f"{fuse}.in"]
    ohm = before.ohm + wiring.hot_ohm(fuse) + farther.ohm
    return Way((*before.hops, *farther.hops), ohm), bank


def _fault(
    book: Book,
    model: DcModel,
    fuses: Mapping[str, Fuse],
    currents: Mapping[str, str],
    end: WireEnd,
) -> None:
    """Enter how a dead short clears; of several devices the one that meets it worst counts.

    currents: the result with the least current through each device
    """
    with book.working(
        fault_id(end.element),
        f"Dead short at the end of {end.wire.label}",
        "dc-power",
        formula="opening time of the slowest device against t = (k·S / I)²",
        source=SOURCE,
        subject=end.element,
        engine=_engine(end),
    ) as w:
        w.result(NETWORK)
        met: dict[str, FaultClearing] = {}
        for guard, device in fuses.items():
            of = f"least fault current through {device.title}" if len(fuses) > 1 else ""
            current = w.result(currents[guard], of or "least fault current").a
            met[guard] = _clearing(w, model, device, [end], current)
        worst = max(met, key=lambda guard: _severity(met[guard]))
        w.value = _words(met[worst])
        if len(met) > 1:
            w.note(
                f"Fed through {len(met)} devices. The worse, {fuses[worst].title}: "
                f"{_told(met[worst], end)}."
            )


def _severity(found: FaultClearing) -> tuple[bool, int, float]:
    """How ill a device meets a fault, beside others: first what spoils the conductor."""
    order = [Clearing.FAST, Clearing.SLOWLY, Clearing.NEVER]
    return not found.conductor_survives, order.index(found.clearing), found.opening.longest_s


def _overload(
    book: Book, model: DcModel, fuse: str, device: Fuse, ends: Sequence[WireEnd], multiple: float
) -> None:
    with book.working(
        overload_id(fuse, multiple),
        f"{device.title} at {multiple:g} times its rating",
        "dc-power",
        formula="opening time of the slowest device against ampacity and t = (k·S / I)²",
        source=SOURCE,
        subject=fuse,
        engine=fuse.partition(".")[0] if "." in fuse else "",
    ) as w:
        w.result(NETWORK)
        rating = w.spec(device, "rating", "rating").a
        found = _clearing(w, model, device, ends, multiple * rating)
        w.value = _words(found)


def _clearing(
    w: Working, model: DcModel, device: Fuse, ends: Sequence[WireEnd], current_a: float
) -> FaultClearing:
    """How a device meets a current, for the conductor behind it that stands the least."""
    curve = _curve(w, model, device)
    fast_s = w.assume("fast_clearing", "longest time that counts as fast").s
    met = []
    for end in ends:
        ampacity = w.result(ampacity_id(end.element)).a
        if current_a <= ampacity:
            k, area, cooling = 1.0, 1.0, None  # carried for ever: none of them matters
        else:
            k, rated_c, further_k = _factor(w, end)
            area = area_mm2(taken_size(w, model, end.wire))
            air_c = ENGINE_SPACE_C if in_engine_space(model, end.wire, end.engine) else OUTSIDE_C
            w.method("air that its ampacity is for, °C", air_c, "33 CFR 183.425, table 5")
            cooling = Cooling(ampacity, rated_c - air_c, further_k)
        met.append(
            fault_clearing(
                curve,
                current_a,
                area_mm2=area,
                k_a_sqrt_s_per_mm2=k,
                fast_s=fast_s,
                ampacity_a=ampacity,
                cooling=cooling,
            )
        )
    worst = min(met, key=lambda one: (one.withstand_s, one.current_a))
    end = ends[met.index(worst)]
    if len(ends) > 1:
        w.note(f"Of what it protects, {end.wire.label} stands the least.")
    w.note(f"{_told(worst, end)}.")
    return worst


def _curve(w: Working, model: DcModel, device: Fuse) -> TimeCurrentCurve:
    family = family_of(model, device)
    if family is None:
        place = Missing(device.path_to("type"), device.where("type"), "family of the device")
        raise MissingInput(f"the standard keeps no family `{device.type}`", (place,))
    holds = w.spec(family, "holds", f"{family.type} holds this multiple of its rating").ratio
    if not family.curve:
        w.spec(family, "curve", f"time–current curve of {family.type}")
    rating = w.spec(device, "rating", "rating").a
    points = []
    for point in family.curve or []:
        at = w.spec(point, "at", "multiple of the rating").ratio
        longest = w.spec(point, "longest", f"slowest device at {at:g} times").s
        shortest = w.spec(point, "shortest", f"fastest device at {at:g} times").s
        points.append(CurvePoint(at * rating, shortest, longest))
    return TimeCurrentCurve(holds * rating, tuple(points))


def _factor(w: Working, end: WireEnd) -> tuple[float, float, float]:
    """Factor k from the insulation's rating, that rating [°C], and the rise to the most [K]."""
    rated = w.spec(end.wire, "insulation", f"insulation of {end.wire.label}").c
    final = _XLPE_FINAL_C if rated >= _XLPE_FROM_C else _PVC_FINAL_C
    w.method(
        "most its insulation stands for seconds, °C",
        final,
        "IEC 60364-5-54: PVC 160 °C, XLPE 250 °C",
    )
    return adiabatic_factor(rated, final), rated, final - rated


def spoils(words: object) -> bool:
    """Whether a dead short or an overload, by the words of its result, spoils the conductor."""
    return words == Clearing.NEVER or str(words).endswith(LATE)


def _words(found: FaultClearing) -> str:
    """The verdict in the words that pages and findings use."""
    if found.clearing is Clearing.NEVER:
        return "carried without harm" if found.conductor_survives else str(Clearing.NEVER)
    if found.conductor_survives:
        return str(found.clearing)
    return f"{found.clearing}, {LATE}"


def _told(found: FaultClearing, end: WireEnd) -> str:
    return f"{Current(found.current_a)}: {_opens(found)}; {end.wire.label} {_stands(found)}"


def _opens(found: FaultClearing) -> str:
    shortest, longest = found.opening.shortest_s, found.opening.longest_s
    if math.isinf(longest):
        return "the device may never open"
    return f"the device opens after {Time(shortest)} to {Time(longest)}"


def _stands(found: FaultClearing) -> str:
    return (
        "carries it for ever"
        if math.isinf(found.withstand_s)
        else f"stands it {Time(found.withstand_s)}"
    )


def _engine(end: WireEnd) -> str:
    return end.engine.name if end.engine is not None else ""
