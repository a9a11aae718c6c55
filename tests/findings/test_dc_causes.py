"""The DC system of a stranger's vessel: each fault is judged where it arises, and named."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.findings.finding import Finding, Findings
from installgen.findings.words import sentence, told_apart
from installgen.spec.load import SpecLibrary
from installgen.units import Current, Resistance
from tests.analysis.specs import change_line, edited, field
from tests.findings.scenario_files import changed, judged

BRANNOCK = "vessels/brannock"
SALLOW = "vessels/sallow"
SIZES = ["16", "14", "12", "10", "8", "6", "4", "2", "1/0", "2/0", "4/0"]


def _of(found: Findings, check_name: str, subject: str) -> Finding:
    return next(f for f in found.items if f.check == check_name and f.subject == subject)


def _step(size: object) -> int:
    return SIZES.index(str(size).split()[0].replace("\N{NO-BREAK SPACE}AWG", ""))


def _judged(specs: Path, vessel: str = "brannock", *, cures: bool = False) -> Findings:
    return check(analyse(SpecLibrary.at(specs).vessel(vessel)), cures=cures)


def _add(specs: Path, name: str, before: str, *lines: str) -> None:
    """Write entries before the first line that begins a section."""
    path = specs / f"{name}.yaml"
    text = path.read_text("utf-8")
    assert text.count(before) >= 1
    path.write_text(text.replace(before, "".join(f"    - {line}\n" for line in lines) + before, 1))


def _wire(specs: Path, name: str, *wires: str) -> None:
    """Write conductors before the vessel's own."""
    path = specs / f"{name}.yaml"
    lines = "".join(f"    - {wire}\n" for wire in wires)
    text = path.read_text("utf-8")
    path.write_text(text.replace("  conductors:\n", f"  conductors:\n{lines}", 1), "utf-8")


OPEN = ("electrical.conductors[L6].size = choose", "electrical.conductors[L7].size = choose")


def test_a_conductor_that_no_size_does_for_leaves_the_rest_assessed() -> None:
    far = ("electrical.conductors[L6].length = 900 m", "electrical.conductors[L7].length = 900 m")
    found = judged("brannock", *OPEN, *far)
    assert not [f for f in found.items if f.verdict == "not assessed" and f.severity == "must"]
    none = _of(found, "size-found", "L6")
    assert none.verdict == "fail"
    assert "computed with" in str(none.figure)
    drop = _of(found, "circuit-drop", "bilge-pump")
    assert drop.verdict == "fail"
    assert drop.place == none.place
    cause = next(cause for cause in found.causes if none in cause.findings)
    assert drop in cause.findings
    assert sum(drop in other.findings for other in found.causes) == 1
    assert cause.first is none
    assert _of(found, "size-fitted", "L6").figure == "nothing can be proposed"


def test_a_loss_in_a_shared_feed_grows_no_branch() -> None:
    """The house feed alone takes more than 3 %: the branch stays small, the feed is named."""
    thin = ("electrical.conductors[D2].size = 12 AWG", "electrical.conductors[D3].size = 12 AWG")
    whole = judged("brannock", *OPEN)
    found = judged("brannock", *OPEN, *thin, cures=True)
    chosen = [_of(found, "size-found", label).figure for label in ("L6", "L7")]
    before = _of(whole, "size-found", "L6").figure
    assert chosen[0] == chosen[1]
    assert _step(before) <= _step(chosen[0]) <= _step(before) + 1
    drop = _of(found, "circuit-drop", "bilge-pump")
    assert drop.verdict == "fail"
    assert "most of it is lost in D" in drop.reason
    assert drop.place is not None
    assert drop.place.path in ("electrical.conductors[5].size", "electrical.conductors[6].size")
    assert drop.cure is not None
    assert drop.cure.checked
    changed = {change.path for change in drop.cure.changes}
    assert changed == {"electrical.conductors[5].size", "electrical.conductors[6].size"}


