"""How wide text is in our own font, so that boxes fit their words on every machine."""

import csv
import functools
import math
from pathlib import Path

import installgen

FONTS_FOLDER = Path(installgen.__file__).parent / "theme" / "fonts"
FAMILY = "Installgen Sans"
FOREIGN_ADVANCE_PER_MILLE = 1350
STYLES = {"Regular": "regular_per_mille", "Bold": "bold_per_mille", "Italic": "italic_per_mille"}


@functools.cache
def advances_per_mille(style: str) -> dict[str, int]:
    """Advance width of each sign in Regular, Bold or Italic, in thousandths of the text size."""
    with (FONTS_FOLDER / "advances.csv").open(encoding="utf-8", newline="") as file:
        return {
            chr(int(row["codepoint"], 16)): int(row[STYLES[style]]) for row in csv.DictReader(file)
        }


def text_width_px(text: str, size_px: float, style: str = "Regular") -> int:
    """Width of one line of text, rounded up.

    size_px: text size [px]
    Returns the sum of the advance widths [px]; kerning can only make it less. A sign that the
    font lacks counts as a wide one, because another font will show it.
    """
    advances = advances_per_mille(style)
    total = sum(advances.get(sign, FOREIGN_ADVANCE_PER_MILLE) for sign in text)
    return math.ceil(total * size_px / 1000)
