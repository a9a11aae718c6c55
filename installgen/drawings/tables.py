"""What a drawing shows, said again in tables."""

from installgen.drawings.graph import Cell, Drawing, Edge, Node, Row, Table
from installgen.drawings.kinds import KIND_LOOKS, LINE_LOOKS, STATUS_PLAIN_WORDS, Line, Status
from installgen.drawings.text import clean


def tables_of(drawing: Drawing) -> tuple[Table, ...]:
    """The drawing's own tables; else one of its things and one of its connections."""
    if drawing.tables:
        return drawing.tables
    made = (things_table(drawing), rows_table(drawing), connections_table(drawing))
    return tuple(table for table in made if table.rows)


def things_table(drawing: Drawing) -> Table:
    """Every node: code, name, kind, what its box says."""
    rows = tuple(
        (
            Cell(clean(node.code)),
            Cell(clean(node.name), node.href),
            Cell(KIND_LOOKS[node.kind].word),
            lines_cell(node.lines, node.workings, node.status, node.note),
        )
        for node in drawing.nodes
    )
    return Table("What is drawn", ("Code", "Name", "Kind", "Figures"), rows)


def rows_table(drawing: Drawing) -> Table:
    """Every row of a panel or a plug."""
    rows = tuple(
        (
            Cell(clean(node.name), node.href),
            row_cell(row),
        )
        for node in drawing.nodes
        for row in node.rows
    )
    return Table("Rows", ("In", "Row"), rows)


def row_cell(row: Row) -> Cell:
    """A row's words, linked to what it is about, and its figure, linked to its working."""
    text = said(row.cells, row.status, "")
    if not row.working:
        return Cell(text, row.href)
    *words, figure = row.cells
    told = said(tuple(words), row.status, "")
    parts = ((told, row.href), ("; ", ""), (clean(figure), row.working))
    return Cell(text, parts=parts)


def connections_table(drawing: Drawing) -> Table:
    """Every edge: code, both ends with their terminals, kind of line, what its label says."""
    by_id = {node.id: node for node in drawing.nodes}
    rows = tuple(
        (
            Cell(clean(edge.code), edge.href),
            end_cell(by_id[edge.tail], edge.tail_port),
            end_cell(by_id[edge.head], edge.head_port),
            Cell(line_word(drawing, edge.line)),
            lines_cell(edge.lines, edge.workings, edge.status, edge.note),
        )
        for edge in drawing.edges
    )
    return Table("Connections", ("Code", "From", "To", "Kind", "Figures"), rows)


def end_cell(node: Node, port: str) -> Cell:
    """One end of an edge: the thing's name, its code and the terminal."""
    labels = [terminal.label for terminal in node.terminals if terminal.id == port]
    name = clean(node.name) or KIND_LOOKS[node.kind].word
    code = f" ({clean(node.code)})" if node.code else ""
    terminal = f", {clean(labels[0])}" if labels and labels[0] else ""
    return Cell(name + code + terminal, node.href)


def line_word(drawing: Drawing, line: Line) -> str:
    """What the drawing calls a kind of line."""
    return drawing.line_words.get(line, LINE_LOOKS[line].word)


def lines_cell(
    lines: tuple[str, ...], workings: tuple[str, ...], status: Status, note: str
) -> Cell:
    """Lines and status as one sentence, each computed figure linked to its working."""
    text = said(lines, status, note)
    if not any(workings):
        return Cell(text)
    parts: list[tuple[str, str]] = []
    for line, working in zip(lines, workings, strict=True):
        if line:
            parts += [("; ", ""), (clean(line), working)] if parts else [(clean(line), working)]
    rest = said((), status, note)
    return Cell(text, parts=(*parts, (f"; {rest}", "")) if rest else tuple(parts))


def said(lines: tuple[str, ...], status: Status, note: str) -> str:
    """Lines and status as one sentence."""
    parts = [clean(line) for line in lines if line]
    if status is not Status.NORMAL:
        parts.append(STATUS_PLAIN_WORDS[status] + (f": {clean(note)}" if note else ""))
    return "; ".join(parts)


def lines_used(drawing: Drawing) -> tuple[Line, ...]:
    """The kinds of line that occur, in a fixed order, for the drawing's key."""
    used = {edge.line for edge in drawing.edges}
    return tuple(line for line in Line if line in used)


def statuses_used(drawing: Drawing) -> tuple[Status, ...]:
    """The statuses that occur besides the normal one."""
    parts: tuple[Node | Edge, ...] = (*drawing.nodes, *drawing.edges)
    used = {part.status for part in parts}
    used |= {row.status for node in drawing.nodes for row in node.rows}
    return tuple(status for status in Status if status in used and status is not Status.NORMAL)
