"""Says what is wrong with how a line is indented, once the YAML parser has stumbled there."""

from __future__ import annotations

import re
from dataclasses import dataclass

from installgen.errors import Position, Problem
from installgen.units import quoted

_LINE = re.compile(r"(?P<blank> *)(?P<dashes>(?:- +)*)(?P<rest>.*?)\s*$")
_OPENS = re.compile(r"""(?:[^\s'"#{\[][^#]*?|'[^']*'|"[^"]*"):(?:\s+#.*|\s*)$""")
_LONGEST_SHOWN = 40


@dataclass(frozen=True)
class _Line:
    """A line with something on it. columns: where its dashes stand, then its text."""

    number: int
    columns: tuple[int, ...]
    text: str
    opens: bool

    @property
    def column(self) -> int:
        return self.columns[0]

    @property
    def is_item(self) -> bool:
        return len(self.columns) > 1 or self.text == "-"

    @property
    def words(self) -> str:
        return quoted(self.text, _LONGEST_SHOWN)


def indentation_problem(text: str, line: int, name: str) -> Problem | None:
    """The problem of a line (counted from 0) that fits no line above; None where it fits one."""
    numbered = enumerate(text.split("\n")[: line + 1])
    lines = [made for number, one in numbered if (made := _line(number, one)) is not None]
    if len(lines) < 2 or lines[-1].number != line:
        return None
    *above, here = lines
    before = above[-1]
    position = Position(name, here.number + 1, here.column + 1)
    inner = before.columns[-1]
    if here.column > inner and not before.opens:
        return Problem(
            position,
            "",
            f"a line indented by {_spaces(here.column)}, below {before.words} in line "
            f"{before.number + 1}, which has its value already",
            f"{_spaces(inner)}, like line {before.number + 1}, unless that line stands too far out",
        )
    open_columns = _open_columns(above)
    if before.opens and here.column > inner:
        return None
    if here.column in open_columns and not _item_among_keys(here, before, open_columns):
        return None
    fits = sorted(
        open_columns,
        key=lambda column: (
            _item_at(open_columns[column], column) != here.is_item,
            abs(column - here.column),
        ),
    )[: 1 if here.is_item else 2]
    told = " or ".join(
        f"{_spaces(column)}, like {open_columns[column].words} in line "
        f"{open_columns[column].number + 1}"
        for column in fits
    )
    return Problem(
        position, "", f"a line indented by {_spaces(here.column)}, like no line above", told
    )


def _line(number: int, text: str) -> _Line | None:
    match = _LINE.fullmatch(text)
    if match is None or not match["dashes"] + match["rest"] or match["rest"].startswith("#"):
        return None
    start = len(match["blank"])
    columns = [start + dash.start() for dash in re.finditer("-", match["dashes"])]
    rest = match["rest"]
    written = match["dashes"] + rest
    return _Line(
        number,
        (*columns, start + len(match["dashes"])),
        written,
        bool(_OPENS.match(rest)) or rest in ("", "-"),
    )


def _open_columns(lines: list[_Line]) -> dict[int, _Line]:
    """The columns in which a line may go on, each with the last line that stands in it."""
    found: dict[int, _Line] = {}
    for line in lines:
        found = {column: one for column, one in found.items() if column <= line.column}
        found |= dict.fromkeys(line.columns, line)
    return found


def _item_among_keys(here: _Line, before: _Line, columns: dict[int, _Line]) -> bool:
    """Whether a dash stands where only keys do; the first of a list may stand below its key."""
    if not here.is_item or _item_at(columns[here.column], here.column):
        return False
    return not (before.opens and before.columns[-1] == here.column)


def _item_at(line: _Line, column: int) -> bool:
    """Whether it is a dash that stands in a column of a line."""
    return column in line.columns[:-1]


def _spaces(count: int) -> str:
    return f"{count} space" if count == 1 else f"{count} spaces"
