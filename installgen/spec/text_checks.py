"""What can be wrong with a spec's text before it is YAML: bytes, signs, tabs."""

import re
import unicodedata

from installgen.errors import Position, Problem, SpecErrors

LARGEST_BYTES = 1_000_000
"""No spec comes near it; what is larger is a mistake or an attack."""

MOST_REPORTED = 20
"""Problems of one kind that are worth listing in one file."""

# Control signs, the line ends that only YAML knows, signs that turn the reading direction, and
# the byte order mark in the middle of a text.
_FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]"
    "|\r(?!\n)"
)
_TAB_INDENT = re.compile(r"^[ \t]*\t[ \t]*(?=[^\s#])", re.MULTILINE)
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def decode(data: bytes, name: str) -> str:
    """The text of UTF-8 bytes, with or without a byte order mark at the start.

    Raises SpecErrors at the first byte that is not UTF-8.
    """
    if data.startswith(_UTF16):
        position = Position(name, 1, 1)
        raise SpecErrors([Problem(position, "", "a file in UTF-16", "a file saved as UTF-8")])
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8").removeprefix("\ufeff")
        problem = Problem(
            position_at(before, len(before), name),
            "",
            f"the byte 0x{data[error.start]:02x}, which is not UTF-8",
            "a file saved as UTF-8",
        )
        raise SpecErrors([problem]) from error


def check_text(text: str, name: str) -> list[Problem]:
    """Problems with signs and tabs, and an empty text."""
    text = text.removeprefix("\ufeff")
    if not text.strip():
        return [Problem(Position(name, 1, 1), "", "an empty file", "a mapping of keys and values")]
    forbidden = [
        Problem(
            position_at(text, match.start(), name),
            "",
            f"{_sign_name(match[0])}, which cannot be seen",
            "text without control characters",
        )
        for match in list(_FORBIDDEN.finditer(text))[:MOST_REPORTED]
    ]
    tabs = [
        Problem(
            position_at(text, text.index("\t", match.start()), name),
            "",
            "a tab at the start of the line",
            "spaces: YAML does not indent with tabs",
        )
        for match in list(_TAB_INDENT.finditer(text))[:MOST_REPORTED]
    ]
    return forbidden + tabs


def hidden_sign(text: str) -> str:
    """The name of the first sign in a text that may not stand in a spec, else empty."""
    match = _FORBIDDEN.search(text)
    return _sign_name(match[0]) if match else ""


def position_at(text: str, index: int, name: str) -> Position:
    """Line and column of a character of the text."""
    line_start = text.rfind("\n", 0, index) + 1
    return Position(name, text.count("\n", 0, index) + 1, index - line_start + 1)


def _sign_name(sign: str) -> str:
    label = unicodedata.name(sign, "").lower()
    return f"the character U+{ord(sign):04X}" + (f" ({label})" if label else "")
