"""Two engines at work at once: what each remembers, where it starts from, what charges what."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.findings.check import check
from installgen.findings.finding import Finding
from installgen.units import Current
from tests.analysis.specs import analysed, change_line, edited, remove_line
from tests.analysis.twin import ENGINES, analysed_twin, change, twin

SALLOW = "vessels/sallow"
CRANKING = {
    "port": "port.cranking+starboard.running-idle",
    "starboard": "port.running-idle+starboard.cranking",
}


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return twin(tmp_path)


def _finding(analysis: Analysis, name: str) -> Finding:
    return next(found for found in check(analysis).items if found.id == name)


def _amperes(analysis: Analysis, result: str) -> float:
    value = analysis.book[result].value
    assert isinstance(value, Current), analysis.book[result].not_assessed
    return value.a


def test_an_engine_that_runs_keeps_its_stop_solenoid_lifted_while_the_other_cranks(
    specs: Path,
) -> None:
    # It was lifted as its own engine was cranked, and its ignition still holds it.
    analysis = analysed_twin(specs)
    for case in (*CRANKING.values(), "all.running-idle", "all.running-cruise"):
        for engine in ENGINES:
            position = analysis.book[f"dc.{case}.{engine}.stop-solenoid.position"].value
            assert position == "lifted: the engine may run", (case, engine)
    for engine in ENGINES:
        name = f"stop-solenoid-right/{engine}.stop-solenoid"
        assert _finding(analysis, name).verdict == "pass"
        # The engine that cranks comes from its own ignition, not from the other's running.
        for other in ENGINES:
            position = analysis.book[f"dc.{CRANKING[engine]}.{other}.starter.position"].value
            assert position == ("engaged" if other == engine else "released")


def test_an_engine_whose_solenoid_is_not_held_is_still_found_stopped(specs: Path) -> None:
    path = specs / "vessels/twin.yaml"
    text = path.read_text("utf-8")
    assert "from: starboard-key.ignition\n    to: starboard.P1.2" in text
    path.write_text(
        text.replace("from: starboard-key.ignition\n    to: starboard.P1.2",
                     "from: starboard-key.crank\n    to: starboard.P1.2"), "utf-8")  # fmt: skip
    analysis = analysed_twin(specs)
    assert _finding(analysis, "stop-solenoid-right/starboard.stop-solenoid").verdict == "fail"
    assert _finding(analysis, "stop-solenoid-right/port.stop-solenoid").verdict == "pass"


def test_one_alternator_has_nothing_to_give_to_a_bank_that_it_does_not_reach(specs: Path) -> None:
    apart = analysed_twin(specs)
    least = "dc.all.running-idle.surplus"
    own = [f"dc.all.running-idle.{name}-start-bank.surplus" for name in ENGINES]
    assert _amperes(apart, least) == pytest.approx(min(_amperes(apart, name) for name in own))
    assert _finding(apart, "alternator-surplus.idle/surplus-idle").verdict == "pass"
    # 47 A in all, most of it on the port side: more there than one alternator gives at idle,
    # less than both together.
    change(specs, "port-radio", "1.5 A", "40 A")
    analysis = analysed_twin(specs)
    load = _amperes(analysis, "dc.all.running-idle.load")
    both = sum(_amperes(analysis, f"{name}.alternator.idle.output") for name in ENGINES)
    assert load < both
    assert _amperes(analysis, least) < 0.0
    assert _amperes(analysis, own[1]) > 0.0
    bank = "dc.all.running-idle.port-start-bank.charge"
    assert _amperes(analysis, bank) < 0.0
    found = _finding(analysis, "alternator-surplus.idle/surplus-idle")
    assert (found.verdict, found.case) == ("fail", "all.running-idle")
    assert "Port Start battery" in found.name
    assert found.case_name == "all running, idle"


def test_hours_to_charge_banks_that_nothing_joins_are_not_assessed(specs: Path) -> None:
    hours = analysed_twin(specs).book["dc.recharge-hours"]
    assert hours.value is None
    assert "port-start-bank, starboard-start-bank" in hours.not_assessed


def test_only_a_station_that_can_start_an_engine_is_asked_to_crank_it(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    start = "breakaway: start, cranking: start, "
    change_line(specs, SALLOW, "{id: key-port-upper,", start, "")
    analysis = analysed(tmp_path, "sallow")
    assert analysis.dc is not None
    ids = {found.case.id for found in analysis.dc.stations}
    assert "upper.port.cranking" not in ids
    assert {"upper.port.stopping", "upper.starboard.cranking"} <= ids
    assert _finding(analysis, "starter-engages/port.starter").verdict == "pass"


def test_a_finding_at_another_station_names_its_case(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    remove_line(specs, SALLOW, "from: key-port-upper.crank,")
    found = _finding(analysed(tmp_path, "sallow"), "starter-engages/port.starter")
    assert (found.verdict, found.case) == ("fail", "upper.port.cranking")
    assert found.case_name == "port: cranking, turning, upper station"
