"""Speed signals over the range, pick-ups with two outputs, and senders that gauges share."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.errors import SpecErrors
from installgen.units import Frequency, RotationalSpeed
from tests.analysis.specs import analysed_in, change_line, field

SIX, BRANNOCK = "engines/tolvane-six", "vessels/brannock"


def _hertz(analysis: Analysis, result: str) -> float:
    value = analysis.book[result].value
    assert isinstance(value, Frequency)
    return value.hz


@pytest.mark.parametrize("rpm", [650, 1200, 1800, 2300])
def test_frequency_over_the_range_by_hand(specs: Path, rpm: int) -> None:
    # 138 teeth; six pole pairs, pulley ratio 2.7.
    analysis = analysed_in(specs)
    prefix = f"engine.start-run-stop.{rpm}-rpm"
    assert _hertz(analysis, f"{prefix}.speed-signal") == pytest.approx(138 * rpm / 60)
    assert _hertz(analysis, f"{prefix}.alternator-signal") == pytest.approx(6 * 2.7 * rpm / 60)


def test_a_gauge_set_to_other_teeth_says_how_far_it_is_out(specs: Path) -> None:
    setting = "engine.start-run-stop.tachometer.setting"
    assert analysed_in(specs).book[setting].value == "right"
    field(specs, BRANNOCK, "{id: tachometer,", "pulses", "127")
    assert analysed_in(specs).book[setting].value == "shows 1.09 times the speed"


def _two_tachometers(specs: Path) -> None:
    """A pick-up with two outputs: the second comes to the reserved pin and a second gauge."""
    change_line(
        specs, SIX, "{id: speed-pickup,", "resistance: 1 kohm", "resistance: 1 kohm, outputs: two"
    )
    change_line(
        specs, SIX, "{label: W20,", "  - {label: W20,",
        "  - {label: W30, from: P1.12, to: speed-pickup.signal-2, length: 1.5 m, size: 16 AWG, "
        "insulation: 105 °C}\n  - {label: W31, from: speed-pickup.return-2, to: block, "
        "length: 0.4 m, size: 16 AWG, insulation: 105 °C}\n  - {label: W20,",
    )  # fmt: skip
    change_line(
        specs, BRANNOCK, "{id: alarm-horn,", "    - {id: alarm-horn,",
        "    - {id: second-tachometer, kind: gauge, name: Second tachometer, "
        "measures: engine speed, current: 0.12 A, pulses: 138}\n    - {id: alarm-horn,",
    )  # fmt: skip
    change_line(
        specs, BRANNOCK, "{label: E12,", "    - {label: E12,",
        "    - {label: E30, from: engine.P1.12, to: second-tachometer.signal, length: 5 m, "
        "size: 16 AWG, insulation: 105 °C, place: engine-space}\n    - {label: E12,",
    )  # fmt: skip


def test_each_output_of_a_pick_up_has_its_own_gauge(specs: Path) -> None:
    _two_tachometers(specs)
    analysis = analysed_in(specs)
    for gauge in ("tachometer", "second-tachometer"):
        assert analysis.book[f"engine.start-run-stop.{gauge}.setting"].value == "right"
    # Each output is a winding of its own: a meter finds both, apart from each other.
    assert analysis.dc is not None
    network = analysis.dc.cases[0].network
    assert network is not None
    windings = {
        element.id: set(element.ends)
        for element in network.elements
        if element.id.startswith("engine.speed-pickup")
    }
    assert windings == {
        "engine.speed-pickup": {"engine.speed-pickup.signal", "engine.speed-pickup.return"},
        "engine.speed-pickup-2": {"engine.speed-pickup.signal-2", "engine.speed-pickup.return-2"},
    }


def test_two_gauges_on_a_sender_for_one_read_twice_its_resistance(specs: Path) -> None:
    assert "engine.oil-sender.shared" not in analysed_in(specs).book
    change_line(specs, BRANNOCK, "{label: E10,", "engine.P1.6", "engine.P1.5")
    field(specs, BRANNOCK, "{id: coolant-gauge,", "signal_resistance", "60 ohm")
    # Both of 60 ohm: each reads 2 · R. 0 kPa: 20 ohm, (20 − 10) / (52 − 10) · 200 = 47.6 kPa;
    # 200 kPa: 104 ohm, 200 + (104 − 52) / (110 − 52) · 300 = 469 kPa; 500 kPa: 220 ohm.
    assert analysed_in(specs).book["engine.oil-sender.shared"].value == (
        "wrong: 47.6 kPa gauge at 0 kPa gauge, 469 kPa gauge at 200 kPa gauge, "
        "beyond 500 kPa gauge at 500 kPa gauge"
    )


def test_a_sender_made_for_two_gauges_is_right_with_two(specs: Path) -> None:
    change_line(specs, BRANNOCK, "{label: E10,", "engine.P1.6", "engine.P1.5")
    change_line(specs, SIX, "{id: oil-sender,", "code: B1,", "code: B1, gauges: 2,")
    shared = analysed_in(specs).book["engine.oil-sender.shared"]
    assert shared.value == "right: its table is for 2 gauges"


def _own_pickup(specs: Path, engine: str) -> None:
    """A pick-up that the launch adds over the ring gear, for her tachometer."""
    change_line(
        specs, "vessels/pipit", "{id: tachometer,", "    - {id: tachometer,",
        f"    - {{id: pickup, kind: speed-pickup, name: Pick-up{engine}}}\n    - {{id: tachometer,",
    )  # fmt: skip
    change_line(specs, "vessels/pipit", "{label: E9,", "engine.P1.10", "pickup.signal")
    field(specs, "vessels/pipit", "{id: tachometer,", "pulses", "112")


def test_a_pick_up_that_the_vessel_adds_drives_her_tachometer(specs: Path) -> None:
    # The ring gear of the sheet has 112 teeth.
    _own_pickup(specs, "")
    book = analysed_in(specs, "pipit").book
    assert book["engine.start-run-stop.tachometer.setting"].value == "right"
    rpm = book["engine.rating.rated.speed"].value
    assert isinstance(rpm, RotationalSpeed)
    assert _hertz(
        analysed_in(specs, "pipit"), "engine.start-run-stop.rated.speed-signal"
    ) == pytest.approx(112 * rpm.rpm / 60)


def test_on_a_twin_an_added_pick_up_says_whose_ring_gear_it_reads(specs: Path) -> None:
    change_line(
        specs, "vessels/sallow", "{id: tachometer-port-lower,", "    - {id: tachometer-port-lower,",
        "    - {id: pickup, kind: speed-pickup, name: Pick-up}\n    - {id: tachometer-port-lower,",
    )  # fmt: skip
    with pytest.raises(SpecErrors, match=r"no `engine`.*port, starboard"):
        analysed_in(specs, "sallow")
    change_line(specs, "vessels/sallow", "{id: pickup,", "Pick-up}", "Pick-up, engine: port}")
    book = analysed_in(specs, "sallow").book
    assert "port.start-run-stop.rated.speed-signal" in book
    assert "starboard.start-run-stop.rated.speed-signal" not in book
