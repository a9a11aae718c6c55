"""The boxes of nodes and the labels of edges, as HTML-like labels of DOT."""

from installgen.drawings.graph import Edge, Node, Row, Terminal
from installgen.drawings.kinds import KIND_LOOKS, STATUS_WORDS, Kind, Status
from installgen.drawings.metrics import text_width_px
from installgen.drawings.orient import Rims
from installgen.drawings.symbols import SIZE, WITHOUT_SYMBOL
from installgen.drawings.text import FIXED_SPACE, clean, cut, label_text, wrap

TEXT_SIZE = 12
MOST_NAME_LINES = 3
MOST_LINES = 2
MOST_CODE = 18
MOST_CELL = 36
MOST_TERMINAL = 12

PLACEHOLDER_RED = 254
LINE_COLOUR = "#fd0000"
LABEL_PORT = "on"
LEFT = ' ALIGN="LEFT"'
TOP_RIM, BOTTOM_RIM = "~top", "~bottom"
KINDS = tuple(Kind)


def placeholder_colour(kind: Kind) -> str:
    """The fill that marks the square where a kind's symbol is drawn afterwards."""
    return f"#{PLACEHOLDER_RED:02x}00{KINDS.index(kind):02x}"


def row_token(node_index: int, row_index: int) -> str:
    """The link target that stands for a row of a node until the SVG is dressed."""
    return f"row:{node_index}:{row_index}"


def text_cell(text: str, style: str = "Regular", padding: int = 1, attributes: str = "") -> str:
    """A cell with one line of text, as wide as our font needs it."""
    body = label_text(text) or "&#160;"
    body = f"<B>{body}</B>" if style == "Bold" else body
    body = f"<I>{body}</I>" if style == "Italic" else body
    width = text_width_px(text, TEXT_SIZE, style) + 2 * padding
    return f'<TD WIDTH="{width}"{attributes}>{body}</TD>'


def text_row(text: str, style: str = "Regular") -> str:
    """One line of a label, as a row of a table."""
    cell = text_cell(text, style, attributes=LEFT)
    return f"<TR>{cell}</TR>"


def wrapped_rows(text: str, width_px: int, most_lines: int, style: str = "Regular") -> str:
    """Text in lines of at most the width, as rows of a table."""

    def fits(line: str) -> bool:
        return text_width_px(line, TEXT_SIZE, style) <= width_px

    return "".join(text_row(line, style) for line in wrap(text, fits, most_lines))


def table(rows: str, padding: int = 1) -> str:
    """A table without border of its own."""
    return (
        f'<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="{padding}">{rows}</TABLE>'
    )


def status_rows(status: Status, note: str, width_px: int) -> str:
    """The word of a status and why, as rows of a label; nothing when normal."""
    if status is Status.NORMAL:
        return ""
    words = STATUS_WORDS[status] + (f": {note}" if note else "")
    style = "Italic" if status is Status.NOT_ASSESSED else "Bold"
    return wrapped_rows(words, width_px, MOST_NAME_LINES, style)


def edge_label(edge: Edge, width_px: int) -> str:
    """The label of an edge, beside a short piece of its line.

    width_px: how long a line of text may be [px]
    """
    code, lines = cut(edge.code, MOST_CODE), list(edge.lines)
    rows = ""
    if code:
        beside = lines.pop(0) if lines and fits_beside(code, lines[0], width_px) else ""
        rows = f"<TR>{code_cell(code, clean(beside))}</TR>"
    rows += "".join(wrapped_rows(line, width_px, MOST_LINES) for line in lines)
    rows += status_rows(edge.status, edge.note, width_px)
    piece = f'<TD PORT="{LABEL_PORT}" WIDTH="8" BGCOLOR="{LINE_COLOUR}"></TD>'
    return table(f"<TR>{piece}<TD>{table(rows or text_row(''))}</TD></TR>")


def code_cell(code: str, beside: str) -> str:
    """A cell with a bold code and, after it, the first line of the label."""
    if not beside:
        return text_cell(code, "Bold", attributes=LEFT)
    width = text_width_px(code, TEXT_SIZE, "Bold") + text_width_px(f" {beside}", TEXT_SIZE) + 2
    words = f"<B>{label_text(code)}</B>{FIXED_SPACE}{label_text(beside)}"
    return f'<TD WIDTH="{width}"{LEFT}>{words}</TD>'


def fits_beside(code: str, line: str, width_px: int) -> bool:
    """Whether a line of a label is short enough to stand beside its code."""
    width = text_width_px(code, TEXT_SIZE, "Bold") + text_width_px(line, TEXT_SIZE)
    return width <= width_px


