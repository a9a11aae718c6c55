"""Lines of text as HTML: quantities in both systems, results linked to their workings, marks.

Everything that came from a spec is escaped here and nowhere else.
"""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

from installgen.analysis.results import Missing, Result, Value
from installgen.errors import Position
from installgen.manual import blocks as b
from installgen.manual.links import Links, working_of
from installgen.manual.words import Words
from installgen.units import ConductorSize, Quantity, System, ThreadSize, format_one, rounded
from installgen.units.display import NBSP

KEPT_SIGNS = {"\u200d", "\ufe0e", "\ufe0f", NBSP, "\u202f", "\u00ad"}
DROPPED_CATEGORIES = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


@lru_cache(maxsize=50_000)
def escaped(text: str) -> str:
    """Text safe in HTML, also within a quoted attribute."""
    return html.escape(clean(text), quote=True)


def clean(text: str) -> str:
    """The text on one line, without signs that control something or turn its direction."""
    if text.replace(NBSP, "").isprintable():
        return text
    return "".join(_kept(sign) for sign in text)


def _kept(sign: str) -> str:
    if sign in KEPT_SIGNS:
        return sign
    if sign.isspace():
        return " "
    return "" if unicodedata.category(sign) in DROPPED_CATEGORIES else sign


DAGGER = "†"
BREAKS = re.compile(r"(?<=[./\]])(?=\w)|(?<=\w)(?=\[)")
"""Where a path or a place in a file may be broken over two lines."""


@dataclass
class TableTalk:
    """What is said once under a table instead of in each of its cells.

    assumed: whether its cells say that a result is assumed in words, by a dagger, or not at all
        because every one of them is
    gaps: results without a value, by reason
    """

    assumed: Literal["words", "dagger", "all"] = "words"
    gaps: dict[str, Result] = field(default_factory=dict)


