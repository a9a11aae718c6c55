"""Lengths that nobody measured, estimated from where the ends are aboard."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from installgen.findings.check import check
from installgen.units import Length
from tests.analysis.specs import analysed_in, change_line

BRANNOCK, YARD = "vessels/brannock", "standards/quenby-slip"


def _without_length(specs: Path, label: str) -> None:
    path = specs / f"{BRANNOCK}.yaml"
    lines = path.read_text("utf-8").splitlines()
    found = [i for i, line in enumerate(lines) if f"{{label: {label}," in line]
    lines[found[0]] = re.sub(r"length: [^,]+, ", "", lines[found[0]])
    path.write_text("\n".join(lines) + "\n", "utf-8")


def test_between_two_devices_by_hand(specs: Path) -> None:
    # The battery is at (2.6, -1.0, 0.2) m, the isolator at (2.9, -1.0, 0.45) m; 15 % more.
    _without_length(specs, "S1")
    result = analysed_in(specs).book["conductor.S1.length"]
    assert isinstance(result.value, Length)
    assert result.value.m == pytest.approx((0.3 + 0.0 + 0.25) * 1.15)
    assert result.assumed
    assert result.notes == ("Estimated: measure it as run.",)
    assert len([item for item in result.inputs if item.name.startswith(("x", "y", "z"))]) == 6


def test_everything_that_rests_on_it_is_assessed_and_marked(specs: Path) -> None:
    measured = analysed_in(specs).book
    _without_length(specs, "S1")
    book = analysed_in(specs).book
    assert "conductor.S1.length" not in measured
    assert book["conductor.S1.resistance"].assumed
    assert book["dc.cranking.engine.starter.voltage"].assessed


def test_a_measured_length_is_never_replaced(specs: Path) -> None:
    change_line(specs, BRANNOCK, "{label: S1,", "length: 0.5 m", "length: unknown")
    book = analysed_in(specs).book
    assert "conductor.S1.length" not in book
    assert not book["conductor.S1.resistance"].assessed


def test_without_positions_or_an_allowance_it_is_not_assessed(specs: Path) -> None:
    _without_length(specs, "L8")
    assert not analysed_in(specs).book["conductor.L8.resistance"].assessed
    _without_length(specs, "S1")
    change_line(specs, YARD, "run_allowance:", "  run_allowance: 15 %", "")
    assert not analysed_in(specs).book["conductor.S1.resistance"].assessed


def test_an_estimate_keeps_the_manual_a_draft(specs: Path) -> None:
    _without_length(specs, "S1")
    found = {item.id: item for item in check(analysed_in(specs)).items}["conductor-stated/S1"]
    assert found.verdict == "not assessed"
    assert found.place is not None
    assert found.place.path.endswith(".length")


def test_to_a_stud_of_an_engine_that_stands_at_an_angle(specs: Path) -> None:
    analysis = analysed_in(specs)
    entry = analysis.vessel.engines[0].entry
    assert entry.crankshaft is not None
    x, y, z = (getattr(entry.crankshaft, axis).m for axis in ("x", "y", "z"))
    slope = math.radians(entry.angle.deg)
    # The stud is 0.4 m ahead of the crankshaft's rear face, 0.25 m to starboard, 0.1 m over it.
    change_line(
        specs, "engines/tolvane-six", "{id: battery-stud,", "code: EL1,",
        "code: EL1, at: {x: 400 mm, y: -250 mm, z: 100 mm},",
    )  # fmt: skip
    _without_length(specs, "S2")
    ahead, up = (
        0.4 * math.cos(slope) - 0.1 * math.sin(slope),
        0.1 * math.cos(slope) + 0.4 * math.sin(slope),
    )
    way = abs(x + ahead - 2.9) + abs(y - 0.25 + 1.0) + abs(z + up - 0.45)
    result = analysed_in(specs).book["conductor.S2.length"]
    value = result.value
    assert "angle of the engine" in [item.name for item in result.inputs]
    assert isinstance(value, Length)
    assert value.m == pytest.approx(way * 1.15)
