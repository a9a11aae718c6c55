"""The greatest current of every conductor: over all cases, and while a flat battery is charged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book, MissingInput, Working
from installgen.units import Current

ALIKE = 1e-7
"""Share by which the currents of two cases may differ and still be one."""

NOTHING_A = 1e-9

OF_ALL = "the greatest over all cases, and over charging flat batteries at each speed"


def flat_id(found: SolvedCase) -> str:
    """Id of the result that says how a case goes while flat batteries are charged."""
    return f"dc.{found.case.id}.charging"


def enter_charging(book: Book, flat: Sequence[SolvedCase]) -> None:
    """Enter how each running case goes while flat batteries take all that the alternators give."""
    for found in flat:
        with book.working(
            flat_id(found),
            f"Charging flat batteries: {found.case.name}",
            "dc-power",
            formula="Kirchhoff's laws; a flat battery takes all that the alternators give",
            source="nodal analysis; batteries at the charge of the weakest (common practice)",
            subject=f"case.{found.case.id}",
            case=found.case.id,
        ) as w:
            w.result(solved_id(found.case), "the case")
            if found.settled is None:
                raise MissingInput(found.reason, found.missing)
            w.value = "settled" if not found.settled.chatter else "chatters"


def greatest_current_a(
    w: Working, element: str, solved: Sequence[SolvedCase], flat: Sequence[SolvedCase]
) -> float:
    """The greatest current of an element, with the case that it is in as an input [A].

    Raises MissingInput where a case could not be solved.
    """
    unsolved = next((found for found in (*solved, *flat) if found.settled is None), None)
    carried = list(_carried(element, solved, flat))
    if not carried or unsolved is not None:
        reason = unsolved.reason if unsolved is not None else "it is in no case"
        raise MissingInput(reason, unsolved.missing if unsolved is not None else ())
    most_a = max(amps for amps, _, _ in carried)
    # Of cases that differ by nothing but the solver's last digits the first one counts.
    amps, found, charging = next(
        one for one in carried if one[0] >= most_a * (1.0 - ALIKE) - NOTHING_A
    )
    words = f"{found.case.name}, charging flat batteries" if charging else found.case.name
    w.result(flat_id(found) if charging else solved_id(found.case), f"the case: {words}")
    w.note(f"In the case: {words}.")
    return amps


def _carried(
    element: str, solved: Sequence[SolvedCase], flat: Sequence[SolvedCase]
) -> Iterator[tuple[float, SolvedCase, bool]]:
    for charging, cases in ((False, solved), (True, flat)):
        for found in cases:
            amps = found.current_a(element)
            if amps is not None:
                yield abs(amps), found, charging


def analyse_currents(
    book: Book, model: DcModel, solved: Sequence[SolvedCase], flat: Sequence[SolvedCase]
) -> None:
    """Enter the greatest current of each conductor."""
    for end in model.wires():
        with book.working(
            f"conductor.{end.element}.current",
            f"Greatest current in {end.wire.label}",
            "dc-power",
            formula=OF_ALL,
            source="the solved cases",
            subject=end.element,
            engine=end.engine.name if end.engine is not None else "",
        ) as w:
            w.value = Current(greatest_current_a(w, end.element, solved, flat))
