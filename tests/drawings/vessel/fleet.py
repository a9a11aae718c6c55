"""The demonstration vessels, analysed and drawn once for all tests of this folder."""

from functools import cache
from pathlib import Path

from installgen.analysis.analyse import Analysis, analyse
from installgen.drawings.graph import Drawing, Edge, Node
from installgen.drawings.render import Rendered
from installgen.drawings.vessel.vessel_drawings import drawings_for, rendered_for
from installgen.spec.load import SpecLibrary

SPECS = Path(__file__).parents[3] / "specs"
VESSELS = sorted(path.stem for path in (SPECS / "vessels").glob("*.yaml"))


@cache
def analysed(name: str) -> Analysis:
    """One vessel's analysis."""
    return analyse(SpecLibrary.at(SPECS).vessel(name))


@cache
def drawn(name: str) -> dict[str, Drawing]:
    """One vessel's drawings."""
    return drawings_for(analysed(name))


@cache
def rendered(name: str) -> dict[str, Rendered]:
    """One vessel's drawings, laid out."""
    return rendered_for(analysed(name))


def laid_out(name: str) -> dict[str, Rendered]:
    """The same without the plots, which have tests of their own."""
    plots = {"power-curve", "pump-curve", "temperatures", "elevation", "exhaust-elevation"}
    return {k: one for k, one in rendered(name).items() if k.rpartition(".")[2] not in plots}


def node(drawing: Drawing, name: str) -> Node:
    """The one node of a name."""
    [found] = [one for one in drawing.nodes if one.name == name]
    return found


def edge(drawing: Drawing, code: str) -> Edge:
    """The one edge of a code."""
    [found] = [one for one in drawing.edges if one.code == code]
    return found


def ends(drawing: Drawing, code: str) -> tuple[str, str]:
    """The names of the things that a conductor or a joint is drawn between, in its sense."""
    names = {one.id: one.name for one in drawing.nodes}
    found = edge(drawing, code)
    return names[found.tail], names[found.head]


def said(drawing: Drawing) -> str:
    """Everything that the tables beside a drawing say."""
    return "\n".join(
        " | ".join(cell.text for cell in row) for table in drawing.tables for row in table.rows
    )
