"""A drawing as a figure of a page: the SVG in a box that pans, its key, and the same in tables."""

from installgen.drawings.graph import Cell, Drawing, Table
from installgen.drawings.kinds import LINE_LOOKS, Line
from installgen.drawings.render import Rendered
from installgen.drawings.sheets import pages_turned, paper_pages, paper_sheets
from installgen.drawings.tables import line_word, lines_used, tables_of
from installgen.drawings.text import clean, escaped

KEY_LENGTH_PX = 34


def figure(rendered: Rendered, *, with_tables: bool = True, with_paper: bool = True) -> str:
    """HTML of the drawing, on one line, so that it may stand in Markdown.

    The box pans by finger, mouse and keyboard. A drawing too tall for a page carries the same
    in columns or on several pages, shown on paper only; one too wide is marked to be printed on a
    turned page.

    with_paper: whether it carries what paper needs besides
    """
    drawing = rendered.drawing
    title = escaped(clean(drawing.title))
    sheets = paper_sheets(rendered) if with_paper else ()
    pages = paper_pages(rendered) if with_paper else ()
    classes = ["drawing"]
    turned = pages_turned(rendered) if pages else rendered.paper.turned and not sheets
    classes += ["drawing-turned"] if turned else []
    classes += ["drawing-in-columns"] if sheets or pages else []
    parts = [
        f'<figure class="{" ".join(classes)}" id="{drawing.id}-figure">',
        f'<div class="drawing-pan" role="region" aria-label="Drawing: {title}" tabindex="0">',
        rendered.svg,
        "</div>",
    ]
    for kind, cut in (("columns", sheets), ("pages", pages)):
        if cut:
            parts += [f'<div class="drawing-{kind}" aria-hidden="true" hidden="">', *cut, "</div>"]
    parts.append(
        f"<figcaption><strong>{title}</strong> {escaped(clean(drawing.description))}"
        f"{key(drawing)}</figcaption>"
    )
    if with_tables:
        parts.append(tables_html(drawing))
    parts.append("</figure>")
    return "".join(parts)


def key(drawing: Drawing) -> str:
    """The kinds of line that occur, each drawn beside its word; nothing for a single kind."""
    used = lines_used(drawing)
    if len(used) < 2:
        return ""
    entries = "".join(
        f'<span class="drawing-key-entry">{key_line(line)} {escaped(line_word(drawing, line))}'
        "</span> "
        for line in used
    )
    return f' <span class="drawing-key">{entries.strip()}</span>'


def key_line(line: Line) -> str:
    """A short piece of a line."""
    look = LINE_LOOKS[line]
    dashes = f' stroke-dasharray="{look.dashes}"' if look.dashes else ""
    return (
        f'<svg class="drawing-key-line" width="{KEY_LENGTH_PX}" height="8" aria-hidden="true">'
        f'<path d="M0,4H{KEY_LENGTH_PX}" fill="none" stroke="currentColor"'
        f' stroke-width="{look.width:g}"{dashes}/></svg>'
    )


def tables_html(drawing: Drawing) -> str:
    """The drawing's tables, folded until asked for."""
    body = "".join(table_html(table) for table in tables_of(drawing))
    return f'<details class="drawing-tables"><summary>The same in tables</summary>{body}</details>'


def table_html(table: Table) -> str:
    """One table; columns without any content are left out."""
    kept = [
        number
        for number in range(len(table.columns))
        if any(row[number].text for row in table.rows)
    ]
    heads = "".join(f'<th scope="col">{escaped(table.columns[number])}</th>' for number in kept)
    rows = "".join(
        "<tr>"
        + "".join(
            f'<td data-label="{escaped(table.columns[number])}">{cell_html(row[number])}</td>'
            for number in kept
        )
        + "</tr>"
        for row in table.rows
    )
    return (
        f'<div class="table-scroll"><table class="data stack"><caption>{escaped(table.caption)}'
        f"</caption><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table></div>"
    )


def cell_html(cell: Cell) -> str:
    """A cell's text, linked when it has an address."""
    if cell.parts:
        return "".join(cell_html(Cell(text, href)) for text, href in cell.parts)
    text = escaped(cell.text)
    return f'<a href="{escaped(cell.href)}">{text}</a>' if cell.href else text
