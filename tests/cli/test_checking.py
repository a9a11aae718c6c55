"""`check`, `compare` and `try` as a person calls them, and what a program reads of them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from installgen.cli import main
from tests.analysis.specs import SPECS, edited, field
from tests.findings.test_rules import NEXT


def _run(specs: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["--specs", str(specs), *words])


def test_json_is_sorted_and_holds_si_values_and_places() -> None:
    found = _run(SPECS, "check", "brannock", "--json", "--no-cures")
    assert found.exit_code == 0
    content = json.loads(found.output)
    assert found.output == json.dumps(content, ensure_ascii=False, indent=2, sort_keys=True) + "\n"
    vessel = content["vessels"][0]
    assert content["format"] == 1
    drop = next(f for f in vessel["findings"] if f["id"] == "circuit-drop.critical/radio")
    assert drop["verdict"] == "pass"
    assert drop["limit"] == {
        "base_unit": "1",
        "kind": "Fraction",
        "shown": "3\N{NO-BREAK SPACE}%",
        "value": 0.03,
    }
    assert drop["figure"]["value"] < 0.03
    assert drop["margin"]["value"] == pytest.approx(0.03 - drop["figure"]["value"])
    assert drop["place"].startswith("specs/vessels/brannock.yaml:")
    assert drop["rule_place"].startswith("specs/standards/quenby-slip.yaml:")


def test_one_that_fails_exits_with_1() -> None:
    found = _run(SPECS, "check", "pipit", "--no-cures")
    assert found.exit_code == 1
    assert "pipit: DRAFT" in found.output
    assert "Traceback" not in found.output


def test_strict_asks_for_should_rules_and_what_is_not_assessed(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{system", "because", "nothing")
    assert _run(specs, "check", "brannock", "--strict").exit_code == 0
    field(specs, "vessels/brannock", "reserve: ", "reserve", "unknown")
    assert _run(specs, "check", "brannock").exit_code == 0
    assert _run(specs, "check", "brannock", "--strict").exit_code == 1


def test_text_fits_a_narrow_terminal_and_says_verdicts_in_words() -> None:
    found = _run(SPECS, "check", "pipit")
    long = [
        line for line in found.output.splitlines() if len(line) > 80 and " at specs" not in line
    ]
    assert not long
    assert "\x1b[" not in found.output
    assert "must: fail" in found.output
    assert "with it:" in found.output


def test_a_day_after_its_end_an_exemption_counts_no_more(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    path = specs / "vessels/brannock.yaml"
    text = path.read_text("utf-8").replace("clamps: double, highest", "clamps: single, highest", 1)
    claim = "{check: exhaust-clamps, reason: no room, role: builder, until: 2026-12-31}"
    path.write_text(f"{text}exemptions:\n  - {claim}\n", "utf-8")
    assert _run(specs, "check", "brannock", "--as-of", "2026-12-31").exit_code == 0
    assert _run(specs, "check", "brannock", "--as-of", "2027-01-01").exit_code == 1


def test_a_proposed_standard_tells_what_it_would_change(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    (specs / "standards/quenby-slip-next.yaml").write_text(NEXT, "utf-8")
    found = _run(specs, "check", "brannock", "--standard", "quenby-slip-next", "--no-cures")
    assert found.exit_code == 1
    assert "What quenby-slip-next would change" in found.output
    assert "must circuit-drop.critical/bilge-pump" in found.output
    assert "pass → fail" in found.output


def test_rule_by_rule_over_the_fleet() -> None:
    found = _run(SPECS, "check", "brannock", "pipit", "--by-rule")
    assert found.exit_code == 1
    lines = [line.split() for line in found.output.splitlines()]
    assert lines[0] == ["rule", "brannock", "pipit"]
    assert ["must", "starter-circuit.12-v", "pass", "fail"] in lines
    assert ["must", "double-clamps", "pass", "not", "assessed", "(4)"] in lines


def test_sarif_has_levels_kinds_and_places() -> None:
    found = _run(SPECS, "check", "pipit", "--sarif", "--no-cures")
    content = json.loads(found.output)
    assert content["version"] == "2.1.0"
    run = content["runs"][0]
    rules = {rule["id"] for rule in run["tool"]["driver"]["rules"]}
    results = {r["partialFingerprints"]["finding/v1"]: r for r in run["results"]}
    assert {r["ruleId"] for r in run["results"]} <= rules
    failed = results["pipit/cranking-voltage/engine.starter"]
    assert (failed["kind"], failed["level"]) == ("fail", "error")
    place = failed["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "specs/vessels/pipit.yaml"
    assert place["region"]["startLine"] > 1
    unknown = results["pipit/hin-form/vessel"]
    assert (unknown["kind"], unknown["level"]) == ("open", "none")


def test_a_rule_that_cannot_be_read_exits_with_2_and_its_place(tmp_path: Path) -> None:
    edits = {
        "standards/quenby-slip": [
            ("circuit: critical, limit: 3 %", "circuit: critical, limit: 3 mm")
        ]
    }
    found = _run(edited(tmp_path, edits), "check", "brannock")
    assert found.exit_code == 2
    assert "specs/standards/quenby-slip.yaml:" in found.stderr
    assert "rules[1].limit: found `3 mm`, a length" in found.stderr
    assert not found.stdout


def test_mistakes_of_every_vessel_are_told_in_one_run(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "-4 m")
    field(specs, "vessels/corrie", "{label: S2,", "length", "4 parsecs")
    found = _run(specs, "check")
    assert found.exit_code == 2
    assert "specs/vessels/brannock.yaml:" in found.stderr
    assert "specs/vessels/corrie.yaml:" in found.stderr
    assert "Traceback" not in found.stderr


def test_the_list_describes_every_check() -> None:
    found = _run(SPECS, "check", "--list")
    assert found.exit_code == 0
    assert "circuit-drop" in found.output
    assert "for critical, other" in found.output


def test_try_shows_what_a_change_would_do_and_changes_nothing() -> None:
    path = SPECS / "vessels/brannock.yaml"
    before = path.read_bytes()
    found = _run(SPECS, "try", "brannock", "lay_up.coldest = -50 °C")
    assert found.exit_code == 0
    assert "coolant.freezing-margin" in found.output
    assert "must freezing-margin/coolant" in found.output
    assert path.read_bytes() == before


def test_try_tells_one_system_in_detail() -> None:
    change = "sea.hottest = 32 °C"
    told = _run(SPECS, "try", "brannock", change, "--only", "coolant").output
    assert told.startswith("brannock as written → with the change, by system")
    assert "engine.coolant.rated.thermostat-margin" in told
    assert "raw-water" not in told


def test_what_waits_for_one_figure_is_counted_by_rule(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{id: start-bank,", "cca", "unknown")
    told = " ".join(_run(specs, "check", "brannock").output.split())
    assert re.search(r"must, waiting for it too: \d+: .*ampacity \(\d+\)", told)
    assert "conductor E12" not in told


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("lay_up.coldest", "`PATH = VALUE`"),
        ("lay_up.colder = -5 °C", "write `coldest`"),
        ("electrical.conductors[S2].size = 70 mm", "change 1:1:33"),
        ("sheet[nobody].build.mass = 3 kg", "of which brannock is not made"),
        ("engines[engine].options.aftercooler = middle", "early-pattern"),
    ],
)
def test_a_change_that_cannot_be_is_told_once(change: str, told: str) -> None:
    found = _run(SPECS, "try", "brannock", change)
    assert found.exit_code == 2
    assert told in found.stderr
    assert "Traceback" not in found.stderr


def test_compare_says_the_causes() -> None:
    found = _run(SPECS, "compare", "brannock", "brannock", "--causes", "--json")
    assert found.exit_code == 0
    assert json.loads(found.output)["same"] is True


def test_two_folders_compare_the_vessels_that_both_have(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/corrie", "{label: S2,", "length", "3 m")
    (specs / "vessels/pipit.yaml").unlink()
    found = CliRunner().invoke(main, ["compare", str(SPECS), str(specs), "--json"])
    assert found.exit_code == 1
    content = json.loads(found.stdout)
    same = {vessel["first"]: vessel["same"] for vessel in content["vessels"]}
    assert same == {"brannock": True, "corrie": False, "sallow": True}
    assert "pipit is only in" in found.stderr


def test_a_vessel_in_another_folder_is_named_by_its_file(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    field(specs, "vessels/brannock", "{label: S2,", "length", "3 m")
    found = _run(SPECS, "compare", "brannock", str(specs / "vessels/brannock.yaml"), "--json")
    assert found.exit_code == 1
    assert [d["path"] for d in json.loads(found.output)["build"]] == [
        "electrical.conductors.S2.length"
    ]


def test_a_pair_that_is_none_is_refused() -> None:
    found = _run(SPECS, "compare", "brannock", "corrie", "--pair", "engine")
    assert found.exit_code == 2
    assert "NAME=NAME" in found.stderr


def test_compare_lists_the_sentences_that_only_one_manual_has() -> None:
    found = _run(SPECS, "compare", "brannock", "corrie", "--sentences", "--json")
    assert found.exit_code == 1
    pages = {change["page"]: change for change in json.loads(found.stdout)["sentences"]}
    drained = "Drain the raw-water side of C1 Fuel cooler, where it has a plug."
    assert drained in pages["lay-up"]["first"]
    assert drained not in pages["lay-up"]["second"]
    told = _run(SPECS, "compare", "brannock", "corrie", "--sentences").stdout
    assert "What the manuals say: brannock (−) and corrie (+)" in told
    assert f"  − {drained}" in told
    assert "sentences" not in json.loads(
        _run(SPECS, "compare", "brannock", "corrie", "--json").stdout
    )
