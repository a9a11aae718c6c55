"""A drawing as a figure of a book: whole, in columns or cut over pages, each piece measured."""

import re
from collections.abc import Sequence

from installgen.drawings.figure import key, tables_html
from installgen.drawings.paper import POINT_PER_MM, POINT_PER_PX, Paper, fit_on_paper
from installgen.drawings.render import Rendered
from installgen.drawings.sheets import pages_turned, paper_pages, paper_sheets
from installgen.drawings.text import clean, escaped

SIZE = re.compile(r' width="([0-9.]+)" height="([0-9.]+)"')
TITLE = re.compile(r"<title[^>]*>.*?</title>")
MM_PER_PX = POINT_PER_PX / POINT_PER_MM
GAP_MM = 2.5
"""Between columns that stand side by side, on paper as it is (paper.css)."""
OPENING_MM = 60.0
"""The height of a page's title, of what it is about and of its warning."""


def paper_figure(
    rendered: Rendered, paper: Paper, *, with_tables: bool = True, opening: bool = False
) -> str:
    """HTML of the drawing for a book with this room on its pages, on one line.

    Sizes stand on each piece in millimetres, so that the style sheet need not fit anything.

    opening: it follows a page's title, so that it gets what those leave of the page; a drawing
        that could not be read there comes after its tables, which flow
    """
    drawing = rendered.drawing
    after_tables = False
    if opening:
        low = Paper((paper.upright_mm[0], paper.upright_mm[1] - OPENING_MM), paper.turned_mm)
        fits = fits_upright(rendered, low)
        after_tables = with_tables and not fits
        paper = low if fits else paper
    columns = paper_sheets(rendered, paper)
    pages = paper_pages(rendered, paper)
    whole = fit_on_paper(rendered.width_px, rendered.height_px, paper)
    turned = pages_turned(rendered, paper) if pages else whole.turned and not columns
    room = paper.turned_mm if turned else paper.upright_mm
    title = escaped(clean(drawing.title))
    if columns:
        body = f'<div class="drawing-columns">{"".join(side_by_side(columns, room))}</div>'
    else:
        pieces = pages or (rendered.svg,)
        body = "".join(
            f'<div class="drawing-sheet">{measured(svg, scale_of([svg], room), number)}</div>'
            for number, svg in enumerate(pieces)
        )
    tables = tables_html(drawing) if with_tables else ""
    classes = "drawing drawing-turned" if turned else "drawing"
    caption = (
        f"<figcaption><strong>{title}</strong> {escaped(clean(drawing.description))}"
        f"{key(drawing)}</figcaption>"
    )
    parts = caption + tables + body if after_tables else body + caption + tables
    return f'<figure class="{classes}" id="{drawing.id}-figure">{parts}</figure>'


def fits_upright(rendered: Rendered, paper: Paper) -> bool:
    """Whether the drawing can be read on one upright page with this room, whole or in columns."""
    whole = fit_on_paper(rendered.width_px, rendered.height_px, paper)
    return (whole.readable and not whole.turned) or bool(paper_sheets(rendered, paper))


def side_by_side(columns: Sequence[str], room_mm: tuple[float, float]) -> list[str]:
    """Columns at one scale, so that together they are as wide as the room at most."""
    scale = scale_of(columns, room_mm)
    return [measured(svg, scale, number) for number, svg in enumerate(columns)]


def scale_of(columns: Sequence[str], room_mm: tuple[float, float]) -> float:
    """The scale at which pieces side by side fit the room; never larger than natural size."""
    sizes = [size_px(svg) for svg in columns]
    width = sum(width for width, _ in sizes) * MM_PER_PX
    height = max(height for _, height in sizes) * MM_PER_PX
    return min(1.0, (room_mm[0] - GAP_MM * (len(sizes) - 1)) / width, room_mm[1] / height)


def size_px(svg: str) -> tuple[float, float]:
    """Width and height that a drawing says of itself [px]."""
    found = SIZE.search(svg)
    assert found is not None
    return float(found[1]), float(found[2])


def measured(svg: str, scale: float, number: int) -> str:
    """The drawing at this scale; a piece after the first one says in its title which it is."""
    width, height = size_px(svg)
    size = f' width="{width * scale * MM_PER_PX:.2f}mm" height="{height * scale * MM_PER_PX:.2f}mm"'
    made = SIZE.sub(size, svg, count=1)
    if number == 0:
        return made
    return TITLE.sub(
        lambda found: found[0].replace("</title>", f", part {number + 1}</title>"), made, 1
    )
