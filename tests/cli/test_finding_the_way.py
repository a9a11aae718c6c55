"""What a person types who does not know the ids: words, checks, systems; and where nothing is."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from installgen.cli import main
from tests.analysis.specs import SPECS, edited, field


def _run(specs: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["--specs", str(specs), *words])


@pytest.mark.parametrize(
    ("words", "result"),
    [
        (("circuit-drop.other/wipers",), "dc.running-idle.wipers.drop"),
        (("cranking-voltage",), "dc.cranking.engine.starter.voltage"),
        (("S2", "resistance"), "conductor.S2.resistance"),
        (("Endurance at cruise",), "fuel.cruise.endurance"),
    ],
)
def test_a_working_is_found_by_what_one_knows(words: tuple[str, ...], result: str) -> None:
    found = _run(SPECS, "working", "brannock", *words)
    assert found.exit_code == 0, found.output
    assert f"result:  {result}\n" in found.output


def test_several_that_may_be_meant_are_listed() -> None:
    found = _run(SPECS, "working", "brannock", "rated", "velocity")
    assert found.exit_code == 1
    assert "may mean" in found.output
    assert "engine.raw-water.after-hose-1.rated.velocity" in found.output
    content = json.loads(_run(SPECS, "working", "brannock", "rated", "velocity", "--json").output)
    names = [candidate["id"] for candidate in content["candidates"]]
    assert "engine.raw-water.after-hose-1.rated.velocity" in names
    assert all("rated" in name for name in names)


def test_a_check_that_rests_on_no_figure_says_so() -> None:
    found = _run(SPECS, "working", "brannock", "codes-unique")
    assert found.exit_code == 2
    assert "rests on no computed figure" in found.stderr


def test_unlike_vessels_are_told_by_system_first() -> None:
    found = _run(SPECS, "compare", "brannock", "sallow")
    assert found.exit_code == 1
    lines = found.output.splitlines()
    assert len(lines) < 100
    assert lines[0] == "brannock → sallow, by system"
    assert "--only dc-power" in lines[-1] or "--only raw-water" in lines[-1]
    assert any(line.startswith("Findings raised: ") for line in lines)
    assert any(line.startswith("Margins to a limit that shrank: ") for line in lines)


def test_details_are_told_when_asked_for_and_where_they_are_few(tmp_path: Path) -> None:
    one = _run(SPECS, "compare", "brannock", "corrie", "--only", "electrical")
    assert "electrical.conductors" in one.output
    assert "conductor.S2.resistance" in one.output
    assert "raw_water" not in one.output
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "lay_up: ", "coldest", "-19 °C")
    few = _run(SPECS, "compare", "brannock", str(specs / "vessels/brannock.yaml"))
    assert "lay_up.coldest" in few.output
    assert "--only" not in few.output


def test_a_mistyped_system_is_told_the_nearest() -> None:
    found = _run(SPECS, "compare", "brannock", "corrie", "--only", "electric")
    assert found.exit_code == 2
    assert "near it: electrical" in found.stderr


def test_a_folder_without_vessels_is_no_clean_fleet(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(SPECS, specs, ignore=shutil.ignore_patterns("schema"))
    (specs / "vessels/brannock.yaml").rename(specs / "vessels/brannock.yml")
    found = _run(specs, "check")
    assert found.exit_code == 2
    assert "brannock.yml" in found.stderr
    assert "write `brannock.yaml`" in found.stderr
    shutil.rmtree(specs / "vessels")
    found = _run(specs, "check")
    assert found.exit_code == 2
    assert "installgen new vessel" in found.stderr


def test_help_tells_the_exit_codes() -> None:
    for command in ("check", "compare", "working"):
        told = CliRunner().invoke(main, [command, "--help"]).output
        assert "Exit codes:\n    0  " in told
        assert "\n    1  " in told
        assert "\n    2  " in told


def test_a_cures_figure_opens_its_working() -> None:
    """The findings page tells this command beside a cure that was tried."""
    content = json.loads(_run(SPECS, "check", "pipit", "--json").output)
    (vessel,) = content["vessels"]
    cured = next(f for f in vessel["findings"] if f["id"] == "circuit-drop.critical/nav-lights")
    changes = [f"{c['path']} = {c['value']}" for c in cured["cure"]["changes"]]
    assert changes
    tries = [word for change in changes for word in ("--try", change)]
    found = _run(SPECS, "working", "pipit", cured["id"], *tries)
    assert found.exit_code == 0, found.output
    share = cured["cure"]["text"].rpartition("Navigation lights ")[2].rstrip(".")
    assert share.endswith("%")
    assert f"value:   {share}\n" in found.output
    as_built = _run(SPECS, "working", "pipit", cured["id"])
    assert f"value:   {share}\n" not in as_built.output


def test_a_change_that_cannot_be_read_is_told() -> None:
    found = _run(SPECS, "working", "brannock", "cranking-voltage", "--try", "lay_up.colder = -5 °C")
    assert found.exit_code == 2
    assert "write `coldest`" in found.stderr
