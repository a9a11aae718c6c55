"""What a meter should show at every terminal in every case of an engine's sequence."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.fault_tree import NOTHING_V, band_v
from installgen.analysis.fault_trees import EngineFaults

CARRIES_A = 0.5
"""A terminal that carries less is not called loaded."""


@dataclass(frozen=True)
class ExpectedReading:
    """A terminal in a case, read against the negative post of the engine's battery.

    band_v: from the weakest battery with a meter that reads low to the strongest with one that
        reads high; None where the terminal floats, so that a meter may show anything [V]
    flow_a: current that the terminal passes on meanwhile, weakest battery [A]
    """

    case: DcCase
    node: str
    band_v: tuple[float, float] | None
    flow_a: float

    @property
    def nothing(self) -> bool:
        """Whether a meter is said to show nothing."""
        return self.band_v is not None and max(map(abs, self.band_v)) <= NOTHING_V

    def holds(self, volts: float) -> bool | None:
        """Whether a reading lies within the band; None where anything may be shown."""
        return None if self.band_v is None else self.band_v[0] <= volts <= self.band_v[1]


def expected_readings(faults: EngineFaults) -> Iterator[ExpectedReading]:
    """Every terminal in every case, case after case."""
    study = faults.study
    low_v, high_v = study.expected_v()
    flows = {found.case.id: flows_a(found) for found in faults.weakest}
    cases = {case.id: case for case in study.cases}
    for (case_id, node), index in study.points.items():
        band = None
        if not math.isnan(low_v[index]):
            least, most = float(low_v[index]), float(high_v[index])
            band = least - band_v(least), most + band_v(most)
        yield ExpectedReading(cases[case_id], node, band, flows[case_id].get(node, 0.0))


def flows_a(found: SolvedCase) -> dict[str, float]:
    """The current that each node passes on: half of what all elements carry at it [A]."""
    flows: dict[str, float] = {}
    if found.settled is None:
        return flows
    for element in found.parts.elements:
        current = abs(found.settled.point.through_a(element.id))
        for node in element.ends:
            flows[node] = flows.get(node, 0.0) + current / 2.0
    return flows
