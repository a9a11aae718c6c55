"""Mounts, alignment, astern, battery places and heat soak of demonstration vessels."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from installgen.analysis.analyse import Analysis
from tests.analysis.specs import analysed

VESSEL = "vessels/brannock"


def si(found: Analysis, result_id: str) -> float:
    value: Any = found.book[result_id].value
    assert value is not None, found.book[result_id].not_assessed
    return float(value.value)


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Analysis:
    return analysed(tmp_path_factory.mktemp("brannock"), "brannock")


def test_mounts_by_hand(brannock: Analysis) -> None:
    # 1130 kg, 420 mm ahead, mounts at 1000 and −450 mm: 870/1450 = 0.6 of it on the front pair,
    # and 10 mm to port over a track of 660 mm: 1130 · 10 / 660 = 17.1 kg from side to side.
    sides = [si(brannock, f"engine.driveline.mount-front-{s}.load") for s in ("port", "starboard")]
    assert sum(sides) == pytest.approx(678.0, abs=0.1)
    assert sides[0] - sides[1] == pytest.approx(2 * 17.12 / 2, abs=0.1)
    torque = si(brannock, "engine.driveline.rated.shaft-torque")
    more = si(brannock, "engine.driveline.mount-front-port.largest-load") - sides[0]
    assert more == pytest.approx(torque / 9.80665 / 0.66 / 2, rel=1e-6)


def test_half_the_mass_halves_the_loads(brannock: Analysis, tmp_path: Path) -> None:
    edits = {VESSEL: [("installed_mass: 1130 kg", "installed_mass: 565 kg")]}
    half = analysed(tmp_path, "brannock", edits)
    name = "engine.driveline.mount-rear-port.load"
    assert si(half, name) == pytest.approx(si(brannock, name) / 2)


def test_without_a_mass_no_load_is_said(tmp_path: Path) -> None:
    edits = {VESSEL: [("installed_mass: 1130 kg", "installed_mass: unknown")]}
    found = analysed(tmp_path, "brannock", edits)
    result = found.book["engine.driveline.mount-rear-port.load"]
    assert [field.path for field in result.missing] == ["engines[1].installed_mass"]


def test_alignment_by_hand(brannock: Analysis) -> None:
    # 0.10 − 0.05 mm over 152.4 mm
    assert si(brannock, "engine.driveline.alignment") == pytest.approx(0.05 / 152.4, rel=1e-6)


def test_astern_turns_the_other_way(brannock: Analysis) -> None:
    ahead = brannock.book["engine.driveline.propeller-hand"].value
    astern = brannock.book["engine.driveline.rotation-astern"].value
    assert (str(ahead).split()[0], astern) in {
        ("right", "counterclockwise"),
        ("right-handed", "counterclockwise"),
        ("left", "clockwise"),
        ("left-handed", "clockwise"),
    }


def test_hydrogen_by_hand(brannock: Analysis, tmp_path: Path) -> None:
    # 0.05 · 6 cells · 1 A · 200 Ah / 100 = 0.6 m³/h, 16.8 cm² each way
    flow = si(brannock, "battery-air.engine-space.flow")
    assert flow * 3600 == pytest.approx(0.6)
    assert si(brannock, "battery-air.engine-space.area") * 1e4 == pytest.approx(16.8)
    edits = {VESSEL: [("chemistry: agm", "chemistry: flooded")]}
    assert si(analysed(tmp_path, "brannock", edits), "battery-air.engine-space.flow") == (
        pytest.approx(2 * flow)
    )


def test_a_charger_beyond_the_table_is_not_assessed(tmp_path: Path) -> None:
    edits = {"engines/tolvane-six": [("set_voltage: 14.2 V", "set_voltage: 15.0 V")]}
    found = analysed(tmp_path, "brannock", edits)
    assert "over 2.4 V a cell" in found.book["battery-air.engine-space.flow"].not_assessed


def test_heat_soak_by_hand(brannock: Analysis, tmp_path: Path) -> None:
    # 8.0 kW radiated at rated; 27 m³/min of air of 32 °C, 1.157 kg/m³ and 1.007 kJ/(kg·K).
    rise = si(brannock, "air.engine-space.soak-rise")
    assert rise == pytest.approx(8.0 / (27 / 60 * 1.157 * 1.007), rel=2e-3)
    assert si(brannock, "air.engine-space.hottest") >= 32.0 + rise
    none = analysed(tmp_path, "brannock", {VESSEL: [(", after_stop: yes", "")]})
    assert "no blower runs on" in none.book["air.engine-space.soak-rise"].not_assessed
    assert none.book["air.engine-space.hottest"].value is None
