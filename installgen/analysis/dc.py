"""The direct-current system of a vessel, from entries to results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.cases import station_cases
from installgen.analysis.conductors import analyse_conductors
from installgen.analysis.dc_cases import analyse_cases, analyse_positions, solve_cases
from installgen.analysis.dc_charging import analyse_charging
from installgen.analysis.dc_choice import Choice, choose_sizes, enter_choice
from installgen.analysis.dc_currents import analyse_currents, enter_charging
from installgen.analysis.dc_faults import analyse_faults, fault_id, spoils
from installgen.analysis.dc_lengths import analyse_lengths
from installgen.analysis.dc_links import analyse_links
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_protection import analyse_protection
from installgen.analysis.dc_returns import LooseNegative, analyse_returns
from installgen.analysis.dc_sequence import Seen, analyse_sequence
from installgen.analysis.dc_signals import analyse_shared_senders
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import BatteryModel, analyse_alternators
from installgen.analysis.dc_stability import analyse_stability
from installgen.analysis.dc_summary import analyse_summary
from installgen.analysis.results import Book
from installgen.calc.conductors import area_mm2
from installgen.spec.vessel import Vessel


@dataclass(frozen=True)
class DcAnalysis:
    """The wiring as a model, the sizes that were chosen, and every case solved.

    cases: with the weakest battery (on charge where an engine runs)
    strongest: the cranking cases with a full and warm battery
    stations: starting and stopping from the stations that are not in command in `cases`
    sequence: what is seen of each device, by case and device
    loose: each main negative, broken while the starter pulls
    """

    model: DcModel
    choice: Choice
    cases: tuple[SolvedCase, ...]
    strongest: tuple[SolvedCase, ...]
    stations: tuple[SolvedCase, ...]
    sequence: Mapping[tuple[str, str], Seen]
    loose: tuple[LooseNegative, ...]

    @cached_property
    def strongest_cases(self) -> tuple[SolvedCase, ...]:
        """Every case with a full and warm battery; solved when somebody asks."""
        return tuple(solve_cases(self.model, BatteryModel.STRONGEST))


def analyse_dc(book: Book, vessel: Vessel) -> DcAnalysis | None:
    """Enter everything of the DC system; nothing where the vessel has no electrical entry."""
    if vessel.spec.electrical is None:
        return None
    choice = _choice(book, vessel)
    model = _wired(book, vessel, choice)
    solved = analyse_cases(book, model)
    strongest = solve_cases(model, BatteryModel.STRONGEST, frozenset({"cranking"}))
    stations = solve_cases(model, which=station_cases(vessel), earlier=solved)
    analyse_positions(book, model, stations)
    sequence = analyse_sequence(book, model, [*solved, *stations])
    analyse_stability(book, model, solved)
    _protected(book, model, solved)
    analyse_links(book, model, solved)
    analyse_faults(book, model, solved)
    analyse_summary(book, model, solved, strongest)
    analyse_charging(book, model, solved)
    analyse_shared_senders(book, model)
    loose = analyse_returns(book, model, solved)
    return DcAnalysis(
        model, choice, tuple(solved), tuple(strongest), tuple(stations), sequence, loose
    )


def _choice(book: Book, vessel: Vessel) -> Choice:
    """The proposed sizes, thickened until a dead short at the end of none spoils it.

    What is too thin shows only in the network with the sizes chosen; so they are tried in a book
    that is thrown away. A size is refused once, and the stock is finite.
    """
    open_model = DcModel(vessel)
    choice, spoiled = choose_sizes(open_model), dict[str, float]()
    while choice.outcomes:
        trial = book.copy()
        model = _wired(trial, vessel, choice)
        solved = analyse_cases(trial, model)
        _protected(trial, model, solved)
        analyse_faults(trial, model, solved)
        thin = {
            label: area_mm2(outcome.chosen.size)
            for label, outcome in choice.outcomes.items()
            if outcome.chosen is not None
            and (fault := trial.get(fault_id(label))) is not None
            and spoils(fault.value)
        }
        if all(spoiled.get(label, 0.0) >= mm2 for label, mm2 in thin.items()):
            break
        spoiled |= thin
        choice = choose_sizes(open_model, spoiled)
    return choice


def _wired(book: Book, vessel: Vessel, choice: Choice) -> DcModel:
    """The wiring with the sizes chosen; enters its conductors and what the alternators give."""
    model = DcModel(vessel, choice.sizes, choice.unresolved, choice.missing)
    ends = ((end.element, end.wire, end.start, end.end) for end in model.wires())
    analyse_lengths(book, vessel, ends)
    enter_choice(book, model, choice)
    analyse_conductors(book, model)
    analyse_alternators(book, vessel)
    return model


def _protected(book: Book, model: DcModel, solved: list[SolvedCase]) -> None:
    """Enter the currents, flat batteries on charge among them, and what protects against them."""
    flat = solve_cases(model, BatteryModel.WEAKEST, frozenset({"running"}), flat=True)
    enter_charging(book, flat)
    analyse_currents(book, model, solved, flat)
    analyse_protection(book, model, solved, flat)
