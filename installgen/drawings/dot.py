"""A drawing as DOT text: the same drawing always gives the same text."""

from installgen.drawings.graph import (
    Arrow,
    Direction,
    Drawing,
    Edge,
    Group,
    Node,
    Row,
    Side,
    Terminal,
)
from installgen.drawings.kinds import (
    KIND_LOOKS,
    LINE_LOOKS,
    STATUS_WORDS,
    Kind,
    Status,
)
from installgen.drawings.metrics import FAMILY, text_width_px
from installgen.drawings.symbols import SIZE, WITHOUT_SYMBOL
from installgen.drawings.text import clean, cut, label_text, wrap

TEXT_SIZE = 12
LABEL_WIDTH_PX = 120
MOST_NAME_LINES = 3
MOST_LINES = 2
PLACEHOLDER_RED = 254
KINDS = tuple(Kind)
COMPASS = {Side.TOP: "n", Side.BOTTOM: "s", Side.LEFT: "w", Side.RIGHT: "e"}
LABEL_PORT = "on"
ROW_IN = "~in"
LINE_COLOUR = "#fd0000"


def placeholder_colour(kind: Kind) -> str:
    """The fill that marks the square where a kind's symbol is drawn afterwards."""
    return f"#{PLACEHOLDER_RED:02x}00{KINDS.index(kind):02x}"


def row_token(node_index: int, row_index: int) -> str:
    """The link target that stands for a row of a node until the SVG is dressed."""
    return f"row:{node_index}:{row_index}"


def dot_of(drawing: Drawing) -> str:
    """The drawing in the DOT language.

    Only layout is decided here: links, titles and symbols are put in by `svg.dress`, which finds
    each part by its class, `n3` for the fourth node and `e3` for the fourth edge.
    """
    right = drawing.direction is Direction.RIGHT
    lines = [
        f'digraph "{drawing.id}" {{',
        f'  graph [rankdir={drawing.direction.value} fontname="{FAMILY}" fontsize={TEXT_SIZE}'
        f" nodesep={0.14 if right else 0.16} ranksep={0.28 if right else 0.16} pad=0.06"
        f" splines={'true' if right else 'polyline'} bgcolor=transparent]",
        f'  node [shape=plain margin=0 fontname="{FAMILY}" fontsize={TEXT_SIZE}]',
        f'  edge [fontname="{FAMILY}" fontsize={TEXT_SIZE} arrowsize=0.8]',
    ]
    for index, node in enumerate(drawing.nodes):
        lines.append(f'  "{node.id}" [class="n{index}" label=<{node_label(node, index, drawing)}>]')
    by_id = {node.id: node for node in drawing.nodes}
    for index, edge in enumerate(drawing.edges):
        lines += edge_statements(index, edge, by_id, drawing)
    for index, group in enumerate(drawing.groups):
        lines += group_statements(index, group, drawing)
    lines += [rank_statement("source", drawing.top)] if drawing.top else []
    lines += [rank_statement("sink", drawing.bottom)] if drawing.bottom else []
    lines += [rank_statement("same", level) for level in drawing.levels]
    lines.append("}")
    return "\n".join(lines) + "\n"


def rank_statement(rank: str, members: tuple[str, ...]) -> str:
    """Holds nodes at one rank."""
    return f"  {{rank={rank}; " + " ".join(f'"{member}";' for member in members) + "}"


def group_statements(index: int, group: Group, drawing: Drawing) -> list[str]:
    """A frame around the group's nodes and around the labels of the edges between them."""
    inside = set(group.nodes)
    labels = [
        f'"label {number}";'
        for number, edge in enumerate(drawing.edges)
        if edge.labelled and edge.tail in inside and edge.head in inside
    ]
    members = [f'"{member}";' for member in group.nodes]
    return [
        f'  subgraph "cluster_{index}" {{',
        f'    graph [class="g{index}" margin=8 labeljust=l'
        f" label=<<B>{label_text(cut(group.name, 60))}</B>>]",
        f"    {' '.join(members + labels)}",
        "  }",
    ]


