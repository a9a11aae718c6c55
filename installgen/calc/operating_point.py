"""Solved operating points of a direct-current network."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from installgen.calc.dc_elements import Alternator
from installgen.calc.dc_network import ContactState, Network
from installgen.calc.dc_regulation import MODES, Mode
from installgen.calc.star_mesh import Bools, Floats, Ints
from installgen.errors import NotSolved


@dataclass(frozen=True)
class AlternatorReading:
    """What an alternator does at an operating point.

    mode: which bound decides its output
    sense_lost: whether its regulator misses its sense lead
    """

    mode: Mode
    sense_lost: bool


@dataclass(frozen=True, eq=False)
class OperatingPoint:
    """One solved point of a network."""

    network: Network
    closed: ContactState
    _points: OperatingPoints
    _index: int

    @cached_property
    def voltage_v(self) -> Mapping[str, float | None]:
        """Voltage of each node against the reference, None where it is undefined (floating) [V]."""
        column = self._points.voltage_v[:, self._index].tolist()
        return {
            node: None if math.isnan(volts) else volts
            for node, volts in zip(self.network.nodes, column, strict=True)
        }

    @cached_property
    def current_a(self) -> Mapping[str, float]:
        """Current of each element from its first end to its second; a source's is positive while
        it delivers [A]. Plain links in parallel are taken to share equally."""
        column = self._points.current_a[:, self._index].tolist()
        return dict(zip(self.network.positions, column, strict=True))

    @property
    def floating(self) -> frozenset[str]:
        """Nodes without any path to the reference."""
        return frozenset(node for node, volts in self.voltage_v.items() if volts is None)

    def drop_v(self, node: str, other: str) -> float | None:
        """Voltage of one node against another, as a meter between them reads.

        node, other: under the positive and the negative lead
        Returns the difference, None where no path joins the two [V].
        """
        return self._points.drop_v(self._index, node, other)

    def across_v(self, element: str) -> float | None:
        """Voltage from an element's first end to its second, None where it is undefined.

        element: id
        Returns the voltage [V].
        """
        return self.drop_v(*self.network.elements[self.network.positions[element]].ends)

    def through_a(self, element: str) -> float:
        """Current of one element, see `current_a`; quicker than all of them.

        element: id
        Returns the current [A].
        """
        return float(self._points.current_a[self.network.positions[element], self._index])

    def against_v(self, node: str) -> Floats:
        """Voltage of every node against one, as a meter reads with its negative lead there.

        node: under the negative lead
        Returns the voltages in the order of `network.nodes`, nan where no path joins them [V].
        """
        return self._points.against_v(self._index, node)

    def power_w(self, element: str) -> float:
        """Power an element takes up; negative while it delivers.

        element: id
        Returns the power [W].
        """
        across_v = self.across_v(element)
        return 0.0 if across_v is None else across_v * self.current_a[element]

    def power_balance_w(self) -> float:
        """Sum of all powers taken up, nil but for rounding.

        Returns the sum [W].
        Source: Tellegen's theorem.
        """
        return math.fsum(self.power_w(element.id) for element in self.network.elements)

    def current_balance_a(self) -> Mapping[str, float]:
        """Sum of the currents out of each node, nil but for rounding.

        Returns the sum of each node [A].
        Source: Kirchhoff's current law.
        """
        leaving: dict[str, list[float]] = {node: [] for node in self.network.nodes}
        for element in self.network.elements:
            start, end = element.ends
            leaving[start].append(self.current_a[element.id])
            leaving[end].append(-self.current_a[element.id])
        return {node: math.fsum(currents) for node, currents in leaving.items()}

    @cached_property
    def alternators(self) -> Mapping[str, AlternatorReading]:
        """What each alternator does."""
        return self._points.alternator_readings(self._index)


@dataclass(frozen=True, eq=False)
class OperatingPoints(Sequence[OperatingPoint]):
    """Solved points of one network, in order; the arrays are (rows, points).

    closed: closed contacts of each point
    local_v: of each node, as `network.nodes`; in an island without the reference, against a node
        of that island [V]
    island: of each node; 0 is the reference's
    current_a: of each element, see `OperatingPoint.current_a` [A]
    modes, sense_lost: of each alternator, modes as indices into dc_regulation.MODES
    solved: whether each point converged; asking for one that did not raises NotSolved
    residual_a: largest current left over in the last iteration [A]
    iterations: count of each point
    """

    network: Network
    closed: tuple[ContactState, ...]
    local_v: Floats
    island: npt.NDArray[np.int32]
    current_a: Floats
    modes: Ints
    sense_lost: Bools
    solved: Bools
    residual_a: Floats
    iterations: Ints

    @cached_property
    def voltage_v(self) -> Floats:
        """Voltage of each node against the reference, nan where it floats [V]."""
        return np.where(self.island == 0, self.local_v, np.nan)

    def __len__(self) -> int:
        return len(self.closed)

    def __getitem__(self, index: int) -> OperatingPoint:  # type: ignore[override]
        if not -len(self) <= index < len(self):
            raise IndexError(index)
        index %= len(self)
        if not self.solved[index]:
            raise self.failure(index)
        return OperatingPoint(self.network, self.closed[index], self, index)

    def __iter__(self) -> Iterator[OperatingPoint]:
        return (self[index] for index in range(len(self)))

    def failure(self, index: int) -> NotSolved:
        """What is to be said of a point that did not converge; the residual is in amperes."""
        return NotSolved(
            "the direct-current network",
            float(self.residual_a[index]),
            int(self.iterations[index]),
        )

    def drop_v(self, index: int, node: str, other: str) -> float | None:
        """Voltage between two nodes at one point, None where no path joins them [V]."""
        first, second = self._row[node], self._row[other]
        if self.island[first, index] != self.island[second, index]:
            return None
        return float(self.local_v[first, index] - self.local_v[second, index])

    def against_v(self, index: int, node: str) -> Floats:
        """Voltage of every node against one of them at one point, nan where no path joins [V]."""
        row = self._row[node]
        volts = self.local_v[:, index] - self.local_v[row, index]
        joined = self.island[:, index] == self.island[row, index]
        return np.where(joined, volts, np.nan)

    @cached_property
    def _row(self) -> dict[str, int]:
        return {node: row for row, node in enumerate(self.network.nodes)}

    def alternator_readings(self, index: int) -> dict[str, AlternatorReading]:
        """What each alternator does at one point."""
        alternators = [e for e in self.network.elements if isinstance(e, Alternator)]
        return {
            alternator.id: AlternatorReading(
                MODES[self.modes[row, index]], bool(self.sense_lost[row, index])
            )
            for row, alternator in enumerate(alternators)
        }
