"""Findings as lines for a person, and as JSON for a program."""

from __future__ import annotations

import textwrap
from collections import Counter
from typing import Any

import click

from installgen.cli.output import WIDTH, place, value_json
from installgen.findings.comparison import FindingDifference, Turn
from installgen.findings.finding import Cause, Finding, Findings
from installgen.findings.registry import checks
from installgen.findings.rule_table import RuleAboard, RuleRow, rule_table
from installgen.findings.words import sentence
from installgen.units import System


def print_findings(findings: Findings, first: System, everything: bool) -> None:
    """Whether she may be handed over, each cause with all that goes with it, and the counts."""
    draft = "DRAFT" if findings.draft else "may be handed over"
    title = f"{findings.vessel}: {draft} (standard {findings.standard}, edition {findings.edition})"
    click.echo(click.style(title, bold=True))
    for cause in findings.causes:
        _print_cause(cause, first)
    for finding in findings.items:
        if finding.exempt:
            _print_finding(finding, first)
            click.echo()
    if everything:
        for finding in findings.of("pass"):
            _print_finding(finding, first)
    counts = [
        f"{findings.count(severity, verdict)} {severity} {verdict}"
        for severity in ("must", "should", "advice")
        for verdict in ("fail", "not assessed", "caution", "pass")
        if findings.count(severity, verdict)
    ]
    told = ", ".join(counts) or "nothing, for her standard has no rules"
    click.echo(textwrap.fill(f"in all: {told}", WIDTH, subsequent_indent="  "))
    click.echo()


INDENT = 6
_COLOURS = {"fail": "red", "not assessed": "yellow", "caution": "yellow", "pass": "green"}


def _print_cause(cause: Cause, first: System) -> None:
    """The weightiest finding of a cause; of the others, those that say the same in one line.

    Of what waits for one and the same figure only the rules are told: it may be all of a system.
    """
    _print_finding(cause.first, first)
    others = cause.findings[1:]
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    waiting: dict[str, list[str]] = {}
    for finding in others:
        if cause.kind == "not assessed" and len(others) > MOST_NAMED:
            waiting.setdefault(finding.severity, []).append(_rule(finding))
        else:
            key = (finding.severity, _rule(finding), sentence(finding, first))
            alike.setdefault(key, []).append(finding)
    for (severity, rule, told), findings in alike.items():
        label = "with it" if severity == cause.first.severity else f"with it, {severity}"
        names = "; ".join(_first([finding.name for finding in findings]))
        subjects = ", ".join(_first([finding.subject for finding in findings]))
        _line(label, f"{names}: {told} ({rule}/{subjects})")
    for severity, rules in waiting.items():
        counted = ", ".join(f"{name} ({count})" for name, count in Counter(rules).items())
        _line(f"{severity}, waiting for it too", f"{len(rules)}: {counted}")
    click.echo()


MOST_NAMED = 6
"""Findings that are named where they have one cause; --json has them all."""


def _rule(finding: Finding) -> str:
    return finding.id.removesuffix(f"/{finding.subject}")


def _first(names: list[str]) -> list[str]:
    """The names, each once; where there are many, the first ones and how many more."""
    once = list(dict.fromkeys(names))
    if len(once) <= MOST_NAMED:
        return once
    return [*once[: MOST_NAMED - 1], f"{len(once) - MOST_NAMED + 1} more"]


def _print_finding(finding: Finding, first: System) -> None:
    verdict = f"{finding.severity}: {finding.verdict}"
    if finding.exempt:
        verdict += " (exempt)"
    head = click.style(verdict, fg=_COLOURS[finding.verdict], bold=finding.severity == "must")
    click.echo(f"  {head}  {finding.name}")
    known = finding.verdict != "not assessed"
    _line("", sentence(finding, first) if known else finding.reason or "it is not computed")
    _line("rule", f"{finding.id} ({finding.rule.because})")
    for place_of in finding.places[:1]:
        if place_of.position is not None:
            click.echo(f"{' ' * INDENT}at {place_of.position}  {place_of.path}")
    if finding.cure is not None:
        _line("clears it, tried" if finding.cure.checked else "to do", finding.cure.text)
    if finding.exemption is not None:
        claim = finding.exemption
        state = "valid" if claim.valid else f"not valid, {claim.why_not}"
        until = f", until {claim.until}" if claim.until else ""
        _line(f"exemption, {state}", f"{claim.reason} ({claim.role}{until})")


def _line(label: str, text: str) -> None:
    """A text below its finding, folded at the width of a narrow terminal."""
    told = f"{label}: {text}" if label else text
    indent = " " * INDENT
    click.echo(
        textwrap.fill(
            told,
            WIDTH,
            initial_indent=indent,
            subsequent_indent=f"{indent}  ",
            break_long_words=False,
            break_on_hyphens=False,
        )
    )


