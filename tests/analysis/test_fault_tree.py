"""The fault study and its trees: every planted fault is found again from its readings."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from installgen.analysis.dc import analyse_dc
from installgen.analysis.fault_bench import Fault, FaultKind
from installgen.analysis.fault_growth import MOST_PLACES, Chances, fault_tree
from installgen.analysis.fault_study import FaultStudy
from installgen.analysis.fault_tree import Branch, FaultTree, Leaf, thing_of
from installgen.analysis.fault_trees import EngineFaults, fault_studies
from installgen.analysis.rating import analyse_rating
from installgen.analysis.readings import expected_readings
from installgen.analysis.results import Book
from installgen.analysis.speeds import analyse_speeds
from installgen.analysis.symptoms import Symptom, symptoms
from installgen.spec.load import SpecLibrary
from tests.analysis.planted import ends_at_its_fault, planted
from tests.analysis.specs import (
    SPECS,
    analysed,
    change_line,
    edited,
    emergency_button,
    emergency_stop,
)


@cache
def _faults(specs: Path, vessel_id: str) -> tuple[EngineFaults, ...]:
    vessel = SpecLibrary.at(specs).vessel(vessel_id)
    book = Book(vessel.standard.assume)
    analyse_speeds(book, vessel)
    analyse_rating(book, vessel)
    dc = analyse_dc(book, vessel)
    assert dc is not None
    return fault_studies(dc)


def _study(specs: Path, vessel_id: str, engine: str) -> tuple[FaultStudy, Chances]:
    found = next(f for f in _faults(specs, vessel_id) if f.study.engine == engine)
    return found.study, found.chances


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


pytestmark = pytest.mark.xdist_group("faults")

VESSELS = SpecLibrary.at(SPECS).folder.ids("vessels")


@pytest.mark.parametrize("vessel_id", VESSELS)
def test_every_planted_fault_ends_in_its_group(vessel_id: str) -> None:
    """Wherever it shows, with any battery and noise inside the meter's band."""
    rng = random.Random(20260618)
    planted_once = set()
    tried: list[str] = []
    missed: list[str] = []
    for faults in _faults(SPECS, vessel_id):
        for share in (0.0, 1.0, rng.random()):
            for fault in planted(faults.study, rng, share):
                for symptom in fault.symptoms:
                    what = f"{fault.effect.fault.id} {fault.ohm} {share:.2f}: {symptom}"
                    tried.append(what)
                    planted_once.add((faults.study.engine, fault.effect.fault.id))
                    if not ends_at_its_fault(faults.trees[symptom], fault, rng):
                        missed.append(what)
        assert len(faults.study.effects) > 100
        names = {effect.fault.id for effect in faults.study.effects}
        assert names == {name for engine, name in planted_once if engine == faults.study.engine}
    assert len(missed) <= 0.01 * len(tried), missed
    assert tried


@pytest.mark.parametrize(
    ("vessel_id", "fit", "own"),
    [
        ("brannock", emergency_stop, {"welded:emergency-button:in-out"}),
        (
            "pipit",
            emergency_button,
            {"broken:E20", "broken:E21", "broken:E21:joints", "broken:emergency-button:in-out"},
        ),
    ],
)
def test_faults_of_the_emergency_stop_are_found(
    tmp_path: Path, vessel_id: str, fit: Callable[[Path], None], own: set[str]
) -> None:
    """The engine that does not stop by its emergency stop alone, from a hundred noisy meters."""
    specs = edited(tmp_path, {})
    fit(specs)
    (faults,) = _faults(specs, vessel_id)
    assert faults.study.healthy.symptoms == frozenset()
    assert own <= {e.fault.id for e in faults.study.with_symptom(Symptom.WILL_NOT_STOP)}
    rng = random.Random(20260619)
    tried, missed = 0, list[str]()
    while tried < 100:
        for fault in planted(faults.study, rng, rng.random()):
            if Symptom.WILL_NOT_STOP in fault.symptoms:
                tried += 1
                if not ends_at_its_fault(faults.trees[Symptom.WILL_NOT_STOP], fault, rng):
                    missed.append(fault.effect.fault.id)
    assert len(missed) <= 0.01 * tried, missed


ALWAYS = {
    Symptom.DOES_NOT_CRANK, Symptom.CLICKS, Symptom.CRANKS_DOES_NOT_START, Symptom.WILL_NOT_STOP,
    Symptom.DOES_NOT_CHARGE, Symptom.STARTER_STAYS_IN,
}  # fmt: skip
HELD, SENSED = {Symptom.STOPS_ON_RELEASE}, {Symptom.OVERCHARGES}
HEATED = {Symptom.PREHEAT_ABSENT, Symptom.PREHEAT_STUCK}


