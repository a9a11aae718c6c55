"""A vessel with more than 80 conductors of her own, made by repeating loads, still reads."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.drawings.render import Rendered, render
from installgen.drawings.sheets import paper_pages, paper_sheets
from installgen.drawings.vessel.dc_power import dc_power_drawings
from installgen.drawings.vessel.start_run_stop import start_run_stop_drawings
from installgen.spec.load import SpecLibrary
from tests.drawings.boxes import faults, shared_runs
from tests.drawings.vessel.fleet import SPECS, said

TELEPHONE_PX = 360
PANELS, LOADS_EACH = 4, 6
"""Breakers, and loads behind each; two conductors a load and one a breaker."""


def crowded(folder: Path) -> Analysis:
    """The reference build with many more breakers and loads."""
    specs = folder / "specs"
    shutil.copytree(SPECS, specs)
    path = specs / "vessels" / "brannock.yaml"
    text = path.read_text("utf-8")
    studs = [str(number) for number in range(1, 8 + PANELS * LOADS_EACH)]
    listed = ", ".join(f'"{stud}"' for stud in studs)
    text = text.replace('contacts: ["1", "2", "3", "4"], rating', f"contacts: [{listed}], rating")
    text = text.replace('contacts: ["1", "2", "3", "4", "5", "6"]', f"contacts: [{listed}]")
    devices, wires = [], []
    run = "size: 12 AWG, insulation: 105 °C, place: wheelhouse, function: lighting"
    for panel in range(PANELS):
        breaker = f"breaker-{panel}"
        devices.append(
            f"    - {{id: {breaker}, kind: breaker, name: Breaker {panel}, code: F{20 + panel}, "
            "rating: 20 A, type: breaker, interrupting: 5000 A, from_source: 150 mm, "
            "enclosed: open, place: wheelhouse}"
        )
        wires.append(
            f"    - {{label: B{panel}, from: positive-bus.{5 + panel}, to: {breaker}.in, "
            f"length: 0.15 m, {run}}}"
        )
        for number in range(LOADS_EACH):
            load = f"lamp-{panel}-{number}"
            stud = 8 + panel * LOADS_EACH + number - 1
            devices.append(
                f"    - {{id: {load}, kind: load, name: Cabin lamp {panel}-{number}, "
                "current: 0.5 A, circuit: other, on_in: [running], needs: 9 V, place: wheelhouse}"
            )
            wires += [
                f"    - {{label: C{panel}{number}, from: {breaker}.out, to: {load}.positive, "
                f"length: 3 m, {run}}}",
                f"    - {{label: N{panel}{number}, from: {load}.negative, to: negative-bus.{stud}, "
                f"length: 3 m, {run}}}",
            ]
    text = text.replace("  conductors:\n", "\n".join([*devices, "  conductors:", *wires, ""]), 1)
    path.write_text(text, "utf-8")
    return analyse(SpecLibrary.at(specs).vessel("brannock"))


@pytest.fixture(scope="module")
def vessel(tmp_path_factory: pytest.TempPathFactory) -> Analysis:
    return crowded(tmp_path_factory.mktemp("crowded"))


@pytest.fixture(scope="module")
def drawn(vessel: Analysis) -> list[Rendered]:
    return render([*dc_power_drawings(vessel), *start_run_stop_drawings(vessel)])


def test_she_has_more_than_80_conductors_of_her_own(vessel: Analysis) -> None:
    assert vessel.dc is not None
    own = [wire for wire in vessel.dc.model.wires() if wire.engine is None]
    assert len(own) > 80
    assert all(found.settled is not None for found in vessel.dc.cases)


def test_no_label_lies_on_another(drawn: list[Rendered]) -> None:
    for one in drawn:
        assert faults(one.svg) == [], one.drawing.id
        assert shared_runs(one.svg) == [], one.drawing.id
        assert one.warnings == (), one.drawing.id


def test_every_conductor_is_drawn_and_said(vessel: Analysis, drawn: list[Rendered]) -> None:
    assert vessel.dc is not None
    tables = "\n".join(said(one.drawing) for one in drawn)
    codes = {edge.code for one in drawn for edge in one.drawing.edges}
    for panel in range(PANELS):
        for number in range(LOADS_EACH):
            for letter in "CN":
                label = f"{letter}{panel}{number}"
                assert label in codes or label in tables, label


def test_a_telephone_pans_three_screens_at_most(drawn: list[Rendered]) -> None:
    for one in drawn:
        assert one.width_px <= 3.2 * TELEPHONE_PX, one.drawing.id


def test_a_page_of_paper_holds_each_or_its_sheets(drawn: list[Rendered]) -> None:
    for one in drawn:
        assert one.paper.readable or paper_sheets(one) or paper_pages(one), one.drawing.id
