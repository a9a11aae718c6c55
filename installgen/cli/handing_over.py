"""`installgen handover`: everything that a vessel is handed over with, complete or not at all."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click
from rich.console import Console

from installgen.cli.specs import library, vessel_id
from installgen.findings.finding import Findings
from installgen.findings.rules import read_rules
from installgen.manual.handover.bundle import archive, check_sums, exchange
from installgen.manual.handover.parts import SITE, SUMS, date_of, handover_parts
from installgen.manual.made_manual import MadeManual, earlier_manual, make_manual
from installgen.manual.paper.pdf import PaperSize
from installgen.manual.site import vessel_site
from installgen.spec.earlier import earlier_revisions


@click.command("handover")
@click.argument("vessel")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    metavar="DIR",
    help="Folder that gets VESSEL/ and VESSEL.zip.",
)
@click.option("--draft", is_flag=True, help="Make it although it is a draft; every page says so.")
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Paper of the PDF; left out, letter where US units lead, else A4.",
)
@click.pass_obj
def handover_command(
    obj: dict[str, Path], vessel: str, out: Path, draft: bool, paper: PaperSize | None
) -> None:
    """Make what VESSEL is handed over with: site, one-file manual, PDF, tables, spec, check sums.

    It is put into DIR when it is complete; what was there of this vessel is then replaced. The
    same spec gives the same bytes.

    Exit code 0: made. 1: it is a draft, and nothing was written. 2: a spec cannot be read or
    computed, or something could not be made.

    \b
    Examples:
      installgen handover brannock --out handover
      installgen handover pipit --out handover --draft --paper letter
    """
    specs = library(obj["specs"])
    with _progress() as report:
        name = vessel_id(specs, vessel)
        report(f"{name}: computing and drawing")
        resolved = specs.vessel(name)
        read_rules(resolved.standard)
        earlier = [earlier_manual(revision) for revision in earlier_revisions(specs, resolved)]
        made = make_manual(resolved, earlier=earlier)
        if made.source.findings.draft and not draft:
            _refuse(made.source.findings)
            sys.exit(1)
        size: PaperSize = paper or ("letter" if made.source.first == "us" else "a4")
        _make(made, obj["specs"], out, size, report)
    click.echo(f"Wrote {(out / name).as_posix()}/ and {(out / name).as_posix()}.zip")


def _refuse(findings: Findings) -> None:
    click.echo(f"{findings.name} is a draft and is not handed over:", err=True)
    for reason in findings.draft_reasons:
        at = f"{reason.place.position}: " if reason.place and reason.place.position else ""
        click.echo(f"  {at}{reason.text}", err=True)
    click.echo(
        "Nothing was written. With --draft it is made all the same, and every page says so.",
        err=True,
    )


def _make(
    made: MadeManual, specs: Path, out: Path, size: PaperSize, report: Callable[[str], None]
) -> None:
    """Everything in a folder beside the place it goes to, then all of it at once."""
    # MkDocs takes a second to import, and nobody else here needs it.
    from installgen.plugin import build_site

    name = made.vessel.id
    date = date_of(made, os.environ.get("SOURCE_DATE_EPOCH"))
    out.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{name}-", dir=out))
    try:
        folder, zipped, aside = work / name, work / f"{name}.zip", work / "aside"
        aside.mkdir()
        for path, content in handover_parts(made, specs, size, report):
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        report(f"{name}: site")
        title = f"{made.vessel.name} · {made.source.text('bound.title')}"
        build_site(vessel_site(made), title, specs, folder / SITE)
        report(f"{name}: check sums and archive")
        (folder / SUMS).write_text(check_sums(folder), "utf-8", newline="\n")
        archive(folder, zipped, date)
        exchange([(folder, out / name), (zipped, out / f"{name}.zip")], aside)
    finally:
        shutil.rmtree(work, ignore_errors=True)


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """Says what is being worked on where somebody watches a terminal."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda text: None
        return
    with console.status("") as status:
        yield lambda text: status.update(text)
