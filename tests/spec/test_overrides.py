"""A figure of the sheet that differs in one vessel takes the sheet's place, and knows its own."""

from pathlib import Path

import pytest

from installgen.errors import Position, SpecErrors
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.load import SpecLibrary
from tests.spec.spec_cases import FOLDER, SpecCase

VESSEL = (FOLDER / "base" / "vessels" / "tern.yaml").read_text(encoding="utf-8")


def fitted(folder: Path, path: str, value: str) -> EngineSheet:
    text = VESSEL + f"    overrides:\n      - {{path: {path}, value: {value}, because: measured}}\n"
    text = text.replace("- {name: engine, sheet: garrow, serial: unknown}", "- name: engine")
    text = text.replace("    overrides", "    sheet: garrow\n    serial: unknown\n    overrides")
    case = SpecCase("made-here", "", (), {"vessels/tern.yaml": text})
    return SpecLibrary.at(case.write(folder)).vessel("tern").engines[0].sheet


def test_a_figure_of_a_mapping(tmp_path: Path) -> None:
    build = fitted(tmp_path, "build.displacement", "2.6 l").build
    assert str(build.displacement) == "2.6 l"
    assert build.where("displacement") == Position("specs/vessels/tern.yaml", 9, 43)
    assert str(build.bore) == "90 mm"
    assert build.where("bore") == Position("specs/engines/garrow.yaml", 3, 29)


def test_figures_of_lists_by_name(tmp_path: Path) -> None:
    sheet = fitted(tmp_path, "raw_water.pumps.pump.displacement", "0.03 l")
    assert sheet.raw_water is not None
    assert str(sheet.raw_water.pumps[0].displacement) == "0.03 l"


def test_a_wire_by_its_label(tmp_path: Path) -> None:
    sheet = fitted(tmp_path, "wires.W1.length", "0.7 m")
    assert [str(wire.length) for wire in sheet.wires] == ["0.7 m"]


def test_unknown_may_stand_in_place_of_a_figure(tmp_path: Path) -> None:
    assert str(fitted(tmp_path, "build.displacement", "unknown").build.displacement) == "unknown"


@pytest.mark.parametrize(
    ("path", "value", "field", "found", "instead"),
    [
        ("build.displacment", "3 l", "path", "`build.displacment`, where there is no `displacment`",
         "`displacement`"),
        ("raw_water.pumps.pmp.ratio", "1:1", "path",
         "`raw_water.pumps.pmp.ratio`, where there is no `pmp`", "`pump`"),
        ("build", "3 l", "path", "`build`, where there is no `build.…`", ""),
        ("build.bore.mm", "3", "path", "`build.bore.mm`, where there is no `mm`", ""),
        ("engine.id", "other", "path", "`engine.id`, where there is no `id`", ""),
        ("build.bore", "90 l", "value", "`90 l`, a volume", ""),
        ("build.cylinders", "0", "value", "`0`", ""),
        ("build.aspiration", "turbocharge", "value", "`turbocharge`", "`turbocharged`"),
    ],
)  # fmt: skip
def test_what_cannot_be_overridden(
    tmp_path: Path, path: str, value: str, field: str, found: str, instead: str
) -> None:
    with pytest.raises(SpecErrors) as raised:
        fitted(tmp_path, path, value)
    (problem,) = raised.value.problems
    assert problem.path == f"engines[1].overrides[1].{field}"
    assert (problem.found, problem.instead) == (found, instead)
