"""Sizes for conductors marked `choose`: all of them together, from the yard's stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from installgen.analysis.conductors import in_engine_space
from installgen.analysis.dc_cases import nominal_v, solve_cases
from installgen.analysis.dc_guards import Guards, cranking_wires
from installgen.analysis.dc_lengths import length_id
from installgen.analysis.dc_model import DcModel, WireEnd, calc_size
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.duty import at_work
from installgen.analysis.results import Book, Missing, MissingInput
from installgen.calc.conductor_selection import DropPath, FixedPiece, PieceOutcome
from installgen.calc.conductors import ConductorSize as CalcSize
from installgen.calc.conductors import Finish, SizeSystem, area_mm2
from installgen.calc.dc_elements import Contact, Resistor
from installgen.calc.protection import RatingRule
from installgen.calc.sensible_sizes import Sensible, choose_sensibly
from installgen.calc.size_criteria import DeviceNeed, OpenPiece
from installgen.spec.electrical import Conductor, Fuse, Gauge, Heater, Load, Starter
from installgen.spec.entry import Choose, known
from installgen.spec.standard_spec import StandardSpec
from installgen.units import ConductorSize, Fraction, Resistance


@dataclass(frozen=True)
class Choice:
    """What was chosen, and why.

    sizes: size by label: as proposed, or the largest stocked one that stands in
    outcomes: the criteria of each open conductor that has a size
    unresolved: those that no stocked size does for, with what none keeps
    spoiled: copper that a dead short spoils before the device opens, so that more was taken [mm2]
    elsewhere: for each open conductor, the loads whose loss is not in it
    reason: why nothing could be chosen at all; empty when something was
    """

    sizes: Mapping[str, ConductorSize]
    outcomes: Mapping[str, PieceOutcome]
    unresolved: Mapping[str, str] = field(default_factory=dict)
    elsewhere: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    spoiled: Mapping[str, float] = field(default_factory=dict)
    reason: str = ""
    missing: tuple[Missing, ...] = ()


def choose_sizes(model: DcModel, spoiled: Mapping[str, float] | None = None) -> Choice:
    """Propose a size for every conductor marked `choose`.

    spoiled: by label, copper that a dead short was found to spoil; only more is proposed [mm2]

    The currents come from the network with the largest stocked size in each place; a size then
    found changes them by less than the drop it was found for.
    """
    open_ends = [end for end in model.wires() if isinstance(end.wire.size, Choose)]
    if not open_ends:
        return Choice({}, {})
    largest = _largest(model)
    if largest is None:
        return Choice({}, {}, reason="the yard's stock has no cable")
    lacking = _lacking(model, open_ends)
    if lacking:
        fields = ", ".join(f"`{item.path}`" for item in lacking)
        return Choice({}, {}, reason=f"not given: {fields}", missing=tuple(lacking))
    sizes = {end.wire.label: largest for end in open_ends}
    solved = solve_cases(replace(model, sizes=sizes))
    failed = next((found for found in solved if found.settled is None), None)
    if failed is not None:
        return Choice({}, {}, reason=failed.reason, missing=failed.missing)
    flat = solve_cases(replace(model, sizes=sizes), only=frozenset({"running"}), flat=True)
    too_thin, sensible = _select(model, open_ends, solved, flat, spoiled or {})
    chosen = {
        label: _spec_size(outcome.chosen.size)
        for label, outcome in sensible.pieces.items()
        if outcome.chosen is not None
    }
    for label in sensible.unresolved:
        stands = sensible.stand_in.get(label)
        chosen[label] = largest if stands is None else _spec_size(stands)
    elsewhere = {
        label: tuple(
            dict.fromkeys(o.path.name for o in sensible.elsewhere if label in o.path.members)
        )
        for label in sensible.pieces
    }
    return Choice(chosen, sensible.pieces, sensible.unresolved, elsewhere, too_thin)


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


def _select(
    model: DcModel,
    ends: list[WireEnd],
    solved: list[SolvedCase],
    flat: list[SolvedCase],
    spoiled: Mapping[str, float],
) -> tuple[Mapping[str, float], Sensible]:
    """What a dead short spoils of each conductor's run [mm2], and the sizes."""
    labels = {end.element for end in ends}
    paths, members = _paths(model, solved, labels)
    cranking = cranking_wires(model, solved)
    guards = Guards(model, solved[0], cranking)
    pieces = [_piece(model, end, guards, solved, flat) for end in ends]
    fixed = _fixed(model, solved, members - labels)
    runs = _runs(pieces, paths)
    least = {
        piece.label: max(
            spoiled.get(other.label, 0.0)
            for other in runs
            if other is piece or (piece.group and other.group == piece.group)
        )
        for piece in runs
    }
    stout = [replace(piece, stocked=_above(piece.stocked, least[piece.label])) for piece in runs]
    sensible = choose_sensibly(stout, fixed, paths)
    return {label: mm2 for label, mm2 in least.items() if mm2 > 0.0}, sensible


