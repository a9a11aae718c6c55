"""A page as Markdown that an ordinary Markdown publisher takes: headings, and HTML between them.

The headings are Markdown so that the publisher builds its table of contents from them.
"""

from __future__ import annotations

from itertools import groupby

from installgen.manual.blocks import Block, Heading, Page
from installgen.manual.html import HtmlWriter
from installgen.manual.html_lines import clean

PLAIN = frozenset(" ,.:;()/%+-–—·°′″²³")


def page_markdown(page: Page, writer: HtmlWriter, title: str) -> str:
    """The page's text, under a title of the first level."""
    parts = [f"# {markdown_text(title)}"]
    for is_heading, run in groupby(page.blocks, key=lambda block: isinstance(block, Heading)):
        blocks: list[Block] = list(run)
        if is_heading:
            parts += [heading for block in blocks if (heading := _heading(block, writer))]
        else:
            parts.append(f'<div class="installgen">{writer.blocks(blocks)}</div>')
    return "\n\n".join(parts) + "\n"


def _heading(block: Block, writer: HtmlWriter) -> str:
    assert isinstance(block, Heading)
    anchor = writer.links.anchor(block.anchor)
    return f"{'#' * block.level} {markdown_text(block.text)} {{#{anchor}}}"


def markdown_text(text: str) -> str:
    """Text in which no sign means anything to Markdown or HTML: all but plain ones are entities."""
    signs = clean(text).strip()
    return "".join(
        sign if sign.isalnum() or (index and sign in PLAIN) else f"&#{ord(sign)};"
        for index, sign in enumerate(signs)
    )