def list_checks() -> None:
    """Describe every named check."""
    for name, known in sorted(checks().items()):
        click.echo(click.style(name, bold=True) + f"  [{known.system}]")
        click.echo(textwrap.fill(known.summary, WIDTH, initial_indent="  ", subsequent_indent="  "))
        takes = (
            known.takes if not known.circuits else f"{known.takes}; for {', '.join(known.circuits)}"
        )
        click.echo(
            textwrap.fill(f"limit: {takes}", WIDTH, initial_indent="  ", subsequent_indent="    ")
        )


def findings_json(findings: Findings, first: System) -> dict[str, Any]:
    """Everything that the rules say of a vessel."""
    return {
        "as_of": findings.as_of.isoformat() if findings.as_of else None,
        "clean": findings.clean,
        "draft": findings.draft,
        "draft_reasons": [{"kind": r.kind, "text": r.text} for r in findings.draft_reasons],
        "findings": [_finding_json(finding, first) for finding in findings.items],
        "standard": findings.standard,
        "vessel": findings.vessel,
    }


def _finding_json(finding: Finding, first: System) -> dict[str, Any]:
    return {
        "because": finding.rule.because,
        "case": finding.case,
        "check": finding.check,
        "circuit": finding.circuit,
        "cure": None
        if finding.cure is None
        else {
            "changes": [{"path": c.path, "value": c.value} for c in finding.cure.changes],
            "checked": finding.cure.checked,
            "text": finding.cure.text,
        },
        "exempt": finding.exempt,
        "exemption": None
        if finding.exemption is None
        else {
            "reason": finding.exemption.reason,
            "role": finding.exemption.role,
            "until": finding.exemption.until,
            "valid": finding.exemption.valid,
            "why_not": finding.exemption.why_not,
        },
        "figure": value_json(finding.figure, first),
        "id": finding.id,
        "limit": value_json(finding.limit, first),
        "margin": value_json(finding.margin, first),
        "missing": [{"path": m.path, "place": place(m.position)} for m in finding.missing],
        "name": finding.name,
        "place": place(finding.place.position) if finding.place else None,
        "reason": finding.reason,
        "results": list(finding.results),
        "rule_place": place(finding.rule.place.position),
        "sense": finding.sense,
        "severity": finding.severity,
        "subject": finding.subject,
        "system": finding.system,
        "verdict": finding.verdict,
    }


def print_changes(vessel: str, changes: list[FindingDifference]) -> None:
    """What another standard says otherwise of a vessel."""
    raised = [change for change in changes if change.turn is Turn.WORSE]
    click.echo(f"{vessel}: {len(raised)} raised, {len(changes) - len(raised)} cleared")
    for change in changes:
        click.echo(
            f"  {change.severity} {change.finding}: {change.name}: "
            f"{change.first or 'no rule'} → {change.second or 'no rule'}"
        )


def by_rule(fleet: list[Findings]) -> dict[str, dict[str, str]]:
    """What every rule says of each vessel, by the rule's id."""
    rows = sorted(rule_table(fleet), key=lambda row: row.id)
    return {row.id: {v: one.word for v, one in row.aboard.items()} for row in rows}


WIDEST_TABLE = 4
"""So many vessels stand side by side; of more only those where a rule does not hold are named."""


def print_by_rule(fleet: list[Findings]) -> None:
    """Rules by vessels, those that hold everywhere counted only."""
    rows = rule_table(fleet)
    vessels = [findings.vessel for findings in fleet]
    if len(vessels) <= WIDEST_TABLE:
        _print_table([row for row in rows if not row.holds], vessels)
    else:
        for row in rows:
            told = [f"{v}: {one.word}" for v, one in row.aboard.items() if one.word != "pass"]
            if told:
                click.echo(click.style(row.id, bold=True) + f" ({row.severity})")
                click.echo(textwrap.fill(", ".join(told), WIDTH, initial_indent="  "))
    held = sum(row.holds for row in rows)
    click.echo(f"{held} rules hold aboard every vessel")


def _print_table(rows: list[RuleRow], vessels: list[str]) -> None:
    """A column for each vessel: the worst verdict, and of how many subjects."""
    widths = [max(len(vessel), len("not assessed (9)")) for vessel in vessels]
    names = max([len(row.id) for row in rows], default=4)
    heads = "".join(f"  {v:<{w}}" for v, w in zip(vessels, widths, strict=True))
    click.echo(click.style(f"{'rule':<{names + 8}}{heads}".rstrip(), bold=True))
    for row in rows:
        cells = [_cell(row.aboard.get(vessel)) for vessel in vessels]
        told = "".join(f"  {cell:<{w}}" for cell, w in zip(cells, widths, strict=True))
        click.echo(f"{row.severity:<8}{row.id:<{names}}{told}".rstrip())


def _cell(one: RuleAboard | None) -> str:
    if one is None:
        return "–"
    return f"{one.word} ({one.standing})" if one.standing > 1 else one.word
