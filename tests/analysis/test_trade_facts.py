"""Facts of the trade that the tool must know: common practice, without a published source."""

from __future__ import annotations

from pathlib import Path

from installgen.analysis.analyse import Analysis
from installgen.findings.check import check
from installgen.findings.finding import Finding
from installgen.units import Current
from tests.analysis.specs import analysed_in, change_line, remove_line

SIX, BRANNOCK, SALLOW = "engines/tolvane-six", "vessels/brannock", "vessels/sallow"
HEATER = "heater-declared/engine.heater-grid"


def _finding(analysis: Analysis, finding: str) -> Finding:
    return {item.id: item for item in check(analysis).items}[finding]


def _current(analysis: Analysis, case: str, element: str) -> float:
    assert analysis.dc is not None
    found = next(one for one in analysis.dc.cases if one.case.id == case)
    return abs(found.current_a(element) or 0.0)


def test_the_start_relay_feeds_the_starters_terminal_and_the_lifting_winding(specs: Path) -> None:
    analysis = analysed_in(specs)
    for conductor in ("engine.W8", "engine.W9"):
        assert _current(analysis, "cranking", conductor) > 5.0
        assert _current(analysis, "running-idle", conductor) < 0.001
    # Without the relay's negative neither has anything: one cause, two losses.
    remove_line(specs, SIX, "{label: W7,")
    analysis = analysed_in(specs)
    for conductor in ("engine.W8", "engine.W9"):
        assert _current(analysis, "cranking", conductor) < 0.001


def test_a_neutral_switch_replaces_the_link_and_opens_in_gear(specs: Path) -> None:
    # The twin has one on each gear: closed in neutral, so that she cranks; open in gear.
    analysis = analysed_in(specs, "sallow")
    assert analysis.dc is not None
    links = {label for label, _, _, _ in analysis.dc.model.jumpers()}
    assert not {"port.J1", "starboard.J1"} & links
    assert _current(analysis, "port.cranking", "port.start-relay") > 0.01
    change_line(
        specs, SALLOW, "{id: neutral-port,", "position_in: {running: engaged}",
        "position_in: {running: engaged, breakaway: engaged, cranking: engaged}",
    )  # fmt: skip
    analysis = analysed_in(specs, "sallow")
    assert _current(analysis, "port.cranking", "port.start-relay") < 0.001
    assert _current(analysis, "starboard.cranking", "starboard.start-relay") > 0.01


def test_a_heater_without_its_controller_is_declared_unused_or_connected(specs: Path) -> None:
    assert _finding(analysed_in(specs), HEATER).verdict == "pass"
    remove_line(specs, BRANNOCK, "not_fitted:")
    remove_line(specs, BRANNOCK, "{system: air-heater,")
    found = _finding(analysed_in(specs), HEATER)
    assert (found.verdict, found.figure) == ("fail", "neither")


def _hand_operated(specs: Path, *, size: str = "2/0 AWG") -> None:
    """The heater fed through a fuse and a relay that a button works."""
    remove_line(specs, BRANNOCK, "not_fitted:")
    remove_line(specs, BRANNOCK, "{system: air-heater,")
    change_line(
        specs, BRANNOCK, "{id: charge-lamp,", "    - {id: charge-lamp,",
        "    - {id: heater-fuse, kind: fuse, name: Heater fuse, code: F20, rating: 150 A, "
        "type: class-t, interrupting: 20000 A, from_source: 170 mm, enclosed: open, "
        "place: engine-space}\n"
        "    - {id: heater-relay, kind: relay, name: Heater relay, code: K9, engine: engine, coil: "
        '{between: ["86", "85"], resistance: 40 ohm, pull_in: 7 V, drop_out: 2 V}, contacts: '
        '[{between: ["30", "87"], kind: closes, rating: 200 A}], place: engine-space}\n'
        "    - {id: heater-button, kind: push-button, name: Heater button, code: SB8, contacts: "
        "[supply, heat], positions: {released: [], pressed: [[supply, heat]]}, position_in: "
        "{preheating: pressed}, rating: 5 A, engine: engine, place: wheelhouse}\n"
        "    - {id: charge-lamp,",
    )  # fmt: skip
    heavy = f"size: {size}, insulation: 105 °C, place: engine-space, function: intake heater"
    light = "size: 14 AWG, insulation: 105 °C, place: wheelhouse, function: heater button"
    wires = [
        f"H1, from: isolator.out, to: heater-fuse.in, length: 0.17 m, {heavy}",
        f"H2, from: heater-fuse.out, to: heater-relay.30, length: 0.5 m, {heavy}",
        f"H3, from: heater-relay.87, to: engine.heater-grid.positive, length: 1.2 m, {heavy}",
        f"H4, from: key.ignition, to: heater-button.supply, length: 0.3 m, {light}",
        f"H5, from: heater-button.heat, to: heater-relay.86, length: 5 m, {light}",
        f"H6, from: heater-relay.85, to: negative-bus.6, length: 4 m, {light}",
    ]
    lines = "".join(f"    - {{label: {wire}}}\n" for wire in wires)
    change_line(specs, BRANNOCK, "{label: E1,", "    - {label: E1,", f"{lines}    - {{label: E1,")


def test_a_hand_operated_heater_is_sized_and_protected(specs: Path) -> None:
    _hand_operated(specs)
    analysis = analysed_in(specs)
    assert (_finding(analysis, HEATER).verdict, _finding(analysis, HEATER).figure) == (
        "pass", "switched by hand and protected",
    )  # fmt: skip
    # She now preheats: 120 A at 12 V is 0.1 ohm.
    assert 90 < _current(analysis, "preheating", "engine.heater-grid") < 130
    assert _current(analysis, "running-idle", "engine.heater-grid") < 0.001
    value = analysis.book["fuse.heater-fuse.load"].value
    assert isinstance(value, Current)
    assert analysis.book["conductor.H3.protected-by"].value == "heater-fuse"
    assert _finding(analysis, "ampacity/H3").verdict == "pass"
    assert analysis.book["conductor.H3.fault"].value in ("clears fast", "clears slowly")


def test_a_heaters_wire_that_is_too_thin_is_a_finding(specs: Path) -> None:
    _hand_operated(specs, size="8 AWG")
    assert _finding(analysed_in(specs), "ampacity/H3").verdict == "fail"


def test_a_heater_on_the_battery_without_a_fuse_or_a_switch_is_a_finding(specs: Path) -> None:
    _hand_operated(specs)
    change_line(specs, BRANNOCK, "{label: H2,", "heater-fuse.out", "heater-fuse.in")
    assert _finding(analysed_in(specs), HEATER).figure == "without fuse"
    change_line(specs, BRANNOCK, "{label: H3,", "heater-relay.87", "heater-relay.30")
    assert _finding(analysed_in(specs), HEATER).figure == "without switch and fuse"


def test_a_heater_that_stays_on_under_way_is_a_finding(specs: Path) -> None:
    _hand_operated(specs)
    change_line(
        specs, BRANNOCK, "{id: heater-button,", "{preheating: pressed}", "{running: pressed}"
    )
    found = _finding(analysed_in(specs), HEATER)
    assert found.verdict == "fail"
    assert str(found.figure).startswith("heats in: running, idle")
