"""What of a page's HTML the search index is made from.

The index needs words and headings, not every cell's tags; and it must not run neighbouring cells
together. A table's row and a working that have an id become sections of their own, so that a search
for a label leads to its row and not to the top of a long page. Of a working only the name and the
value are indexed: its inputs stand in the tables, and repeated they would be nine tenths of the
index, which a telephone has to load.
"""

import re

SCREENS = re.compile(r'<section class="screen.*?</section>', re.DOTALL)
SVG = re.compile(r"<svg[ >].*?</svg>", re.DOTALL)
ROW = re.compile(r'<tr[^>]*\bid="([^"]+)"[^>]*>(.*?)</tr>', re.DOTALL)
FIRST_CELL = re.compile(r"<t([hd])[^>]*>(.*?)</t\1>", re.DOTALL)
WORKING = re.compile(
    r'<details[^>]*\bid="([^"]+)"[^>]*>\s*<summary[^>]*>(.*?)</summary>.*?</details>', re.DOTALL
)
# Tags that the index understands; others stand for a space, or within words for nothing.
KEPT = re.compile(
    r"<(/?(?:h[1-6]|p|pre|code|ol|ul|li|sub|sup|index-entry)(?=[ >]))"
    r'(?:[^>]*?( id="[^"]*"))?[^>]*>'
)
WITHIN_WORDS = re.compile(r"</?(?:a|abbr|b|em|i|small|span|strong|wbr)(?: [^>]*)?>")
TAG = re.compile(r"<[^>]*>")
SPACES = re.compile(r"[ \t]+")


def search_text(html: str) -> str:
    """A page's HTML with the same words under the same headings, and far fewer tags.

    Drawings are left out: the tables beside them say the same. So are the steps of a search for a
    fault: each is of use only on the way to it, and the table of suspects names what they find.
    """
    text = SCREENS.sub(" ", SVG.sub(" ", html))
    text = ROW.sub(row_entry, text)
    text = WORKING.sub(lambda found: entry(found[1], found[2]), text)
    text = WITHIN_WORDS.sub("", text)
    return SPACES.sub(" ", TAG.sub(bare, text))


def row_entry(row: re.Match[str]) -> str:
    """A table's row as an entry under the text of its first cell."""
    cell = FIRST_CELL.search(row[2])
    if cell is None or not TAG.sub("", cell[2]).strip():
        return row[0]
    return entry(row[1], cell[2], row[2][cell.end() :])


def entry(identifier: str, title: str, text: str = "") -> str:
    """An entry of its own; what follows it belongs to the heading before it again."""
    return f'<index-entry><h6 id="{identifier}">{title}</h6>{text}</index-entry>'


def bare(tag: re.Match[str]) -> str:
    """The tag without what the index has no use for."""
    kept = KEPT.fullmatch(tag[0])
    return f"<{kept[1]}{kept[2] or ''}>" if kept else " "
