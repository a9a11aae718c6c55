"""A comparison in a screenful: how much differs in each system, and what matters most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import click
from rich.console import Console
from rich.table import Table

from installgen.findings.comparison import (
    Comparison,
    FindingDifference,
    ResultDifference,
    Turn,
)
from installgen.findings.finding import SEVERITIES
from installgen.findings.registry import checks
from installgen.spec.folder import nearest

FEW = 40
"""Differences that are told one by one without being asked for."""
MOST_FINDINGS = 12
MOST_RESULTS = 10

TOGETHER: dict[str, tuple[str, ...]] = {
    "electrical": ("dc-power", "start-run-stop"),
    "engine": ("rating",),
    "fluids": ("oil", "gear-oil"),
}
"""Systems of the build with those that its results and findings are told under besides."""


def systems(found: Comparison) -> list[str]:
    """Every system in which something differs."""
    names = {*_built(found), *_computed(found), *found.mirrored}
    return sorted(names | {_system(item) for item in found.findings})


def _built(found: Comparison) -> Counter[str]:
    return Counter(item.system for item in found.build)


def _computed(found: Comparison) -> Counter[str]:
    return Counter(item.system for item in found.results)


def kept_to(found: Comparison, only: str | None) -> Comparison:
    """A comparison of one system, with what belongs together; raises UsageError for none."""
    if only is None:
        return found
    wanted = {only, *TOGETHER.get(only, ())}
    known = {*systems(found), *TOGETHER, *(s for each in TOGETHER.values() for s in each)}
    known |= {check.system for check in checks().values()}
    if not wanted & known:
        guess = nearest(only, known)
        near = f"; near it: {guess}" if guess else ""
        raise click.UsageError(f"no system {only!r}; there are {', '.join(sorted(known))}{near}")
    return replace(
        found,
        build=tuple(item for item in found.build if item.system in wanted),
        results=tuple(item for item in found.results if item.system in wanted),
        findings=tuple(item for item in found.findings if _system(item) in wanted),
        mirrored=tuple(system for system in found.mirrored if system in wanted),
    )


def is_short(found: Comparison) -> bool:
    """Whether its details fit a screen or two."""
    return len(found.build) + len(found.results) + len(found.findings) <= FEW


def print_summary(found: Comparison) -> None:
    """By system how much differs, then findings raised, then the margins that shrank most."""
    click.echo(click.style(f"{found.first} → {found.second}, by system", bold=True))
    _print_counts(found)
    raised = [item for item in found.findings if item.turn is Turn.WORSE]
    cleared = [item for item in found.findings if item.turn is Turn.BETTER]
    raised.sort(key=lambda item: SEVERITIES.index(item.severity))
    _print_findings(f"Findings raised: {len(raised)}", raised)
    _print_findings(f"Findings cleared: {len(cleared)}", cleared)
    lost = [item for item in found.results if (item.margin_lost or 0.0) > 0.0]
    lost.sort(key=lambda item: -(item.margin_lost or 0.0))
    _print_margins(lost)


def print_where_details_are(found: Comparison) -> None:
    """How to see the rest."""
    click.echo(
        f"\nThe details: --only SYSTEM, such as `--only {_fullest(found)}`, or --all "
        f"({len(found.build)} of the build, {len(found.results)} results)."
    )


def _fullest(found: Comparison) -> str:
    counts = _built(found) + _computed(found)
    return counts.most_common(1)[0][0] if counts else "raw-water"


def _print_counts(found: Comparison) -> None:
    table = Table(box=None, pad_edge=False, show_edge=False, header_style="")
    for head in ("system", "build", "results", "worse", "better", "raised", "cleared"):
        table.add_column(head, justify="left" if head == "system" else "right", no_wrap=True)
    build, results = _built(found), _computed(found)
    turns = Counter((item.system, item.turn) for item in found.results)
    findings = Counter((_system(item), item.turn) for item in found.findings)
    for system in systems(found):
        counts = (
            build[system],
            results[system],
            turns[system, Turn.WORSE],
            turns[system, Turn.BETTER],
            findings[system, Turn.WORSE],
            findings[system, Turn.BETTER],
        )
        table.add_row(system, *(str(count) if count else "–" for count in counts))
    console = Console(width=80, highlight=False, markup=False, no_color=True)
    with console.capture() as told:
        console.print(table)
    click.echo("\n".join(f"  {line.rstrip()}" for line in told.get().splitlines()))


def _print_findings(title: str, items: Sequence[FindingDifference]) -> None:
    click.echo(f"\n{title}")
    for item in items[:MOST_FINDINGS]:
        turn = f"{item.first or '–'} → {item.second or '–'}"
        click.echo(f"  {item.severity} {item.finding}\n      {item.name}: {turn}")
    _print_rest(len(items), MOST_FINDINGS)


def _print_margins(items: Sequence[ResultDifference]) -> None:
    if not items:
        return
    click.echo(f"\nMargins to a limit that shrank: {len(items)}; most of all")
    for item in items[:MOST_RESULTS]:
        click.echo(
            f"  {item.result}\n      {item.name}: {item.first or '–'} → {item.second or '–'}"
        )
    _print_rest(len(items), MOST_RESULTS)


def _print_rest(count: int, shown: int) -> None:
    if count > shown:
        click.echo(f"  and {count - shown} more")


def _system(item: FindingDifference) -> str:
    name = item.finding.partition("/")[0].partition(".")[0]
    known = checks().get(name)
    return known.system if known is not None else "identity"
