"""Sizes for conductors marked `choose`: all of them together, from the yard's stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from installgen.analysis.conductors import in_engine_space
from installgen.analysis.dc_cases import currents_by_case, nominal_v, solve_cases
from installgen.analysis.dc_lengths import length_id
from installgen.analysis.dc_model import DcModel, WireEnd, calc_size
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book, Missing, MissingInput
from installgen.calc.conductor_selection import (
    DropPath,
    FixedPiece,
    PieceOutcome,
    Selection,
    select_conductors,
)
from installgen.calc.conductors import ConductorSize as CalcSize
from installgen.calc.conductors import Finish, SizeSystem, area_mm2
from installgen.calc.dc_elements import Contact, Resistor
from installgen.calc.protection import RatingRule
from installgen.calc.size_criteria import DeviceNeed, OpenPiece
from installgen.spec.electrical import Conductor, Fuse, Heater, Load
from installgen.spec.entry import Choose, known
from installgen.spec.standard_spec import StandardSpec
from installgen.units import ConductorSize


@dataclass(frozen=True)
class Choice:
    """What was chosen, and why.

    sizes: proposed size by label
    outcomes: each open conductor's criteria
    reason: why nothing could be chosen; empty when something was
    """

    sizes: Mapping[str, ConductorSize]
    outcomes: Mapping[str, PieceOutcome]
    reason: str = ""
    missing: tuple[Missing, ...] = ()


def choose_sizes(model: DcModel) -> Choice:
    """Propose a size for every conductor marked `choose`.

    The currents come from the network with the largest stocked size in each place; a size then
    found changes them by less than the drop it was found for.
    """
    open_ends = [end for end in model.wires() if isinstance(end.wire.size, Choose)]
    if not open_ends:
        return Choice({}, {})
    largest = {end.wire.label: _largest(model) for end in open_ends}
    if None in largest.values():
        return Choice({}, {}, "the yard's stock has no cable")
    sizes = {label: size for label, size in largest.items() if size is not None}
    solved = solve_cases(replace(model, sizes=sizes))
    failed = next((found for found in solved if found.settled is None), None)
    if failed is not None:
        return Choice({}, {}, failed.reason, failed.missing)
    lacking = _lacking(model, open_ends)
    if lacking:
        fields = ", ".join(f"`{item.path}`" for item in lacking)
        return Choice({}, {}, f"not given: {fields}", tuple(lacking))
    selection = _select(model, open_ends, solved)
    outcomes = {outcome.piece.label: outcome for outcome in selection.pieces}
    chosen = {
        label: _spec_size(outcome.chosen.size)
        for label, outcome in outcomes.items()
        if outcome.chosen is not None
    }
    reason = "" if selection.found else "no stocked size does it"
    return Choice(chosen, outcomes, reason)


def cable_list(model: DcModel) -> str:
    """The list that open conductors are chosen from: that of most of her conductors."""
    electrical = model.vessel.spec.electrical
    written = [
        size.system
        for wire in (electrical.conductors if electrical else [])
        if isinstance(
            size := known(wire.size) if not isinstance(wire.size, Choose) else None, ConductorSize
        )
    ]
    if written:
        return Counter(written).most_common(1)[0][0]
    return "AWG" if model.vessel.spec.units.first == "us" else "mm2"


def stocked(model: DcModel, insulation_c: float) -> tuple[CalcSize, ...]:
    """Stocked sizes of her list with at least this insulation, by rising copper."""
    system = cable_list(model)
    sizes = [
        calc_size(cable.size)
        for cable in model.vessel.standard.stock.cables
        if cable.size.system == system and cable.insulation.c >= insulation_c
    ]
    return tuple(sorted(sizes, key=area_mm2))


def _largest(model: DcModel) -> ConductorSize | None:
    sizes = stocked(model, 0.0)
    return _spec_size(sizes[-1]) if sizes else None


def _spec_size(size: CalcSize) -> ConductorSize:
    system = "mm2" if size.system is SizeSystem.METRIC else str(size.system)
    return ConductorSize(
        "mm2" if system == "mm2" else "AWG" if system == "AWG" else "SAE", size.designation
    )


def _lacking(model: DcModel, ends: list[WireEnd]) -> list[Missing]:
    out = []
    for end in ends:
        gaps = {
            "length": model.length_m(end) is None,
            "insulation": known(end.wire.insulation) is None,
        }
        for name, gap in gaps.items():
            if gap:
                out.append(Missing(end.wire.path_to(name), end.wire.where(name), name))
    return out


def _select(model: DcModel, ends: list[WireEnd], solved: list[SolvedCase]) -> Selection:
    labels = {end.element for end in ends}
    paths, members = _paths(model, solved, labels)
    pieces = [_piece(model, end, solved) for end in ends]
    fixed = _fixed(solved, members - labels)
    return select_conductors(pieces, fixed, paths)


def _paths(
    model: DcModel, solved: list[SolvedCase], labels: set[str]
) -> tuple[list[DropPath], set[str]]:
    """The path of every load that an open conductor feeds, and what lies on it."""
    paths: dict[str, DropPath] = {}
    members: set[str] = set()
    for found in solved:
        wiring = Wiring(found)
        for device_id, device, _ in model.vessel.devices():
            if not isinstance(device, Load | Heater) or not found.current_a(device_id):
                continue
            element = next(e for e in found.parts.elements if e.id == device_id)
            hops = [hop.element for hop in wiring.upstream(element.ends[0])]
            hops += [hop.element for hop in wiring.downstream(element.ends[1])]
            limit = drop_limit_v(model, device)
            if not labels & set(hops) or limit is None:
                continue
            members |= set(hops)
            old = paths.get(device_id)
            cases = (*old.cases, found.case.id) if old else (found.case.id,)
            paths[device_id] = DropPath(device_id, tuple(hops), limit, cases)
    return list(paths.values()), members


def drop_limit_v(model: DcModel, device: Load | Heater) -> float | None:
    """The drop that the standard allows from source to this load and back [V]."""
    circuit = device.circuit if isinstance(device, Load) else "other"
    limit = circuit_limit_ratio(model.vessel.standard, circuit)
    nominal = nominal_v(model.vessel)
    return None if limit is None or nominal is None else limit * nominal


def circuit_limit_ratio(standard: StandardSpec, circuit: str) -> float | None:
    """The standard's drop limit of a class of circuit, as a share of nominal voltage."""
    from installgen.units import Fraction

    for rule in standard.rules:
        if rule.check == "circuit-drop" and rule.circuit == circuit and rule.limit:
            return Fraction.parse(rule.limit).ratio
    return None


