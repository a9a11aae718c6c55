"""The fault study and its trees: every planted fault is found again from its readings."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import pytest

from installgen.analysis.analyse import analyse
from installgen.analysis.dc_cases import solve_cases
from installgen.analysis.dc_sources import BatteryModel
from installgen.analysis.fault_study import FaultEffect, FaultStudy, study_faults
from installgen.analysis.fault_tree import (
    Branch,
    Chances,
    FaultTree,
    Leaf,
    band_v,
    chances,
    fault_tree,
)
from installgen.analysis.symptoms import Symptom
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, change_line, edited

ROUNDS = 3
SUPPLY_V = 15.0


@cache
def _study(specs: Path, vessel_id: str, engine: str) -> tuple[FaultStudy, Chances]:
    vessel = SpecLibrary.at(specs).vessel(vessel_id)
    dc = analyse(vessel).dc
    assert dc is not None
    strongest = solve_cases(dc.model, BatteryModel.STRONGEST)
    study = study_faults(dc.model, engine, dc.cases, strongest)
    assert study is not None
    return study, chances(dc.model, study)


def _tree(specs: Path, symptom: Symptom) -> FaultTree:
    study, odds = _study(specs, "brannock", "engine")
    tree = fault_tree(study, symptom, odds)
    assert tree is not None
    return tree


def _first_node(tree: FaultTree) -> str:
    assert isinstance(tree.root, Branch)
    return tree.root.question.node


def test_the_whole_vessel_has_no_symptom() -> None:
    study, _ = _study(SPECS, "brannock", "engine")
    assert study.healthy.symptoms == frozenset()


@pytest.mark.parametrize(
    ("fault", "symptom"),
    [
        # Common practice: what each of these faults looks like to the operator.
        ("broken:E2", Symptom.STOPS_ON_RELEASE),
        ("broken:engine.stop-solenoid:holding", Symptom.STOPS_ON_RELEASE),
        ("broken:engine.stop-solenoid:lifting", Symptom.CRANKS_DOES_NOT_START),
        ("broken:engine.ignition-fuse", Symptom.DOES_NOT_CRANK),
        ("broken:engine.start-fuse", Symptom.DOES_NOT_CRANK),
        ("broken:engine.starter:contacts", Symptom.CLICKS),
        ("broken:engine.W13", Symptom.DOES_NOT_CHARGE),
        ("broken:engine.W14", Symptom.OVERCHARGES),
        ("welded:engine.start-relay:30-87", Symptom.STARTER_STAYS_IN),
    ],
)
def test_a_fault_shows_as_its_symptom(fault: str, symptom: Symptom) -> None:
    study, _ = _study(SPECS, "brannock", "engine")
    effect = next(effect for effect in study.effects if effect.fault.id == fault)
    assert symptom in effect.symptoms


@pytest.mark.parametrize("symptom", list(Symptom))
def test_every_planted_fault_ends_in_its_group(symptom: Symptom) -> None:
    study, odds = _study(SPECS, "brannock", "engine")
    tree = fault_tree(study, symptom, odds)
    if tree is None:
        assert not study.with_symptom(symptom)
        return
    rng = random.Random(20260618)
    tried = found = 0
    for effect in study.with_symptom(symptom):
        for _ in range(ROUNDS):
            tried += 1
            found += _follow(tree, effect, rng)
    assert found >= 0.99 * tried, f"{found} of {tried}"


def _follow(tree: FaultTree, effect: FaultEffect, rng: random.Random) -> bool:
    """Answer each question by the planted fault's reading, with noise inside the meter's band."""
    item: Branch | Leaf | None = tree.root
    while isinstance(item, Branch):
        reading = effect.readings.get((item.question.case.id, item.question.node))
        if reading is None:
            volts = rng.uniform(0.0, SUPPLY_V)  # a floating point may show anything
        else:
            volts = rng.uniform(*reading)
            volts += rng.uniform(-0.9, 0.9) * band_v(volts)
        item = item.follow(volts)
    return item is not None and effect in item.suspects


def test_groups_are_small() -> None:
    for symptom in (Symptom.DOES_NOT_CRANK, Symptom.STOPS_ON_RELEASE, Symptom.DOES_NOT_CHARGE):
        sizes = [len(leaf.suspects) for leaf in _tree(SPECS, symptom).leaves()]
        assert sum(sizes) / len(sizes) < 3.0


def test_the_ignition_fuse_is_asked_first() -> None:
    # Common practice: its corroded holder is the first suspect for a start that fails.
    assert _first_node(_tree(SPECS, Symptom.DOES_NOT_CRANK)).startswith("engine.ignition-fuse.")


def test_a_fuse_out_of_reach_is_not_asked(tmp_path: Path) -> None:
    specs = edited(
        tmp_path,
        {
            "engines/tolvane-six": [
                ("    name: Ignition fuse\n", "    name: Ignition fuse\n    reach: none\n")
            ]
        },
    )
    tree = _tree(specs, Symptom.DOES_NOT_CRANK)
    assert not _first_node(tree).startswith("engine.ignition-fuse.")


def test_other_weights_move_the_first_question(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    change_line(
        specs, "engines/tolvane-six", "fault_weight: 20", "fault_weight: 20", "fault_weight: 0"
    )
    assert not _first_node(_tree(specs, Symptom.DOES_NOT_CRANK)).startswith("engine.ignition-fuse.")


def test_a_new_relay_appears_without_any_python(tmp_path: Path) -> None:
    specs = edited(
        tmp_path,
        {
            "vessels/brannock": [
                ("from: key.crank, to: engine.P1.3,", "from: extra-relay.87, to: engine.P1.3,"),
                (
                    "  conductors:\n",
                    "    - {id: extra-relay, kind: relay, name: Extra relay, coil: {between: "
                    '["86", "85"], resistance: 80 ohm, pull_in: 7 V, drop_out: 2 V}, contacts: '
                    '[{between: ["30", "87"], kind: closes}]}\n'
                    "  conductors:\n"
                    + "".join(
                        f"    - {{label: {label}, from: {start}, to: {end}, length: 1 m, "
                        "size: 14 AWG, insulation: 105 °C}\n"
                        for label, start, end in (
                            ("X1", "key.crank", "extra-relay.86"),
                            ("X2", "extra-relay.85", "negative-bus.2"),
                            ("X3", "key.ignition", "extra-relay.30"),
                        )
                    ),
                ),
            ]
        },
    )
    study, odds = _study(specs, "brannock", "engine")
    assert study.healthy.symptoms == frozenset()
    broken = {effect.fault.id for effect in study.with_symptom(Symptom.DOES_NOT_CRANK)}
    assert {"broken:extra-relay", "broken:X1", "broken:X2"} <= broken
    tree = fault_tree(study, Symptom.DOES_NOT_CRANK, odds)
    assert tree is not None
    listed = {s.fault.element for leaf in tree.leaves() for s in leaf.suspects}
    assert "extra-relay" in listed
