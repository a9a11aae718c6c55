"""Demonstration vessels with a few things written otherwise, and what the rules then say."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import yaml

from installgen.analysis.analyse import Analysis, analyse
from installgen.findings.check import check
from installgen.findings.finding import Findings
from installgen.spec.edits import edited_library, read_edit
from installgen.spec.load import SpecLibrary
from installgen.spec.vessel import Vessel

SPECS = Path(__file__).parents[2] / "specs"
FOLDER = Path(__file__).parent / "scenarios"


def changed(vessel: str, *changes: str, specs: Path = SPECS) -> Vessel:
    """A vessel of a specs folder, read with changes."""
    edits = [read_edit(text, number) for number, text in enumerate(changes, start=1)]
    library = edited_library(SpecLibrary.at(specs), edits)
    found = library.vessel(vessel)
    left = [edit.written for edit in edits if edit not in library.applied]
    assert not left, f"changes that nothing read: {left}"
    return found


def analysed(vessel: str, *changes: str) -> Analysis:
    """A vessel with changes, computed."""
    return analyse(changed(vessel, *changes))


def judged(vessel: str, *changes: str, cures: bool = False) -> Findings:
    """A vessel with changes, judged by her own standard."""
    return check(analysed(vessel, *changes), cures=cures)


@dataclass(frozen=True)
class Expected:
    """What a rule has to say of a subject, and at which text."""

    finding: str
    verdict: str
    path: str


@dataclass(frozen=True)
class Scenario:
    """One file: a vessel, what is written otherwise, what is expected."""

    name: str
    vessel: str
    changes: tuple[str, ...]
    expected: tuple[Expected, ...]


def scenarios() -> list[Scenario]:
    """Every scenario, in the order of their names."""
    return [_read(path) for path in sorted(FOLDER.glob("*.yaml"))]


def _read(path: Path) -> Scenario:
    text = yaml.safe_load(path.read_text("utf-8"))
    expected = []
    for finding, words in text["expect"].items():
        verdict, _, place = words.partition(" at ")
        expected.append(Expected(finding, verdict, place))
    return Scenario(path.stem, text["vessel"], tuple(text["changes"]), tuple(expected))
