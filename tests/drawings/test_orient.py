"""Which way edges run, and where terminals sit."""

import pytest

from installgen.drawings.graph import Drawing, Edge, Node, Terminal
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.orient import courses, rims


def drawing_of(*ways: str, **held: tuple[str, ...]) -> Drawing:
    """A drawing of edges written `a b`, with terminals after a dot: `a.1 b.2`."""
    terminals: dict[str, list[str]] = {}
    edges = []
    for way in ways:
        ends = []
        for end in way.split():
            node, _, port = end.partition(".")
            known = terminals.setdefault(node, [])
            if port and f"t{port}" not in known:
                known.append(f"t{port}")
            ends.append((node, f"t{port}" if port else ""))
        (tail, tail_port), (head, head_port) = ends
        edges.append(Edge(tail, head, Line.CONDUCTOR, tail_port, head_port))
    nodes = tuple(
        Node(name, Kind.DEVICE, name, terminals=tuple(Terminal(t, t) for t in found))
        for name, found in terminals.items()
    )
    return Drawing("d", "t", "d", nodes, tuple(edges), **held)


def test_an_edge_runs_down_unless_it_would_close_a_loop() -> None:
    runs = courses(drawing_of("a b", "b c", "c a"))
    assert [run.up for run in runs] == [False, False, True]
    assert (runs[2].upper, runs[2].lower) == (("a", ""), ("c", ""))


def test_what_leads_to_a_node_held_at_the_top_runs_up() -> None:
    runs = courses(drawing_of("a b", "b tank", top=("tank",)))
    assert [run.up for run in runs] == [False, True]


def test_what_leaves_a_node_held_at_the_bottom_runs_up() -> None:
    assert courses(drawing_of("block a", bottom=("block",)))[0].up


def test_a_terminal_sits_where_its_line_meets_the_node() -> None:
    drawing = drawing_of("fuse.2 plug.1", "plug.1 lamp.1", "lamp.2 block")
    found = rims(drawing, courses(drawing))
    assert [t.id for t in found["plug"].top] == ["t1"]
    assert [t.id for t in found["plug"].bottom] == ["t1"]
    assert [t.id for t in found["lamp"].top] == ["t1"]
    assert [t.id for t in found["lamp"].bottom] == ["t2"]


def test_a_terminal_without_a_line_is_opposite_its_fellow() -> None:
    node = Node("a", Kind.FUSE, "A", terminals=(Terminal("1", "1"), Terminal("2", "2")))
    end = Node("b", Kind.LAMP, "B", terminals=(Terminal("1", "1"), Terminal("2", "2")))
    drawing = Drawing("d", "t", "d", (node, end), (Edge("a", "b", Line.CONDUCTOR, "2", "1"),))
    found = rims(drawing, courses(drawing))
    assert [[t.id for t in rim] for rim in (found["a"].top, found["a"].bottom)] == [["1"], ["2"]]
    assert [[t.id for t in rim] for rim in (found["b"].top, found["b"].bottom)] == [["1"], ["2"]]


def test_both_ends_of_a_jumper_leave_the_bottom_of_its_plug() -> None:
    drawing = drawing_of("plug.5 plug.6")
    run = courses(drawing)[0]
    assert run.loops
    assert [t.id for t in rims(drawing, (run,))["plug"].bottom] == ["t5", "t6"]


def test_a_drawing_refuses_what_it_cannot_draw() -> None:
    node = Node("a", Kind.DEVICE, "A", terminals=(Terminal("t1", "1"),))
    with pytest.raises(ValueError, match="no node 'b'"):
        Drawing("d", "t", "d", (node,), (Edge("a", "b", Line.FLOW),))
    with pytest.raises(ValueError, match="no terminal 't2'"):
        Drawing("d", "t", "d", (node, node_b := Node("b", Kind.DEVICE, "B")),
                (Edge("a", node_b.id, Line.FLOW, "t2"),))  # fmt: skip
    with pytest.raises(ValueError, match="comes twice"):
        Drawing("d", "t", "d", (node, node))
    with pytest.raises(ValueError, match="cannot be an id"):
        Node('x" onload="', Kind.DEVICE, "A")


@pytest.mark.parametrize(
    "href",
    ["javascript:alert(1)", "https://x.example/", "//x.example/", "data:text/html,x", "\\\\x"],
)
def test_a_drawing_links_only_within_its_site(href: str) -> None:
    with pytest.raises(ValueError, match="relative"):
        Node("a", Kind.DEVICE, "A", href=href)


def test_relative_links_are_taken() -> None:
    for href in ("register.html#p1", "../a/b.html", "#here", "a.html?q=1:2"):
        assert Node("a", Kind.DEVICE, "A", href=href).href == href
