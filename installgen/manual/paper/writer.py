"""Blocks as HTML for paper: nothing is folded, no step waits for a tap, workings stand in lines."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from installgen.analysis.results import Input, MethodOrigin, Result, ResultOrigin, SpecOrigin
from installgen.manual import blocks as b
from installgen.manual.html import HtmlWriter
from installgen.manual.html_lines import escaped

MANY_COLUMNS = 7
MOST_LINES = 12
"""So many lines of a list stand below each other in a row of a table."""


@dataclass(frozen=True)
class PaperWriter(HtmlWriter):
    """Writes the blocks of one page of a manual for a book."""

    def block(self, item: b.Block) -> str:
        """HTML of one block; what a screen folds is open on paper."""
        write = _BLOCK.get(type(item))
        return write(self, item) if write is not None else super().block(item)

    def line(self, line: b.Line) -> str:
        """HTML of a line of text."""
        return self._opened(line) if isinstance(line, b.Folded) else super().line(line)

    def _opened(self, folded: b.Folded) -> str:
        """What a screen folds, in lines; where there are many, running on."""
        if len(folded.items) <= MOST_LINES:
            return self._lines(folded.items)
        items = "; ".join(self.line(item) for item in folded.items if not b.is_empty(item))
        return f' <span class="running-on">{items}</span>'

    def _nothing(self, block: b.Block) -> str:
        """What every page of a site says or offers, and a book says once or not at all."""
        return ""

    def _open_fold(self, fold: b.Fold) -> str:
        return f"<p><strong>{escaped(fold.summary)}</strong></p>{self.blocks(fold.blocks)}"

    def _paper_table(self, table: b.Table) -> str:
        made = super().block(table)
        wide = len(table.columns) > MANY_COLUMNS
        return f'<div class="wide">{made}</div>' if wide else made

    # ---- steps of a search -----------------------------------------------------------------

    def _paper_screens(self, screens: b.Screens) -> str:
        return "".join(self._screen(screen) for screen in screens.items if not screen.aside)

    def _screen(self, screen: b.Screen) -> str:
        anchor = escaped(self.links.anchor(screen.anchor))
        number = f'<span class="step-number">{escaped(screen.number)}</span>'
        body = "".join(
            self._told(block) if isinstance(block, b.Facts) else self.block(block)
            for block in screen.blocks
        )
        choices = [choice for choice in screen.choices if not choice.screen_only]
        if choices:
            items = "".join(f"<li>{self._choice(choice)}</li>" for choice in choices)
            body += f'<ul class="choices">{items}</ul>'
        return (
            f'<section class="step" id="{anchor}"><p class="step-title">{number} '
            f"{self.line(screen.title)}</p>{body}</section>"
        )

    def _told(self, facts: b.Facts) -> str:
        """A list of terms as one paragraph."""
        told = [
            f"<em>{escaped(term)}:</em> {self.line(line)}"
            for term, line in facts.items
            if not b.is_empty(line)
        ]
        return f"<p>{' '.join(told)}</p>"

    def _choice(self, choice: b.Choice) -> str:
        step = f" → {escaped(choice.number)}" if choice.number else ""
        return f'<a href="{self.links.href(choice.target)}">{self.line(choice.text)}{step}</a>'

    # ---- workings --------------------------------------------------------------------------

    def _paper_working(self, entry: b.WorkingEntry) -> str:
        """The same as on a screen in a few lines: value, formula, inputs, what uses it."""
        result = entry.result
        parts = [f"<p>{self._value(result)}</p>"]
        source = f"{escaped(self.words.text('working.source'))} {escaped(result.source)}"
        parts.append(f"<p><code>{escaped(result.formula)}</code> {source}</p>")
        if result.inputs:
            parts.append(f"<p>{'; '.join(map(self._input, result.inputs))}</p>")
        parts += [f"<p>{escaped(note)}</p>" for note in result.notes]
        if entry.used_by:
            names = ", ".join(self.result_link(one, one.name) for one in entry.used_by)
            parts.append(f"<p>{escaped(self.words.text('working.used_by'))} {names}</p>")
        anchor = escaped(self.links.anchor(result.id))
        return f'<div class="working" id="{anchor}">{"".join(parts)}</div>'

    def _value(self, result: Result) -> str:
        name = f"<strong>{escaped(result.name)}:</strong>"
        if result.value is None:
            return f"{name} {self.verdict('not-assessed')} {self.reason(result)}"
        mark = f" {self.mark('assumed')}" if result.assumed else ""
        return f"{name} <strong>{self.value(result.value)}</strong>{mark}"

    def _input(self, item: Input) -> str:
        mark = f" {self.mark('assumed')}" if item.assumed else ""
        return f"{escaped(item.name)} {self.value(item.value)}{mark} ({self._origin(item)})"

    def _origin(self, item: Input) -> str:
        origin = item.origin
        if isinstance(origin, SpecOrigin):
            return f"{escaped(origin.path)}, {escaped(str(origin.position))}"
        if isinstance(origin, ResultOrigin):
            result = self.results[origin.result]
            return self.result_link(result, result.name)
        if isinstance(origin, MethodOrigin):
            return escaped(origin.source)
        mark = self.words.text(f"table-marks.{origin.mark}") if origin.mark else ""
        parts = (origin.table, origin.row, origin.source, mark)
        return escaped("; ".join(part for part in parts if part))


_BLOCK: dict[type, Callable[[PaperWriter, Any], str]] = {
    b.DraftBanner: PaperWriter._nothing,
    b.Downloads: PaperWriter._nothing,
    b.EmergencyLink: PaperWriter._nothing,
    b.Fold: PaperWriter._open_fold,
    b.Screens: PaperWriter._paper_screens,
    b.Table: PaperWriter._paper_table,
    b.WorkingEntry: PaperWriter._paper_working,
}
