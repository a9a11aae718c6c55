"""A comparison as lines for a person, and as JSON for a program."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from installgen.cli.comparison_summary import is_short, print_summary, print_where_details_are
from installgen.cli.output import place
from installgen.findings.comparison import (
    BuildDifference,
    Comparison,
    FindingDifference,
    ResultDifference,
    Turn,
)
from installgen.findings.consequences import Consequence
from installgen.manual.page_text import PageChange

NOTHING = "–"


def comparison_json(
    found: Comparison,
    reasons: Sequence[Consequence] | None,
    texts: Sequence[PageChange] | None = None,
) -> dict[str, Any]:
    """Everything that two vessels do not share.

    texts: what their manuals say otherwise, where that was asked for
    """
    causes = {reason.result.result: reason for reason in reasons or ()}
    asked = {} if texts is None else {"sentences": [_sentences_json(one) for one in texts]}
    return {
        **asked,
        "build": [_build_json(d) for d in found.build],
        "engines": [
            {"first": m.first, "guessed": m.guessed, "second": m.second} for m in found.engines
        ],
        "findings": [_finding_json(d) for d in found.findings],
        "first": found.first,
        "matches": [
            {"first": m.first, "guessed": m.guessed, "kind": m.kind, "second": m.second}
            for m in found.matches
        ],
        "mirrored": list(found.mirrored),
        "results": [_result_json(d, causes.get(d.result)) for d in found.results],
        "same": found.same,
        "second": found.second,
    }


def _sentences_json(change: PageChange) -> dict[str, Any]:
    return {
        "first": list(change.gone),
        "page": change.id,
        "second": list(change.new),
        "title": change.title,
    }


def _build_json(difference: BuildDifference) -> dict[str, Any]:
    return {
        "first": difference.first,
        "first_place": place(difference.first_at),
        "path": ".".join(difference.path),
        "second": difference.second,
        "second_place": place(difference.second_at),
        "source": difference.source,
        "system": difference.system,
    }


def _finding_json(difference: FindingDifference) -> dict[str, Any]:
    return {
        "first": difference.first,
        "first_place": place(difference.first_at),
        "id": difference.finding,
        "name": difference.name,
        "second": difference.second,
        "second_place": place(difference.second_at),
        "severity": difference.severity,
        "turn": str(difference.turn),
    }


def _result_json(difference: ResultDifference, reason: Consequence | None) -> dict[str, Any]:
    told: dict[str, Any] = {
        "first": difference.first,
        "id": difference.result,
        "margin_lost": difference.margin_lost,
        "name": difference.name,
        "second": difference.second,
        "system": difference.system,
        "turn": str(difference.turn),
    }
    if reason is not None:
        told["causes"] = [".".join(cause.path) for cause in reason.causes]
        told["jointly"] = reason.jointly
    return told


def print_comparison(
    found: Comparison,
    reasons: Sequence[Consequence] | None,
    texts: Sequence[PageChange] | None = None,
    *,
    details: bool = True,
) -> None:
    """A summary; then the build by system, what it does, and what the rules say of both.

    texts: what their manuals say otherwise, where that was asked for
    details: whether to tell every difference; few are always told
    """
    if found.same:
        click.echo(f"{found.first} and {found.second} do not differ.")
        return
    print_summary(found)
    if details or is_short(found):
        click.echo()
        _print_matches(found)
        if found.build:
            _print_build(found)
        if found.results:
            _print_results(found, reasons)
        if found.findings:
            _print_findings(found)
    else:
        print_where_details_are(found)
    if texts is not None:
        _print_sentences(found, texts)


def _print_sentences(found: Comparison, texts: Sequence[PageChange]) -> None:
    """Page by page what only one of the manuals says: the first with −, the second with +."""
    head = f"What the manuals say: {found.first} (−) and {found.second} (+)"
    click.echo(click.style(f"\n{head}", bold=True))
    if not texts:
        click.echo("\nNo step, caution or sentence differs.")
    for change in texts:
        click.echo(f"\n{change.title}")
        for mark, lines in (("−", change.gone), ("+", change.new)):
            for line in lines:
                click.echo(f"  {mark} {line}")


def _print_matches(found: Comparison) -> None:
    for match in found.engines:
        if match.first != match.second:
            how = "a guess" if match.guessed else "as stated"
            click.echo(f"Engine {match.first} is laid beside {match.second}: {how}.")
    for pair in found.matches:
        how = "a guess" if pair.guessed else "as stated"
        click.echo(f"{pair.kind.capitalize()} {pair.first} is laid beside {pair.second}: {how}.")
    for system in found.mirrored:
        click.echo(f"{system}: {found.second} has it on the other side; told here once.")


def _print_build(found: Comparison) -> None:
    click.echo(click.style(f"\nThe build: {found.first} → {found.second}", bold=True))
    system = ""
    for item in found.build:
        if item.system != system:
            system = item.system
            click.echo(f"\n{system}")
        where = item.second_at or item.first_at
        mark = f"  ({item.source})" if item.source != "vessel" else ""
        click.echo(f"  {'.'.join(item.path)}{mark}")
        at = f"   {where}" if where else ""
        click.echo(f"      {item.first or NOTHING} → {item.second or NOTHING}{at}")


def _print_results(found: Comparison, reasons: Sequence[Consequence] | None) -> None:
    causes = {reason.result.result: reason for reason in reasons or ()}
    click.echo(click.style("\nWhat it does", bold=True))
    for turn in (Turn.WORSE, Turn.BETTER, Turn.OTHER):
        items = [item for item in found.results if item.turn is turn]
        if items:
            click.echo(f"\n{turn}: {len(items)}")
        for result in items:
            click.echo(f"  {result.result}")
            click.echo(
                f"      {result.name}: {result.first or NOTHING} → {result.second or NOTHING}"
            )
            _print_reason(causes.get(result.result))


def _print_reason(reason: Consequence | None) -> None:
    if reason is None:
        return
    if not reason.causes:
        click.echo("      cause: not found")
    for cause in reason.causes:
        how = "with others" if reason.jointly else "alone"
        click.echo(
            f"      by {'.'.join(cause.path)} ({how}): "
            f"{cause.first or NOTHING} → {cause.second or NOTHING}"
        )


def _print_findings(found: Comparison) -> None:
    click.echo(click.style("\nWhat the rules say", bold=True))
    for turn, word in ((Turn.WORSE, "raised"), (Turn.BETTER, "cleared")):
        items = [item for item in found.findings if item.turn is turn]
        if items:
            click.echo(f"\n{word}: {len(items)}")
        for item in items:
            where = item.second_at if turn is Turn.WORSE else item.first_at
            at = f"   {where}" if where else ""
            click.echo(f"  {item.severity} {item.finding}")
            click.echo(f"      {item.name}: {item.first or NOTHING} → {item.second or NOTHING}{at}")
