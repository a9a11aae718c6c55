"""Keeps ready-made HTML of a page away from the Markdown parser, which would only copy it.

A table or a drawing stands on one line of its own, between blank lines. Markdown reads every tag of
it, which takes more time than everything else a page needs; here such a line becomes a short
placeholder and comes back when the page is HTML.
"""

import re

# Private-use characters, which no text of a page holds.
OPEN, CLOSE = "\ue000", "\ue001"
BLOCK_LINE = re.compile(
    r"^<(article|details|div|dl|figure|nav|ol|p|section|table|ul)[ >].*</\1>$", re.MULTILINE
)
PLACEHOLDER = re.compile(rf"<p>{OPEN}(\d+){CLOSE}</p>")


def set_aside(markdown: str) -> tuple[str, list[str]]:
    """The page's Markdown with each line that is one HTML element replaced, and those lines."""
    blocks: list[str] = []
    if OPEN in markdown:
        return markdown, blocks

    def replace(line: re.Match[str]) -> str:
        text, tag = line[0], line[1]
        closed = text.count(f"</{tag}>") == len(re.findall(rf"<{tag}[ >]", text))
        if not closed or "markdown=" in text or not stands_alone(markdown, line):
            return text
        blocks.append(text)
        return f"{OPEN}{len(blocks) - 1}{CLOSE}"

    return BLOCK_LINE.sub(replace, markdown), blocks


def stands_alone(markdown: str, line: re.Match[str]) -> bool:
    """Whether blank lines, or the ends of the page, surround the line."""
    before, after = markdown[: line.start()], markdown[line.end() :]
    return before[-2:] in ("", "\n", "\n\n") and after[:2] in ("", "\n", "\n\n")


def put_back(html: str, blocks: list[str]) -> str:
    """The page's HTML with every line that was set aside in its place."""
    return PLACEHOLDER.sub(lambda found: blocks[int(found[1])], html)
