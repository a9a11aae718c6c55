"""What the solved wiring of the reference build says, and how it answers to single changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.analysis.dc_solved import SolvedCase
from installgen.units import Current, Resistance, RotationalSpeed, Voltage
from tests.analysis.specs import analysed_in, apart, change_line, field, remove_line

SIX = "engines/tolvane-six"
BRANNOCK = "vessels/brannock"


def _case(analysis: Analysis, case: str) -> SolvedCase:
    assert analysis.dc is not None
    return next(found for found in analysis.dc.cases if found.case.id == case)


def _value(analysis: Analysis, result: str) -> object:
    assert analysis.book[result].value is not None, analysis.book[result].not_assessed
    return analysis.book[result].value


def test_the_stop_solenoid_lifts_while_cranking_and_holds_in_run(specs: Path) -> None:
    # Common practice: about 10 A lift it from the start relay, about 1 A holds it from the
    # ignition; it drops when the key is turned off.
    analysis = analysed_in(specs)
    lifting = _value(analysis, "dc.cranking.engine.stop-solenoid.lifting-winding.current")
    holding = _value(analysis, "dc.running-idle.engine.stop-solenoid.holding-winding.current")
    assert isinstance(lifting, Current)
    assert isinstance(holding, Current)
    assert 8.0 < lifting.a < 12.0
    assert 0.8 < holding.a < 1.5
    assert _value(analysis, "dc.running-idle.engine.stop-solenoid.position") == (
        "lifted: the engine may run"
    )
    assert _value(analysis, "dc.stopping.engine.stop-solenoid.position") == (
        "dropped: the engine is stopped"
    )


def test_it_drops_when_the_key_returns_to_run_if_the_ignition_lead_is_broken(specs: Path) -> None:
    # Common practice: starts, and stops when the key is released.
    remove_line(specs, BRANNOCK, "{label: E2,")
    analysis = analysed_in(specs)
    assert _value(analysis, "dc.cranking.engine.stop-solenoid.position") == (
        "lifted: the engine may run"
    )
    assert _value(analysis, "dc.running-idle.engine.stop-solenoid.position") == (
        "dropped: the engine is stopped"
    )


def test_a_lifting_winding_on_the_starters_terminal_holds_the_starter_in(specs: Path) -> None:
    # The starter's pull-in winding feeds the lifting winding once the key is let go.
    assert _value(analysed_in(specs), "dc.running-idle.engine.starter.position") == "released"
    change_line(specs, SIX, "{label: W9,", "start-relay.87b", "start-relay.87")
    assert _value(analysed_in(specs), "dc.running-idle.engine.starter.position") == "engaged"


def test_both_engines_of_a_twin_without_a_common_negative_crank(specs: Path) -> None:
    # Both engines and starters are alike, the cables nearly so; only the banks differ.
    apart(specs)
    analysis = analysed_in(specs, "sallow")
    for name in ("port", "starboard"):
        voltage = _value(analysis, f"dc.{name}.cranking.{name}.starter.voltage")
        assert isinstance(voltage, Voltage)
        assert 17.0 < voltage.v < 24.0
        speed = _value(analysis, f"{name}.start-run-stop.cranking-speed-weakest")
        assert isinstance(speed, RotationalSpeed)
        assert speed.rpm > 110.0
        circuit = _value(analysis, f"{name}.start-run-stop.starter-circuit")
        assert isinstance(circuit, Resistance)
        assert 1e-3 < circuit.ohm < 4e-3
    found = _case(analysis, "starboard.cranking")
    assert found.across_v("starboard.block", "port.block") is None


def test_an_alternator_with_a_sense_lead_regulates_where_the_lead_ends(specs: Path) -> None:
    # Common practice: it holds its set voltage at the battery end, not at its stud.
    found = _case(analysed_in(specs), "running-cruise")
    sensed = found.voltage_v("engine.starter.battery")
    stud, block = found.voltage_v("engine.alternator.output"), found.voltage_v("engine.block")
    assert sensed is not None
    assert stud is not None
    assert block is not None
    assert sensed - block == pytest.approx(14.2, abs=0.01)
    assert stud - block > sensed - block


def test_a_longer_battery_cable_slows_the_starter(specs: Path) -> None:
    before = _value(analysed_in(specs), "engine.start-run-stop.cranking-speed-weakest")
    field(specs, BRANNOCK, "{label: S2,", "length", "9 m")
    after = _value(analysed_in(specs), "engine.start-run-stop.cranking-speed-weakest")
    assert isinstance(before, RotationalSpeed)
    assert isinstance(after, RotationalSpeed)
    assert after.rpm < before.rpm - 5


def test_resistance_of_a_conductor_by_hand(specs: Path) -> None:
    # 4 AWG tinned, 10 m at 105 °C: the table's Ω/km at 75 °C turned to 105 °C,
    # R = R75 · (1 + 0.00393 · 85) / (1 + 0.00393 · 55); NFPA 70 chapter 9 table 8 prints
    # 0.321 Ω/kft for coated 4 AWG at 75 °C.
    field(specs, BRANNOCK, "{label: D2,", "length", "10 m")
    field(specs, BRANNOCK, "{label: D2,", "size", "4 AWG")
    value = _value(analysed_in(specs), "conductor.D2.resistance")
    assert isinstance(value, Resistance)
    at_75 = 0.321 / 304.8 * 10
    assert value.ohm == pytest.approx(at_75 * (1 + 0.00393 * 85) / (1 + 0.00393 * 55), rel=0.01)


@pytest.fixture
def open_size(specs: Path) -> Path:
    for label in ("L8", "L9"):
        field(specs, BRANNOCK, f"{{label: {label},", "size", "choose")
    return specs


def test_an_open_size_grows_with_its_length(open_size: Path) -> None:
    specs = open_size
    short = _value(analysed_in(specs), "conductor.L8.proposed-size")
    for label in ("L8", "L9"):
        field(specs, BRANNOCK, f"{{label: {label},", "length", "25 m")
    long = _value(analysed_in(specs), "conductor.L8.proposed-size")
    gauge = {"16": 0, "14": 1, "12": 2, "10": 3, "8": 4, "6": 5}
    assert gauge[str(long).split()[0]] > gauge[str(short).split()[0]]


def test_no_stocked_size_does_it_is_an_answer(open_size: Path) -> None:
    specs = open_size
    for label in ("L8", "L9"):
        field(specs, BRANNOCK, f"{{label: {label},", "length", "4000 m")
    result = analysed_in(specs).book["conductor.L8.proposed-size"]
    assert result.value is None
    assert result.not_assessed == "no stocked size does it (voltage drop of wipers)"


def test_an_unknown_length_names_its_field(open_size: Path) -> None:
    specs = open_size
    field(specs, BRANNOCK, "{label: S2,", "length", "unknown")
    result = analysed_in(specs).book["dc.cranking.engine.starter.voltage"]
    assert result.value is None
    assert [item.path for item in result.missing] == ["electrical.conductors[2].length"]
    assert all(item.position is not None for item in result.missing)


def test_a_neutral_switch_takes_the_place_of_the_link(specs: Path) -> None:
    relay = "dc.cranking.engine.start-relay.voltage"
    assert relay in analysed_in(specs).book
    path = specs / "vessels/brannock.yaml"
    text = path.read_text("utf-8").replace(
        "  conductors:\n",
        "    - {id: neutral-switch, kind: toggle-switch, name: Neutral switch, "
        'contacts: ["1", "2"], positions: {in-gear: [], neutral: [["1", "2"]]}, '
        "position_in: {}}\n"
        "  conductors:\n"
        "    - {label: N1, from: engine.P2.1, to: neutral-switch.1, length: 1 m, size: 14 AWG, "
        "insulation: 105 °C, place: engine-space}\n"
        "    - {label: N2, from: neutral-switch.2, to: engine.P2.2, length: 1 m, size: 14 AWG, "
        "insulation: 105 °C, place: engine-space}\n",
        1,
    )
    path.write_text(text, "utf-8")
    in_gear = analysed_in(specs)
    assert relay not in in_gear.book
    assert _value(in_gear, "dc.cranking.engine.starter.position") == "released"
    path.write_text(
        text.replace("position_in: {}", "position_in: {breakaway: neutral, cranking: neutral}"),
        "utf-8",
    )
    in_neutral = analysed_in(specs)
    assert isinstance(_value(in_neutral, relay), Voltage)
    assert _value(in_neutral, "dc.cranking.engine.starter.position") == "engaged"


def test_the_nearest_device_upstream_protects(specs: Path) -> None:
    analysis = analysed_in(specs)
    assert _value(analysis, "conductor.L6.protected-by") == "panel-breaker"
    assert _value(analysis, "conductor.engine.W10.protected-by") == "engine.ignition-fuse"
    assert str(_value(analysis, "conductor.S2.protected-by")).startswith("cranking conductor")


def test_a_fuse_below_its_load_is_seen(specs: Path) -> None:
    assert _value(analysed_in(specs), "fuse.panel-breaker.rating") == "fits"
    field(specs, BRANNOCK, "{id: panel-breaker,", "rating", "5 A")
    assert _value(analysed_in(specs), "fuse.panel-breaker.rating") == "below the load"
