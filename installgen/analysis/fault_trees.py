"""The fault study of each engine with the tree of every symptom, ready for those who ask for it.

The rest of the analysis does without: a study follows thousands of cases. What it depends on is
compared value by value, so a second build in one process studies only what has changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from installgen.analysis.dc import DcAnalysis
from installgen.analysis.dc_cases import solve_cases
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import BatteryModel
from installgen.analysis.fault_study import FaultStudy, own_sequence, study_faults
from installgen.analysis.fault_tree import Chances, FaultTree, chances, fault_tree
from installgen.analysis.symptoms import Symptom


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


def fault_studies(dc: DcAnalysis) -> tuple[EngineFaults, ...]:
    """The fault study of every engine whose sequence can be solved as built."""
    strongest = solve_cases(dc.model, BatteryModel.STRONGEST)
    found = []
    for engine in dc.model.vessel.engines:
        study = study_faults(dc.model, engine.name, dc.cases, strongest)
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
                tuple(own_sequence(engine.name, strongest)),
            )
        )
    return tuple(found)
