"""Protective devices: what each protects and carries, and the window its rating must lie in."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_choice import rating_rule
from installgen.analysis.dc_currents import OF_ALL, greatest_current_a
from installgen.analysis.dc_guards import Guards, Stretch, cranking_wires
from installgen.analysis.dc_lengths import length_id
from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.results import Book, MissingInput, Working
from installgen.calc.protection import (
    Position,
    PositionRule,
    choose_rating,
    device_position,
    judge_rating,
    published_position_rules,
    rating_window,
)
from installgen.spec.electrical import Fuse
from installgen.spec.entry import Choose
from installgen.units import Current

CRANKING = "cranking conductor"
"""How the result that says what protects a conductor begins, where nothing but an isolator does."""

LAW = (
    "33 CFR 183.455(c): at most 150 % of ampacity under 50 V; 125 % of the load is common practice"
)

BEFORE = "before its device"
"""How it begins for a conductor that leads to its device, as near as the rule allows."""

TOO_FAR = "too far before its device"
"""How the result that says what protects a conductor begins where its device stands too far off."""

WITHIN = "within the rule"
"""The result on a device that stands as near to its source as the rule allows."""

CONTRADICTED = "within the rule, but stated nearer than it is"
"""How that begins where the distance stated is less than its conductors are long."""


def weakest_id(device_id: str) -> str:
    """Id of the result that names the weakest conductor behind a device."""
    return f"fuse.{device_id}.weakest"


def analyse_protection(
    book: Book, model: DcModel, solved: list[SolvedCase], flat: list[SolvedCase]
) -> None:
    """Enter the device of every conductor, and every device's load, window and breaking current.

    flat: the running cases with flat batteries on charge
    """
    found = next((item for item in solved if item.settled is not None), None)
    guards = None if found is None else Guards(model, found, cranking_wires(model, solved))
    guarded: dict[str, list[WireEnd]] = {}
    for end in model.wires():
        _device_of(book, model, end, solved, guards)
        for guard in _judged_by(model, end, guards):
            guarded.setdefault(guard, []).append(end)
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Fuse):
            name = engine.name if engine is not None else ""
            _load(book, device_id, device, (solved, flat), name)
            _window(book, model, device_id, device, guarded.get(device_id, []), name)
            stretch = guards.before(device_id) if guards is not None else None
            _position(book, device_id, device, stretch, name)


def _device_of(
    book: Book, model: DcModel, end: WireEnd, solved: list[SolvedCase], guards: Guards | None
) -> None:
    with book.working(
        f"conductor.{end.element}.protected-by",
        f"What protects {end.wire.label}",
        "dc-power",
        formula="the first fuse or breaker towards every battery that can feed a fault on it",
        source=(
            "walk through the wiring from every battery, all contacts closed; cranking conductors "
            "are exempt from the fuse only (33 CFR 183.460)"
        ),
        subject=end.element,
        engine=end.engine.name if end.engine is not None else "",
    ) as w:
        w.result(NETWORK)
        if guards is None:
            raise MissingInput(
                solved[0].reason if solved else "there is no case",
                solved[0].missing if solved else (),
            )
        for found in solved:
            if found.settled is not None and abs(found.current_a(end.element) or 0.0) > 1e-3:
                w.result(solved_id(found.case), "a case in which it carries current")
                break
        if end.element in guards.cranking:
            w.value = f"{CRANKING}: nothing but its isolator clears a fault on it"
        elif guards.is_bare(end):
            w.value = _before(w, model, guards.stretches(end))
        elif devices := guards.of(end):
            taps = _allowed_taps(model, end, guards)
            w.value = _before(w, model, taps) if taps else " and ".join(devices)
        elif guards.negative >= {end.start, end.end}:
            w.value = "negative side: by the devices of what returns through it"
        else:
            w.value = _through_loads(end, solved, guards)


def _judged_by(model: DcModel, end: WireEnd, guards: Guards | None) -> tuple[str, ...]:
    """The devices whose rating a conductor has to bear."""
    if guards is None or _allowed_taps(model, end, guards):
        return ()
    return guards.of(end)


def _allowed_taps(model: DcModel, end: WireEnd, guards: Guards) -> tuple[Stretch, ...]:
    """The short ways to its own devices, where the rule allows them all without another."""
    taps = guards.taps(end) if guards.of(end) else ()
    return taps if all(judged_stretch(model, tap).met for tap in taps) else ()


def _through_loads(end: WireEnd, solved: list[SolvedCase], guards: Guards) -> str:
    """What protects a conductor that is fed through a load only, such as a sender's wire."""
    ends = {end.start, end.end}
    walks = [Wiring(item) for item in solved if item.settled is not None]
    if not any(walk.supply_reaches(ends, guards.negative) for walk in walks):
        return "no supply reaches it"
    nearest = (
        walk.nearest_through_loads(ends, set(guards.fuses), guards.negative) for walk in walks
    )
    return next((device for device in nearest if device is not None), "nothing")


def _before(w: Working, model: DcModel, stretches: Sequence[Stretch]) -> str:
    """What is said of a conductor that leads to its device; its length is judged by the rule."""
    if not stretches:
        return "nothing"
    judged = [(stretch, judged_stretch(model, stretch)) for stretch in stretches]
    stretch, found = max(judged, key=lambda one: one[1].distance_m / one[1].rule.limit_m)
    for end in stretch.wires:
        if length_id(end.element) in w.book:
            w.result(length_id(end.element))
        else:
            w.spec(end.wire, "length", f"length of {end.wire.label}")
    w.method("rule", found.rule.name, found.rule.source)
    words = BEFORE if found.met else TOO_FAR
    return f"{words} {stretch.device}: {distance_words(stretch.source, found)}"


