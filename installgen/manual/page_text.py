"""What pages say, line by line, and where two manuals do not say the same.

Where a spec was written, its file and line, does not count: a comment put in above would move it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import unescape
from typing import Literal

from installgen.manual import blocks as b
from installgen.manual.html import HtmlWriter
from installgen.manual.vessel_manual import VesselManual

_LINE_END = re.compile(r"</(?:p|li|tr|h[1-6]|dd|dt|caption|summary|section|figure)>|<br>")
_CELL_END = re.compile(r"</t[dh]>")
_TAG = re.compile(r"<[^>]*>")
_POSITION = re.compile(r"[\w./\-]+\.yaml:\d+(?::\d+)?")

ChangeKind = Literal["changed", "new", "gone"]


@dataclass(frozen=True)
class PageChange:
    """A page that two manuals do not share as it is.

    gone, new: lines that only the first, only the second has
    drawings: ids of drawings on it that are not the same
    """

    id: str
    title: str
    kind: ChangeKind
    gone: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    drawings: tuple[str, ...] = ()


class NoLinks:
    """Addresses where only the words count."""

    def href(self, target: b.Target) -> str:
        """Always the same."""
        del target
        return "#"

    def anchor(self, name: str) -> str:
        """As it is."""
        return name


@dataclass(frozen=True)
class PageTexts:
    """The pages of one manual, as lines of text.

    drawings: what each drawing says, by its id; only whether it is the same counts
    read: the lines of pages that were read before, by the page's id
    """

    manual: VesselManual
    pages: Sequence[b.Page]
    drawings: Mapping[str, object] = field(default_factory=dict)
    read: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def of(self, page: b.Page) -> Sequence[str]:
        """Every line of a page."""
        return self.read[page.id] if page.id in self.read else self.lines(page.blocks)

    def lines(self, blocks: Iterable[b.Block]) -> list[str]:
        """Every line that blocks print, without the places of specs."""
        m = self.manual
        writer = HtmlWriter(NoLinks(), m.words, m.first, m.book)
        html = writer.blocks(block for block in blocks if not isinstance(block, b.Figure))
        return list(_lines(html))

    def by_id(self) -> dict[str, b.Page]:
        """The pages by their ids."""
        return {page.id: page for page in self.pages}


def _lines(html: str) -> Iterator[str]:
    for part in _LINE_END.split(html):
        text = unescape(_TAG.sub("", _CELL_END.sub(" · ", part)))
        text = " ".join(_POSITION.sub("", text).replace("()", "").split()).strip(" ·")
        if text:
            yield text


def page_changes(
    first: PageTexts, second: PageTexts, leave_out: Iterable[str] = ()
) -> list[PageChange]:
    """The pages that differ, in the order of the second manual, then those that are gone."""
    mine, theirs = first.by_id(), second.by_id()
    passed_over = set(leave_out)
    out: list[PageChange] = []
    for page in second.pages:
        if page.id in passed_over:
            continue
        earlier = mine.get(page.id)
        if earlier is None:
            out.append(PageChange(page.id, page.title, "new"))
            continue
        gone, new = differing(first.of(earlier), second.of(page))
        drawings = _drawings(first, earlier, second, page)
        if gone or new or drawings:
            out.append(PageChange(page.id, page.title, "changed", gone, new, drawings))
    for page in first.pages:
        if page.id not in theirs and page.id not in passed_over:
            out.append(PageChange(page.id, page.title, "gone"))
    return out


def differing(
    first: Sequence[str], second: Sequence[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Lines that only the first has, and lines that only the second has, each in its order."""
    return _only_in(first, second), _only_in(second, first)


def _only_in(lines: Sequence[str], others: Sequence[str]) -> tuple[str, ...]:
    left = Counter(others)
    out = []
    for line in lines:
        if left[line]:
            left[line] -= 1
        else:
            out.append(line)
    return tuple(out)


def _drawings(
    first: PageTexts, earlier: b.Page, second: PageTexts, page: b.Page
) -> tuple[str, ...]:
    """Drawings of a page that are new, gone or not the same."""
    names = [
        [figure.drawing for figure in each.blocks if isinstance(figure, b.Figure)]
        for each in (earlier, page)
    ]
    return tuple(
        name
        for name in dict.fromkeys([*names[0], *names[1]])
        if name not in names[0]
        or name not in names[1]
        or first.drawings.get(name) != second.drawings.get(name)
    )


SPOKEN = (b.Steps, b.Caution, b.Bullets, b.Paragraph)
"""Blocks that tell somebody what to do or to know, and are no tables of figures."""


def spoken_changes(
    first: PageTexts, second: PageTexts, leave_out: Iterable[str] = ()
) -> list[PageChange]:
    """Steps, cautions and sentences that the two manuals do not share, page by page."""
    mine = first.by_id()
    passed_over = set(leave_out)
    out = []
    for page in second.pages:
        earlier = mine.get(page.id)
        if earlier is None or page.id in passed_over:
            continue
        gone, new = differing(
            first.lines(_spoken(earlier.blocks)), second.lines(_spoken(page.blocks))
        )
        if gone or new:
            out.append(PageChange(page.id, page.title, "changed", gone, new))
    return out


def _spoken(blocks: Iterable[b.Block]) -> Iterator[b.Block]:
    for block in blocks:
        if isinstance(block, b.Fold):
            yield from _spoken(block.blocks)
        elif isinstance(block, SPOKEN):
            yield block
