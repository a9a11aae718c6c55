"""A case with its network, and where its relays and plungers came to rest."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_parts import DcParts
from installgen.analysis.results import Missing
from installgen.calc.dc_elements import Battery, Source
from installgen.calc.dc_network import Network
from installgen.calc.relay_logic import Settled


@dataclass(frozen=True)
class SolvedCase:
    """A case with its network and where its relays came to rest.

    settled: nothing where the network could not be made or solved; `reason` then says why
    until_s: how far into the case it is looked at, where a timer runs; None to its end [s]
    """

    case: DcCase
    parts: DcParts
    network: Network | None
    settled: Settled | None
    reason: str = ""
    missing: tuple[Missing, ...] = ()
    until_s: float | None = None

    @cached_property
    def negatives(self) -> tuple[str, ...]:
        """The nodes that voltages count from: of each part of the network that nothing joins to
        another, the negative of its first battery."""
        if self.settled is None:
            return ()
        poles: list[str] = []
        for element in self.parts.elements:
            if isinstance(element, Source | Battery):
                pole = element.negative
                joined = (self.settled.point.drop_v(pole, own) is not None for own in poles)
                if not any(joined):
                    poles.append(pole)
        return tuple(poles)

    def negative_of(self, node: str) -> str | None:
        """The battery negative that a node's voltage counts from; None where it floats."""
        volts = ((own, self.across_v(node, own)) for own in self.negatives)
        return next((own for own, across in volts if across is not None), None)

    def voltage_v(self, node: str) -> float | None:
        """Voltage of a node against the battery negative of its own part of the network.

        None where no battery is in that part, or there is no such node.
        """
        negative = self.negative_of(node)
        return None if negative is None else self.across_v(node, negative)

    def across_v(self, high: str, low: str) -> float | None:
        """Voltage between two nodes, as a meter reads it; None where no path joins them."""
        if self.settled is None or self.network is None:
            return None
        if high not in self.network.nodes or low not in self.network.nodes:
            return None
        return self.settled.point.drop_v(high, low)

    def current_a(self, element: str) -> float | None:
        """Current of an element; None where the case was not solved or has no such element."""
        if self.settled is None or self.network is None or element not in self.network.positions:
            return None
        return float(self.settled.point.current_a[element])