def distance_words(source: str, found: Position) -> str:
    """How far a device stands from its source, and how far it may."""
    condition = ", as it is sheathed all the way" if found.rule.sheathed_all_the_way else ""
    longer = max(_rules(), key=lambda rule: rule.limit_m)
    if not found.met and not condition:
        condition = f", or {longer.limit_m:.3g} m where it is sheathed all the way"
    return (
        f"{found.distance_m:.3g} m from {source}, "
        f"the rule allows {found.rule.limit_m:.3g} m{condition}"
    )


def _rules() -> list[PositionRule]:
    return [rule for rule in published_position_rules() if rule.mark.confirmed]


def judged_stretch(model: DcModel, stretch: Stretch) -> Position:
    """The way to a device against the rule whose conditions it meets."""
    device = next(d for name, d, _ in model.vessel.devices() if name == stretch.device)
    sheathed = stretch.sheathed or (isinstance(device, Fuse) and device.enclosed == "sheathed")
    return device_position(
        stretch.length_m,
        sheathed_all_the_way=sheathed,
        straight_from_battery=False,
        rules=_rules(),
    )


def _load(
    book: Book,
    device_id: str,
    device: Fuse,
    cases: tuple[list[SolvedCase], list[SolvedCase]],
    engine: str,
) -> None:
    with book.working(
        f"fuse.{device_id}.load",
        f"Greatest current through {device.title}",
        "dc-power",
        formula=OF_ALL,
        source="the solved cases",
        subject=device_id,
        engine=engine,
    ) as w:
        w.result(NETWORK)
        w.value = Current(greatest_current_a(w, device_id, *cases))


def _window(
    book: Book, model: DcModel, device_id: str, device: Fuse, guarded: list[WireEnd], engine: str
) -> None:
    with book.working(
        weakest_id(device_id),
        f"Weakest conductor behind {device.title}",
        "dc-power",
        formula="the least ampacity of the conductors whose faults it clears",
        source=LAW,
        subject=device_id,
        engine=engine,
    ) as w:
        w.result(NETWORK)
        if not guarded:
            raise MissingInput("no conductor is found behind it")
        carries = [(w.result(ampacity_id(end.element)).a, end.element) for end in guarded]
        w.value = min(carries)[1]
    with book.working(
        f"fuse.{device_id}.rating",
        f"Rating of {device.title} against its load and its conductors",
        "dc-power",
        formula="load · 125 % ≤ rating ≤ least ampacity · share allowed",
        source=LAW,
        subject=device_id,
        engine=engine,
    ) as w:
        load = w.result(f"fuse.{device_id}.load", "greatest current").a
        weakest = w.result(weakest_id(device_id))
        least = w.result(ampacity_id(weakest)).a
        standard = model.vessel.standard
        if standard.fuse_load is not None:
            w.spec(standard, "fuse_load", "least rating to load")
        if standard.fuse_ampacity is not None:
            w.spec(standard, "fuse_ampacity", "largest rating to ampacity")
        window = rating_window(load, least, rating_rule(standard))
        w.method("rating from", Current(window.least_a), "load · the standard's share")
        w.method("rating up to", Current(window.largest_a), "least ampacity · the standard's share")
        if isinstance(device.rating, Choose):
            ratings = [r.a for family in standard.stock.fuses for r in family.ratings]
            chosen = choose_rating(window, sorted(set(ratings)))
            if chosen is None:
                raise MissingInput("no stocked rating lies in the window")
            w.value = f"{chosen:g} A proposed"
            return
        rating = w.spec(device, "rating", "rating").a
        w.value = str(judge_rating(rating, load, window))


def _position(
    book: Book, device_id: str, device: Fuse, stretch: Stretch | None, engine: str
) -> None:
    with book.working(
        f"fuse.{device_id}.position",
        f"Distance of {device.title} from its source",
        "dc-power",
        formula=(
            "the larger of the distance stated and the length of the conductors up to it, "
            "against the rule whose conditions it meets"
        ),
        source="33 CFR 183.455(b): 7 in, or 40 in where sheathed or enclosed all the way",
        subject=device_id,
        engine=engine,
    ) as w:
        w.result(NETWORK)  # which conductors crank, and so where the source ends
        stated = w.spec(device, "from_source", "length from the source").m
        sheathed = w.spec(device, "enclosed", "how the conductor runs") == "sheathed"
        distance, contradicted = stated, ""
        if stretch is not None and stretch.length_m > stated * (1.0 + 1e-9):
            distance = stretch.length_m
            _take_lengths(w, stretch)
            contradicted = (
                f"{device.from_source} is stated, but "
                f"{' and '.join(end.wire.label for end in stretch.wires)} from {stretch.source} "
                f"to it are {distance:.3g} m; the larger counts"
            )
            w.note(f"{contradicted}.")
        found = device_position(
            distance, sheathed_all_the_way=sheathed, straight_from_battery=False, rules=_rules()
        )
        w.method("rule", found.rule.name, found.rule.source)
        allows = f"the rule allows {found.rule.limit_m:.3g} m"
        if found.met:
            w.value = f"{CONTRADICTED}: {contradicted}" if contradicted else WITHIN
        else:
            w.value = f"too far: {f'{contradicted}; ' if contradicted else ''}{allows}"


def _take_lengths(w: Working, stretch: Stretch) -> None:
    """The lengths of a stretch as inputs; one not written counts nothing."""
    for end in stretch.wires:
        if length_id(end.element) in w.book:
            w.result(length_id(end.element))
        else:
            w.optional(end.wire, "length", f"length of {end.wire.label}")
