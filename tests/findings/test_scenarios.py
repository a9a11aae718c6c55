"""Each check: fails what it should, passes what it should, and says when it cannot know."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

import pytest

from installgen.findings.registry import checks
from tests.findings.scenario_files import Scenario, judged, scenarios

SCENARIOS = scenarios()

STATED = {
    "alarm-stated",
    "codes-given",
    "conductor-stated",
    "coolant-product",
    "engine-documents",
    "filters-stated",
    "load-dump",
    "found-by",
    "gear-oil-stated",
    "gear-stated",
    "heel-stated",
    "identity-stated",
    "oil-stated",
    "opening-plug",
    "propeller-stated",
    "reading-recorded",
    "readings-taken",
    "route-stated",
    "serial-known",
    "signed-by",
    "spaces-stated",
    "systems-described",
    "torque-stated",
    "torsional-approval",
}
"""Checks that ask whether something is written: they have no way to fail but not to know."""

ALWAYS_KNOWN = {
    "alarm-for",
    "battery-polarity",
    "bus-to-battery",
    "codes-unique",
    "control-cables",
    "emergency-stop",
    "engine-devices-connected",
    "engine-order",
    "expansion-tank",
    "fuel-shutoff",
    "heater-declared",
    "house-bank",
    "label-form",
    "muffler-fitted",
    "neutral-start",
    "nominal-voltage",
    "options-taken",
    "pins-connected",
    "plugged-left-alone",
    "rating-basis",
    "return-to-tank",
    "seacock-first",
    "size-fitted",
    "stop-at-each-station",
    "strainer-before-pump",
    "terminals-connected",
    "throttle-at-each-station",
    "tinned-strands",
    "unknown-count",
    "valves-open",
    "water-separator",
}
"""Checks of something that a spec cannot leave open: there it is, or it is not."""


CAUTIONS = {"parallel-negatives", "plugged-left-alone"}
"""Checks that warn: what they find is as such allowed."""


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_scenario(scenario: Scenario) -> None:
    found = {finding.id: finding for finding in judged(scenario.vessel, *scenario.changes).items}
    wrong = []
    for expected in scenario.expected:
        finding = found.get(expected.finding)
        said = finding.verdict if finding is not None else "nothing"
        place = finding.place.path if finding is not None and finding.place else ""
        if said != expected.verdict or expected.path not in ("", place):
            wrong.append(f"{expected.finding}: {said} at {place}, not {expected.verdict}")
    assert not wrong, "\n".join(wrong)


@cache
def _fleet() -> dict[str, set[str]]:
    """Verdicts of each check over the demonstration fleet as it is."""
    verdicts: dict[str, set[str]] = defaultdict(set)
    for vessel in ("brannock", "sallow", "pipit"):
        for finding in judged(vessel).items:
            verdicts[finding.check].add(finding.verdict)
    return verdicts


@pytest.mark.parametrize("name", sorted(checks()))
def test_every_check_has_been_seen_both_ways_and_at_a_loss(name: str) -> None:
    seen = {
        expected.verdict
        for scenario in SCENARIOS
        for expected in scenario.expected
        if expected.finding.partition("/")[0].partition(".")[0] == name
    } | _fleet()[name]
    assert "pass" in seen
    assert "fail" in seen or name in STATED | CAUTIONS
    assert "not assessed" in seen or name in ALWAYS_KNOWN
