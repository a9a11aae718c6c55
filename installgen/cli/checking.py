"""`installgen check`: what the yard's standard says of one vessel or of the whole fleet."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.progress import track

from installgen.analysis.analyse import analyse
from installgen.cli.output import place, print_json, shown, value_json
from installgen.cli.specs import library, vessel_id
from installgen.findings.check import check
from installgen.findings.finding import Cause, Finding, Findings
from installgen.findings.registry import checks
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel import Vessel
from installgen.units import System

WIDTH = 80


@click.command("check")
@click.argument("vessels", metavar="[SPEC]...", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print JSON for another program.")
@click.option("--strict", is_flag=True, help="Also fail for should-rules and what is not assessed.")
@click.option("--standard", metavar="ID", help="Judge by this standard instead of each vessel's.")
@click.option(
    "--as-of",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Date by which exemptions are judged; left out, each spec's own.",
)
@click.option("--all", "everything", is_flag=True, help="Also list what passes.")
@click.option("--list", "list_checks", is_flag=True, help="Describe the named checks and stop.")
@click.pass_obj
def check_command(
    obj: dict[str, Path],
    vessels: tuple[str, ...],
    as_json: bool,
    strict: bool,
    standard: str | None,
    as_of: datetime | None,
    everything: bool,
    list_checks: bool,
) -> None:
    """Judge vessels by their yard's standard; without SPEC, all of them.

    Exit code 0: no must-rule fails. 1: one does (with --strict also a should-rule, or something
    not assessed). 2: a spec cannot be read or computed.

    \b
    Examples:
      installgen check
      installgen check brannock --strict
      installgen check --standard quenby-slip-next --json
    """
    if list_checks:
        _list_checks()
        return
    specs = library(obj["specs"])
    ids = [vessel_id(specs, named) for named in vessels] or list(specs.folder.ids("vessels"))
    rules = specs.standard(standard) if standard else None
    found = [
        (vessel, _judged(vessel, rules, as_of.date() if as_of else None))
        for vessel in _watched(specs.vessels(ids))
    ]
    if as_json:
        print_json({"vessels": [_findings_json(v, f) for v, f in found]})
    else:
        for vessel, findings in found:
            _print(vessel, findings, everything)
    clean = all(f.strictly_clean if strict else f.clean for _, f in found)
    sys.exit(0 if clean else 1)


def _watched(vessels: list[Vessel]) -> Iterator[Vessel]:
    """The vessels one by one, with progress where somebody watches a terminal."""
    console = Console(stderr=True)
    if len(vessels) < 2 or not console.is_terminal:
        yield from vessels
        return
    yield from track(vessels, "Checking", console=console, transient=True)


def _judged(vessel: Vessel, standard: StandardSpec | None, as_of: date | None) -> Findings:
    return check(analyse(vessel), standard, as_of=as_of)


def _print(vessel: Vessel, findings: Findings, everything: bool) -> None:
    draft = "DRAFT" if findings.draft else "may be handed over"
    title = f"{findings.vessel}: {draft} (standard {findings.standard}, edition {findings.edition})"
    click.echo(click.style(title, bold=True))
    first = vessel.spec.units.first
    for cause in findings.causes:
        _print_cause(cause, first)
    if everything:
        for finding in findings.of("pass"):
            _print_finding(finding, first, "  ")
    counts = [
        f"{findings.count(severity, verdict)} {severity} {verdict}"
        for severity in ("must", "should", "advice")
        for verdict in ("fail", "not assessed", "caution", "pass")
        if findings.count(severity, verdict)
    ]
    click.echo(textwrap.fill("in all: " + ", ".join(counts), WIDTH, subsequent_indent="  "))
    click.echo()


def _print_cause(cause: Cause, first: System) -> None:
    _print_finding(cause.first, first, "  ")
    for finding in cause.findings[1:]:
        click.echo(
            f"      also: {finding.severity} {finding.verdict}: {finding.name} ({finding.id})"
        )


def _print_finding(finding: Finding, first: System, indent: str) -> None:
    where = f"{finding.place.position}: " if finding.place and finding.place.position else ""
    state = f"{finding.severity} {finding.verdict}" + (" (exempt)" if finding.exempt else "")
    lines = [f"{where}{state}: {finding.name}: {_says(finding, first)} ({finding.id})"]
    if finding.cure is not None:
        checked = "checked: " if finding.cure.checked else ""
        lines.append(f"  to clear it: {checked}{finding.cure.text}")
    if finding.exemption is not None:
        claim = finding.exemption
        state = "valid" if claim.valid else f"not valid: {claim.why_not}"
        lines.append(f"  exemption ({state}): {claim.reason}; {claim.role}, until {claim.until}")
    for line in lines:
        click.echo(f"{indent}{line}")


def _says(finding: Finding, first: System) -> str:
    if finding.verdict == "not assessed":
        return finding.reason
    text = shown(finding.figure, first)
    if finding.limit is not None:
        sense = "wanted:" if finding.sense == "is" else finding.sense
        text += f", {sense} {shown(finding.limit, first)}"
    return f"{text}; {finding.reason}" if finding.reason else text


def _list_checks() -> None:
    for name, known in sorted(checks().items()):
        click.echo(click.style(name, bold=True) + f"  [{known.system}]")
        click.echo(textwrap.fill(known.summary, WIDTH, initial_indent="  ", subsequent_indent="  "))
        takes = (
            known.takes if not known.circuits else f"{known.takes}; for {', '.join(known.circuits)}"
        )
        click.echo(
            textwrap.fill(f"limit: {takes}", WIDTH, initial_indent="  ", subsequent_indent="    ")
        )


def _findings_json(vessel: Vessel, findings: Findings) -> dict[str, Any]:
    first = vessel.spec.units.first
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
        "cure": None
        if finding.cure is None
        else {"checked": finding.cure.checked, "text": finding.cure.text},
        "exempt": finding.exempt,
        "figure": value_json(finding.figure, first),
        "id": finding.id,
        "limit": value_json(finding.limit, first),
        "margin": value_json(finding.margin, first),
        "missing": [{"path": m.path, "place": place(m.position)} for m in finding.missing],
        "name": finding.name,
        "place": place(finding.place.position) if finding.place else None,
        "reason": finding.reason,
        "results": list(finding.results),
        "sense": finding.sense,
        "severity": finding.severity,
        "subject": finding.subject,
        "system": finding.system,
        "verdict": finding.verdict,
    }
