"""What would clear a finding, tried before it is offered.

Findings that fail at the same text get one cure, which has to clear them all. A cure is offered as
checked only when the vessel was computed again with it, the rules then held, and no other rule
failed for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from installgen.findings.cable_cures import heavier_cables
from installgen.findings.finding import Cure, Finding
from installgen.findings.other_cures import (
    another_fuse,
    another_fuse_family,
    larger_muffler,
    stronger_coolant,
    written_otherwise,
)
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.spec.electrical import StopSolenoid

Cured = Cure | None
Curing = Callable[[Survey, list[BoundRule], list[Finding], list[Finding]], Cured]

CURES: Mapping[str, Curing] = {
    "circuit-drop": heavier_cables,
    "voltage-at-load": heavier_cables,
    "ampacity": heavier_cables,
    "mechanical-minimum": heavier_cables,
    "smallest-stated": heavier_cables,
    "starter-circuit": heavier_cables,
    "cranking-voltage": heavier_cables,
    "cranking-speed": heavier_cables,
    "fuse-rating": another_fuse,
    "fuse-interrupting": another_fuse_family,
    "freezing-margin": stronger_coolant,
    "cranking-flood": larger_muffler,
    "double-clamps": written_otherwise("clamps", "double"),
    "exhaust-clamps": written_otherwise("clamps", "double"),
    "valves-open": written_otherwise("state", "open"),
}
"""The cure of each check that has one, for the findings of one cause."""

WORDS: Mapping[str, str] = {
    "vented-loop": "fit a vented loop behind the last cooler, its crown over the heeled waterline",
    "branch-siphon": "lead the branch through a vented loop",
    "seal-flow": "feed it by a wider hose, or from nearer the pump where the pressure is higher",
    "exhaust-alarm": "fit an alarm for the exhaust's temperature",
    "emergency-stop": "fit a hand stop by cable that works with key and isolator off",
    "return-never-shut": "take the valve out of the return",
    "fuel-shutoff": "fit a shut-off valve at the tank",
    "isolator-before-starter": "fit an isolator between battery and starter",
    "heater-declared": "connect the heater through a relay, or declare it in `not_fitted`",
    "seacock-first": "fit a seacock at the hull",
    "conductor-length": "measure the run again",
    "hose-length": "measure the run again",
    "operating-point": "open what shuts the water off",
    "bus-to-battery": (
        "lead a conductor from it to the battery; a strip behind a key or switch, which is live "
        "only with that, is `polarity: signal`"
    ),
    "size-found": (
        "shorten the run, feed the load from a source that is nearer, share the current between "
        "conductors, or ask"
    ),
    "conductor-protected": (
        "fit a fuse or breaker where the conductor leaves its source, within the distance allowed"
    ),
}
"""What is done aboard, for checks whose cure is not a text."""


SOLENOID: Mapping[tuple[str, str], str] = {
    ("energised-to-run", "the engine may run"): (
        "feed the lifting winding from the start relay and the holding winding from the ignition, "
        "with conductors that leave it its pull-in voltage while the starter turns"
    ),
    ("energised-to-run", "the engine is stopped"): (
        "take its feed from the ignition, so that the key turned off lets it drop"
    ),
    ("energised-to-stop", "the engine may run"): (
        "take it off whatever feeds it while the engine runs: only the stop button does"
    ),
    ("energised-to-stop", "the engine is stopped"): (
        "feed it through the stop button, with conductors that leave it its pull-in voltage"
    ),
}
"""What is done to a stop solenoid, by how it acts and what is asked of it."""


def with_cures(survey: Survey, rules: list[BoundRule], found: list[Finding]) -> list[Finding]:
    """The findings, each that fails with its cure where one is known."""
    groups: dict[object, list[Finding]] = {}
    for finding in found:
        if finding.verdict == "fail" and not finding.exempt:
            where = finding.place.position if finding.place is not None else None
            curing = CURES.get(finding.check)
            key = (curing, where) if curing is not None and where is not None else finding.id
            groups.setdefault(key, []).append(finding)
    cures: dict[str, Cure] = {}
    for group in groups.values():
        cure = _cure(survey, rules, found, group)
        if cure is not None:
            cures.update({finding.id: cure for finding in group})
    return [replace(f, cure=cures[f.id]) if f.id in cures else f for f in found]


def _cure(
    survey: Survey, rules: list[BoundRule], found: list[Finding], group: list[Finding]
) -> Cured:
    curing = CURES.get(group[0].check)
    if curing is not None:
        return curing(survey, rules, found, group)
    words = WORDS.get(group[0].check)
    if group[0].check == "stop-solenoid-right":
        words = _solenoid(survey, group[0])
    if group[0].check == "joint-fit" and str(group[0].figure).startswith("needs "):
        words = f"fit a {str(group[0].figure).removeprefix('needs ')}"
    return Cure(words) if words else None


def _solenoid(survey: Survey, finding: Finding) -> str | None:
    device = next((d for device_id, d, _ in survey.devices if device_id == finding.subject), None)
    acts = device.acts if isinstance(device, StopSolenoid) else ""
    return SOLENOID.get((acts, str(finding.limit)))
