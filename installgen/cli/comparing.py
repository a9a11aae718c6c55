"""`installgen compare` and `installgen try`: two builds side by side, or one and its might-be."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import click
from rich.console import Console
from rich.progress import track

from installgen.analysis.analyse import analyse
from installgen.cli.compared import comparison_json, print_comparison
from installgen.cli.comparison_summary import kept_to
from installgen.cli.output import print_json
from installgen.cli.record import print_since, read_record, since, since_json
from installgen.cli.specs import library, tried, vessel_id
from installgen.errors import Position, Problem, SpecErrors
from installgen.findings.check import check
from installgen.findings.compare import compare
from installgen.findings.comparison import BuildDifference, Comparison
from installgen.findings.consequences import Consequence, Side, consequences
from installgen.manual.comparing import differing_sentences
from installgen.manual.page_text import PageChange
from installgen.spec.load import SpecLibrary


@click.command("compare")
@click.argument("first")
@click.argument("second")
@click.option(
    "--only", metavar="SYSTEM", help="One system in detail, such as electrical or raw-water."
)
@click.option("--all", "everything", is_flag=True, help="Every system in detail.")
@click.option(
    "--pair",
    "pairs",
    multiple=True,
    metavar="NAME=NAME",
    help="What FIRST calls NAME, SECOND calls the other. May be given several times.",
)
@click.option(
    "--sentences",
    is_flag=True,
    help="Also list the steps, cautions and sentences that only one of the manuals has.",
)
@click.option(
    "--causes",
    is_flag=True,
    help="Also find the causes of what differs; for a twin this takes minutes.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON for another program.")
@click.pass_obj
def compare_command(
    obj: dict[str, Path],
    first: str,
    second: str,
    only: str | None,
    everything: bool,
    pairs: tuple[str, ...],
    sentences: bool,
    causes: bool,
    as_json: bool,
) -> None:
    """Print what differs between two vessels: the build, what it does, what the rules say.

    First a summary: how much differs in each system, the findings raised and cleared, the margins
    that shrank most. Every difference is told where there are few, or with --only or --all.

    FIRST and SECOND are vessels by id or file; a file may lie in another specs folder. Two folders
    compare every vessel that both of them have.

    FIRST may also be a file that `installgen results SECOND --json` wrote: then each result that
    differs is told from what changed: her own spec, a sheet, the standard, a table, the program.

    With --causes FIRST is computed again with the differences of SECOND, one at a time; every
    difference is then told.

    \b
    Exit codes:
      0  nothing differs
      1  something differs
      2  a spec cannot be read or computed

    \b
    Examples:
      installgen compare brannock corrie --only raw-water
      installgen compare brannock sallow --pair engine=port --causes
      installgen compare brannock corrie --sentences
      installgen compare last-year/specs specs
    """
    if first.endswith(".json"):
        _compare_with_record(obj["specs"], Path(first), second, as_json)
    told = dict(_pair(text) for text in pairs)
    found = [
        _compared(one, other, only, told, sentences=sentences, causes=causes)
        for one, other in _sides(obj["specs"], first, second)
    ]
    if as_json:
        contents = [comparison_json(*each) for each in found]
        print_json(contents[0] if len(contents) == 1 else {"vessels": contents})
    else:
        for comparison, reasons, texts in found:
            details = everything or causes or only is not None
            print_comparison(comparison, reasons, texts, details=details)
    sys.exit(0 if all(comparison.same for comparison, *_ in found) else 1)


def _compare_with_record(specs: Path, recorded: Path, vessel: str, as_json: bool) -> None:
    """Print what is not as it was recorded, and exit."""
    record, own = read_record(recorded), library(specs)
    found = since(record, own, analyse(own.vessel(vessel_id(own, vessel))))
    if as_json:
        print_json(since_json(record, found))
    else:
        print_since(record, found)
    sys.exit(1 if found.results else 0)


def _compared(
    first: Side,
    second: Side,
    only: str | None,
    pairs: dict[str, str],
    *,
    sentences: bool,
    causes: bool,
) -> tuple[Comparison, tuple[Consequence, ...] | None, tuple[PageChange, ...] | None]:
    findings = check(first.analysis, cures=False), check(second.analysis, cures=False)
    found = compare(first.analysis, second.analysis, findings=findings, pairs=pairs)
    found = kept_to(found, only)
    reasons = consequences(first, second, found, pairs, _watched) if causes else None
    texts = None
    if sentences:
        sides = (first.analysis, findings[0]), (second.analysis, findings[1])
        texts = tuple(differing_sentences(*sides))
    return found, reasons, texts


def _watched(differences: Sequence[BuildDifference]) -> Iterable[BuildDifference]:
    """The differences one by one, with progress where somebody watches a terminal."""
    console = Console(stderr=True)
    if not console.is_terminal:
        return differences
    return track(differences, "Trying", console=console, transient=True)


def _pair(text: str) -> tuple[str, str]:
    first, equals, second = text.partition("=")
    if not equals or not first.strip() or not second.strip():
        raise click.BadParameter(f"{text!r} is not NAME=NAME", param_hint="--pair")
    return first.strip(), second.strip()


def _sides(specs: Path, first: str, second: str) -> list[tuple[Side, Side]]:
    """The vessels that are meant; of two folders all that both of them have."""
    folders = [Path(named) for named in (first, second)]
    if not all((folder / "vessels").is_dir() for folder in folders):
        return [(_named(specs, first), _named(specs, second))]
    libraries = [library(folder) for folder in folders]
    both = [set(one.folder.ids("vessels")) for one in libraries]
    shared = sorted(both[0] & both[1])
    if not shared:
        where = Position(first, 1, 1)
        raise SpecErrors([Problem(where, "", "no vessel that both folders have", "one at least")])
    for name in sorted(both[0] ^ both[1]):
        click.echo(f"{name} is only in {first if name in both[0] else second}", err=True)
    return [(_side(libraries[0], name), _side(libraries[1], name)) for name in shared]


def _named(specs: Path, named: str) -> Side:
    """A vessel by id or file; a file is read in the specs folder it lies in."""
    path = Path(named)
    if path.suffix == ".yaml" and path.parent.name == "vessels" and path.is_file():
        own = library(path.parent.parent)
        return _side(own, vessel_id(own, named))
    given = library(specs)
    return _side(given, vessel_id(given, named))


def _side(own: SpecLibrary, name: str) -> Side:
    return Side(own, analyse(own.vessel(name)))


@click.command("try")
@click.argument("vessel")
@click.argument("changes", metavar="CHANGE...", nargs=-1, required=True)
@click.option("--only", metavar="SYSTEM", help="One system in detail, such as raw-water.")
@click.option("--all", "everything", is_flag=True, help="Every difference, however many.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON for another program.")
@click.pass_obj
def try_command(
    obj: dict[str, Path],
    vessel: str,
    changes: tuple[str, ...],
    only: str | None,
    everything: bool,
    as_json: bool,
) -> None:
    """Show what a CHANGE of VESSEL would do; nothing on disk changes.

    A CHANGE is `PATH = VALUE`. Items of lists are named by what they are called or by their
    number. Nothing behind the equals sign takes the key out; `[+]` adds an item. A path that
    begins with `sheet` or `standard` changes those. Exit code 0, or 2 where the change cannot be
    read or she cannot be computed with it.

    \b
    Examples:
      installgen try brannock "electrical.conductors[S2].size = 4/0 AWG"
      installgen try brannock "sea.hottest = 32 °C" "engines[engine].cruise = 2000 rpm"
      installgen try brannock "standard.rules[circuit-drop critical].limit = 2 %"
    """
    specs = library(obj["specs"])
    name = vessel_id(specs, vessel)
    second = Side(*tried(specs, name, changes))
    found, *_ = _compared(_side(specs, name), second, only, {}, sentences=False, causes=False)
    if as_json:
        print_json(comparison_json(found, None))
    else:
        named = replace(found, first=f"{name} as written", second="with the change")
        print_comparison(named, None, details=everything or only is not None)
