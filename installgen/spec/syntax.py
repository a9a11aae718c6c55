"""Says in human words what the YAML parser stumbled over."""

from dataclasses import dataclass

import yaml

from installgen.errors import Position, Problem
from installgen.spec.indentation import indentation_problem


@dataclass(frozen=True)
class _Known:
    """A mistake by the parser's own words (of libyaml or of PyYAML).

    words: any of these is in the parser's message
    found, expected: for the person; `{sign}` is the character that stands there
    at_start: report where the unfinished thing began, not where it was missed
    """

    words: tuple[str, ...]
    found: str
    expected: str
    at_start: bool = False


# The first that fits counts.
_KNOWN = (
    _Known(("nesting",), "too many levels within each other", "a flatter spec"),
    _Known(("tab character", r"'\t'"), "a tab", "spaces: YAML does not indent with tabs"),
    _Known(
        ("mapping values are not allowed",),
        "a colon that cannot stand here",
        "one `key: value` a line, indented like its neighbours; "
        "a text with a colon in it in quotation marks",
    ),
    _Known(
        ("could not find expected ':'",), "a line without a colon", "`key: value`", at_start=True
    ),
    _Known(
        ("parsing a flow sequence",),
        "a list that begins with `[` and is not closed, or lacks a comma",
        "`[first, second]`",
        at_start=True,
    ),
    _Known(
        ("parsing a flow mapping",),
        "a mapping that begins with `{` and is not closed, or lacks a comma",
        "`{key: value, other: value}`",
        at_start=True,
    ),
    _Known(
        ("escape character", "hexdecimal", "hexadecimal", "Unicode character escape"),
        "a backslash in a text in double quotation marks",
        "the text in single quotation marks, or the backslash twice",
    ),
    _Known(
        ("scanning a quoted scalar", "-quoted scalar"),
        "a quotation mark that is not closed",
        "a quotation mark at both ends of the text",
        at_start=True,
    ),
    _Known(
        ("parsing a block collection",),
        "something other than an item in a list",
        "`- ` before each item, all in one column",
    ),
    _Known(
        ("parsing a block mapping",),
        "a line or a text that does not fit what stands before it",
        "keys of one mapping in one column, and nothing after a closing quotation mark",
    ),
    _Known(
        ("sequence entries are not allowed",),
        "`-` where no list item can stand",
        "each item on a line of its own, or `[first, second]`",
    ),
    _Known(
        ("scanning an alias", "scanning an anchor"),
        "`*` or `&` at the start of a value",
        "the value in quotation marks",
        at_start=True,
    ),
    _Known(
        ("cannot start any token",),
        "{sign} at the start of a value or key",
        "the value in quotation marks",
    ),
    _Known(
        ("node content",), "{sign} where a value should stand", "a value, in quotation marks if odd"
    ),
    _Known(
        ("scanning a block scalar",),
        "something after `|` or `>`",
        "the text on the next lines, indented",
    ),
    _Known(
        ("document start", "YAML document", "directive"),
        "a line that only YAML's own directives and documents have",
        "one mapping of keys and values",
    ),
)
# What the parser says of a line that is indented too far or too little.
_BY_INDENTATION = (
    "mapping values are not allowed",
    "parsing a block collection",
    "parsing a block mapping",
    "sequence entries are not allowed",
    "could not find expected ':'",
)
_SECOND_COLON = _Known(
    (),
    "a second colon in one value",
    "a comma before the next key, or quotation marks around a text with a colon in it",
)
_UNKNOWN = _Known((), "text that is not YAML here", "a mapping of keys and values")


def syntax_problem(error: yaml.MarkedYAMLError, text: str, name: str) -> Problem:
    """The parser's complaint as a problem at its place; `name` is how messages call the file."""
    words = f"{error.context or ''} {error.problem or ''}"
    known = next((one for one in _KNOWN if any(word in words for word in one.words)), _UNKNOWN)
    mark = error.problem_mark or error.context_mark
    if mark is not None and any(word in words for word in _BY_INDENTATION):
        problem = indentation_problem(text, mark.line, name)
        if problem is not None:
            return problem
    if "parsing a flow mapping" in words and _second_colon(error, text):
        known = _SECOND_COLON
    if known.at_start and error.context_mark is not None:
        mark = error.context_mark
    if mark is None:
        return Problem(Position(name, 1, 1), "", known.found, known.expected)
    sign = _sign(text, mark.line, mark.column)
    position = Position(name, mark.line + 1, mark.column + 1)
    return Problem(position, "", known.found.replace("{sign}", sign), known.expected)


def _second_colon(error: yaml.MarkedYAMLError, text: str) -> bool:
    """Whether a colon stopped the parser in the line in which the mapping begins."""
    start, stop = error.context_mark, error.problem_mark
    if start is None or stop is None or start.line != stop.line:
        return False
    return _sign(text, stop.line, stop.column) == "`:`"


def _sign(text: str, line: int, column: int) -> str:
    lines = text.split("\n")
    written = lines[line][column : column + 1].strip() if line < len(lines) else ""
    return f"`{written}`" if written else "the end of the line or file"
