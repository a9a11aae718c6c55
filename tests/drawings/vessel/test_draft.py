"""A drawing put together: even lines, both systems where they fit, ids of any names."""

from installgen.drawings.kinds import Kind, Line
from installgen.drawings.render import render
from installgen.drawings.vessel.draft import Draft, terminal_id
from installgen.drawings.vessel.words import Said, one_line, table_only, worded
from tests.drawings.boxes import faults

SHORT = Said("2 in", "2 in (50.8 mm)", "bore")
LONG = Said("2-1/2 in", "2-1/2 in (63.5 mm) of a very particular and long description", "bore")
OTHER = Said("26 °C", "26 °C (78.8 °F)", "temperature")


def draft(*lines: Said) -> Draft:
    """A draft of one box for each line."""
    made = Draft()
    for number, line in enumerate(lines):
        made.node(f"n{number}", Kind.HOSE, "Hose", lines=[line])
    return made


def test_lines_of_a_family_are_all_in_full_or_all_in_short() -> None:
    drawing = draft(SHORT, LONG, OTHER).drawing("d", "D", "d")
    assert [one.lines for one in drawing.nodes] == [("2 in",), ("2-1/2 in",), ("26 °C (78.8 °F)",)]
    drawing = draft(SHORT, OTHER).drawing("d", "D", "d")
    assert drawing.nodes[0].lines == ("2 in (50.8 mm)",)


def test_the_table_has_both_systems_and_what_is_not_drawn() -> None:
    drawing = draft(LONG, table_only("in the engine space")).drawing("d", "D", "d")
    assert drawing.nodes[1].lines == ()
    told = [row[3].text for row in drawing.tables[0].rows]
    assert told == [LONG.full, "in the engine space"]
    assert LONG.full in drawing.nodes[0].title


def test_lines_are_joined_in_short_and_in_full() -> None:
    joined = one_line([SHORT, "", "1 bend", table_only("soft")])
    assert joined == Said("2 in, 1 bend", "2 in (50.8 mm), 1 bend, soft", "bore")
    assert worded("{} bore", SHORT) == Said("2 in bore", "2 in (50.8 mm) bore", "bore")


def test_names_of_a_spec_become_ids_that_differ() -> None:
    made = Draft()
    names = ["B+", "B-", "B_", "86", "engine.P1.3", "ä", "a b", "a_b"]
    for name in names:
        made.node(name, Kind.STUD, name, terminals=["B+", "B-", "+", "−", "1"])
    drawing = made.drawing("d", "D", "d")
    assert len({one.id for one in drawing.nodes}) == len(names)


def test_terminals_of_a_spec_become_ids_that_differ() -> None:
    labels = ["B+", "B-", "B", "+", "-", "1", "87", "87a", "ä"]
    assert len({terminal_id(label) for label in labels}) == len(labels)


def test_edges_end_on_terminals_of_any_name() -> None:
    made = Draft()
    made.node("bat", Kind.BATTERY, "Battery", terminals=["B+"])
    made.node("load", Kind.LOAD, "<script>", terminals=["+", "−"])
    made.edge("bat", "load", Line.CONDUCTOR, "W1", ["1.5 mm²"], tail_port="B+", head_port="+")
    [one] = render([made.drawing("d", "D", "d")])
    assert faults(one.svg) == []
    assert "<script>" not in one.svg