@pytest.mark.parametrize(
    ("vessel_id", "fitted"),
    [
        # A solenoid that is held to run and an alternator with a sense lead; the grid heater of
        # both is declared unused.
        ("brannock", HELD | SENSED),
        ("corrie", HELD | SENSED),
        # A solenoid that is energised to stop, an alternator that reads its own stud, glow plugs.
        ("pipit", HEATED),
        ("sallow", HEATED),
    ],
)
def test_every_symptom_that_its_parts_can_show_has_a_tree(
    vessel_id: str, fitted: set[Symptom]
) -> None:
    for faults in _faults(SPECS, vessel_id):
        assert set(faults.trees) == ALWAYS | fitted


@pytest.mark.parametrize("vessel_id", ["brannock", "sallow"])
def test_what_is_not_simulated_shows_nothing(vessel_id: str) -> None:
    """Breaking what carries nothing in the sequence: here it is simulated all the same."""
    study = _faults(SPECS, vessel_id)[0].study
    weak, strong = study.benches
    left_out = [
        element.id
        for element in weak.cases[0].network.elements
        if element.id not in weak.carrying | strong.carrying
    ]
    assert left_out
    broken = [Fault(name, FaultKind.BROKEN) for name in left_out]
    for bench in (weak, strong):
        outcomes, _ = bench.run(broken, readings=True)
        shown = {name: symptoms(study.watch, o) for name, o in zip(left_out, outcomes, strict=True)}
        assert {name: found for name, found in shown.items() if found} == {}


def test_what_is_simulated_once_for_a_chain_holds_for_each_of_it() -> None:
    """Each break of the pruned study, followed by itself without any shortcut."""
    study = _faults(SPECS, "brannock")[0].study
    for effect in study.effects:
        if effect.fault.kind is not FaultKind.BROKEN:
            continue
        for bench, shown in zip(study.benches, effect.degrees[0].both, strict=True):
            (outcomes,), _ = bench.run([effect.fault], readings=True)
            assert symptoms(study.watch, outcomes) == shown.symptoms, effect.fault.id


def test_groups_are_small() -> None:
    """Where every point is reached, hardly more than one thing is left to look at."""
    for symptom in (Symptom.DOES_NOT_CRANK, Symptom.STOPS_ON_RELEASE, Symptom.DOES_NOT_CHARGE):
        things = [
            len({thing_of(suspect.fault.element) for suspect in place.suspects})
            for place in _tree(SPECS, symptom).straight()
            if isinstance(place, Leaf)
        ]
        assert sum(things) / len(things) < 2.0, symptom


@pytest.mark.parametrize("vessel_id", VESSELS)
def test_nobody_is_asked_the_same_twice(vessel_id: str) -> None:
    def walk(place: Branch | Leaf, asked: frozenset[tuple[str, str]]) -> None:
        if isinstance(place, Leaf):
            return
        key = place.question.case.id, place.question.node
        assert key not in asked
        for _, where in place.answers:
            walk(where, asked | {key})

    for faults in _faults(SPECS, vessel_id):
        for tree in faults.trees.values():
            assert len(tree.places()) <= MOST_PLACES
            walk(tree.root, frozenset())


def test_the_ignition_fuse_is_asked_first() -> None:
    # Common practice: its corroded holder is the first suspect for a start that fails.
    assert _first_node(_tree(SPECS, Symptom.DOES_NOT_CRANK)).startswith("engine.ignition-fuse.")


@pytest.mark.parametrize("vessel_id", ["brannock", "corrie"])
def test_what_fails_now_and_then_begins_with_the_ignition_fuse_too(vessel_id: str) -> None:
    # Common practice, as above: of all that keeps her from starting its holder is the likeliest.
    study, odds = _study(SPECS, vessel_id, "engine")
    starting = {Symptom.DOES_NOT_CRANK, Symptom.CLICKS, Symptom.CRANKS_DOES_NOT_START}
    stopping = [effect for effect in study.effects if effect.symptoms & starting]
    first = max(stopping, key=odds.weight)
    assert thing_of(first.fault.element) == "engine.ignition-fuse"


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
    (dc,) = (analysed(specs.parent, "brannock").dc,)
    assert dc is not None
    (readings,) = expected_readings(dc)
    cranking = readings.by_case["cranking"]
    assert {f"extra-relay.{end}" for end in ("30", "85", "86", "87")} <= cranking.keys()
    assert cranking["extra-relay.87"].computed_v is not None
