"""The fluid side of a demonstration vessel after small edits, without her wiring."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from installgen.analysis.fluid_side import FluidSide, analyse_fluid_side
from installgen.analysis.rating import analyse_rating
from installgen.analysis.results import Book, Result
from installgen.analysis.speeds import analyse_speeds
from installgen.spec.load import SpecLibrary
from installgen.spec.vessel import Vessel
from installgen.units import RotationalSpeed
from tests.analysis.specs import Edits, edited

CRANKING_RPM = 150.0


class Fluids:
    """Results of one vessel, with the values in base units at hand."""

    def __init__(self, vessel: Vessel) -> None:
        self.vessel = vessel
        self.book = Book(vessel.standard.assume)
        analyse_speeds(self.book, vessel)
        analyse_rating(self.book, vessel)
        for engine in vessel.engines:
            self.book.add(
                Result(
                    id=f"{engine.name}.start-run-stop.cranking-speed-strongest",
                    name="Cranking speed",
                    system="start-run-stop",
                    value=RotationalSpeed(CRANKING_RPM),
                    formula="",
                    inputs=(),
                    source="",
                )
            )
        self.side: FluidSide = analyse_fluid_side(self.book, vessel)

    def si(self, result_id: str) -> float:
        """A result's value in its base unit."""
        value: Any = self.book[result_id].value
        assert value is not None, f"{result_id}: {self.book[result_id].not_assessed}"
        return float(value.value)

    def text(self, result_id: str) -> str:
        """A result that is a word."""
        value = self.book[result_id].value
        assert isinstance(value, str), result_id
        return value

    def missing(self, result_id: str) -> list[str]:
        """The fields for want of which a result is not assessed."""
        result = self.book[result_id]
        assert result.value is None, f"{result_id} is assessed"
        assert result.not_assessed
        return [field.path for field in result.missing]


def fluids(folder: Path, vessel: str = "brannock", edits: Edits | None = None) -> Fluids:
    """The fluid side of a vessel after edits."""
    return Fluids(SpecLibrary.at(edited(folder, edits or {})).vessel(vessel))
