"""What a page says, apart from how it is published: typed blocks of text, tables, figures.

Nothing here is markup. Text that came from a spec stays plain text until a writer escapes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from installgen.analysis.results import Result, SystemName
from installgen.units import ConductorSize, Quantity, ThreadSize

SignalWord = Literal["danger", "warning", "caution", "notice"]
"""As ISO 10240 uses them: danger can kill at once, warning can injure or kill, caution reminds of
an unsafe practice or of damage, notice of anything else one must know."""

VerdictKind = Literal["pass", "caution", "fail", "not-assessed"]
MarkKind = Literal["assumed", "proposed", "unknown"]


# ---- within a line -------------------------------------------------------------------------


@dataclass(frozen=True)
class Target:
    """A place in the manual: a page, and an anchor on it."""

    page: str
    anchor: str = ""


@dataclass(frozen=True)
class Amount:
    """A quantity as somebody wrote it, shown in both systems.

    mark: why it is not a fact yet, if it is not
    bare: without `gauge` or `absolute`, where the heading of its column says that
    """

    quantity: Quantity | ConductorSize | ThreadSize
    mark: MarkKind | None = None
    bare: bool = False


@dataclass(frozen=True)
class Outcome:
    """The value of a result, linked to its working; where it has none, *not assessed* and why.

    bare: as in `Amount`
    text: shorter words for a value that is words
    """

    result: Result
    bare: bool = False
    text: str = ""


@dataclass(frozen=True)
class Link:
    """Text that leads somewhere."""

    text: Line
    target: Target


@dataclass(frozen=True)
class Code:
    """A short code as it stands on a label aboard."""

    text: str


@dataclass(frozen=True)
class AsTyped:
    """Text as somebody types it in a spec: a field, a file and line, a formula."""

    text: str


@dataclass(frozen=True)
class Verdict:
    """A verdict, by symbol and word."""

    kind: VerdictKind


@dataclass(frozen=True)
class Mark:
    """A word that says that something is not a fact yet."""

    kind: MarkKind


@dataclass(frozen=True)
class Strong:
    """Text that must be seen first."""

    text: Line


@dataclass(frozen=True)
class Stack:
    """Several lines, one under the other."""

    items: tuple[Line, ...]


@dataclass(frozen=True)
class Folded:
    """Lines that are shown when somebody asks for them."""

    summary: str
    items: tuple[Line, ...]


Inline: TypeAlias = (
    str | Amount | Outcome | Link | Code | AsTyped | Verdict | Mark | Strong | Stack | Folded
)
Line: TypeAlias = "Inline | tuple[Line, ...]"


def is_empty(line: Line) -> bool:
    """Whether a line says nothing."""
    if isinstance(line, str):
        return not line.strip()
    if isinstance(line, tuple):
        return all(is_empty(part) for part in line)
    if isinstance(line, Stack):
        return is_empty(line.items)
    return False


def joined(parts: list[Line], between: str = ", ") -> Line:
    """The lines that say something, with a separator between them."""
    kept = [part for part in parts if not is_empty(part)]
    line: list[Line] = []
    for part in kept:
        line += [between, part] if line else [part]
    return tuple(line)


# ---- blocks --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Heading:
    """A heading; `anchor` is unique on its page."""

    text: str
    anchor: str
    level: Literal[2, 3] = 2


@dataclass(frozen=True)
class Paragraph:
    """A paragraph of text."""

    text: Line


@dataclass(frozen=True)
class Caution:
    """A panel with a signal word. It stands before the step it belongs to."""

    word: SignalWord
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Column:
    """A column of a table.

    figure: its cells are figures, set to the right
    group: a heading over this column and its neighbours of the same group
    series: columns of one series say the same of several cases, so a row prints them in one unit
    blank: to be filled in by hand on paper; it stays though nothing stands in it
    """

    title: str
    figure: bool = False
    group: str = ""
    series: str = ""
    blank: bool = False


@dataclass(frozen=True)
class Row:
    """A row of a table; the first cell names it."""

    cells: tuple[Line, ...]
    anchor: str = ""


@dataclass(frozen=True)
class Table:
    """A table; columns in which nothing stands are left out when it is written.

    caption: what the table is
    stack: on a telephone each row becomes a card; else the table pans
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    stack: bool = True

    def __post_init__(self) -> None:
        if not self.rows:
            raise ValueError(f"the table {self.caption!r} has no rows")
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(
                    f"a row of {self.caption!r} has {len(row.cells)} cells "
                    f"for {len(self.columns)} columns"
                )