def test_a_loss_in_a_diode_is_cured_at_the_diode(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    for label in ("L6", "L7"):
        field(specs, BRANNOCK, f"{{label: {label},", "size", "choose")
    change_line(specs, BRANNOCK, "{label: L6,", "from: panel-breaker.out", "from: splitter.cathode")
    diode = (
        "{id: splitter, kind: diode, name: Splitter, drop: 0.7 V, drop_at: 5 A, place: wheelhouse}"
    )
    _add(specs, BRANNOCK, "  conductors:\n", diode)
    feed = (
        "{label: L20, from: panel-breaker.out, to: splitter.anode, length: 0.3 m, size: 10 AWG, "
        "insulation: 105 °C, colour: brown, function: bilge pump, place: wheelhouse}"
    )
    path = specs / f"{BRANNOCK}.yaml"
    text = path.read_text("utf-8")
    path.write_text(text.replace("  conductors:\n", f"  conductors:\n    - {feed}\n", 1), "utf-8")
    found = _judged(specs, cures=True)
    drop = _of(found, "circuit-drop", "bilge-pump")
    assert "most of it is lost in Splitter" in drop.reason
    assert drop.cure is not None
    assert "Splitter" in drop.cure.text
    assert not drop.cure.changes
    assert _step(_of(found, "size-found", "L6").figure) < SIZES.index("4")


def test_a_sense_wire_on_the_battery_side_of_a_fuse_is_not_behind_it(tmp_path: Path) -> None:
    """It hangs on the starter's stud without a fuse of its own: that is what is found."""
    specs = edited(tmp_path, {})
    change_line(specs, "engines/tolvane-six", "{label: W14,", "sense-fuse.out", "starter.battery")
    found = _judged(specs)
    assert _of(found, "fuse-rating", "engine.alternator-fuse").verdict == "pass"
    wire = _of(found, "conductor-protected", "engine.W14")
    assert wire.verdict == "fail"
    assert wire.figure == "nothing"


def test_a_fuse_finding_names_the_weakest_conductor_and_the_load(tmp_path: Path) -> None:
    """A sense wire behind the alternator's fuse: no smaller fuse is offered, it would blow."""
    specs = edited(tmp_path, {})
    six = "engines/tolvane-six"
    change_line(specs, six, "{label: W14,", "sense-fuse.out", "alternator-fuse.out")
    found = _judged(specs, cures=True)
    fuse = _of(found, "fuse-rating", "engine.alternator-fuse")
    assert fuse.verdict == "fail"
    assert "W14" in fuse.reason
    assert "charging flat batteries" in fuse.reason
    load = analyse(SpecLibrary.at(specs).vessel("brannock")).book[
        "fuse.engine.alternator-fuse.load"
    ]
    assert isinstance(load.value, Current)
    # 110 A hot at 80 %: a flat battery takes it nearly all.
    assert 75.0 < load.value.a < 90.0


def test_no_fuse_is_offered_below_what_it_carries() -> None:
    """A 16 AWG branch behind the main fuse: the cure is the conductor, not a 30 A fuse."""
    found = judged("brannock", "electrical.devices[main-fuse].rating = 300 A", cures=True)
    fuse = _of(found, "fuse-rating", "main-fuse")
    assert fuse.verdict == "fail"
    assert fuse.cure is not None
    for change in fuse.cure.changes:
        assert Current.parse(change.value.replace("\N{NO-BREAK SPACE}", " ")).a >= 1.25 * 12.0


def test_an_isolator_may_stand_before_the_fuse_where_the_distance_allows(tmp_path: Path) -> None:
    """The stretch is counted from the battery over the isolator; in a sheath 40 in are allowed."""
    specs = edited(tmp_path, {})
    bank = (
        "{id: house-bank, kind: battery, name: House bank, voltage: 12 V, capacity: 200 Ah, "
        "cca: 700 A, short_circuit: 3000 A, purpose: house, place: engine-space}"
    )
    switch = (
        "{id: house-switch, kind: isolator, name: House isolator, rating: 200 A, "
        "resistance: 0.2 mohm, place: engine-space}"
    )
    _add(specs, BRANNOCK, "  conductors:\n", bank, switch)
    ends = "size: 2 AWG, insulation: 105 °C, colour: red, function: house feed, place: engine-space"
    wires = (
        f"{{label: H20, from: house-bank.positive, to: house-switch.in, length: 0.4 m, {ends}}}",
        "{label: H21, from: house-bank.negative, to: negative-bus.6, length: 1 m, size: 2 AWG, "
        "insulation: 105 °C, colour: black, function: house negative, place: engine-space}",
    )
    _wire(specs, BRANNOCK, *wires)
    change_line(specs, BRANNOCK, "{label: D1,", "isolator.out", "house-switch.out")
    open_run = _of(_judged(specs), "conductor-protected", "H20")
    assert open_run.verdict == "fail"
    assert "too far before its device main-fuse: 0.57 m" in str(open_run.figure)
    for label in ("H20", "D1"):
        change_line(
            specs, BRANNOCK, f"{{label: {label},", "colour: red", "colour: red, sheathed: sheathed"
        )
    sheathed = _of(_judged(specs), "conductor-protected", "H20")
    assert sheathed.verdict == "pass"
    assert "the rule allows 1.02 m, as it is sheathed all the way" in str(sheathed.figure)


def test_a_charge_relay_may_let_go_while_cranking(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    relay = (
        '{id: charge-relay, kind: relay, name: Charge relay, coil: {between: ["86", "85"], '
        "resistance: 80 ohm, pull_in: 11.9 V, drop_out: 11.6 V}, contacts: [{between: "
        '["30", "87"], kind: closes, rating: 100 A}], place: engine-space}'
    )
    _add(specs, BRANNOCK, "  conductors:\n", relay)
    ends = "length: 0.3 m, size: 16 AWG, insulation: 105 °C, place: engine-space"
    wires = (
        f"{{label: R1, from: main-fuse.out, to: charge-relay.86, {ends}}}",
        f"{{label: R2, from: charge-relay.85, to: negative-bus.6, {ends}}}",
    )
    _wire(specs, BRANNOCK, *wires)
    found = _of(_judged(specs), "relay-holds", "charge-relay")
    assert found.verdict == "pass"
    assert found.case.startswith("running")


def test_what_a_key_feeds_is_not_judged_while_that_key_is_off(tmp_path: Path) -> None:
    """With its engine's key off a horn, or a relay, gets a trickle through its neighbours."""
    specs = edited(tmp_path, {})
    for side, on_in in (("port", ""), ("starboard", ", on_in: [ignition-on, cranking]")):
        change_line(specs, SALLOW, f"{{id: horn-{side},", ", on_in: [ignition-on]", on_in)
    relay = (
        '{id: blower-relay, kind: relay, name: Blower relay, coil: {between: ["86", "85"], '
        "resistance: 320 ohm, pull_in: 16 V, drop_out: 5 V}, contacts: [{between: "
        '["30", "87"], kind: closes, rating: 30 A}], engine: port, place: wheelhouse}'
    )
    _add(specs, SALLOW, "  conductors:\n", relay)
    ends = "length: 0.3 m, size: 1.5 mm², insulation: 105 °C, place: wheelhouse"
    _wire(
        specs,
        SALLOW,
        f"{{label: R1, from: key-port-lower.ignition, to: blower-relay.86, {ends}}}",
        f"{{label: R2, from: blower-relay.85, to: negative-bus.12, {ends}}}",
    )
    found = _judged(specs, "sallow")
    for side in ("port", "starboard"):
        assert _of(found, "circuit-drop", f"horn-{side}").verdict == "pass"
        assert _of(found, "voltage-at-load", f"horn-{side}").verdict == "pass"
    assert _of(found, "relay-holds", "blower-relay").verdict == "pass"


def test_a_relay_that_a_key_feeds_too_little_is_told_what_it_pulls_in_at() -> None:
    stays_out = judged("brannock", "sheet.devices[start-relay].coil.pull_in = 13 V")
    found = _of(stays_out, "relay-holds", "engine.start-relay")
    assert found.verdict == "fail"
    assert str(found.limit) == "13 V"
    assert found.place is not None
    assert found.place.path.endswith("pull_in")


def test_a_finding_names_its_case() -> None:
    found = judged("brannock", "electrical.conductors[S2].size = 4 AWG")
    text = sentence(_of(found, "cranking-voltage", "engine.starter"), "metric")
    assert "in the case `cranking, turning`" in text


def test_an_instrument_is_not_judged_while_the_starter_pulls() -> None:
    found = judged("brannock", "electrical.conductors[S2].size = 4 AWG")
    gauge = _of(found, "circuit-drop", "oil-gauge")
    assert gauge.verdict == "pass"
    assert gauge.case == "ignition-on" or gauge.case.startswith("running")


@pytest.mark.parametrize(("figure", "limit"), [(2.0004e-3, 2e-3), (1.9999999e-3, 2e-3)])
def test_a_figure_and_a_limit_that_differ_never_print_alike(figure: float, limit: float) -> None:
    told = told_apart(Resistance(figure), Resistance(limit), "metric")
    assert told[0] != told[1]


def test_a_figure_that_is_its_limit_prints_alike() -> None:
    assert told_apart(Resistance(2e-3), Resistance(2e-3), "us") == ("2\N{NO-BREAK SPACE}mΩ",) * 2


def test_a_loose_main_negative_sends_the_starters_current_elsewhere() -> None:
    """By hand: the instruments' negative E12 and W21 (12 AWG) with D3 to the battery."""
    found = _of(judged("brannock"), "parallel-negatives", "engine.S3")
    assert found.verdict == "caution"
    assert "E12 carries" in str(found.figure)
    alone = judged("brannock", "electrical.conductors[E12].from = engine.P1.12")
    assert _of(alone, "parallel-negatives", "engine.S3").verdict == "pass"


def test_alternators_with_different_voltages_hold_each_other_off(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    four = (specs / "engines/tolvane-four.yaml").read_text("utf-8")
    other = four.replace("id: tolvane-four", "id: tolvane-four-b", 1)
    other = other.replace("set_voltage: 28.4 V", "set_voltage: 27.6 V")
    (specs / "engines/tolvane-four-b.yaml").write_text(other, "utf-8")
    path = specs / "vessels/sallow.yaml"
    text = path.read_text("utf-8").replace(", on_in: []", "")
    head, tail = text.split("  - name: starboard\n", 1)
    tail = tail.replace("sheet: tolvane-four\n", "sheet: tolvane-four-b\n", 1)
    path.write_text(f"{head}  - name: starboard\n{tail}", "utf-8")
    found = _judged(specs, "sallow")
    held = _of(found, "alternators-agree", "starboard.alternator")
    assert held.verdict == "fail"
    assert "28.4" in str(held.figure)
    assert "27.6" in str(held.figure)
    assert held.place is not None
    assert held.place.path.endswith("set_voltage")
    assert _of(found, "alternators-agree", "port.alternator").verdict == "pass"


def test_a_stop_solenoid_may_lift_once_the_engine_turns() -> None:
    """At the first instant the starter leaves it too little, turning it has enough."""
    lifting = "sheet.devices[stop-solenoid].lifting.pull_in = 8.5 V"
    analysis = analyse(changed("brannock", lifting))
    first = analysis.book["dc.breakaway.engine.stop-solenoid.position"].value
    turning = analysis.book["dc.cranking.engine.stop-solenoid.position"].value
    assert str(first).startswith("dropped")
    assert str(turning).startswith("lifted")
    assert _of(
        judged("brannock", lifting), "stop-solenoid-right", "engine.stop-solenoid"
    ).verdict == ("pass")


def test_one_that_never_lifts_is_found_in_its_case_with_what_to_do() -> None:
    lifting = "sheet.devices[stop-solenoid].lifting.pull_in = 11.9 V"
    found = judged("brannock", lifting, cures=True)
    solenoid = _of(found, "stop-solenoid-right", "engine.stop-solenoid")
    assert solenoid.verdict == "fail"
    assert solenoid.case_name == "cranking, turning"
    assert solenoid.cure is not None
    assert "lifting winding" in solenoid.cure.text


def test_a_reversed_battery_comes_before_what_it_makes_of_the_rest() -> None:
    found = judged(
        "brannock",
        "electrical.conductors[S1].from = start-bank.negative",
        "electrical.conductors[S3].to = start-bank.positive",
        "electrical.conductors[D3].to = start-bank.positive",
    )
    assert found.items[0].check == "battery-polarity"
    assert str(found.items[0].figure).startswith("reversed: its positive leads to engine.block")
    assert found.causes[0].first is found.items[0]
