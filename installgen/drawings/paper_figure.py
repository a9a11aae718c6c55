"""A drawing as a figure of a book: whole, in columns or cut over pages, each piece measured."""

import re
from collections.abc import Sequence

from installgen.drawings.figure import key, tables_html
from installgen.drawings.paper import POINT_PER_MM, POINT_PER_PX, Paper, fit_on_paper
from installgen.drawings.render import Rendered
from installgen.drawings.sheets import COLUMN_GAP_PX, pages_turned, paper_pages, paper_sheets
from installgen.drawings.text import clean, escaped

SIZE = re.compile(r' width="([0-9.]+)" height="([0-9.]+)"')
TITLE = re.compile(r"<title[^>]*>.*?</title>")
MM_PER_PX = POINT_PER_PX / POINT_PER_MM


def paper_figure(rendered: Rendered, paper: Paper, *, with_tables: bool = True) -> str:
    """HTML of the drawing for a book with this room on its pages, on one line.

    Sizes stand on each piece in millimetres, so that the style sheet need not fit anything.
    """
    drawing = rendered.drawing
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
    return (
        f'<figure class="{classes}" id="{drawing.id}-figure">{body}'
        f"<figcaption><strong>{title}</strong> {escaped(clean(drawing.description))}"
        f"{key(drawing)}</figcaption>{tables}</figure>"
    )


def side_by_side(columns: Sequence[str], room_mm: tuple[float, float]) -> list[str]:
    """Columns at one scale, so that together they are as wide as the room at most."""
    scale = scale_of(columns, room_mm)
    return [measured(svg, scale, number) for number, svg in enumerate(columns)]


def scale_of(columns: Sequence[str], room_mm: tuple[float, float]) -> float:
    """The scale at which pieces side by side fit the room; never larger than natural size."""
    sizes = [size_px(svg) for svg in columns]
    width = sum(width for width, _ in sizes) + COLUMN_GAP_PX * (len(sizes) - 1)
    height = max(height for _, height in sizes)
    return min(1.0, room_mm[0] / (width * MM_PER_PX), room_mm[1] / (height * MM_PER_PX))


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