def edge_statements(index: int, edge: Edge, nodes: dict[str, Node], drawing: Drawing) -> list[str]:
    """An edge, led through a node that carries its label, so that labels get room of their own."""
    right = drawing.direction is Direction.RIGHT
    look = LINE_LOOKS[edge.line]
    tail = end_of(edge.tail, edge.tail_port, nodes, leaves=not edge.back, right=right)
    head = end_of(edge.head, edge.head_port, nodes, leaves=edge.back, right=right)
    first_arrow = "normal" if edge.arrow is Arrow.BOTH else "none"
    last_arrow = "none" if edge.arrow is Arrow.NONE else "normal"
    if edge.back:
        tail, head, first_arrow, last_arrow = head, tail, last_arrow, first_arrow
    style = f'class="e{index}" penwidth={look.width}'
    if not edge.labelled:
        return [
            f"  {tail} -> {head} [{style} dir=both arrowtail={first_arrow} arrowhead={last_arrow}]"
        ]
    before, after = ("w", "e") if right else ("n", "s")
    label = f'"label {index}"'
    return [
        f'  {label} [class="e{index}" label=<{edge_label(edge, right)}>]',
        f"  {tail} -> {label}:{LABEL_PORT}:{before}"
        f" [{style} weight=3 dir=both arrowtail={first_arrow} arrowhead=none]",
        f"  {label}:{LABEL_PORT}:{after} -> {head}"
        f" [{style} weight=3 dir=both arrowtail=none arrowhead={last_arrow}]",
    ]


def end_of(identifier: str, port: str, nodes: dict[str, Node], *, leaves: bool, right: bool) -> str:
    """The end of an edge: the node, its port and the side from which the line comes."""
    if not port:
        side = ("e" if leaves else "w") if right else ("s" if leaves else "n")
        return f'"{identifier}":{side}'
    for terminal in nodes[identifier].terminals:
        if terminal.id == port:
            return f'"{identifier}":"{port}":{COMPASS[terminal.side]}'
    return f'"{identifier}":"{port}":e' if leaves else f'"{identifier}":"{port}{ROW_IN}":w'


def text_cell(text: str, style: str = "Regular", padding: int = 1, attributes: str = "") -> str:
    """A cell with one line of text, as wide as our font needs it."""
    body = label_text(text) or "&#160;"
    body = f"<B>{body}</B>" if style == "Bold" else body
    body = f"<I>{body}</I>" if style == "Italic" else body
    width = text_width_px(text, TEXT_SIZE, style) + 2 * padding
    return f'<TD ALIGN="LEFT" WIDTH="{width}"{attributes}>{body}</TD>'


def text_row(text: str, style: str = "Regular") -> str:
    """One line of a label, as a row of a table."""
    return f"<TR>{text_cell(text, style)}</TR>"


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


def edge_label(edge: Edge, right: bool) -> str:
    """The label of an edge, beside a short piece of the line (below: under the text)."""
    code, lines = cut(edge.code, 18), list(edge.lines)
    rows = ""
    if code:
        beside = lines.pop(0) if lines and fits_beside(code, lines[0]) else ""
        rows = f"<TR>{code_cell(code, clean(beside))}</TR>"
    rows += "".join(wrapped_rows(line, LABEL_WIDTH_PX, MOST_LINES) for line in lines)
    rows += status_rows(edge.status, edge.note, LABEL_WIDTH_PX)
    rows = rows or text_row("")
    if right:
        return table(
            f"<TR><TD>{table(rows)}</TD></TR>"
            f'<TR><TD PORT="{LABEL_PORT}" HEIGHT="4" BGCOLOR="{LINE_COLOUR}"></TD></TR>'
        )
    return table(
        f'<TR><TD PORT="{LABEL_PORT}" WIDTH="8" BGCOLOR="{LINE_COLOUR}"></TD>'
        f"<TD>{table(rows)}</TD></TR>"
    )


def code_cell(code: str, beside: str) -> str:
    """A cell with a bold code and, after it, the first line of the label."""
    if not beside:
        return text_cell(code, "Bold")
    width = text_width_px(code, TEXT_SIZE, "Bold") + text_width_px(f" {beside}", TEXT_SIZE) + 2
    return (
        f'<TD ALIGN="LEFT" WIDTH="{width}"><B>{label_text(code)}</B>&#160;{label_text(beside)}</TD>'
    )


def fits_beside(code: str, line: str) -> bool:
    """Whether a line of a label is short enough to stand beside its code."""
    width = text_width_px(code, TEXT_SIZE, "Bold") + text_width_px(line, TEXT_SIZE)
    return width <= LABEL_WIDTH_PX


def node_label(node: Node, index: int, drawing: Drawing) -> str:
    """The box of a node: rim terminals, symbol, words, inner table, status."""
    look = KIND_LOOKS[node.kind]
    by_side = {side: [t for t in node.terminals if t.side is side] for side in Side}
    middle = f'<TD ALIGN="LEFT">{body(node, drawing.text_width_px)}</TD>'
    columns = 1
    if by_side[Side.LEFT] or by_side[Side.RIGHT]:
        columns = 3
        middle = side_rim(by_side[Side.LEFT], "R") + middle + side_rim(by_side[Side.RIGHT], "L")
    span = f' COLSPAN="{columns}"' if columns > 1 else ""
    rows = end_rim(by_side[Side.TOP], "B", span)
    rows += f"<TR>{middle}</TR>"
    if node.rows:
        rows += f"<TR><TD{span}>{inner_table(node.rows, index)}</TD></TR>"
    status = status_rows(node.status, node.note, drawing.text_width_px)
    if status:
        rows += f'<TR><TD{span} BORDER="1" SIDES="T" CELLPADDING="2">{table(status)}</TD></TR>'
    rows += end_rim(by_side[Side.BOTTOM], "T", span)
    return outline(rows, look.sides, look.weight, look.rounded, node.status)


