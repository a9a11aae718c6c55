"""What a function needs, cut out of a circuit."""

import pytest

from installgen.drawings.graph import Drawing, Edge, Group, Node, Terminal
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.sheets import serving
from tests.drawings import samples


def circuit() -> Drawing:
    """Two lamps through one plug, each on a pin of its own, and a horn beside them."""
    pins = (Terminal("1", "1"), Terminal("2", "2"))
    nodes = (
        Node("fuse1", Kind.FUSE, "F1"),
        Node("fuse2", Kind.FUSE, "F2"),
        Node("plug", Kind.PLUG, "X1", terminals=pins),
        Node("lamp1", Kind.LAMP, "H1"),
        Node("lamp2", Kind.LAMP, "H2"),
        Node("block", Kind.NEGATIVE, "Block"),
    )
    ways = (
        ("fuse1", "", "plug", "1"), ("fuse2", "", "plug", "2"), ("plug", "1", "lamp1", ""),
        ("plug", "2", "lamp2", ""), ("lamp1", "", "block", ""), ("lamp2", "", "block", ""),
    )  # fmt: skip
    edges = tuple(
        Edge(tail, head, Line.CONDUCTOR, tail_port, head_port)
        for tail, tail_port, head, head_port in ways
    )
    groups = (Group("all", "Panel", ("fuse1", "fuse2")),)
    return Drawing("c", "C", "c", nodes, edges, groups, top=("fuse1", "fuse2"), bottom=("block",))


def test_a_part_holds_what_feeds_its_target_and_where_it_returns() -> None:
    part = serving(circuit(), ["lamp1"], "part", "Lamp 1", "d")
    assert [node.id for node in part.nodes] == ["fuse1", "plug", "lamp1", "block"]
    assert [(edge.tail, edge.head) for edge in part.edges] == [
        ("fuse1", "plug"), ("plug", "lamp1"), ("lamp1", "block"),
    ]  # fmt: skip
    assert (part.top, part.bottom) == (("fuse1",), ("block",))
    assert [group.nodes for group in part.groups] == [("fuse1",)]


def test_a_part_of_everything_is_everything() -> None:
    whole = samples.circuit()
    part = serving(whole, [node.id for node in whole.nodes], "p", "P", "d")
    assert (part.nodes, part.edges) == (whole.nodes, whole.edges)


def test_an_unknown_target_is_refused() -> None:
    with pytest.raises(ValueError, match="no node 'horn'"):
        serving(circuit(), ["horn"], "p", "P", "d")