def _piece(model: DcModel, end: WireEnd, solved: list[SolvedCase]) -> OpenPiece:
    wire = end.wire
    length, insulation = model.length_m(end), known(wire.insulation)
    temperature = model.temperature_c(wire, end.engine)
    assert length is not None
    assert insulation is not None
    assert temperature is not None
    currents = {
        case: amps
        for found in [solved]
        for case, amps in currents_by_case(found, wire, end.element).items()
    }
    return OpenPiece(
        label=end.element,
        length_m=length,
        temperature_c=temperature,
        current_a=currents,
        carries_a=max(currents.values(), default=0.0),
        stocked=_with_lug(model, wire, stocked(model, insulation.c)),
        insulation_c=insulation.c,
        in_engine_space=in_engine_space(model, wire, end.engine),
        in_sheath=wire.sheathed == "sheathed",
        bundled_conductors=wire.bundled or 1,
        finish=Finish.TINNED if wire.strands == "tinned" else Finish.PLAIN,
        device=_device(model, end, solved),
    )


def _with_lug(model: DcModel, wire: Conductor, sizes: tuple[CalcSize, ...]) -> tuple[CalcSize, ...]:
    """Only sizes whose lug the yard keeps for the conductor's stud."""
    stud = known(wire.stud)
    if stud is None:
        return sizes
    fits = {
        calc_size(cable.size)
        for cable in model.vessel.standard.stock.cables
        if any(abs(own.mm - stud.mm) < 0.01 for own in cable.studs)
    }
    return tuple(size for size in sizes if size in fits)


