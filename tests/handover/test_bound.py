"""One document of every page: addresses, the index of short codes, figures that moved house."""

import pytest

from installgen.manual.blocks import Code, Column, Heading, Page, Paragraph, Row, Table, Target
from installgen.manual.bound.codes import code_index
from installgen.manual.bound.figures import relocated
from installgen.manual.bound.pages import emergencies_first
from installgen.manual.links import DocumentLinks

LINKS = DocumentLinks("fuel", frozenset({"fuel", "conductors"}))


def page(page_id: str, *blocks: object, parent: str = "") -> Page:
    """A page with these blocks."""
    return Page(page_id, page_id.capitalize(), blocks, parent=parent)  # type: ignore[arg-type]


def table(*rows: Row) -> Table:
    """A table of two columns."""
    return Table("Things", (Column("What"), Column("Where")), rows)


def test_places_are_named_by_their_page() -> None:
    assert LINKS.href(Target("conductors", "S 1")) == "#conductors--S%201"
    assert LINKS.href(Target("conductors")) == "#conductors"
    assert LINKS.anchor("tank") == "fuel--tank"
    with pytest.raises(KeyError):
        LINKS.href(Target("gone"))


def test_a_figure_keeps_its_links_in_one_document() -> None:
    figure = (
        '<figure id="a-figure"><svg id="a" aria-labelledby="a--title a--desc">'
        '<a xlink:href="conductors.html#engine.W1"><text>href="x"</text></a>'
        '<a href="#tank"><text>T</text></a></svg></figure>'
    )
    assert relocated(figure, LINKS) == (
        '<figure id="fuel--a-figure"><svg id="fuel--a" '
        'aria-labelledby="fuel--a--title fuel--a--desc">'
        '<a xlink:href="#conductors--engine.W1"><text>href="x"</text></a>'
        '<a href="#fuel--tank"><text>T</text></a></svg></figure>'
    )


def test_a_code_leads_to_the_row_about_it() -> None:
    pages = [
        page("first", table(Row(("Pump", Code("S10")), "pump"))),
        page("second", table(Row(((Code("S10"), " Strainer"), "port"), "strainer"))),
    ]
    (entry,) = code_index(pages)
    assert (entry.code, entry.name) == ("S10", "Strainer")
    assert entry.places == (Target("second", "strainer"),)


def test_codes_stand_in_the_order_of_their_numbers() -> None:
    rows = [Row((Code(code), "x"), code) for code in ("S10", "K1", "S2")]
    assert [entry.code for entry in code_index([page("all", table(*rows))])] == ["K1", "S2", "S10"]


def test_a_row_that_is_only_a_code_says_from_where_to_where() -> None:
    row = Row((Code("S1"), (Code("BT1"), " Battery · positive")), "S1")
    entry = next(e for e in code_index([page("conductors", table(row))]) if e.code == "S1")
    assert entry.name == "BT1 Battery · positive"


def test_a_heading_may_begin_with_a_code() -> None:
    (entry,) = code_index([page("plugs", Heading("P1 Main plug", "P1"), Paragraph("Pins"))])
    assert (entry.name, entry.places) == ("Main plug", (Target("plugs", "P1"),))


def test_two_engines_with_the_same_code_are_both_found() -> None:
    rows = [Row((Code("M1"), name), f"{name}.starter") for name in ("port", "starboard")]
    (entry,) = code_index([page("start", table(*rows))])
    assert [place.anchor for place in entry.places] == ["port.starter", "starboard.starter"]


def test_workings_do_not_crowd_the_index() -> None:
    pages = [page("fault-x", table(Row((Code("K1"), "Relay"), "K1")))]
    assert code_index(pages) == ()


def test_emergencies_come_before_everything() -> None:
    pages = [page("index"), page("fuel"), page("emergencies"), page("fire", parent="emergencies")]
    ordered = [one.id for one in emergencies_first(pages)]
    assert ordered == ["emergencies", "fire", "index", "fuel"]
