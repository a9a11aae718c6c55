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


@dataclass(frozen=True)
class Return:
    """One other way of the negative side, and what it then carries.

    wire: the conductor; nothing where the way is the metal of a control cable
    forward: whether the current runs from its first end to its second
    """

    element: str
    label: str
    entry: Entry
    wire: WireEnd | None
    current_a: float
    forward: bool


@dataclass(frozen=True)
class LooseNegative:
    """One main negative, broken while its engine's starter pulls.

    main: the conductor that is broken
    before_a: what it carried [A]; forward: whether from its first end to its second
    returns: the other ways that then carry more than before, the greatest current first
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
            for main in negative:
                runs = case.current_a(main.element) or 0.0
                if pulls > 0.0 and abs(runs) > pulls / 2:
                    returns = _returns(model, case, main, negative)
                    loose = LooseNegative(engine.name, case, main, abs(runs), runs > 0, returns)
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
    model: DcModel, case: SolvedCase, main: WireEnd, negative: Sequence[WireEnd]
) -> tuple[Return, ...]:
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
    found = []
    for element, label, entry, wire in ways:
        runs = point.through_a(element)
        if abs(runs) - abs(case.current_a(element) or 0.0) >= WORTH_TELLING_A:
            found.append(Return(element, label, entry, wire, abs(runs), runs > 0))
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