def _device(model: DcModel, end: WireEnd, solved: list[SolvedCase]) -> DeviceNeed | None:
    """The nearest fuse or breaker upstream, with the load through it."""
    fuse_id = protecting_device(model, end, solved)
    if fuse_id is None:
        return None
    fuse = next(d for device_id, d, _ in model.vessel.devices() if device_id == fuse_id)
    assert isinstance(fuse, Fuse)
    rating = known(fuse.rating) if not isinstance(fuse.rating, Choose) else None
    load = max((abs(found.current_a(fuse_id) or 0.0) for found in solved), default=0.0)
    ratings = sorted({r.a for family in model.vessel.standard.stock.fuses for r in family.ratings})
    return DeviceNeed(
        load,
        rating_rule(model.vessel.standard),
        None if rating is None else rating.a,
        tuple(ratings),
    )


def rating_rule(standard: StandardSpec) -> RatingRule:
    """The standard's window for ratings, else the usual one."""
    load, top = standard.fuse_load, standard.fuse_ampacity
    usual = RatingRule()
    return RatingRule(
        usual.load_ratio if load is None else load.ratio,
        usual.ampacity_ratio if top is None else top.ratio,
        usual.legal_ratio,
    )


def protecting_device(model: DcModel, end: WireEnd, solved: list[SolvedCase]) -> str | None:
    """The first fuse or breaker from a conductor back to the source that feeds it.

    Taken in the case that loads it most. Where the way back leads through a load (the negative
    side, the wire of a sender), it is the device of that load.
    """
    found = max(
        (f for f in solved if f.settled is not None),
        key=lambda f: abs(f.current_a(end.element) or 0.0),
        default=None,
    )
    if found is None:
        return None
    fuses = {device_id for device_id, d, _ in model.vessel.devices() if isinstance(d, Fuse)}
    wiring = Wiring(found)
    current = found.current_a(end.element) or 0.0
    node = end.start if current >= 0 else end.end
    hops = wiring.upstream(node)
    for hop in hops:
        if hop.element in fuses:
            return hop.element
    if hops or wiring.sources.get(node) == "positive":
        return None
    return wiring.nearest_through_loads({end.start, end.end}, fuses)


def _fixed(solved: list[SolvedCase], members: set[str]) -> list[FixedPiece]:
    ohms: dict[str, float] = {}
    currents: dict[str, dict[str, float]] = {}
    for found in solved:
        for element in found.parts.elements:
            if element.id in members and isinstance(element, Resistor | Contact):
                ohms[element.id] = element.resistance_ohm
                current = found.current_a(element.id)
                if current is not None:
                    currents.setdefault(element.id, {})[found.case.id] = abs(current)
    return [FixedPiece(label, ohm, currents.get(label, {})) for label, ohm in ohms.items()]


def enter_choice(book: Book, model: DcModel, choice: Choice) -> None:
    """Enter the proposed size of every open conductor, each criterion's own and what governs."""
    for end in model.wires():
        if not isinstance(end.wire.size, Choose):
            continue
        outcome = choice.outcomes.get(end.element)
        with book.working(
            f"conductor.{end.element}.proposed-size",
            f"Size proposed for {end.wire.label}",
            "dc-power",
            formula=(
                "least copper of the stocked sizes that keep every limit, all open conductors "
                "together"
            ),
            source=(
                "Ohm's law; 33 CFR 183.425 and the small-craft table; the yard's stock and limits"
            ),
            subject=end.element,
        ) as w:
            if length_id(end.element) in w.book:
                w.result(length_id(end.element))
            else:
                w.spec(end.wire, "length", "length")
            w.spec(end.wire, "insulation", "insulation")
            if choice.reason or outcome is None or outcome.chosen is None:
                raise MissingInput(choice.reason or "no stocked size does it", choice.missing)
            for criterion, size in outcome.own_sizes.items():
                w.method(
                    f"by {criterion} alone",
                    str(size) if size else "none in stock",
                    "the yard's stock",
                )
            governing = ", ".join(str(criterion) for criterion in outcome.governing)
            w.method("what governs", governing, "what the next smaller stocked size would fail")
            w.value = str(_spec_size(outcome.chosen.size))
            w.note("Proposed: until somebody writes what was fitted, the manual is a draft.")
