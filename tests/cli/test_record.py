"""A recorded set of results beside the same vessel now: what changed, and what that moved."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from installgen.cli import main
from tests.analysis.specs import SPECS, edited, field

STARTER = "engine.start-run-stop.starter-circuit"


def _run(specs: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["--specs", str(specs), *words])


@pytest.fixture(scope="module")
def recorded() -> dict[str, Any]:
    return json.loads(_run(SPECS, "results", "brannock", "--json").output)  # type: ignore[no-any-return]


def _since(content: dict[str, Any], specs: Path, folder: Path) -> dict[str, Any]:
    path = folder / "june.json"
    path.write_text(json.dumps(content), "utf-8")
    found = _run(specs, "compare", str(path), "brannock", "--json")
    assert found.exit_code == (0 if json.loads(found.output)["same"] else 1)
    return json.loads(found.output)  # type: ignore[no-any-return]


def test_as_recorded_nothing_differs(recorded: dict[str, Any], tmp_path: Path) -> None:
    found = _since(recorded, SPECS, tmp_path)
    assert found["same"]
    assert found["made_with"] == {}


def test_her_own_spec_and_a_sheet_are_told_apart(recorded: dict[str, Any], tmp_path: Path) -> None:
    specs = edited(tmp_path, {"engines/tolvane-six": [("oil_full: 23.5 l", "oil_full: 22 l")]})
    field(specs, "vessels/brannock", "{label: S2,", "length", "1.6 m")
    found = _since(recorded, specs, tmp_path)
    assert set(found["made_with"]) == {"her own spec", "engine sheet"}
    by = {result["id"]: result["by"] for result in found["results"]}
    assert by["engine.oil.fill"] == ["engine sheet"]
    assert "her own spec" in by[STARTER]


def test_a_table_and_the_program_are_told_apart(recorded: dict[str, Any], tmp_path: Path) -> None:
    """The record is made to look as if it came from another table, or another program."""
    other = json.loads(json.dumps(recorded))
    ampacity = next(r for r in other["results"] if r["id"] == "conductor.S2.ampacity")
    ampacity["value"]["shown"] = "1 A"
    name = next(iter(other["made_with"]["tables"]))
    other["made_with"]["tables"][name] = "another"
    found = _since(other, SPECS, tmp_path)
    assert found["made_with"] == {"published tables": [name]}
    assert [(r["id"], r["by"]) for r in found["results"]] == [
        ("conductor.S2.ampacity", ["published tables"])
    ]
    other["made_with"] = {**recorded["made_with"], "program": "0.0.9"}
    found = _since(other, SPECS, tmp_path)
    assert list(found["made_with"]) == ["the program"]
    assert [r["by"] for r in found["results"]] == [["the program"]]


def test_what_is_no_record_says_so(tmp_path: Path) -> None:
    path = tmp_path / "notes.json"
    path.write_text("[]", "utf-8")
    found = _run(SPECS, "compare", str(path), "brannock")
    assert found.exit_code == 2
    assert "a file that `installgen results VESSEL --json` wrote" in found.stderr
