"""Expected readings: what a meter of 10 MΩ shows at each terminal, and where it shows anything."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.analysis.readings import EngineReadings, ExpectedReading, expected_readings
from installgen.calc.dc_elements import METER_RESISTANCE_OHM
from installgen.spec.load import SpecLibrary
from installgen.units import Voltage
from tests.analysis.specs import SPECS, Edits, analysed

RELAY = "    name: Start relay\n"
PROBE = "electrical:\n  system: 12 V\n  devices:\n"
PROBED = (
    PROBE
    + "    - {id: probe, kind: resistor, name: Probe, resistance: 5 Mohm, place: wheelhouse}\n"
)


@cache
def _analysis(vessel: str) -> Analysis:
    return analyse(SpecLibrary.at(SPECS).vessel(vessel))


@cache
def _as_built() -> EngineReadings:
    return _of(_analysis("brannock"))


def _edited(folder: Path, edits: Edits) -> EngineReadings:
    return _of(analysed(folder, "brannock", edits))


def _of(analysis: Analysis) -> EngineReadings:
    assert analysis.dc is not None
    (found,) = expected_readings(analysis.dc)
    return found


def _middle_v(reading: ExpectedReading) -> float:
    assert reading.computed_v is not None
    return sum(reading.computed_v) / 2.0


def test_a_battery_at_rest_reads_between_its_weakest_and_its_strongest() -> None:
    readings, book = _as_built(), _analysis("brannock").book
    weak, strong = (book[f"battery.start-bank.{m}.emf"].value for m in ("weakest", "strongest"))
    assert isinstance(weak, Voltage)
    assert isinstance(strong, Voltage)
    found = readings.by_case["off"]["start-bank.positive"].computed_v
    assert found == pytest.approx((weak.v, strong.v), abs=0.01)


def test_the_meter_loads_what_it_reads(tmp_path: Path) -> None:
    """Behind 5 MΩ a meter of 10 MΩ shows two thirds: the voltage divider."""
    wire = (
        "    - {label: X1, from: positive-bus.4, to: probe.in, length: 1 m, size: 16 AWG, "
        "insulation: 105 °C}\n"
    )
    edits = {"vessels/brannock": [(PROBE, PROBED), ("  conductors:\n", "  conductors:\n" + wire)]}
    case = _edited(tmp_path, edits).by_case["off"]
    assert METER_RESISTANCE_OHM == 10e6
    before, behind = _middle_v(case["probe.in"]), _middle_v(case["probe.out"])
    assert behind == pytest.approx(before * 10.0 / 15.0, rel=1e-4)


def test_what_nothing_holds_may_show_anything() -> None:
    """A pin that is reserved for later, with no conductor on it."""
    for readings in _as_built().by_case.values():
        assert readings["engine.P1.12"].computed_v is None
        assert readings["engine.P1.12"].widened_v is None


def test_an_open_coil_shows_the_full_voltage_on_both_sides(tmp_path: Path) -> None:
    """Common practice: without its negative a coil passes no current, so nothing is lost in it."""
    edits = {
        "engines/tolvane-six": [("from: start-relay.85, to: block,", "from: P1.12, to: block,")]
    }
    cranking = _edited(tmp_path, edits).by_case["cranking"]
    assert _middle_v(cranking["engine.start-relay.85"]) == pytest.approx(
        _middle_v(cranking["engine.start-relay.86"]), abs=0.01
    )


def test_it_says_where_to_read_under_load() -> None:
    case = _as_built().by_case["cranking"]
    assert case["engine.starter.battery"].under_load
    assert case["engine.starter.battery"].flow_a > 100.0
    assert not case["engine.alternator.sense"].under_load


def test_nobody_reads_an_instant_or_leans_over_a_fast_engine() -> None:
    states = {case.state("engine").key for case in _as_built().cases}
    assert states == {
        "off", "ignition-on", "cranking", "running-idle", "running-cruise", "stopping",
    }  # fmt: skip


def test_what_is_out_of_reach_is_left_out(tmp_path: Path) -> None:
    edits = {
        "engines/tolvane-six": [
            ("    name: Start relay\n", "    name: Start relay\n    reach: none\n")
        ]
    }
    for case in _edited(tmp_path, edits).by_case.values():
        assert not any(node.startswith("engine.start-relay.") for node in case)
        assert "engine.starter.battery" in case


def test_each_engine_of_a_twin_is_read_by_itself() -> None:
    dc = _analysis("sallow").dc
    assert dc is not None
    port, starboard = expected_readings(dc)
    assert (port.engine, starboard.engine) == ("port", "starboard")
    nodes = {node for case in port.by_case.values() for node in case}
    assert any(node.startswith("port.starter.") for node in nodes)
    assert not any(node.startswith("starboard.") for node in nodes)
