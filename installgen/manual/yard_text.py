"""The yard's own Markdown as blocks: plain text in known shapes, never markup of its own.

Headings, paragraphs, lists, tables and emphasis are taken. HTML stays the text that it is; of a
link or a picture only its words stand, so that no page asks for anything outside itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markdown_it.tree import SyntaxTreeNode

from installgen.manual.blocks import (
    AsTyped,
    Block,
    Bullets,
    Column,
    Heading,
    Line,
    Paragraph,
    Row,
    Stack,
    Step,
    Steps,
    Strong,
    Table,
    is_empty,
)

DEEPEST = 20
"""Lists within lists deeper than this stay text."""


def yard_blocks(text: str, anchor: str) -> Iterator[Block]:
    """A text as blocks; its headings stand below the page's own.

    anchor: of the heading it stands under; its own get ids from it
    """
    parser = MarkdownIt("commonmark", {"html": False, "maxNesting": DEEPEST}).enable("table")
    parser.disable(["html_block", "html_inline", "reference"])
    tokens: Sequence[Token] = parser.parse(text)
    number = 0
    for node in SyntaxTreeNode(tokens).children:
        if node.type == "heading":
            number += 1
        yield from _block(node, f"{anchor}.{number}")


def _block(node: SyntaxTreeNode, anchor: str) -> Iterator[Block]:
    if node.type == "heading":
        yield Heading(_words(node), anchor, 3)
    elif node.type == "paragraph":
        yield from _paragraph(node)
    elif node.type == "bullet_list":
        yield Bullets(tuple(_item(item) for item in node.children))
    elif node.type == "ordered_list":
        yield Steps(tuple(Step(_item(item)) for item in node.children))
    elif node.type == "table":
        yield from _table(node)
    elif node.type in ("fence", "code_block"):
        lines: tuple[Line, ...] = tuple(AsTyped(line) for line in node.content.splitlines() if line)
        yield Paragraph(Stack(lines))
    elif node.type == "blockquote":
        for inner in node.children:
            yield from _block(inner, anchor)


def _paragraph(node: SyntaxTreeNode) -> Iterator[Block]:
    line = _line(node)
    if not is_empty(line):
        yield Paragraph(line)


def _item(node: SyntaxTreeNode) -> Line:
    """A list's item: its paragraphs, and what is listed below it, one under the other."""
    lines: list[Line] = []
    for child in node.children:
        if child.type in ("bullet_list", "ordered_list"):
            lines += [("– ", _item(inner)) for inner in child.children]
        else:
            lines.append(_line(child))
    return lines[0] if len(lines) == 1 else Stack(tuple(lines))


def _table(node: SyntaxTreeNode) -> Iterator[Block]:
    rows = [row for part in node.children for row in part.children]
    if len(rows) < 2:
        return
    head, *body = rows
    columns = tuple(Column(_words(cell)) for cell in head.children)
    made = [tuple(_line(cell) for cell in row.children)[: len(columns)] for row in body]
    filled = tuple(Row((*cells, *("",) * (len(columns) - len(cells)))) for cells in made)
    yield Table(", ".join(column.title for column in columns), columns, filled)


def _line(node: SyntaxTreeNode) -> Line:
    """The text within a block."""
    if node.type in ("text", "code_inline", "softbreak", "hardbreak"):
        return _piece(node)
    if node.type == "image":
        return node.content
    if node.type in ("fence", "code_block"):
        return AsTyped(node.content.strip())
    parts: tuple[Line, ...] = tuple(_line(child) for child in node.children)
    return Strong(parts) if node.type == "strong" else parts


def _piece(node: SyntaxTreeNode) -> Line:
    if node.type == "code_inline":
        return AsTyped(node.content)
    return node.content if node.type == "text" else " "


def _words(node: SyntaxTreeNode) -> str:
    """The text of a heading or a table's head, without emphasis."""
    if node.type in ("text", "code_inline", "image"):
        return node.content
    if node.type in ("softbreak", "hardbreak"):
        return " "
    return "".join(_words(child) for child in node.children)