@dataclass(frozen=True)
class LineWriter:
    """Writes lines of text for one page.

    first: the system of units that leads
    results: every result that may be named, by id
    talk: of the table that the lines stand in, if they stand in one
    sizes: for each kind of quantity, the largest one of the cells that are read together
    """

    links: Links
    words: Words
    first: System
    results: Mapping[str, Result] = field(default_factory=dict)
    talk: TableTalk | None = None
    sizes: Mapping[type, float] = field(default_factory=dict)

    def line(self, line: b.Line) -> str:
        """HTML of a line of text."""
        if isinstance(line, str):
            return escaped(line)
        if isinstance(line, tuple):
            return "".join(self.line(part) for part in line)
        return _INLINE[type(line)](self, line)

    def quantity(
        self, quantity: Quantity | ConductorSize | ThreadSize, *, bare: bool = False
    ) -> str:
        """Both systems, the leading one first."""
        leading, following = _printed(quantity, self.first, self.sizes.get(type(quantity)))
        if bare:
            leading, following = _without_reference(leading), _without_reference(following)
        text = escaped(leading)
        if leading != following:
            text += f' <span class="other-unit">({escaped(following)})</span>'
        return text

    def value(self, value: Value, *, bare: bool = False) -> str:
        """A result's or an input's value."""
        if isinstance(value, Quantity | ConductorSize | ThreadSize):
            return self.quantity(value, bare=bare)
        return escaped(rounded(value) if isinstance(value, float) else str(value))

    def reason(self, result: Result) -> str:
        """Why a result has no value, and what to fill in."""
        text = self.prose(result.not_assessed)
        places = [self.missing(place) for place in result.missing]
        if not places:
            return text
        return f"{text}. {escaped(self.words.text('marks.fill_in'))} {', '.join(places)}"

    def prose(self, text: str) -> str:
        """A text of the analysis, in which what is typed in a spec stands between backticks."""
        parts = text.split("`")
        if len(parts) % 2 == 0:
            return escaped(text)
        return "".join(code(p) if index % 2 else escaped(p) for index, p in enumerate(parts))

    def missing(self, missing: Missing) -> str:
        """A field to be filled in, with where it stands."""
        path = code(missing.path)
        return path if missing.position is None else f"{path} ({self.position(missing.position)})"

    def position(self, position: Position) -> str:
        """File, line and column."""
        return code(str(position))

    def mark(self, kind: b.MarkKind) -> str:
        """The word that says that something is not a fact yet."""
        return f'<em class="mark">{escaped(self.words.text(f"marks.{kind}"))}</em>'

    def verdict(self, kind: b.VerdictKind) -> str:
        """A verdict, by symbol and word."""
        word = escaped(self.words.text(f"verdicts.{kind}"))
        return f'<span class="verdict verdict-{kind}">{word}</span>'

    def result_link(self, result: Result, text: str) -> str:
        """A link to a result's working."""
        return f'<a href="{self.links.href(working_of(result))}">{escaped(text)}</a>'

    def _amount(self, amount: b.Amount) -> str:
        text = self.quantity(amount.quantity, bare=amount.bare)
        if amount.mark is None:
            return text
        return f'<span class="{amount.mark}">{text}</span> {self.mark(amount.mark)}'

    def _outcome(self, outcome: b.Outcome) -> str:
        result = outcome.result
        href = self.links.href(working_of(result))
        if result.value is None:
            badge = f'<a class="result" href="{href}">{self.verdict("not-assessed")}</a>'
            if self.talk is None:
                return f"{badge} {self.reason(result)}"
            self.talk.gaps.setdefault(result.not_assessed, result)
            return badge
        text = escaped(outcome.text) or self.value(result.value, bare=outcome.bare)
        if not result.assumed:
            return f'<a class="result" href="{href}">{text}</a>'
        link = f'<a class="result assumed" href="{href}">{text}</a>'
        said = "words" if self.talk is None else self.talk.assumed
        if said == "words":
            return f"{link} {self.mark('assumed')}"
        return link if said == "all" else f"{link}{self.dagger()}"

    def dagger(self) -> str:
        """A sign for *assumed*, which the line under the table explains."""
        word = escaped(self.words.text("marks.assumed"))
        return f'<abbr class="mark" title="{word}">{DAGGER}</abbr>'

    def _link(self, link: b.Link) -> str:
        return f'<a href="{self.links.href(link.target)}">{self.line(link.text)}</a>'

    def _code(self, code: b.Code) -> str:
        return f'<span class="short-code">{escaped(code.text)}</span>' if code.text else ""

    def _as_typed(self, typed: b.AsTyped) -> str:
        return code(typed.text)

    def _verdict(self, verdict: b.Verdict) -> str:
        return self.verdict(verdict.kind)

    def _mark(self, mark: b.Mark) -> str:
        return self.mark(mark.kind)

    def _strong(self, strong: b.Strong) -> str:
        return f"<strong>{self.line(strong.text)}</strong>"

    def _stack(self, stack: b.Stack) -> str:
        return self._lines(stack.items)

    def _folded(self, folded: b.Folded) -> str:
        summary, body = escaped(folded.summary), self._lines(folded.items)
        return f'<details class="more"><summary>{summary}</summary>{body}</details>'

    def _lines(self, items: Iterable[b.Line]) -> str:
        return "<br>".join(self.line(item) for item in items if not b.is_empty(item))


_INLINE: dict[type, Callable[[LineWriter, Any], str]] = {
    b.Amount: LineWriter._amount,
    b.Outcome: LineWriter._outcome,
    b.Link: LineWriter._link,
    b.Code: LineWriter._code,
    b.AsTyped: LineWriter._as_typed,
    b.Verdict: LineWriter._verdict,
    b.Mark: LineWriter._mark,
    b.Strong: LineWriter._strong,
    b.Stack: LineWriter._stack,
    b.Folded: LineWriter._folded,
}


def _printed(
    quantity: Quantity | ConductorSize | ThreadSize, first: System, size: float | None
) -> tuple[str, str]:
    """A quantity in the leading system and in the other one."""
    other: System = "us" if first == "metric" else "metric"
    return format_one(quantity, first, size), format_one(quantity, other, size)


def code(text: str) -> str:
    """Text as somebody types it; a long path breaks between its parts."""
    return f"<code>{'<wbr>'.join(escaped(part) for part in BREAKS.split(text))}</code>"


def _without_reference(text: str) -> str:
    """A pressure without the word that its column's heading already says."""
    return text.removesuffix(" gauge").removesuffix(" absolute")
