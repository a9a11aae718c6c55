"""The DOT text is the same for the same drawing, and says what was meant."""

from pathlib import Path

import pytest

from installgen.drawings.dot import dot_of
from installgen.drawings.graph import Arrow, Drawing, Edge, Group, Node, Row, Terminal
from installgen.drawings.kinds import KIND_LOOKS, LINE_LOOKS, Kind, Line, Status
from installgen.drawings.symbols import WITHOUT_SYMBOL, symbols
from tests.drawings import samples

GOLDEN = Path(__file__).parent / "golden" / "small.gv"


def small() -> Drawing:
    """One of each part of a drawing."""
    return Drawing(
        "small",
        "Small",
        "One of each.",
        (
            Node("f1", Kind.FUSE, "Ignition fuse", "F1", ("10 A",), terminals=(
                Terminal("1", "1"), Terminal("2", "2"))),
            Node("h1", Kind.LAMP, "Oil <lamp>", status=Status.FAIL, note="dim",
                 terminals=(Terminal("1", "1"),), rows=(Row(("a", "b")), Row(("c",), href="#c"))),
            Node("neg", Kind.NEGATIVE, "Engine block", status=Status.NOT_ASSESSED),
        ),
        (
            Edge("f1", "h1", Line.CONDUCTOR, "2", "1", "W1", ("1.5 mm²", "red"), arrow=Arrow.NONE),
            Edge("h1", "neg", Line.CABLE),
        ),
        (Group("helm", "Wheelhouse & helm", ("f1", "h1")),),
        bottom=("neg",),
    )  # fmt: skip


def test_the_text_is_as_agreed() -> None:
    assert dot_of(small()) == GOLDEN.read_text(encoding="utf-8")


@pytest.mark.parametrize("make", samples.ALL)
def test_the_same_drawing_gives_the_same_text(make: samples.Maker) -> None:
    assert dot_of(make()) == dot_of(make())


def test_every_kind_and_line_has_its_look() -> None:
    assert set(KIND_LOOKS) == set(Kind)
    assert set(LINE_LOOKS) == set(Line)
    assert set(symbols()) == {kind.value for kind in set(Kind) - WITHOUT_SYMBOL}


def test_no_two_kinds_of_line_look_alike() -> None:
    looks = [(look.width, look.dashes) for look in LINE_LOOKS.values()]
    assert len(set(looks)) == len(looks)
