"""The fault study of each engine with the tree of every symptom, ready for those who ask for it.

The rest of the analysis does without: a study follows thousands of cases. What it depends on is
compared value by value, so a second build in one process studies only what has changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.dc import DcAnalysis
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.fault_growth import Chances, chances, fault_tree
from installgen.analysis.fault_study import SMALL_OHM, FaultStudy, study_faults
from installgen.analysis.fault_tree import FaultTree
from installgen.analysis.sequences import own_sequence
from installgen.analysis.symptoms import Symptom
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


def fault_studies(dc: DcAnalysis) -> tuple[EngineFaults, ...]:
    """The fault study of every engine whose sequence can be solved as built."""
    found = []
    for engine in dc.model.vessel.engines:
        study = study_faults(dc.model, engine.name, dc.cases, dc.strongest_cases)
        if study is None:
            continue
        odds = chances(dc.model, study)
        trees = {
            symptom: tree
            for symptom in Symptom
            if (tree := fault_tree(study, symptom, odds)) is not None
        }
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
