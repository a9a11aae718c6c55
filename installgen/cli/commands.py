"""The commands of `installgen`."""

from __future__ import annotations

import difflib
import json
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from installgen import __version__
from installgen.analysis.results import Book
from installgen.cli import output
from installgen.cli.checking import check_command
from installgen.cli.comparing import compare_command, try_command
from installgen.cli.doors import Door
from installgen.cli.handing_over import handover_command
from installgen.cli.record import made_with
from installgen.cli.specs import analysed, library, tried, vessel_id
from installgen.cli.which_result import MOST_LISTED, results_meant
from installgen.findings.check import check
from installgen.findings.finding import Finding
from installgen.spec.reference import fields_text
from installgen.spec.schema import ROOTS, SchemaKind, schema
from installgen.spec.starter import new_vessel_file

AS_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON for another program.")


@click.group(
    cls=Door,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""\b
Where to begin:
  installgen new vessel tern --engine tolvane-four   a spec to fill in
  installgen check tern                              what is wrong or missing
  installgen results tern --system raw-water         every figure
  installgen working tern cranking voltage           how one figure came about
  installgen compare tern brannock                   what differs, and what it does
  installgen try tern "sea.hottest = 32 °C"           what a change would do
  installgen handover tern --out handover            site, one file, PDF, tables, check sums
""",
)
@click.version_option(__version__, prog_name="installgen")
@click.option(
    "--specs",
    type=click.Path(path_type=Path),
    default=Path("specs"),
    show_default=True,
    help="Folder that holds vessels/, engines/ and standards/.",
)
@click.option("--debug", is_flag=True, help="Show tracebacks (for whoever mends the tool).")
@click.pass_context
def main(context: click.Context, specs: Path, debug: bool) -> None:
    """A vessel's marine-diesel installation, written once as YAML: computed, checked, compared.

    VESSEL is a vessel's id (`brannock`) or its file (`specs/vessels/brannock.yaml`). Exit code 2
    means that a spec cannot be read or computed; the messages then say file:line:column. What 0
    and 1 mean, each command's --help tells.
    """
    context.obj = {"specs": specs, "debug": debug}


@main.command("results")
@click.argument("vessel")
@click.option("--system", help="Only one system, such as raw-water or dc-power.")
@AS_JSON
@click.pass_obj
def results_command(obj: dict[str, Path], vessel: str, system: str | None, as_json: bool) -> None:
    """Print every result of VESSEL.

    \b
    Examples:
      installgen results brannock --system fuel
      installgen results brannock --json > brannock-june.json
    """
    specs = library(obj["specs"])
    found = analysed(specs, vessel)
    chosen = [r for r in found.book.values() if system in (None, r.system)]
    if not chosen:
        systems = sorted({r.system for r in found.book.values()})
        raise click.UsageError(
            f"no result of the system {system!r}; there are {', '.join(systems)}"
        )
    first = found.vessel.spec.units.first
    if as_json:
        output.print_json(
            {
                "made_with": made_with(specs, found),
                "results": [output.result_json(result, first) for result in chosen],
                "vessel": found.vessel.id,
            }
        )
    else:
        output.print_results(chosen, first)


@main.command("working")
@click.argument("vessel")
@click.argument("result", nargs=-1, required=True)
@click.option(
    "--try",
    "changes",
    multiple=True,
    metavar="CHANGE",
    help="With this change, as `installgen try` takes it; nothing on disk changes.",
)
@AS_JSON
@click.pass_obj
def working_command(
    obj: dict[str, Path],
    vessel: str,
    result: tuple[str, ...],
    changes: tuple[str, ...],
    as_json: bool,
) -> None:
    """Print how RESULT of VESSEL came about: formula, inputs with their places, source.

    RESULT is an id, or what you know of it: words of its id or name, a check, or a finding as
    `installgen check` prints it. Where several are meant they are listed.

    \b
    Examples:
      installgen working brannock conductor.S2.resistance
      installgen working brannock rated flow
      installgen working brannock cranking-voltage
      installgen working brannock circuit-drop.other/wipers
      installgen working brannock cranking-voltage --try "electrical.conductors[S2].size = 4/0 AWG"

    \b
    Exit codes:
      0  one result, printed
      1  several may be meant, listed
      2  none is meant, or a spec cannot be read or computed
    """
    specs = library(obj["specs"])
    found = (
        tried(specs, vessel_id(specs, vessel), changes)[1] if changes else analysed(specs, vessel)
    )
    text = " ".join(result)
    judged = () if text in found.book else check(found, cures=False).items
    meant = results_meant(found.book, judged, result)
    first = found.vessel.spec.units.first
    if len(meant.results) == 1:
        (only,) = meant.results
        if as_json:
            output.print_json(output.result_json(only, first))
        else:
            output.print_working(only, found.book.used_by(only.id), first)
        return
    if not meant.results:
        raise click.UsageError(_none_meant(found.vessel.id, text, meant.findings, found.book))
    if as_json:
        listed = [{"id": one.id, "name": one.name} for one in meant.results]
        output.print_json({"candidates": listed, "vessel": found.vessel.id})
    else:
        click.echo(f"{text!r} may mean {len(meant.results)} results of {found.vessel.id}:")
        output.print_results(meant.results[:MOST_LISTED], first)
        if len(meant.results) > MOST_LISTED:
            more = len(meant.results) - MOST_LISTED
            click.echo(f"\nand {more} more; add a word, such as a case, a label or a speed")
    sys.exit(1)


def _none_meant(vessel: str, text: str, findings: Sequence[Finding], book: Book) -> str:
    if findings:
        return (
            f"{text!r} rests on no computed figure of {vessel}; `installgen check {vessel}` says "
            "what it looks at"
        )
    near = difflib.get_close_matches(text, list(book), 3, 0.5)
    hint = f"; near it: {', '.join(near)}" if near else ""
    return f"{vessel} has no result {text!r}{hint}. `installgen results {vessel}` lists them"


@main.group("new")
def new_group() -> None:
    """Begin a new spec."""


@new_group.command("vessel")
@click.argument("name")
@click.option(
    "--engine",
    "engines",
    required=True,
    multiple=True,
    metavar="SHEET",
    help="Engine sheet; given twice, the port and the starboard engine of a twin.",
)
@click.option("--twin", is_flag=True, help="Two engines of one sheet, port and starboard.")
@click.option("--standard", metavar="ID", help="The yard's standard; left out where there is one.")
@click.pass_obj
def new_vessel_command(
    obj: dict[str, Path], name: str, engines: tuple[str, ...], twin: bool, standard: str | None
) -> None:
    """Write a commented starting spec for a vessel; its unknowns are marked `unknown`.

    \b
    Examples:
      installgen new vessel tern --engine tolvane-four
      installgen new vessel teal --engine tolvane-four --twin
      installgen new vessel knot --engine tolvane-six --engine tolvane-four
    """
    sheets = engines * 2 if twin and len(engines) == 1 else engines
    path = new_vessel_file(library(obj["specs"]), name, sheets, standard)
    click.echo(
        f"Wrote {path.as_posix()}. Fill in what is `unknown`, then: installgen check {path.stem}"
    )


@main.command("schema")
@click.argument("kind", type=click.Choice(tuple(ROOTS)))
@click.option("--fields", is_flag=True, help="Print every field with an example, to be read.")
def schema_command(kind: SchemaKind, fields: bool) -> None:
    """Print the JSON Schema of a KIND of spec, for an editor that completes and checks.

    The files in specs/ point to copies of these in specs/schema/. With --fields it is for a
    person, as on the site's page Field by field.
    """
    if fields:
        click.echo(fields_text(kind))
        return
    click.echo(json.dumps(schema(kind), ensure_ascii=False, indent=2, sort_keys=True))


main.add_command(check_command)
main.add_command(compare_command)
main.add_command(handover_command)
main.add_command(try_command)
