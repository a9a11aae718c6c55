"""A case with its network, and where its relays and plungers came to rest."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_model import DcParts
from installgen.analysis.results import Missing
from installgen.calc.dc_network import Network
from installgen.calc.relay_logic import Settled


@dataclass(frozen=True)
class SolvedCase:
    """A case with its network and where its relays came to rest.

    settled: nothing where the network could not be made or solved; `reason` then says why
    """

    case: DcCase
    parts: DcParts
    network: Network | None
    settled: Settled | None
    reason: str = ""
    missing: tuple[Missing, ...] = ()

    def voltage_v(self, node: str) -> float | None:
        """Voltage of a node against the battery negative; None where it floats or is not there."""
        if self.settled is None or self.network is None or node not in self.network.nodes:
            return None
        return self.settled.point.voltage_v[node]

    def current_a(self, element: str) -> float | None:
        """Current of an element; None where the case was not solved or has no such element."""
        if self.settled is None or self.network is None or element not in self.network.positions:
            return None
        return float(self.settled.point.current_a[element])
