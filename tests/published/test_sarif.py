"""Our SARIF against the published schema's required parts."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator, FormatChecker

from installgen.cli.fleet import Judged
from installgen.cli.sarif import sarif
from tests.findings.scenario_files import judged

SCHEMA = json.loads(Path(__file__).with_name("sarif_required.json").read_text("utf-8"))
VALIDATOR = Draft7Validator(SCHEMA, format_checker=FormatChecker())
SINGLE = "exhaust[engine].pieces[exhaust-hose-1].clamps = single"
CLAIM = "exemptions = [{check: exhaust-clamps, reason: no room, role: builder}]"


def _log() -> dict[str, Any]:
    fleet = [
        Judged(judged("brannock", SINGLE, CLAIM, cures=True), "metric"),
        Judged(judged("pipit"), "metric"),
    ]
    return sarif(fleet)


def test_a_log_of_two_vessels_is_valid() -> None:
    log = _log()
    assert not [error.message for error in VALIDATOR.iter_errors(log)]
    results = log["runs"][0]["results"]
    assert {result["kind"] for result in results} == {"fail", "open", "review"}
    assert any("suppressions" in result for result in results)


def test_a_log_of_nothing_is_valid() -> None:
    assert not list(VALIDATOR.iter_errors(sarif([])))


@pytest.mark.parametrize("broken", ["version", "driver", "message", "level", "line"])
def test_the_schema_would_find_what_is_wrong(broken: str) -> None:
    log = copy.deepcopy(_log())
    run = log["runs"][0]
    result = next(r for r in run["results"] if r["kind"] == "open" and r["locations"])
    if broken == "version":
        log["version"] = "2.0.0"
    elif broken == "driver":
        del run["tool"]["driver"]
    elif broken == "message":
        del result["message"]
    elif broken == "level":
        result["level"] = "error"
    else:
        result["locations"][0]["physicalLocation"]["region"]["startLine"] = 0
    assert list(VALIDATOR.iter_errors(log))
