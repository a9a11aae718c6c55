"""Rules by vessels: what each rule of a yard's standard says aboard each of its vessels."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from installgen.findings.finding import SEVERITIES, VERDICTS, Finding, Findings, SystemOfCheck
from installgen.spec.standard_spec import Severity


@dataclass(frozen=True)
class RuleAboard:
    """One rule aboard one vessel.

    worst: the finding that counts most: one that is open before one that is exempt or passes
    standing: how many of its subjects fail or cannot be assessed, without a valid exemption
    """

    worst: Finding
    standing: int

    @property
    def word(self) -> str:
        """The verdict in a word; `exempt` where only valid exemptions let it stand."""
        return "exempt" if self.worst.exempt else self.worst.verdict


@dataclass(frozen=True)
class RuleRow:
    """One rule over the fleet.

    aboard: by the vessel's id; a vessel in which it has no subject is not in it
    """

    id: str
    check: str
    circuit: str
    system: SystemOfCheck
    severity: Severity
    aboard: dict[str, RuleAboard]

    @property
    def holds(self) -> bool:
        """Whether it passes wherever it has a subject."""
        return all(one.worst.verdict == "pass" for one in self.aboard.values())


def rule_table(fleet: Iterable[Findings]) -> list[RuleRow]:
    """Every rule that has a subject somewhere: must before should, then by name."""
    rows: dict[str, RuleRow] = {}
    for findings in fleet:
        for rule, members in _by_rule(findings).items():
            worst = min(members, key=_weight)
            row = rows.setdefault(
                rule,
                RuleRow(rule, worst.check, worst.circuit, worst.system, worst.severity, {}),
            )
            row.aboard[findings.vessel] = RuleAboard(worst, sum(one.open for one in members))
    return sorted(rows.values(), key=lambda row: (SEVERITIES.index(row.severity), row.id))


def _by_rule(findings: Findings) -> dict[str, list[Finding]]:
    found: dict[str, list[Finding]] = {}
    for finding in findings.items:
        found.setdefault(finding.id.partition("/")[0], []).append(finding)
    return found


def _weight(finding: Finding) -> tuple[int, int]:
    """What is open weighs most, then a caution, then what is exempt, then what passes."""
    rank = 2 if finding.exempt else {"pass": 3, "caution": 1}.get(finding.verdict, 0)
    return rank, VERDICTS.index(finding.verdict)
