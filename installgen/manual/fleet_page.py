"""A page of the yard: every rule of its standards against every one of its vessels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from installgen.findings.finding import SEVERITIES, Findings
from installgen.findings.rule_table import RuleAboard, RuleRow, rule_table
from installgen.manual.blocks import (
    Block,
    Column,
    Fold,
    Heading,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Table,
    Target,
    Verdict,
    VerdictKind,
)
from installgen.manual.links import FINDINGS, RULES_BY_VESSEL
from installgen.manual.words import Words
from installgen.manual.yard_pages import rule_anchor, rule_name, vessel_target

VERDICTS: dict[str, VerdictKind] = {
    "pass": "pass",
    "caution": "caution",
    "fail": "fail",
    "not assessed": "not-assessed",
}


def findings_target(vessel_id: str) -> str:
    """What the yard's pages call a vessel's page of findings."""
    return f"{vessel_target(vessel_id)}/{FINDINGS}"


def fleet_page(fleet: Sequence[Findings], words: Words) -> Page:
    """First the rules that do not hold somewhere, by severity; those that hold everywhere folded.

    fleet: what the rules say of each vessel; at least one
    """
    rows = rule_table(fleet)
    blocks: list[Block] = [Paragraph(words.say("fleet.intro"))]
    for severity in SEVERITIES:
        open_rows = [row for row in rows if row.severity == severity and not row.holds]
        if open_rows:
            blocks.append(Heading(words.text(f"findings.{severity}_heading"), severity))
            blocks += _table(words.text("fleet.caption"), open_rows, fleet, words)
    held = [row for row in rows if row.holds]
    if held:
        summary = words.text("fleet.held", count=str(len(held)))
        blocks.append(Fold(summary, tuple(_table(summary, held, fleet, words))))
    return Page(RULES_BY_VESSEL, words.text("fleet.title"), tuple(blocks))


def _table(
    caption: str, rows: Iterable[RuleRow], fleet: Sequence[Findings], words: Words
) -> Iterator[Block]:
    columns = (
        Column(words.text("columns.rule")),
        Column(words.text("columns.system")),
        *(Column(findings.name) for findings in fleet),
    )
    made = tuple(
        Row(
            (
                rule_name(row.check, row.circuit),
                words.text(f"systems-of-checks.{row.system}"),
                *(_cell(row.aboard.get(f.vessel), f.vessel, words) for f in fleet),
            ),
            rule_anchor(row.check, row.circuit),
        )
        for row in rows
    )
    yield Table(caption, columns, made, stack=False)


def _cell(one: RuleAboard | None, vessel: str, words: Words) -> Line:
    """The verdict that counts most, linked to where it stands; of how many things, if several."""
    if one is None:
        return "–"
    if one.worst.exempt:
        verdict: Line = words.say("fleet.exempt")
    else:
        verdict = Verdict(VERDICTS[one.worst.verdict])
    if one.worst.verdict == "pass":
        return verdict
    link = Link(verdict, Target(findings_target(vessel), one.worst.severity))
    return (link, f" ({one.standing})") if one.standing > 1 else link
