"""From key off to stop: what each kind of device does, and what it remembers."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.findings.check import check
from installgen.units import Resistance
from tests.analysis.specs import (
    analysed_in,
    change_line,
    emergency_stop,
    field,
    insert,
    remove_line,
)

SIX, FOUR = "engines/tolvane-six", "engines/tolvane-four"
BRANNOCK, PIPIT, SALLOW = "vessels/brannock", "vessels/pipit", "vessels/sallow"
ENGINE_SPACE = "insulation: 105 °C, place: engine-space"


def _words(analysis: Analysis, device: str, *cases: str) -> list[str]:
    assert analysis.dc is not None
    return [analysis.dc.sequence[case, device].words for case in cases]


# Common practice: a solenoid energised to run is lifted by the start circuit alone, is kept by the
# ignition, and drops without it; a holding winding cannot lift a dropped plunger.
def test_energised_to_run_from_key_off_to_stop(specs: Path) -> None:
    analysis = analysed_in(specs, "brannock")
    steps = ("off", "ignition-on", "breakaway", "cranking", "running-idle", "stopping")
    assert _words(analysis, "engine.stop-solenoid", *steps) == [
        "dropped, stopped", "dropped, stopped", "dropped, stopped", "lifted, may run",
        "lifted, may run", "dropped, stopped",
    ]  # fmt: skip
    assert _words(analysis, "key", *steps) == ["off", "run", "start", "start", "run", "off"]
    assert _words(analysis, "engine.start-relay", *steps) == [
        "released", "released", "pulled in", "pulled in", "released", "released",
    ]  # fmt: skip
    assert _words(analysis, "engine.starter", *steps) == [
        "released", "released", "engaged, stalled", "engaged, turning", "released", "released",
    ]  # fmt: skip
    # A charge lamp shines until the alternator gives.
    assert _words(analysis, "charge-lamp", "ignition-on", "running-idle") == ["lit", "out"]
    assert _words(analysis, "engine.alternator", "ignition-on", "running-idle", "stopping") == [
        "excited", "charges", "at rest",
    ]  # fmt: skip


def test_every_voltage_of_the_sequence_has_its_working(specs: Path) -> None:
    analysis = analysed_in(specs, "brannock")
    assert analysis.dc is not None
    voltages = [one for seen in analysis.dc.sequence.values() for _, one in seen.voltages]
    assert len(voltages) > 50
    assert all(analysis.book[one].assessed and analysis.book[one].inputs for one in voltages)


def test_energised_to_stop_runs_on_without_current(specs: Path) -> None:
    analysis = analysed_in(specs, "pipit")
    steps = ("off", "cranking", "running-idle", "stopping")
    assert _words(analysis, "engine.stop-solenoid", *steps) == [
        "dropped, may run", "dropped, may run", "dropped, may run", "lifted, stopped",
    ]  # fmt: skip


def _one_supply(specs: Path, windings: str) -> None:
    """A stop solenoid with one lead from the ignition, and a switch or timer of its own."""
    change_line(specs, SIX, "windings: separate-leads", "separate-leads", windings)
    remove_line(specs, SIX, "{label: W9,")
    change_line(specs, SIX, "{label: W10,", "stop-solenoid.hold", "stop-solenoid.supply")


@pytest.mark.parametrize("windings", ["internal-switch", "internal-timer"])
def test_a_solenoid_with_its_own_switch_or_timer_lifts_with_the_ignition(
    specs: Path, windings: str
) -> None:
    _one_supply(specs, windings)
    analysis = analysed_in(specs, "brannock")
    steps = ("off", "ignition-on", "running-idle", "stopping")
    assert _words(analysis, "engine.stop-solenoid", *steps) == [
        "dropped, stopped", "lifted, may run", "lifted, may run", "dropped, stopped",
    ]  # fmt: skip
    # Once it is lifted, or the time is over, the lifting winding is off.
    dc = analysis.dc
    assert dc is not None
    windings_on = [name for name, _ in dc.sequence["running-idle", "engine.stop-solenoid"].voltages]
    assert windings_on == ["holding"]


def test_a_switch_keeps_a_winding_on_that_does_not_lift_and_a_timer_takes_it_off(
    specs: Path,
) -> None:
    def lifting(windings: str) -> object:
        change_line(specs, SIX, "windings: ", windings[0], windings[1])
        result = "dc.ignition-on.engine.stop-solenoid.lifting-winding.current"
        return analysed_in(specs, "brannock").book.get(result)

    _one_supply(specs, "internal-switch")
    # Its plunger asks more than a weak battery has.
    change_line(specs, SIX, "lifting: {resistance", "pull_in: 7.5 V", "pull_in: 14 V")
    assert lifting(("internal-switch", "internal-switch")) is not None
    assert lifting(("internal-switch", "internal-timer")) is None


def test_without_its_link_or_a_neutral_switch_nothing_cranks(specs: Path) -> None:
    assert _words(analysed_in(specs, "brannock"), "engine.starter", "cranking") == [
        "engaged, turning"
    ]
    remove_line(specs, SIX, "{label: J1, from: P2.1")
    change_line(specs, SIX, "jumpers:", "jumpers:", "jumpers: []")
    analysis = analysed_in(specs, "brannock")
    assert _words(analysis, "engine.start-relay", "cranking") == ["released"]


def _stop_timer(specs: Path) -> None:
    """A relay that times out feeds the stop solenoid once the key is off."""
    field(specs, PIPIT, "{id: stop-button,", "position_in", "{")
    change_line(specs, PIPIT, "{id: key,", ", stopping: run", "")
    insert(
        specs, PIPIT, "{id: stop-button,",
        "    - {id: stop-timer, kind: relay, name: Stop timer, code: K5, engine: engine, coil: "
        '{between: ["15", "31"], resistance: 120 ohm, pull_in: 7 V, drop_out: 3 V}, '
        'contacts: [{between: ["30", "87"], kind: passes}], release_time: 20 s, place: cockpit}',
    )  # fmt: skip
    wires = ("key.ignition", "15"), ("negative-bus.2", "31"), ("key.battery", "30")
    insert(
        specs, PIPIT, "{label: E1,",
        *(
            f"    - {{label: T{number}, from: {start}, to: stop-timer.{end}, length: 0.3 m, "
            "size: 2.5 mm², insulation: 105 °C, place: cockpit}"
            for number, (start, end) in enumerate(wires, start=1)
        ),
        "    - {label: T4, from: stop-timer.87, to: stop-button.stop, length: 0.3 m, "
        "size: 2.5 mm², insulation: 105 °C, place: cockpit}",
    )  # fmt: skip


def test_a_stop_timer_feeds_the_solenoid_after_the_key_and_only_then(specs: Path) -> None:
    _stop_timer(specs)
    analysis = analysed_in(specs, "pipit")
    steps = ("off", "ignition-on", "running-idle", "stopping")
    assert _words(analysis, "engine.stop-solenoid", *steps) == [
        "dropped, may run", "dropped, may run", "dropped, may run", "lifted, stopped",
    ]  # fmt: skip
    assert _words(analysis, "key", "running-idle", "stopping") == ["run", "off"]


def test_a_stop_timer_that_never_saw_the_ignition_stops_nothing(specs: Path) -> None:
    _stop_timer(specs)
    remove_line(specs, PIPIT, "{label: T1,")
    analysis = analysed_in(specs, "pipit")
    assert _words(analysis, "engine.stop-solenoid", "stopping") == ["dropped, may run"]


def test_an_emergency_stop_stops_with_the_key_in_run(specs: Path) -> None:
    assert analysed_in(specs, "brannock").book.get("dc.emergency-stop.solved") is None
    emergency_stop(specs)
    analysis = analysed_in(specs, "brannock")
    case = "emergency-stop"
    assert _words(analysis, "key", "running-idle", case, "stopping") == ["run", "run", "off"]
    assert _words(analysis, "emergency-button", "running-idle", case) == ["released", "pressed"]
    assert _words(analysis, "engine.stop-solenoid", case) == ["dropped, stopped"]


def test_an_emergency_stop_that_stops_nothing_is_a_finding(specs: Path) -> None:
    emergency_stop(specs)
    change_line(specs, BRANNOCK, "{id: emergency-button,", "pressed: []", "pressed: [[in, out]]")
    findings = check(analysed_in(specs, "brannock"))
    found = {item.id: item for item in findings.items}["stop-solenoid-right/engine.stop-solenoid"]
    assert (found.verdict, found.case) == ("fail", "emergency-stop")


def test_each_station_starts_and_stops_each_engine(specs: Path) -> None:
    analysis = analysed_in(specs, "sallow")
    for engine in ("port", "starboard"):
        cranking, stopping = f"upper.{engine}.cranking", f"upper.{engine}.stopping"
        assert _words(analysis, f"key-{engine}-upper", cranking) == ["start"]
        assert _words(analysis, f"key-{engine}-lower", cranking) == ["off"]
        assert _words(analysis, f"{engine}.starter", cranking) == ["engaged, turning"]
        assert _words(analysis, f"{engine}.stop-solenoid", stopping) == ["lifted, stopped"]


def _at_the_mast(specs: Path, changes: str) -> None:
    """A second station that has nothing but the emergency button."""
    emergency_stop(specs)
    change_line(
        specs, BRANNOCK, "  system: 12 V", "  system: 12 V",
        "  system: 12 V\n  stations: [wheelhouse, mast]",
    )  # fmt: skip
    change_line(specs, BRANNOCK, "{id: key,", "place:", "station: wheelhouse, place:")
    change_line(specs, BRANNOCK, "{id: emergency-button,", "place:", f"{changes}, place:")


def test_an_emergency_button_at_another_station_stops_with_the_key_in_run(specs: Path) -> None:
    _at_the_mast(specs, "station: mast")
    analysis = analysed_in(specs, "brannock")
    # From the wheelhouse nobody can press it.
    assert analysis.book.get("dc.emergency-stop.solved") is None
    case = "mast.emergency-stop"
    assert _words(analysis, "key", "running-idle", case) == ["run", "run"]
    assert _words(analysis, "emergency-button", "running-idle", case) == ["released", "pressed"]
    assert _words(analysis, "engine.stop-solenoid", case) == ["dropped, stopped"]


def test_one_that_stops_nothing_there_is_a_finding(specs: Path) -> None:
    _at_the_mast(specs, "station: mast")
    change_line(specs, BRANNOCK, "{id: emergency-button,", "pressed: []", "pressed: [[in, out]]")
    findings = check(analysed_in(specs, "brannock"))
    found = {item.id: item for item in findings.items}["stop-solenoid-right/engine.stop-solenoid"]
    assert (found.verdict, found.case) == ("fail", "mast.emergency-stop")


def test_a_station_whose_stop_button_is_not_connected_is_a_finding(specs: Path) -> None:
    name = "stop-solenoid-right/port.stop-solenoid"
    assert {f.id: f for f in check(analysed_in(specs, "sallow")).items}[name].verdict == "pass"
    path = specs / f"{SALLOW}.yaml"
    wires = [
        line for line in path.read_text("utf-8").splitlines() if "stop-port-upper.stop" in line
    ]
    remove_line(specs, SALLOW, wires[0])
    found = {f.id: f for f in check(analysed_in(specs, "sallow")).items}[name]
    assert (found.verdict, found.case) == ("fail", "upper.port.stopping")


def test_a_battery_worse_than_the_stated_resistance_chatters(specs: Path) -> None:
    analysis = analysed_in(specs, "brannock")
    onset = analysis.book["engine.start-run-stop.chatter-battery"].value
    weak = analysis.book["battery.start-bank.weakest.resistance"].value
    assert isinstance(onset, Resistance)
    assert isinstance(weak, Resistance)
    assert onset.ohm > weak.ohm
    # SAE J537: the resistance goes as the inverse of the cold-cranking current.
    critical_a = 1250 * weak.ohm / onset.ohm
    for share, chatters in ((1.03, False), (0.97, True)):
        field(specs, BRANNOCK, "{id: start-bank,", "cca", f"{critical_a * share:.1f} A")
        found = analysed_in(specs, "brannock").book["dc.breakaway.solved"].value
        assert str(found).startswith("chatters") is chatters, (share, found)


def test_a_joint_worse_than_the_stated_resistance_chatters(specs: Path) -> None:
    result = analysed_in(specs, "brannock").book["engine.start-run-stop.chatter-joint"]
    assert isinstance(result.value, Resistance)
    assert result.notes[-1] == "The joint that needs the least is in conductor S2."
    # S2 has two joints of the standard's assumed resistance: with many, the same sum.
    for share, chatters in ((0.97, False), (1.03, True)):
        change = f"S2, joints: {round(result.value.ohm * share / 1e-4)}"
        change_line(specs, BRANNOCK, "{label: S2,", "S2,", f"{change},")
        found = analysed_in(specs, "brannock").book["dc.breakaway.solved"].value
        assert str(found).startswith("chatters") is chatters, (share, found)
        change_line(specs, BRANNOCK, "{label: S2,", f"{change},", "S2,")


def test_several_stable_states_are_reported_as_such(specs: Path) -> None:
    book = analysed_in(specs, "brannock").book
    # A holding winding keeps what it could not lift: memory decides.
    assert book["dc.running-idle.rests"].value == "Stop solenoid released"
    assert book["dc.ignition-on.rests"].value == "Stop solenoid lifted"
    assert book["dc.stopping.rests"].value == "none"