def _above(stock: tuple[CalcSize, ...], least_mm2: float) -> tuple[CalcSize, ...]:
    """The sizes with more copper; all of them where none has, so that the finding says so."""
    return tuple(size for size in stock if area_mm2(size) > least_mm2) or stock


def _runs(pieces: list[OpenPiece], paths: list[DropPath]) -> list[OpenPiece]:
    """The pieces, those of one run grouped: the same current on the same paths, out and back."""

    def run_of(piece: OpenPiece) -> str:
        on = ", ".join(path.name for path in paths if piece.label in path.members)
        amps = ", ".join(f"{case} {amps:.4g}" for case, amps in sorted(piece.current_a.items()))
        return f"{on}: {amps}: {', '.join(map(str, piece.stocked))}" if on else ""

    return [replace(piece, group=run_of(piece)) for piece in pieces]


def _paths(
    model: DcModel, solved: list[SolvedCase], labels: set[str]
) -> tuple[list[DropPath], set[str]]:
    """The path of every device that an open conductor feeds, and what lies on it."""
    paths: dict[tuple[str, tuple[str, ...]], DropPath] = {}
    members: set[str] = set()
    for found in solved:
        for device_id, plus, minus, limit in _limited(model, found):
            wiring = Wiring(found)
            hops = [hop.element for hop in (*wiring.upstream(plus), *wiring.downstream(minus))]
            if not labels & set(hops):
                continue
            members |= set(hops)
            key = device_id, tuple(hops)
            old = paths.get(key)
            cases = (*old.cases, found.case.id) if old else (found.case.id,)
            limit = min(limit, old.limit_v) if old else limit
            paths[key] = DropPath(device_id, tuple(hops), limit, cases)
    return list(paths.values()), members


def _limited(model: DcModel, found: SolvedCase) -> Iterator[tuple[str, str, str, float]]:
    """What has a limit for its loss in a case: device, its two nodes, the limit [V]."""
    elements = {element.id: element for element in found.parts.elements}
    for device_id, device, engine in model.vessel.devices():
        if isinstance(device, Load | Heater | Gauge):
            element, limit = elements.get(device_id), drop_limit_v(model, device)
            on = at_work(found.case, device, engine) and found.current_a(device_id)
            if element is not None and limit is not None and on:
                yield device_id, *element.ends, limit
        elif isinstance(device, Starter) and engine is not None:
            motor, limit_ohm = elements.get(f"{device_id}:motor"), starter_limit_ohm(model)
            amps = abs(found.current_a(f"{device_id}:contacts") or 0.0)
            turns = found.case.state(engine.name).state == "cranking"
            if motor is not None and limit_ohm is not None and turns and amps > 0.0:
                yield device_id, f"{device_id}.battery", motor.ends[1], limit_ohm * amps


def starter_limit_ohm(model: DcModel) -> float | None:
    """The standard's limit for the way from battery to starter and back [ohm]."""
    nominal = nominal_v(model.vessel)
    for rule in model.vessel.standard.rules:
        if rule.check == "starter-circuit" and rule.circuit == f"{nominal:g}-v" and rule.limit:
            return Resistance.parse(rule.limit).ohm
    return None


def drop_limit_v(model: DcModel, device: Load | Heater | Gauge) -> float | None:
    """The drop that the standard allows from source to this load and back [V]."""
    circuit = device.circuit if isinstance(device, Load) else "other"
    limit = circuit_limit_ratio(model.vessel.standard, circuit)
    nominal = nominal_v(model.vessel)
    return None if limit is None or nominal is None else limit * nominal


def circuit_limit_ratio(standard: StandardSpec, circuit: str) -> float | None:
    """The standard's drop limit of a class of circuit, as a share of nominal voltage."""
    for rule in standard.rules:
        if rule.check == "circuit-drop" and rule.circuit == circuit and rule.limit:
            return Fraction.parse(rule.limit).ratio
    return None


