"""Where a starter's current goes when the main negative comes loose while it turns the engine.

The block is a node with several ways to the battery's negative: besides the main negative there are
the instruments' negative, bonding, control cables and, in a twin, the other engine. Each main
negative is broken with the starter's contacts still closed; what the other ways then carry is set
against their ampacity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_guards import Guards, cranking_wires
from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book
from installgen.calc.dc_network import Variation
from installgen.calc.dc_solver import solve
from installgen.spec.electrical import Starter
from installgen.spec.entry import Entry
from installgen.units import Current

WORTH_TELLING_A = 0.5
"""Less than this more than before, a way counts as no return of the starter's."""

DUST = 1e-9
"""Share by which two ampacities that are the same may differ."""


@dataclass(frozen=True)
class Return:
    """One other way of the negative side, and what it then carries.

    wire: the conductor; nothing where the way is the metal of a control cable
    before_a: what it carried with everything whole [A]; negative where that ran the other way
    forward: whether the current runs from its first end to its second
    """

    element: str
    label: str
    entry: Entry
    wire: WireEnd | None
    before_a: float
    current_a: float
    forward: bool


@dataclass(frozen=True)
class LooseNegative:
    """One main negative, broken while its engine's starter pulls.

    main: the conductor that is broken
    before_a: what it carried [A]; forward: whether from its first end to its second
    returns: the other ways that then carry more than before, and what of the main negative's own
        way they join; the greatest current first
    """

    engine: str
    case: SolvedCase
    main: WireEnd
    before_a: float
    forward: bool
    returns: tuple[Return, ...]

    def current_id(self, way: Return) -> str:
        """Id of the current that a way then carries."""
        return f"{self.engine}.returns.without-{self.main.element}.{way.element}.current"

    def as_heavy(self, book: Book, way: Return) -> bool:
        """Whether a way may carry as much as the main negative, so is made for a starter."""
        main, may = (_may_carry(book, element) for element in (self.main.element, way.element))
        return main is not None and may is not None and may >= main * (1.0 - DUST)

    def too_much(self, book: Book, way: Return) -> bool | None:
        """Whether a way then carries more than it may; nothing where that is not assessed.

        The metal of a control cable may carry nothing; a conductor as heavy as the main negative
        may do its work.
        """
        if way.wire is None:
            return True
        may = _may_carry(book, way.element)
        if may is None:
            return None
        return way.current_a > may and not self.as_heavy(book, way)


def _may_carry(book: Book, element: str) -> float | None:
    """A conductor's ampacity [A]; nothing where it is not assessed."""
    found = book.get(ampacity_id(element))
    return found.value.a if found is not None and isinstance(found.value, Current) else None


def loose_negatives(model: DcModel, solved: Sequence[SolvedCase]) -> list[LooseNegative]:
    """Each engine's main negatives, broken in the first instant of cranking.

    Raises NotSolved where the network without one has no operating point.
    """
    settled = [case for case in solved if case.settled is not None]
    if not settled:
        return []
    guards = Guards(model, settled[0], cranking_wires(model, settled))
    negative = [end for end in model.wires() if {end.start, end.end} <= guards.negative]
    found: list[LooseNegative] = []
    for engine in model.vessel.engines:
        for device in engine.sheet.devices:
            if not isinstance(device, Starter):
                continue
            case = _pulling(settled, engine.name, f"{engine.name}.{device.id}")
            if case is None:
                continue
            pulls = abs(case.current_a(f"{engine.name}.{device.id}:contacts") or 0.0)
            ran = {end.element: case.current_a(end.element) or 0.0 for end in negative}
            mains = [end for end in negative if abs(ran[end.element]) > pulls / 2]
            for main in mains if pulls > 0.0 else ():
                returns = _returns(model, case, main, mains, negative)
                before = ran[main.element]
                loose = LooseNegative(engine.name, case, main, abs(before), before > 0, returns)
                found.append(loose)
    return found


def _pulling(solved: Sequence[SolvedCase], engine: str, starter: str) -> SolvedCase | None:
    """The case in which an engine's starter pulls most, the other engines off.

    Where it clicks in the first instant, it may still turn the engine.
    """
    for state in ("breakaway", "cranking"):
        for found in solved:
            others = {one.state for name, one in found.case.states if name != engine}
            here = found.case.state(engine).state == state and others <= {"off"}
            if here and abs(found.current_a(f"{starter}:contacts") or 0.0) > 0.0:
                return found
    return None


def _returns(
    model: DcModel,
    case: SolvedCase,
    main: WireEnd,
    mains: Sequence[WireEnd],
    negative: Sequence[WireEnd],
) -> tuple[Return, ...]:
    """The other ways with a main negative broken.

    mains: the conductors one after the other that the starter's current took
    """
    assert case.network is not None
    assert case.settled is not None
    broken = Variation(broken=frozenset({main.element}))
    point = solve(case.network, case.settled.point.closed, broken)
    several = len(model.vessel.engines) > 1
    ways: list[tuple[str, str, Entry, WireEnd | None]] = [
        (end.element, _label(end, several=several), end.wire, end)
        for end in negative
        if end is not main
    ]
    ways += [(name, name.replace("-", " "), cable, None) for name, cable, _, _ in model.cables()]
    found: list[Return] = []
    shared: list[Return] = []
    for element, label, entry, wire in ways:
        runs = point.through_a(element)
        ran = case.current_a(element) or 0.0
        before = ran if runs > 0 else -ran
        way = Return(element, label, entry, wire, before, abs(runs), runs > 0)
        if abs(runs) - abs(ran) >= WORTH_TELLING_A:
            found.append(way)
        elif wire in mains and abs(runs) >= WORTH_TELLING_A:
            shared.append(way)
    if found:
        found += shared
    return tuple(sorted(found, key=lambda way: (-way.current_a, way.element)))


def _label(end: WireEnd, *, several: bool) -> str:
    """A conductor's label, with the engine's name where two engines have one of that label."""
    if end.engine is None or not several:
        return end.wire.label
    return f"{end.engine.name} {end.wire.label}"


def analyse_returns(
    book: Book, model: DcModel, solved: Sequence[SolvedCase]
) -> tuple[LooseNegative, ...]:
    """Enter what every other way of the negative side carries without each main negative."""
    found = loose_negatives(model, solved)
    for loose in found:
        main = loose.main.wire.label
        for way in loose.returns:
            with book.working(
                loose.current_id(way),
                f"Current in {way.label} with {main} loose",
                "start-run-stop",
                formula="Kirchhoff's laws with the main negative broken, the starter still engaged",
                source="nodal analysis; the first instant of cranking, weakest battery",
                subject=way.element,
                case=loose.case.case.id,
                engine=loose.engine,
            ) as w:
                w.result(solved_id(loose.case.case), "the case with everything whole")
                w.method(f"current that {main} carried", Current(loose.before_a), "the solved case")
                ampacity = book.get(ampacity_id(way.element))
                if ampacity is not None and ampacity.assessed:
                    w.result(ampacity.id, "what it may carry")
                w.value = Current(way.current_a)
    return tuple(found)
