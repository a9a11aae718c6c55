"""What every check looks at: one vessel, computed, under one standard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from installgen.analysis.analyse import Analysis
from installgen.analysis.dc_guards import cranking_wires
from installgen.analysis.dc_model import WireEnd
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book
from installgen.spec.electrical import Conductor, DeviceBase, Jumper
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel import FittedEngine, Vessel


@dataclass(frozen=True)
class Survey:
    """A vessel with her results and the standard she is judged by.

    as_of: the date that dates are judged by; nothing where there is none
    """

    analysis: Analysis
    standard: StandardSpec
    as_of: date | None = None

    @property
    def vessel(self) -> Vessel:
        """The vessel."""
        return self.analysis.vessel

    @property
    def book(self) -> Book:
        """Her results."""
        return self.analysis.book

    @property
    def engines(self) -> tuple[FittedEngine, ...]:
        """Her engines."""
        return self.vessel.engines

    @cached_property
    def wires(self) -> tuple[WireEnd, ...]:
        """Every conductor, hers and her engines'."""
        return () if self.analysis.dc is None else tuple(self.analysis.dc.model.wires())

    @cached_property
    def cases(self) -> tuple[SolvedCase, ...]:
        """Every electrical case."""
        return () if self.analysis.dc is None else tuple(self.analysis.dc.cases)

    @cached_property
    def cranking_wires(self) -> frozenset[str]:
        """The conductors that carry a starter's own current."""
        dc = self.analysis.dc
        return frozenset() if dc is None else cranking_wires(dc.model, dc.cases)

    @cached_property
    def cases_and_stations(self) -> tuple[SolvedCase, ...]:
        """Every electrical case, and starting and stopping from each other station."""
        return () if self.analysis.dc is None else (*self.cases, *self.analysis.dc.stations)

    @cached_property
    def devices(self) -> tuple[tuple[str, DeviceBase, FittedEngine | None], ...]:
        """Every electrical device."""
        return tuple(self.vessel.devices())

    @cached_property
    def connected(self) -> frozenset[str]:
        """Every terminal that a conductor or a link comes to."""
        ends = {end for wire in self.wires for end in (wire.start, wire.end)}
        ends = {end.removesuffix(":engine") for end in ends}
        if self.analysis.dc is not None:
            for _, _, start, end in self.analysis.dc.model.jumpers():
                ends |= {start.removesuffix(":engine"), end.removesuffix(":engine")}
        return frozenset(ends)

    @cached_property
    def reached_by_vessel(self) -> frozenset[str]:
        """Every terminal that a conductor of the vessel comes to."""
        electrical = self.vessel.spec.electrical
        wires: list[Conductor | Jumper] = (
            [*electrical.conductors, *electrical.jumpers] if electrical else []
        )
        return frozenset(end for wire in wires for end in (wire.from_, wire.to))

    def cases_of(self, engine: str, *states: str) -> Iterator[SolvedCase]:
        """The cases in which an engine is in one of these states."""
        for found in self.cases:
            if found.case.state(engine).state in states:
                yield found
