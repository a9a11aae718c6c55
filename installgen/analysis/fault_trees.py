"""The fault study of each engine with the tree of every symptom, ready for those who ask for it.

The rest of the analysis does without: a study follows thousands of cases. What it depends on is
compared value by value, so a second build in one process studies only what has changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from installgen.analysis.dc import DcAnalysis
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.fault_growth import Chances, chances, fault_tree
from installgen.analysis.fault_study import SMALL_OHM, FaultStudy, begin_study, study_faults
from installgen.analysis.fault_tree import FaultTree
from installgen.analysis.sequences import own_sequence
from installgen.analysis.symptoms import Symptom
from installgen.beside import Beside
from installgen.calc.dc_elements import Contact, Resistor
from installgen.spec.electrical import Conductor, Jumper


@dataclass(frozen=True)
class EngineFaults:
    """What can be wrong with one engine's circuits, and how to find it.

    trees: by symptom, those that a single fault of the wiring can show
    weakest, strongest: the engine's own sequence as built
    """

    study: FaultStudy
    chances: Chances
    trees: Mapping[Symptom, FaultTree]
    weakest: tuple[SolvedCase, ...]
    strongest: tuple[SolvedCase, ...]

    @cached_property
    def joints(self) -> frozenset[str]:
        """What should lose next to nothing: conductors, contacts, fuses, pins."""
        found = {
            element.id
            for case in self.weakest
            for element in case.parts.elements
            if isinstance(element, Contact)
            or isinstance(self.study.entries.get(element.id), Conductor | Jumper)
            or (isinstance(element, Resistor) and 0.0 < element.resistance_ohm < SMALL_OHM)
        }
        return frozenset(found)

    @cached_property
    def stopping_breaks(self) -> frozenset[str]:
        """Elements that stop the engine when they open while it idles."""
        study = self.study
        parts, bench = study.watch, study.benches[0]
        case = next((c for c in study.cases if c.state(study.engine).key == "running-idle"), None)
        if parts.solenoid is None or case is None:
            return frozenset()
        carrying = sorted(bench.as_built[case.id].carrying)
        plunger = f"{parts.solenoid}:plunger"
        return frozenset(
            name
            for name, operated in bench.breaks_while(case.id, carrying).items()
            if (plunger in operated) != parts.solenoid_runs
        )


@dataclass(frozen=True)
class _Asked:
    """All that the trees of an engine depend on, as far as it can differ between two builds.

    simulated: the study's effects; the same object where nothing that it follows has changed
    weights: of each effect
    efforts: of each point
    """

    study: FaultStudy = field(compare=False)
    odds: Chances = field(compare=False)
    engine: str
    source: str
    simulated: int
    weights: tuple[float, ...]
    efforts: tuple[float, ...]

    @staticmethod
    def of(study: FaultStudy, odds: Chances) -> _Asked:
        cases = {case.id: case for case in study.cases}
        return _Asked(
            study,
            odds,
            study.engine,
            study.watch.source,
            id(study.effects),
            tuple(odds.weight(effect) for effect in study.effects),
            tuple(odds.effort(cases[case], study.engine, node) for case, node in study.points),
        )


@lru_cache(maxsize=8)
def _trees(asked: _Asked) -> Mapping[Symptom, FaultTree]:
    """The tree of every symptom. What is kept holds the study, so that its `id` stays its own."""
    return {
        symptom: tree
        for symptom in Symptom
        if (tree := fault_tree(asked.study, symptom, asked.odds)) is not None
    }


def begin_studies(dc: DcAnalysis, beside: Beside) -> Callable[[], None] | None:
    """Have the study of an engine simulated beside this process; returns what waits for it.

    Nothing where each is known already, or the process is busy.
    """
    for engine in dc.model.vessel.engines:
        waiting = begin_study(beside, dc.model, engine.name, dc.cases, dc.strongest_cases)
        if waiting is not None:
            return waiting
    return None


def fault_studies(dc: DcAnalysis) -> tuple[EngineFaults, ...]:
    """The fault study of every engine whose sequence can be solved as built."""
    found = []
    for engine in dc.model.vessel.engines:
        study = study_faults(dc.model, engine.name, dc.cases, dc.strongest_cases)
        if study is None:
            continue
        odds = chances(dc.model, study)
        trees = _trees(_Asked.of(study, odds))
        found.append(
            EngineFaults(
                study,
                odds,
                trees,
                tuple(own_sequence(engine.name, dc.cases)),
                tuple(own_sequence(engine.name, dc.strongest_cases)),
            )
        )
    return tuple(found)