def outline(rows: str, sides: str, weight: int, rounded: bool, status: Status) -> str:
    """Rows inside the outline of a kind; a failing node gets a second one, an unsure one dashes."""
    style = "DASHED" if status is Status.NOT_ASSESSED else "ROUNDED" if rounded else ""
    attributes = f'BORDER="{weight if sides else 0}"'
    if sides and sides != "LTRB":
        attributes += f' SIDES="{sides}"'
    if style:
        attributes += f' STYLE="{style}"'
    box = f'<TABLE {attributes} CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{rows}</TABLE>'
    if status in (Status.FAIL, Status.CAUTION):
        frame = 2 if status is Status.FAIL else 1
        box = (
            f'<TABLE BORDER="{frame}" CELLBORDER="0" CELLSPACING="0" CELLPADDING="2">'
            f"<TR><TD>{box}</TD></TR></TABLE>"
        )
    return box


def body(node: Node, width_px: int) -> str:
    """The symbol and the words of a node."""
    word = KIND_LOOKS[node.kind].word
    name = node.name if node.name else word
    rows = wrapped_rows(name, width_px, MOST_NAME_LINES, "Bold")
    said = word.casefold() in name.casefold()
    second = " · ".join(part for part in (cut(node.code, 24), "" if said else word) if part)
    lines = [second, *node.lines] if second else list(node.lines)
    if len(lines) > 1 and text_width_px(joined := " · ".join(lines[:2]), TEXT_SIZE) <= width_px:
        lines[:2] = [joined]
    for line in lines:
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


def terminal_cell(terminal: Terminal, sides: str) -> str:
    """A terminal in the rim of a node."""
    attributes = f' PORT="{terminal.id}" BORDER="1" SIDES="{sides}" CELLPADDING="3"'
    return text_cell(cut(terminal.label, 12), padding=3, attributes=attributes).replace(
        ' ALIGN="LEFT"', "", 1
    )


def end_rim(terminals: list[Terminal], side: str, span: str) -> str:
    """A row of terminals along the top or the bottom of a node."""
    if not terminals:
        return ""
    cells = "".join(
        terminal_cell(terminal, side if number == 0 else f"L{side}")
        for number, terminal in enumerate(terminals)
    )
    rim = f'<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0"><TR>{cells}</TR></TABLE>'
    return f"<TR><TD{span}>{rim}</TD></TR>"


def side_rim(terminals: list[Terminal], side: str) -> str:
    """A column of terminals along the left or the right of a node; an empty cell when none."""
    if not terminals:
        return "<TD></TD>"
    rows = "".join(
        f"<TR>{terminal_cell(terminal, side if number == 0 else f'T{side}')}</TR>"
        for number, terminal in enumerate(terminals)
    )
    return f'<TD><TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0">{rows}</TABLE></TD>'


def inner_table(rows: tuple[Row, ...], node_index: int) -> str:
    """The rows of a panel or of a plug, ruled, each a port at its right and left edge."""
    columns = max(len(row_cells(row)) for row in rows)
    lines = ""
    for row_index, row in enumerate(rows):
        link = ""
        if row.href or row.title:
            link = f' HREF="{row_token(node_index, row_index)}"'
        cells = row_cells(row)
        line = ""
        for number, cell in enumerate(cells):
            last = number == len(cells) - 1
            span = f' COLSPAN="{columns - number}"' if last and columns - number > 1 else ""
            port = f' PORT="{row.id}"' if last else f' PORT="{row.id}{ROW_IN}"' * (number == 0)
            line += text_cell(
                cut(cell, 28), padding=3, attributes=f'{port}{link} BORDER="1" SIDES="T"{span}'
            )
        lines += f"<TR>{line}</TR>"
    return table(lines, padding=3)


def row_cells(row: Row) -> tuple[str, ...]:
    """What a row prints: at least a line number of cells, so that both its edges are ports."""
    cells = row.cells
    if row.status is not Status.NORMAL:
        cells = (*cells, STATUS_WORDS[row.status])
    return cells if len(cells) > 1 else (*cells, "")
