"""Steps of a search as HTML: sections that links lead to, so that no script is needed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from installgen.manual import blocks as b
from installgen.manual.html_lines import escaped
from installgen.manual.links import Links


class BlockWriter(Protocol):
    """What writes the blocks within a screen."""

    @property
    def links(self) -> Links:
        """How addresses are written."""

    def line(self, line: b.Line) -> str:
        """HTML of a line of text."""

    def blocks(self, items: Iterable[b.Block]) -> str:
        """HTML of blocks, one after the other."""


def screens_html(writer: BlockWriter, screens: b.Screens) -> str:
    """All steps, one section each."""
    return f'<div class="screens">{"".join(_screen(writer, item) for item in screens.items)}</div>'


def _screen(writer: BlockWriter, screen: b.Screen) -> str:
    kind = "screen aside" if screen.aside else "screen"
    anchor = escaped(writer.links.anchor(screen.anchor))
    number = f'<span class="step-number">{escaped(screen.number)}</span>'
    parts = [
        f'<section class="{kind}" id="{anchor}">',
        f'<h2 class="step-title">{number} <span>{writer.line(screen.title)}</span></h2>',
        writer.blocks(screen.blocks),
        _choices(writer, "choices", [c for c in screen.choices if not c.quiet]),
        _choices(writer, "choices quiet", [c for c in screen.choices if c.quiet]),
        _choices(writer, "choices back", screen.back),
        "</section>",
    ]
    return "".join(parts)


def _choices(writer: BlockWriter, kind: str, choices: Iterable[b.Choice]) -> str:
    items = "".join(_choice(writer, choice) for choice in choices)
    return f'<ul class="{kind}">{items}</ul>' if items else ""


def _choice(writer: BlockWriter, choice: b.Choice) -> str:
    names = [name for name, on in (("good", choice.good), ("no-paper", choice.screen_only)) if on]
    kind = f' class="{" ".join(names)}"' if names else ""
    href = writer.links.href(choice.target)
    step = f' <span class="to-step">→ {escaped(choice.number)}</span>' if choice.number else ""
    return f'<li{kind}><a href="{href}">{writer.line(choice.text)}{step}</a></li>'
