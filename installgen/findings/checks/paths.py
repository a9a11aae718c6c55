"""Which conductors of a path cost the most volts, so that a finding points at them."""

from __future__ import annotations

from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_model import WireEnd
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.findings.survey import Survey
from installgen.units import Resistance


def case_called(survey: Survey, case_id: str) -> SolvedCase | None:
    """The solved case of that id."""
    return next((found for found in survey.cases if found.case.id == case_id), None)


def conductors_on_path(survey: Survey, device_id: str, found: SolvedCase) -> list[WireEnd]:
    """The conductors between a load's two ends and the battery, from the load on."""
    element = next(
        (e for e in found.parts.elements if e.id in (device_id, f"{device_id}:motor")), None
    )
    if element is None or found.settled is None:
        return []
    wiring = Wiring(found)
    starter = element.id != device_id
    plus = f"{device_id}.battery" if starter else element.ends[0]
    hops = [hop.element for hop in wiring.upstream(plus)]
    hops += [hop.element for hop in wiring.downstream(element.ends[1])]
    by_element = {end.element: end for end in survey.wires}
    return [by_element[hop] for hop in hops if hop in by_element]


def heaviest_pieces(survey: Survey, device_id: str, case_id: str) -> list[WireEnd]:
    """The vessel's conductors on a load's path, the one that loses most volts first.

    An engine's own conductors come after them: the yard does not change those.
    """
    found = case_called(survey, case_id)
    if found is None:
        return []
    losses = []
    for end in conductors_on_path(survey, device_id, found):
        result_id = resistance_id(end.element)
        value = survey.book[result_id].value if result_id in survey.book else None
        ohm = value.ohm if isinstance(value, Resistance) else 0.0
        losses.append((ohm * abs(found.current_a(end.element) or 0.0), end))
    losses.sort(key=lambda item: (item[1].engine is not None, -item[0], item[1].element))
    return [end for _, end in losses]