def node_label(node: Node, index: int, rims: Rims, width_px: int) -> str:
    """The box of a node: rims of terminals, symbol, words, inner table, status.

    index: the node's number in its drawing
    width_px: how long a line of text may be [px]
    """
    rows = rim(rims.top, TOP_RIM, "B")
    rows += f'<TR><TD ALIGN="LEFT">{body(node, width_px)}</TD></TR>'
    if node.rows:
        rows += f"<TR><TD>{inner_table(node.rows, index)}</TD></TR>"
    status = status_rows(node.status, node.note, width_px)
    if status:
        rows += f'<TR><TD BORDER="1" SIDES="T" CELLPADDING="2">{table(status)}</TD></TR>'
    rows += rim(rims.bottom, BOTTOM_RIM, "T")
    return outline(rows, node.kind, node.status)


def outline(rows: str, kind: Kind, status: Status) -> str:
    """Rows inside the outline of a kind.

    A finding adds a second outline, being in one of two builds alone a dashed one; an unsure figure
    dashes the only one; what is written otherwise in the other of two builds dots it.
    """
    look = KIND_LOOKS[kind]
    styles = {Status.NOT_ASSESSED: "DASHED", Status.DIFFERS: "DOTTED"}
    style = styles.get(status, "ROUNDED" if look.rounded else "")
    attributes = f'BORDER="{look.weight if look.sides else 0}"'
    if look.sides and look.sides != "LTRB":
        attributes += f' SIDES="{look.sides}"'
    if style:
        attributes += f' STYLE="{style}"'
    box = f'<TABLE {attributes} CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{rows}</TABLE>'
    if status in (Status.FAIL, Status.CAUTION, Status.ONLY_HERE):
        frame = 2 if status is Status.FAIL else 1
        dashed = ' STYLE="DASHED"' if status is Status.ONLY_HERE else ""
        box = (
            f'<TABLE BORDER="{frame}"{dashed} CELLBORDER="0" CELLSPACING="0" CELLPADDING="2">'
            f"<TR><TD>{box}</TD></TR></TABLE>"
        )
    return box


def body(node: Node, width_px: int) -> str:
    """The symbol and the words of a node."""
    word = KIND_LOOKS[node.kind].word
    name = node.name if node.name else word
    rows = wrapped_rows(name, width_px, MOST_NAME_LINES, "Bold")
    for line in lines_under(node, name, word, width_px):
        rows += wrapped_rows(line, width_px, MOST_LINES)
    words = f'<TD ALIGN="LEFT">{table(rows or text_row(""))}</TD>'
    if node.kind in WITHOUT_SYMBOL:
        return table(f"<TR>{words}</TR>", padding=2)
    square = (
        f'<TD ALIGN="RIGHT" FIXEDSIZE="TRUE" WIDTH="{SIZE}" HEIGHT="{SIZE}"'
        f' BGCOLOR="{placeholder_colour(node.kind)}"></TD>'
    )
    symbol = f"<TD>{table(f'<TR>{square}</TR>', padding=0)}</TD>"
    return table(f"<TR>{symbol}{words}</TR>", padding=3)


def lines_under(node: Node, name: str, word: str, width_px: int) -> list[str]:
    """What stands under a node's name: its code, its kind's word unless said, its lines."""
    said = word.casefold() in name.casefold()
    second = " · ".join(part for part in (cut(node.code, MOST_CELL), "" if said else word) if part)
    lines = [second, *node.lines] if second else list(node.lines)
    if len(lines) > 1 and text_width_px(joined := " · ".join(lines[:2]), TEXT_SIZE) <= width_px:
        return [joined, *lines[2:]]
    return lines


def rim(terminals: tuple[Terminal, ...], mark: str, side: str) -> str:
    """A row of terminals along the top or the bottom of a node, each a port."""
    if not terminals:
        return ""
    cells = "".join(
        text_cell(
            cut(terminal.label, MOST_TERMINAL),
            padding=3,
            attributes=f' PORT="{terminal.id}{mark}" BORDER="1" CELLPADDING="3"'
            f' SIDES="{"L" if number else ""}{side}"',
        )
        for number, terminal in enumerate(terminals)
    )
    return f"<TR><TD>{table(f'<TR>{cells}</TR>')}</TD></TR>"


def inner_table(rows: tuple[Row, ...], node_index: int) -> str:
    """The rows of a panel or of a plug, ruled."""
    columns = max(len(row_cells(row)) for row in rows)
    lines = ""
    for row_index, row in enumerate(rows):
        linked = bool(row.href or row.title)
        link = f' HREF="{row_token(node_index, row_index)}"' if linked else ""
        cells = row_cells(row)
        line = ""
        for number, cell in enumerate(cells):
            over = columns - number if number == len(cells) - 1 else 1
            span = f' COLSPAN="{over}"' if over > 1 else ""
            attributes = f'{link} ALIGN="LEFT" BORDER="1" SIDES="T"{span}'
            line += text_cell(cut(cell, MOST_CELL), padding=3, attributes=attributes)
        lines += f"<TR>{line}</TR>"
    return table(lines, padding=3)


def row_cells(row: Row) -> tuple[str, ...]:
    """What a row prints: its cells and the word of its status."""
    words = STATUS_WORDS[row.status]
    cells = (*row.cells, words) if words else row.cells
    return cells or ("",)