def _piece(
    model: DcModel,
    end: WireEnd,
    guards: Guards,
    solved: list[SolvedCase],
    flat: list[SolvedCase],
) -> OpenPiece:
    wire = end.wire
    length, insulation = model.length_m(end), known(wire.insulation)
    temperature = model.temperature_c(wire, end.engine)
    assert length is not None
    assert insulation is not None
    assert temperature is not None
    currents = {found.case.id: abs(found.current_a(end.element) or 0.0) for found in solved}
    charging = [abs(found.current_a(end.element) or 0.0) for found in flat]
    cranks = end.element in guards.cranking
    return OpenPiece(
        label=end.element,
        length_m=length,
        temperature_c=temperature,
        current_a=currents,
        carries_a=None if cranks else max(*currents.values(), *charging, 0.0),
        stocked=_with_lug(model, wire, stocked(model, insulation.c)),
        insulation_c=insulation.c,
        in_engine_space=in_engine_space(model, wire, end.engine),
        in_sheath=wire.sheathed == "sheathed",
        bundled_conductors=wire.bundled or 1,
        finish=Finish.TINNED if wire.strands == "tinned" else Finish.PLAIN,
        device=None if cranks else _device(model, guards.of(end), solved, flat),
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


def _device(
    model: DcModel, fuses: Sequence[str], solved: list[SolvedCase], flat: list[SolvedCase]
) -> DeviceNeed | None:
    """The fuse or breaker before a conductor, with the load through it; of several the largest."""
    needs = []
    for fuse_id in fuses:
        fuse = next(d for device_id, d, _ in model.vessel.devices() if device_id == fuse_id)
        assert isinstance(fuse, Fuse)
        rating = known(fuse.rating) if not isinstance(fuse.rating, Choose) else None
        load = max((abs(found.current_a(fuse_id) or 0.0) for found in (*solved, *flat)), default=0)
        stock = model.vessel.standard.stock.fuses
        ratings = sorted({r.a for family in stock for r in family.ratings})
        rule = rating_rule(model.vessel.standard)
        fitted = None if rating is None else rating.a
        needs.append(DeviceNeed(load, rule, fitted, tuple(ratings)))
    return max(needs, key=lambda need: need.fitted_a or need.load_a, default=None)


def rating_rule(standard: StandardSpec) -> RatingRule:
    """The standard's window for ratings, else the usual one."""
    load, top = standard.fuse_load, standard.fuse_ampacity
    usual = RatingRule()
    return RatingRule(
        usual.load_ratio if load is None else load.ratio,
        usual.ampacity_ratio if top is None else top.ratio,
        usual.legal_ratio,
    )


def _fixed(model: DcModel, solved: list[SolvedCase], members: set[str]) -> list[FixedPiece]:
    ohms: dict[str, float] = {}
    currents: dict[str, dict[str, float]] = {}
    drops: dict[str, dict[str, float]] = {}
    wires = {end.element: end for end in model.wires()}
    for found in solved:
        for element in found.parts.elements:
            current = found.current_a(element.id)
            if element.id not in members or current is None:
                continue
            ohms.setdefault(element.id, 0.0)
            currents.setdefault(element.id, {})[found.case.id] = abs(current)
            if isinstance(element, Resistor | Contact):
                ohms[element.id] = element.resistance_ohm
            else:
                across = found.across_v(*element.ends)
                drops.setdefault(element.id, {})[found.case.id] = abs(across or 0.0)
    return [
        FixedPiece(
            label, ohm, currents[label], *_extent(model, wires.get(label)), drops.get(label, {})
        )
        for label, ohm in ohms.items()
    ]


def _extent(model: DcModel, end: WireEnd | None) -> tuple[float, float]:
    """Length [m] and copper [mm2] of a conductor; nil of anything else."""
    size = model.size_of(end.wire) if end is not None else None
    length_m = model.length_m(end) if end is not None else None
    if size is None or length_m is None:
        return 0.0, 0.0
    return length_m, area_mm2(calc_size(size))


def no_size(criterion: str) -> str:
    """What is said of a conductor that no stocked size does for."""
    return f"no stocked size does it ({criterion})"


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
                "Ohm's law; 33 CFR 183.425 and the small-craft table; the yard's stock and limits; "
                "a loss that lies in other pieces is left to them (common practice)"
            ),
            subject=end.element,
        ) as w:
            if length_id(end.element) in w.book:
                w.result(length_id(end.element))
            else:
                w.spec(end.wire, "length", "length")
            w.spec(end.wire, "insulation", "insulation")
            if end.element in choice.unresolved:
                raise MissingInput(no_size(choice.unresolved[end.element]))
            if choice.reason or outcome is None or outcome.chosen is None:
                raise MissingInput(choice.reason or "nothing was chosen", choice.missing)
            for criterion, size in outcome.own_sizes.items():
                w.method(
                    f"by {criterion} alone",
                    str(size) if size else "none in stock",
                    "the yard's stock",
                )
            governing = ", ".join(str(criterion) for criterion in outcome.governing)
            w.method("what governs", governing, "what the next smaller stocked size would fail")
            if end.element in choice.spoiled:
                w.note(
                    "The next smaller stocked size would be spoiled by a dead short at its end "
                    "before its fuse or breaker opens."
                )
            w.value = str(_spec_size(outcome.chosen.size))
            for load in choice.elsewhere.get(end.element, ()):
                w.note(
                    f"What {load} is short of is lost elsewhere, in what is fitted: a few sizes "
                    "more here do not make it good. The finding names where most is lost."
                )
            w.note("Proposed: until somebody writes what was fitted, the manual is a draft.")
