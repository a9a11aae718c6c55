"""`installgen check`: what the yard's standard says of one vessel or of the whole fleet."""

from __future__ import annotations

import json
import sys
from datetime import datetime
from pathlib import Path

import click

from installgen.cli.findings_output import (
    by_rule,
    findings_json,
    list_checks,
    print_by_rule,
    print_changes,
    print_findings,
)
from installgen.cli.fleet import Asked, Judged, judge_fleet
from installgen.cli.output import print_json
from installgen.cli.sarif import sarif
from installgen.cli.specs import library, vessel_id
from installgen.errors import Position, SpecErrors
from installgen.spec.folder import FolderProblem
from installgen.spec.load import SpecLibrary


@click.command("check")
@click.argument("vessels", metavar="[SPEC]...", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print JSON for another program.")
@click.option("--sarif", "as_sarif", is_flag=True, help="Print SARIF 2.1.0 for another program.")
@click.option("--strict", is_flag=True, help="Also fail for should-rules and what is not assessed.")
@click.option(
    "--standard",
    metavar="ID",
    help="Judge by this standard, and tell what it would change against each vessel's own.",
)
@click.option(
    "--as-of",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Date by which exemptions are judged; left out, each spec's own.",
)
@click.option("--by-rule", "rule_by_rule", is_flag=True, help="Rule by rule across the vessels.")
@click.option("--no-cures", is_flag=True, help="Do not look for what would clear a finding.")
@click.option("--all", "everything", is_flag=True, help="Also list what passes.")
@click.option("--list", "describe", is_flag=True, help="Describe the named checks and stop.")
@click.pass_obj
def check_command(
    obj: dict[str, Path],
    vessels: tuple[str, ...],
    as_json: bool,
    as_sarif: bool,
    strict: bool,
    standard: str | None,
    as_of: datetime | None,
    rule_by_rule: bool,
    no_cures: bool,
    everything: bool,
    describe: bool,
) -> None:
    """Judge vessels by their yard's standard; without SPEC, all of them.

    \b
    Exit codes:
      0  no must-rule fails
      1  a must-rule fails; with --strict also where a should-rule fails, or
         something that a must- or should-rule asks for is not assessed
      2  a spec cannot be read or computed; each message begins with
         file:line:column
    A valid exemption counts as if the rule held.

    \b
    Examples:
      installgen check
      installgen check brannock --strict
      installgen check --by-rule
      installgen check --standard quenby-slip-next --json
    """
    if describe:
        list_checks()
        return
    specs = library(obj["specs"])
    ids = [vessel_id(specs, named) for named in vessels] or _all_vessels(specs)
    if standard is not None:
        specs.standard(standard)
    asked = Asked(
        obj["specs"], standard, as_of.date() if as_of else None, not (no_cures or rule_by_rule)
    )
    fleet = judge_fleet(ids, asked)
    if as_sarif:
        click.echo(json.dumps(sarif(fleet), ensure_ascii=False, indent=2, sort_keys=True))
    elif as_json:
        print_json(_json(fleet))
    elif rule_by_rule:
        print_by_rule([one.findings for one in fleet])
    else:
        _print(fleet, standard, everything)
    findings = [one.findings for one in fleet]
    clean = all(f.strictly_clean if strict else f.clean for f in findings)
    sys.exit(0 if clean else 1)


def _all_vessels(specs: SpecLibrary) -> list[str]:
    """Every vessel of the folder. Raises SpecErrors where a file would be passed over."""
    where = Position(specs.folder.root.name, 1, 1)
    problems = [stray.at(where) for stray in specs.folder.strays()]
    ids = list(specs.folder.ids("vessels"))
    if not ids and not problems:
        known = FolderProblem("no vessel", "a spec in vessels/; `installgen new vessel` makes one")
        problems = [known.at(where)]
    if problems:
        raise SpecErrors(problems)
    return ids


def _json(fleet: list[Judged]) -> dict[str, object]:
    return {
        "by_rule": by_rule([one.findings for one in fleet]),
        "vessels": [
            {
                **findings_json(one.findings, one.first),
                "changes": [
                    {"first": c.first, "id": c.finding, "second": c.second, "turn": str(c.turn)}
                    for c in one.changes
                ],
            }
            for one in fleet
        ],
    }


def _print(fleet: list[Judged], standard: str | None, everything: bool) -> None:
    for one in fleet:
        print_findings(one.findings, one.first, everything)
    if standard is not None:
        click.echo(click.style(f"What {standard} would change", bold=True))
        for one in fleet:
            print_changes(one.findings.vessel, list(one.changes))
