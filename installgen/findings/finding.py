"""A finding: one subject under one rule, judged."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from installgen.analysis.results import Missing, Value
from installgen.errors import Position
from installgen.spec.folder import natural_order
from installgen.spec.standard_spec import Severity
from installgen.units import Quantity

Verdict = Literal["pass", "caution", "fail", "not assessed"]
Sense = Literal["at most", "at least", "is"]

SEVERITIES: tuple[Severity, ...] = ("must", "should", "advice")
VERDICTS: tuple[Verdict, ...] = ("fail", "not assessed", "caution", "pass")

BEFORE_ALL = frozenset({"battery-polarity"})
"""Checks whose finding comes first of its verdict: until it is cleared no other figure counts."""

SystemOfCheck: TypeAlias = Literal[
    "identity",
    "rating",
    "raw-water",
    "exhaust",
    "coolant",
    "oil",
    "fuel",
    "air",
    "dc-power",
    "start-run-stop",
    "driveline",
    "controls",
    "connections",
    "readings",
]


@dataclass(frozen=True)
class Place:
    """The text that determines a finding: where it stands, and its path in the spec."""

    path: str
    position: Position | None


@dataclass(frozen=True)
class Change:
    """One thing to write instead, such as `electrical.conductors[2].size` = `70 mm²`."""

    path: str
    value: str
    position: Position | None = None


@dataclass(frozen=True)
class Cure:
    """What would clear a finding.

    text: as a person says it
    changes: what to write in the spec; empty where it is work aboard, not a text
    checked: whether the vessel was computed again with it and the rule then held
    """

    text: str
    changes: tuple[Change, ...] = ()
    checked: bool = False


@dataclass(frozen=True)
class Claim:
    """An exemption that the vessel claims from a rule.

    valid: whether it counts on the date of judging; `why_not` says why not
    """

    reason: str
    role: str
    until: str
    place: Place
    valid: bool
    why_not: str = ""


@dataclass(frozen=True)
class RuleOrigin:
    """The rule behind a finding: from which standard, where it stands, what it rests on."""

    standard: str
    because: str
    place: Place


@dataclass(frozen=True)
class Finding:
    """One subject under one rule.

    check: name of the check; `circuit` says for which class the rule is, where it has one
    subject: the entry it is about, as registers name it; `name` is what a person calls it
    figure, limit: what was found and what is allowed, in the same kind of quantity, or in words
    sense: how the limit is meant
    margin: how far the figure is on the right side of the limit; negative where it is not
    margin_share: the same to the limit; nothing where the limit is zero or in words
    places: the text that determines it, the most telling first
    reason: what a reader has to know besides the figures
    missing: the fields that would have to be filled in before it can be assessed
    results: ids of the results it rests on
    case_name: what a person calls the electrical case it was found in; empty where it has none
    """

    check: str
    circuit: str
    system: SystemOfCheck
    severity: Severity
    verdict: Verdict
    subject: str
    name: str
    figure: Value | None
    limit: Value | None
    sense: Sense
    margin: Quantity | None
    margin_share: float | None
    places: tuple[Place, ...]
    reason: str
    rule: RuleOrigin
    missing: tuple[Missing, ...] = ()
    results: tuple[str, ...] = ()
    case: str = ""
    case_name: str = ""
    engine: str = ""
    assumed: bool = False
    cure: Cure | None = None
    exemption: Claim | None = None

    @property
    def id(self) -> str:
        """Stable and readable: `circuit-drop.critical/radio`."""
        rule = f"{self.check}.{self.circuit}" if self.circuit else self.check
        return f"{rule}/{self.subject}"

    @property
    def place(self) -> Place | None:
        """The text that determines it."""
        return self.places[0] if self.places else None

    @property
    def exempt(self) -> bool:
        """Whether a valid exemption covers it."""
        return self.exemption is not None and self.exemption.valid

    @property
    def open(self) -> bool:
        """Whether it fails or is not assessed, and no valid exemption covers it."""
        return self.verdict in ("fail", "not assessed") and not self.exempt

    @property
    def holds_back(self) -> bool:
        """Whether it keeps the manual a draft."""
        return self.severity == "must" and self.open

    @property
    def order(self) -> tuple[object, ...]:
        """Must before should; what fails before what is not assessed; then by place and margin."""
        place = self.place.position if self.place else None
        return (
            SEVERITIES.index(self.severity),
            VERDICTS.index(self.verdict),
            self.exempt,
            self.check not in BEFORE_ALL,
            (place.file, place.line, place.column) if place else ("", 0, 0),
            self.margin_share if self.margin_share is not None else 0.0,
            natural_order(self.id),
        )


@dataclass(frozen=True)
class DraftReason:
    """One reason why the manual is a draft."""

    kind: Literal["finding", "unknown field", "proposed size", "missing heading"]
    text: str
    place: Place | None


@dataclass(frozen=True)
class Cause:
    """What stands behind one finding or several: one text to change, the figures to find.

    What it takes to clear one of them may leave others: each is judged by itself.

    key: the text's path, or the missing fields
    findings: all that are judged by this text or wait for this field, the weightiest first
    """

    key: str
    kind: Verdict
    severity: Severity
    place: Place | None
    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """The weightiest of its findings."""
        return self.findings[0]


@dataclass(frozen=True)
class Findings:
    """Everything that a standard says of one vessel.

    items: every finding, in order of work: must before should, what fails first
    as_of: the date that exemptions are judged by; nothing where the spec gives none
    draft_reasons: why her manual is a draft; empty where it is not
    """

    vessel: str
    name: str
    standard: str
    edition: str
    as_of: date | None
    items: tuple[Finding, ...]
    draft_reasons: tuple[DraftReason, ...]
    causes: tuple[Cause, ...]

    @property
    def draft(self) -> bool:
        """Whether her manual is a draft."""
        return bool(self.draft_reasons)

    def of(self, *verdicts: Verdict) -> list[Finding]:
        """The findings with these verdicts, in order."""
        return [finding for finding in self.items if finding.verdict in verdicts]

    def count(self, severity: Severity, verdict: Verdict) -> int:
        """How many there are of a severity and a verdict."""
        return sum(f.severity == severity and f.verdict == verdict for f in self.items)

    def about(self, subject: str) -> list[Finding]:
        """The findings on one subject, in order."""
        return [finding for finding in self.items if finding.subject == subject]

    @property
    def clean(self) -> bool:
        """Whether no must-rule fails without a valid exemption."""
        return not any(
            f.severity == "must" and f.verdict == "fail" and not f.exempt for f in self.items
        )

    @property
    def strictly_clean(self) -> bool:
        """Whether also no should-rule fails and nothing of either is left not assessed."""
        return not any(f.severity in ("must", "should") and f.open for f in self.items)