@dataclass(frozen=True)
class Figure:
    """A drawing by its id; it carries its own caption and the table that says the same."""

    drawing: str


@dataclass(frozen=True)
class Photograph:
    """A photograph by its name below `photos/`.

    caption: what one sees on it
    of: what it shows, linked to where that is told; empty where the caption says it
    """

    file: str
    caption: str
    of: Line = ""


@dataclass(frozen=True)
class Step:
    """One thing to do, with the caution that stands before it."""

    text: Line
    caution: Caution | None = None


@dataclass(frozen=True)
class Steps:
    """Things to do, in order."""

    items: tuple[Step, ...]


@dataclass(frozen=True)
class Bullets:
    """A list without an order."""

    items: tuple[Line, ...]


@dataclass(frozen=True)
class Facts:
    """A list of terms and what is to be said of each; empty ones are left out."""

    items: tuple[tuple[str, Line], ...]


@dataclass(frozen=True)
class WorkingEntry:
    """How a result came about.

    used_by: the results that it is an input of
    """

    result: Result
    used_by: tuple[Result, ...] = ()


@dataclass(frozen=True)
class Fold:
    """Blocks that are shown when somebody asks for them."""

    summary: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class DraftBanner:
    """Says that the manual is not to be handed over, and where the reasons stand.

    count: how many there are
    """

    reasons: Target
    count: int


@dataclass(frozen=True)
class Jumps:
    """Large links at the head of a page, for somebody in a hurry."""

    items: tuple[tuple[str, Target], ...]


@dataclass(frozen=True)
class EmergencyLink:
    """The way to the emergencies, at the head of every page; a telephone keeps it in sight."""

    target: Target


@dataclass(frozen=True)
class Downloads:
    """Tables that can be saved, by their file names; where there are no files, nothing."""

    items: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class LabelSheet:
    """Labels to print and cut out: what stands large on each, and below it small."""

    items: tuple[tuple[Line, Line], ...]


@dataclass(frozen=True)
class Choice:
    """One way on from a screen.

    number: of the screen it leads to, which paper needs; empty where the text says it
    quiet: a way out, set apart from the answers
    good: the answer that one hopes for
    screen_only: of no use on paper
    """

    text: Line
    target: Target
    number: str
    quiet: bool = False
    good: bool = False
    screen_only: bool = False


@dataclass(frozen=True)
class Screen:
    """One step of a search: it is shown alone on a screen, and in its order on paper.

    blocks: what to do and what to expect
    choices: where each answer leads; none at an end
    back: where one may have come from
    aside: left out on paper
    """

    anchor: str
    number: str
    title: Line
    blocks: tuple[Block, ...]
    choices: tuple[Choice, ...]
    back: tuple[Choice, ...] = ()
    aside: bool = False


@dataclass(frozen=True)
class Screens:
    """Steps of which a screen shows the one that a link leads to, at first the first one."""

    items: tuple[Screen, ...]


Block: TypeAlias = (
    "Heading | Paragraph | Caution | Table | Figure | Steps | Bullets | Facts | WorkingEntry"
    " | Fold | Screens | DraftBanner | Jumps | EmergencyLink | Downloads"
    " | LabelSheet | Photograph"
)


@dataclass(frozen=True)
class Page:
    """A page of a manual.

    id: also its file's name; unique in the manual
    system: the system it is about, if it is about one
    """

    id: str
    title: str
    blocks: tuple[Block, ...]
    system: SystemName | None = None
    parent: str = ""
