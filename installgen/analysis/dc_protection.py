"""Protective devices: what each protects and carries, and the window its rating must lie in."""

from __future__ import annotations

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_choice import protecting_device, rating_rule
from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book, MissingInput
from installgen.calc.protection import (
    choose_rating,
    device_position,
    judge_rating,
    published_position_rules,
    rating_window,
)
from installgen.spec.electrical import Fuse, Starter
from installgen.spec.entry import Choose
from installgen.units import Current

CRANKING = "cranking conductor"
"""How the result that says what protects a conductor begins, where nothing but an isolator does."""

LAW = (
    "33 CFR 183.455(c): at most 150 % of ampacity under 50 V; 125 % of the load is common practice"
)


def analyse_protection(book: Book, model: DcModel, solved: list[SolvedCase]) -> None:
    """Enter the device of every conductor, and every device's load, window and position."""
    guarded: dict[str, list[WireEnd]] = {}
    for end in model.wires():
        guard = _device_of(book, model, end, solved)
        if guard is not None:
            guarded.setdefault(guard, []).append(end)
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Fuse):
            name = engine.name if engine is not None else ""
            _load(book, device_id, device, solved, name)
            _window(book, model, device_id, device, guarded.get(device_id, []), name)
            _position(book, device_id, device, name)


def is_cranking(model: DcModel, end: WireEnd, solved: list[SolvedCase]) -> bool:
    """Whether a conductor carries the starter's own current: more than half of it, cranking."""
    for found in solved:
        for device_id, device, engine in model.vessel.devices():
            if not isinstance(device, Starter) or engine is None:
                continue
            if found.case.state(engine.name).state not in ("breakaway", "cranking"):
                continue
            starter = abs(found.current_a(f"{device_id}:contacts") or 0.0)
            if starter > 0 and abs(found.current_a(end.element) or 0.0) > starter / 2:
                return True
    return False


def _device_of(book: Book, model: DcModel, end: WireEnd, solved: list[SolvedCase]) -> str | None:
    device: str | None = None
    with book.working(
        f"conductor.{end.element}.protected-by",
        f"What protects {end.wire.label}",
        "dc-power",
        formula="the first fuse or breaker on the way back to the source that feeds it",
        source=(
            "walk through the wiring; cranking conductors are exempt from the fuse only (33 CFR "
            "183.460)"
        ),
        subject=end.element,
        engine=end.engine.name if end.engine is not None else "",
    ) as w:
        if not any(found.settled is not None for found in solved):
            raise MissingInput(
                solved[0].reason if solved else "there is no case",
                solved[0].missing if solved else (),
            )
        for found in solved:
            if found.settled is not None and abs(found.current_a(end.element) or 0.0) > 1e-3:
                w.result(solved_id(found.case), "a case in which it carries current")
                break
        if is_cranking(model, end, solved):
            w.value = f"{CRANKING}: nothing but its isolator clears a fault on it"
            return None
        before = _before_device(model, end)
        if before is not None:
            w.value = f"before its device {before}"
            return None
        if _negative(end, solved):
            w.value = "negative side: by the devices of what returns through it"
            return None
        device = protecting_device(model, end, solved)
        if device is None and not _supplied(end, solved):
            w.value = "no supply reaches it"
        else:
            w.value = "nothing" if device is None else device
    return device


def _before_device(model: DcModel, end: WireEnd) -> str | None:
    """The device that a conductor leads to from its source; its length is judged by position."""
    for device_id, device, _ in model.vessel.devices():
        if isinstance(device, Fuse) and f"{device_id}.in" in (end.start, end.end):
            return device_id
    return None


def _supplied(end: WireEnd, solved: list[SolvedCase]) -> bool:
    """Whether a supply reaches a conductor in any case, through loads too."""
    ends = {end.start, end.end}
    return any(Wiring(item).supply_reaches(ends) for item in solved if item.settled is not None)


def _negative(end: WireEnd, solved: list[SolvedCase]) -> bool:
    found = next((item for item in solved if item.settled is not None), None)
    if found is None:
        return False
    wiring = Wiring(found)
    return wiring.is_negative(end.start) and wiring.is_negative(end.end)


def _load(book: Book, device_id: str, device: Fuse, solved: list[SolvedCase], engine: str) -> None:
    with book.working(
        f"fuse.{device_id}.load",
        f"Greatest current through {device.title}",
        "dc-power",
        formula="the greatest over all cases",
        source="the solved cases",
        subject=device_id,
        engine=engine,
    ) as w:
        best: tuple[float, SolvedCase] | None = None
        for found in solved:
            current = found.current_a(device_id)
            if current is None:
                raise MissingInput(found.reason or "it is in no case", found.missing)
            if best is None or abs(current) > best[0]:
                best = abs(current), found
        if best is None:
            raise MissingInput("there is no case")
        w.result(solved_id(best[1].case), f"the case: {best[1].case.name}")
        w.value = Current(best[0])


def _window(
    book: Book, model: DcModel, device_id: str, device: Fuse, guarded: list[WireEnd], engine: str
) -> None:
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
        if not guarded:
            raise MissingInput("no conductor is found behind it")
        weakest = min(
            (w.result(ampacity_id(end.element)) for end in guarded), key=lambda current: current.a
        )
        standard = model.vessel.standard
        if standard.fuse_load is not None:
            w.spec(standard, "fuse_load", "least rating to load")
        if standard.fuse_ampacity is not None:
            w.spec(standard, "fuse_ampacity", "largest rating to ampacity")
        window = rating_window(load, weakest.a, rating_rule(standard))
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


def _position(book: Book, device_id: str, device: Fuse, engine: str) -> None:
    with book.working(
        f"fuse.{device_id}.position",
        f"Distance of {device.title} from its source",
        "dc-power",
        formula="length of conductor from the source, against the rule whose conditions it meets",
        source="33 CFR 183.455(b): 7 in, or 40 in where sheathed or enclosed all the way",
        subject=device_id,
        engine=engine,
    ) as w:
        distance = w.spec(device, "from_source", "length from the source").m
        sheathed = w.spec(device, "enclosed", "how the conductor runs") == "sheathed"
        rules = [rule for rule in published_position_rules() if rule.mark.confirmed]
        found = device_position(
            distance, sheathed_all_the_way=sheathed, straight_from_battery=False, rules=rules
        )
        w.method("rule", found.rule.name, found.rule.source)
        w.value = (
            "within the rule"
            if found.met
            else f"too far: the rule allows {found.rule.limit_m:.3g} m"
        )
