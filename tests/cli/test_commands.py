"""The commands as a person calls them: what they print, and their exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from installgen.cli import main
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import SPECS, edited, field


def _run(specs: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["--specs", str(specs), *words])


def test_results_say_what_is_assumed() -> None:
    found = _run(SPECS, "results", "brannock", "--system", "dc-power")
    assert found.exit_code == 0
    assert "dc.running-cruise.surplus" in found.output
    assert "(assumed)" in found.output


def test_results_as_json_hold_the_working() -> None:
    found = _run(SPECS, "results", "brannock", "--system", "raw-water", "--json")
    content = json.loads(found.output)
    flow = next(r for r in content["results"] if r["id"] == "engine.raw-water.rated.flow")
    assert content["format"] == 1
    assert flow["value"]["kind"] == "VolumeFlow"
    assert any(
        i["origin"]["from"] == "spec" and ":" in i["origin"]["place"] for i in flow["inputs"]
    )


def test_a_working_names_places_tables_and_users() -> None:
    found = _run(SPECS, "working", "specs/vessels/brannock.yaml", "conductor.S2.resistance")
    if found.exit_code:  # run from another folder than the project's
        found = _run(SPECS, "working", "brannock", "conductor.S2.resistance")
    assert found.exit_code == 0
    for words in ("vessels/brannock.yaml:", "table resistance by size", "used by:", "formula:"):
        assert words in found.output


def test_a_mistyped_result_is_told_the_nearest() -> None:
    found = _run(SPECS, "working", "brannock", "conductor.S2.resistence")
    assert found.exit_code == 2
    assert "conductor.S2.resistance" in found.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("results", "nobody"),
        ("results", "../../etc/passwd"),
        ("results", "vessels/brannock.yml"),
        ("working", "Brannock!", "x"),
        ("compare", "brannock", "nobody"),
        ("new", "vessel", "../tern", "--engine", "tolvane-six"),
        ("new", "vessel", "tern", "--engine", "nobody"),
        ("new", "vessel", "brannock", "--engine", "tolvane-six"),
        ("schema", "boat"),
        ("results", "brannock", "--system", "sails"),
    ],
)
def test_what_cannot_be_done_is_said_once_without_a_traceback(words: tuple[str, ...]) -> None:
    found = _run(SPECS, *words)
    assert found.exit_code == 2
    assert found.stderr.strip()
    assert "Traceback" not in found.output
    assert found.exception is None or isinstance(found.exception, SystemExit)


def test_compare_tells_same_from_different_by_its_exit_code() -> None:
    assert _run(SPECS, "compare", "brannock", "brannock").exit_code == 0
    different = _run(SPECS, "compare", "brannock", "corrie", "--json")
    assert different.exit_code == 1
    assert json.loads(different.output)["same"] is False


@pytest.mark.parametrize("sheet", ["tolvane-six", "tolvane-four"])
def test_a_new_vessel_loads_and_is_never_written_over(tmp_path: Path, sheet: str) -> None:
    specs = edited(tmp_path, {})
    assert _run(specs, "new", "vessel", "tern", "--engine", sheet).exit_code == 0
    text = (specs / "vessels/tern.yaml").read_text("utf-8")
    assert "unknown" in text
    assert SpecLibrary.at(specs).vessel("tern").engines[0].sheet.engine.id == sheet
    again = _run(specs, "new", "vessel", "tern", "--engine", sheet)
    assert again.exit_code == 2
    assert (specs / "vessels/tern.yaml").read_text("utf-8") == text


@pytest.mark.parametrize(
    ("words", "sheets"),
    [
        (("--engine", "tolvane-four", "--twin"), ["tolvane-four", "tolvane-four"]),
        (("--engine", "tolvane-six", "--twin"), ["tolvane-six", "tolvane-six"]),
        (
            ("--engine", "tolvane-six", "--engine", "tolvane-four"),
            ["tolvane-six", "tolvane-four"],
        ),
    ],
)
def test_a_new_twin_loads_and_is_judged(
    tmp_path: Path, words: tuple[str, ...], sheets: list[str]
) -> None:
    specs = edited(tmp_path, {})
    made = _run(specs, "new", "vessel", "teal", *words)
    assert made.exit_code == 0, made.output
    vessel = SpecLibrary.at(specs).vessel("teal")
    assert [engine.sheet.engine.id for engine in vessel.engines] == sheets
    assert [engine.name for engine in vessel.engines] == ["port", "starboard"]
    text = (specs / "vessels/teal.yaml").read_text("utf-8")
    assert "from: port-bank.negative, to: starboard-bank.negative" in text
    assert "#   starboard.P1.1: " in text
    judged = _run(specs, "check", "teal", "--no-cures")
    assert judged.exit_code in (0, 1)
    assert "DRAFT" in judged.output


def test_three_engines_are_refused(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    words = ("--engine", "tolvane-four") * 3
    found = _run(specs, "new", "vessel", "teal", *words)
    assert found.exit_code == 2
    assert "one, or two for a twin" in found.stderr
    assert not (specs / "vessels/teal.yaml").exists()


def test_the_fields_of_a_spec_can_be_read_without_a_site() -> None:
    told = _run(SPECS, "schema", "vessel", "--fields").output
    assert "Seacock: raw_water[].route[].seacock" in told
    assert "\n      Bore of valve and tail. Length" in told
    assert "](" not in told


@pytest.mark.parametrize("kind", ["vessel", "engine", "standard"])
def test_a_schema_is_json(kind: str) -> None:
    assert json.loads(_run(SPECS, "schema", kind).output)["$schema"].startswith("https://")


def test_check_tells_the_fleet_by_its_exit_code() -> None:
    assert _run(SPECS, "check", "brannock", "corrie", "sallow").exit_code == 0
    failing = _run(SPECS, "check", "pipit")
    assert failing.exit_code == 1
    assert "DRAFT" in failing.output
    assert "vessels/pipit.yaml:" in failing.output


def test_strict_also_asks_for_what_is_not_assessed(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: D2,", "length", "unknown")
    assert _run(specs, "check", "brannock", "--strict").exit_code == 1


def test_check_as_json() -> None:
    content = json.loads(_run(SPECS, "check", "pipit", "--json").output)
    (pipit,) = content["vessels"]
    assert pipit["draft"] is True
    assert pipit["clean"] is False
    verdicts = {f["verdict"] for f in pipit["findings"]}
    assert {"fail", "not assessed", "pass"} <= verdicts


def test_the_checks_are_described() -> None:
    found = _run(SPECS, "check", "--list")
    assert found.exit_code == 0
    assert found.output.count("limit:") >= 60


def test_a_broken_spec_stops_the_check_with_every_message(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: D2,", "length", "-3 m")
    field(specs, "vessels/corrie", "{label: D2,", "length", "3 A")
    found = _run(specs, "check")
    assert found.exit_code == 2
    assert "vessels/brannock.yaml:" in found.stderr
    assert "vessels/corrie.yaml:" in found.stderr
    assert found.stdout == ""
