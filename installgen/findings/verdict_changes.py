"""What the rules say of one vessel and not of another: findings raised and cleared."""

from __future__ import annotations

from collections.abc import Collection

from installgen.findings.comparison import FindingDifference, Turn
from installgen.findings.finding import SEVERITIES, VERDICTS, Finding, Findings
from installgen.findings.matching import Matches


def judged_results(
    findings: tuple[Findings, Findings] | None, matches: Matches, known: Collection[str]
) -> tuple[dict[str, Finding], dict[str, Finding]]:
    """For each vessel the finding that judges a result against a limit, by the first's ids.

    known: ids of the first's results
    """
    if findings is None:
        return {}, {}
    mine = _by_result(findings[0], Matches(), known)
    return mine, _by_result(findings[1], matches, known)


def _by_result(findings: Findings, matches: Matches, known: Collection[str]) -> dict[str, Finding]:
    return {
        matches.among(result, known): finding
        for finding in reversed(findings.items)
        if finding.sense != "is" and len(finding.results) == 1
        for result in finding.results
    }


def changed_verdicts(
    first: Findings, second: Findings, matches: Matches
) -> list[tuple[str, FindingDifference]]:
    """What the rules say otherwise, the heaviest first: raised before cleared."""
    mine = {finding.id: finding for finding in first.items}
    subjects = {finding.subject for finding in first.items}
    theirs = {_finding_id(finding, matches, subjects): finding for finding in second.items}
    out = []
    for name in dict.fromkeys([*mine, *theirs]):
        one, other = mine.get(name), theirs.get(name)
        verdicts = tuple(f.verdict if f is not None else "" for f in (one, other))
        known = other or one
        assert known is not None
        quiet = set(verdicts) <= {"pass", ""}
        if verdicts[0] != verdicts[1] and not quiet:
            out.append((str(known.system), _told(name, one, other)))
    return sorted(out, key=lambda item: _weight(item[1]))


def _finding_id(finding: Finding, matches: Matches, known: Collection[str]) -> str:
    """A finding's id with its subject as the first vessel calls it.

    known: subjects of the first's findings
    """
    rule, _, subject = finding.id.partition("/")
    return f"{rule}/{matches.among(subject, known)}"


def _told(name: str, one: Finding | None, other: Finding | None) -> FindingDifference:
    known = other or one
    assert known is not None
    ranks = [VERDICTS.index(f.verdict) if f is not None else len(VERDICTS) for f in (one, other)]
    places = [f.place.position if f is not None and f.place else None for f in (one, other)]
    return FindingDifference(
        name,
        known.severity,
        known.name,
        one.verdict if one is not None else "",
        other.verdict if other is not None else "",
        Turn.WORSE if ranks[1] < ranks[0] else Turn.BETTER,
        *places,
    )


def _weight(item: FindingDifference) -> tuple[object, ...]:
    rank = [severity for severity in SEVERITIES if severity == item.severity]
    return SEVERITIES.index(rank[0]), item.turn is not Turn.WORSE, item.finding


def verdicts_between(first: Findings, second: Findings) -> list[FindingDifference]:
    """What two standards say otherwise of one vessel."""
    return [difference for _, difference in changed_verdicts(first, second, Matches())]
