"""Text from a spec made fit for a drawing: cleaned, cut, wrapped, escaped."""

import html
import re
import unicodedata
from collections.abc import Callable

ELLIPSIS = "…"
LONGEST = 200
FIXED_SPACE = "\u00a0"
NUMBER_AND_UNIT = re.compile(r"(?<!\S)([-−+±]?[\d.,/]*\d) ([^\W\d_]{1,3}[²³]?|%|°[CF])(?![^\s,;)])")
DROPPED_CATEGORIES = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def clean(text: str) -> str:
    """One line of printable signs: white space collapsed, control and direction signs dropped."""
    spaced = "".join(" " if character.isspace() else character for character in text)
    kept = (c for c in spaced if unicodedata.category(c) not in DROPPED_CATEGORIES)
    return " ".join("".join(kept).split())


def cut(text: str, length: int) -> str:
    """The cleaned text, ending in an ellipsis when it has more than `length` characters."""
    line = clean(text)
    return line if len(line) <= length else line[: length - 1].rstrip() + ELLIPSIS


def wrap(text: str, fits: Callable[[str], bool], most_lines: int) -> tuple[str, ...]:
    """The text in lines that fit; what is left over ends in an ellipsis.

    fits: whether a line is short enough
    Words longer than a line are broken; the full text belongs in the title of what is drawn.
    """
    words = [word.replace(FIXED_SPACE, " ") for word in quantities_kept(cut(text, LONGEST))]
    lines: list[str] = []
    line = ""
    while words and len(lines) < most_lines:
        candidate = f"{line} {words[0]}" if line else words[0]
        if fits(candidate):
            line = candidate
            words.pop(0)
            continue
        if not line:
            line = longest_start(words[0], fits)
            words[0] = words[0][len(line) :]
        lines.append(line)
        line = ""
    if line and len(lines) < most_lines:
        lines.append(line)
    elif words and lines:
        lines[-1] = longest_start(lines[-1], lambda start: fits(start + ELLIPSIS)) + ELLIPSIS
    return tuple(lines)


def quantities_kept(line: str) -> list[str]:
    """The words of a line, a number and the unit after it counting as one."""
    return NUMBER_AND_UNIT.sub(rf"\1{FIXED_SPACE}\2", line).split(" ")


def longest_start(word: str, fits: Callable[[str], bool]) -> str:
    """As much of the word as fits, one character at least."""
    end = len(word)
    while end > 1 and not fits(word[:end]):
        end -= 1
    return word[:end]


def escaped(text: str) -> str:
    """Text safe inside HTML or SVG, also within a quoted attribute."""
    return html.escape(text, quote=True)


def label_text(text: str) -> str:
    """Text safe inside an HTML-like label of DOT, where a backslash too has a meaning."""
    return escaped(text).replace("\\", "\\\\")
