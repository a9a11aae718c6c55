"""Blocks as HTML: clean, accessible, without script or style, each block on one line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from installgen.manual import blocks as b
from installgen.manual.html_lines import LineWriter, escaped
from installgen.manual.html_screens import screens_html
from installgen.manual.html_tables import table_html
from installgen.manual.html_workings import working_html


@dataclass(frozen=True)
class Shot:
    """A photograph where it is published: its address, and its size [px]."""

    source: str
    width_px: int
    height_px: int


@dataclass(frozen=True)
class HtmlWriter(LineWriter):
    """Writes the blocks of one page.

    figures: HTML of each drawing, by its id
    files: address of each file that can be saved, from the page being written, by its name
    pictures: each photograph by its name below `photos/`
    """

    figures: Mapping[str, str] = field(default_factory=dict)
    files: Mapping[str, str] = field(default_factory=dict)
    pictures: Mapping[str, Shot] = field(default_factory=dict)

    def blocks(self, items: Iterable[b.Block]) -> str:
        """HTML of blocks, one after the other."""
        return "".join(self.block(item) for item in items)

    def block(self, item: b.Block) -> str:
        """HTML of one block, on one line."""
        return _BLOCK[type(item)](self, item)

    def _heading(self, heading: b.Heading) -> str:
        anchor = escaped(self.links.anchor(heading.anchor))
        return f'<h{heading.level} id="{anchor}">{escaped(heading.text)}</h{heading.level}>'

    def _paragraph(self, paragraph: b.Paragraph) -> str:
        return f"<p>{self.line(paragraph.text)}</p>"

    def _caution(self, caution: b.Caution) -> str:
        word = escaped(self.words.text(f"signal-words.{caution.word}"))
        body = "".join(f"<p>{self.line(line)}</p>" for line in caution.lines)
        return (
            f'<div class="{caution.word}" role="note"><p class="signal-word">{word}</p>{body}</div>'
        )

    def _table(self, table: b.Table) -> str:
        return table_html(self, table)

    def _figure(self, figure: b.Figure) -> str:
        return self.figures[figure.drawing]

    def _photograph(self, photograph: b.Photograph) -> str:
        shot = self.pictures[photograph.file]
        of = "" if b.is_empty(photograph.of) else f"{self.line(photograph.of)}: "
        caption = escaped(photograph.caption)
        return (
            f'<figure class="photograph"><img src="{escaped(shot.source)}" alt="{caption}"'
            f' width="{shot.width_px}" height="{shot.height_px}">'
            f"<figcaption>{of}{caption}</figcaption></figure>"
        )

    def _steps(self, steps: b.Steps) -> str:
        items = "".join(self._step(step) for step in steps.items)
        return f'<ol class="procedure">{items}</ol>'

    def _step(self, step: b.Step) -> str:
        """What to do, and quieter below it where."""
        before = self._caution(step.caution) if step.caution is not None else ""
        lines = step.text.items if isinstance(step.text, b.Stack) else (step.text,)
        where = "".join(
            f'<br><span class="step-where">{self.line(line)}</span>' for line in lines[1:]
        )
        return f'<li>{before}<p class="step-do">{self.line(lines[0])}{where}</p></li>'

    def _bullets(self, bullets: b.Bullets) -> str:
        return f"<ul>{''.join(f'<li>{self.line(item)}</li>' for item in bullets.items)}</ul>"

    def _facts(self, facts: b.Facts) -> str:
        rows = "".join(
            f"<dt>{escaped(term)}</dt><dd>{self.line(line)}</dd>"
            for term, line in facts.items
            if not b.is_empty(line)
        )
        return f'<dl class="identity">{rows}</dl>'

    def _working(self, entry: b.WorkingEntry) -> str:
        return working_html(self, entry)

    def _fold(self, fold: b.Fold) -> str:
        summary, body = escaped(fold.summary), self.blocks(fold.blocks)
        return f'<details class="more"><summary>{summary}</summary>{body}</details>'

    def _screens(self, screens: b.Screens) -> str:
        return screens_html(self, screens)

    def _draft_banner(self, banner: b.DraftBanner) -> str:
        reasons = b.Link(self.words.text("draft.link", count=str(banner.count)), banner.reasons)
        text = self.line(self.words.say("draft.banner", reasons=reasons))
        word = escaped(self.words.text("draft.word"))
        return f'<p class="draft-banner" role="note" data-word="{word}">{text}</p>'

    def _jumps(self, jumps: b.Jumps) -> str:
        items = "".join(
            f'<li><a href="{self.links.href(target)}">{escaped(text)}</a></li>'
            for text, target in jumps.items
        )
        return f'<ul class="choices jumps">{items}</ul>'

    def _emergency_link(self, link: b.EmergencyLink) -> str:
        text = escaped(self.words.text("jumps.emergencies"))
        return f'<p class="emergency-link"><a href="{self.links.href(link.target)}">{text}</a></p>'

    def _labels(self, labels: b.LabelSheet) -> str:
        items = "".join(
            f"<li><strong>{self.line(code)}</strong> <span>{self.line(text)}</span></li>"
            for code, text in labels.items
        )
        return f'<ul class="labels">{items}</ul>'

    def _downloads(self, downloads: b.Downloads) -> str:
        links = [
            f'<li><a href="{escaped(self.files[name])}" download>{escaped(text)}</a></li>'
            for name, text in downloads.items
            if name in self.files
        ]
        return f'<ul class="downloads">{"".join(links)}</ul>' if links else ""


_BLOCK: dict[type, Callable[[HtmlWriter, Any], str]] = {
    b.Heading: HtmlWriter._heading,
    b.Paragraph: HtmlWriter._paragraph,
    b.Caution: HtmlWriter._caution,
    b.Table: HtmlWriter._table,
    b.Figure: HtmlWriter._figure,
    b.Photograph: HtmlWriter._photograph,
    b.Steps: HtmlWriter._steps,
    b.Bullets: HtmlWriter._bullets,
    b.Facts: HtmlWriter._facts,
    b.WorkingEntry: HtmlWriter._working,
    b.Fold: HtmlWriter._fold,
    b.Screens: HtmlWriter._screens,
    b.DraftBanner: HtmlWriter._draft_banner,
    b.Jumps: HtmlWriter._jumps,
    b.EmergencyLink: HtmlWriter._emergency_link,
    b.Downloads: HtmlWriter._downloads,
    b.LabelSheet: HtmlWriter._labels,
}
