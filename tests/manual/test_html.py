"""Blocks as HTML, on results made by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import html
from lxml.html import HtmlElement

from installgen.analysis.results import (
    Input,
    MethodOrigin,
    Missing,
    Result,
    ResultOrigin,
    SpecOrigin,
    TableOrigin,
)
from installgen.errors import Position
from installgen.manual import blocks as b
from installgen.manual.html import HtmlWriter
from installgen.manual.links import PageLinks
from installgen.manual.words import words
from installgen.units import HeatFlow, Length, Pressure, System

PLACE = Position("specs/vessels/tern.yaml", 48, 13)
GAP = Missing("sea.hottest", PLACE, "hottest sea")


def result(result_id: str, value: object, *, assumed: bool = False) -> Result:
    return Result(
        id=result_id,
        name=f"Name of {result_id}",
        system="raw-water",
        value=value,  # type: ignore[arg-type]
        formula="a + b",
        inputs=(),
        source="a handbook",
        not_assessed="" if value is not None else "`sea.hottest` is `unknown`",
        missing=() if value is not None else (GAP,),
        assumed=assumed,
    )


def writer(*results: Result, first: System = "metric") -> HtmlWriter:
    pages = {"fuel": "v/fuel.html", "calculations-raw-water": "v/calculations-raw-water.html"}
    links = PageLinks("fuel", pages)
    return HtmlWriter(links, words(), first, {one.id: one for one in results})


def tree(made: str) -> HtmlElement:
    assert "\n" not in made
    return html.fragment_fromstring(made, create_parent="main")


def cells(element: HtmlElement) -> list[list[str]]:
    return [
        [cell.text_content() for cell in row]
        for row in element.xpath(".//tr[not(ancestor::thead)]")
    ]


# ---- quantities and results


@pytest.mark.parametrize(
    ("first", "shown"), [("metric", "44.5 mm (1-3/4 in)"), ("us", "1-3/4 in (44.5 mm)")]
)
def test_the_leading_system_stands_first(first: System, shown: str) -> None:
    made = tree(writer(first=first).block(b.Paragraph(b.Amount(Length(0.0445)))))
    assert made.text_content().replace("\u00a0", " ") == shown
    (other,) = made.xpath("//span[@class='other-unit']")
    assert other.text_content().startswith("(")


def test_a_heading_can_say_gauge_for_its_column() -> None:
    quantity = Pressure(85_700.0)
    assert "gauge" in writer().line(b.Amount(quantity))
    assert "gauge" not in writer().line(b.Amount(quantity, bare=True))


def test_a_result_leads_to_its_working() -> None:
    flow = result("engine.flow+x", Length(1.0))
    (link,) = tree(writer(flow).block(b.Paragraph(b.Outcome(flow)))).xpath("//a")
    assert link.get("href") == "calculations-raw-water.html#engine.flow+x"


def test_a_result_without_a_value_says_why_and_what_to_fill_in() -> None:
    text = tree(writer().block(b.Paragraph(b.Outcome(result("x", None))))).text_content()
    assert text.startswith("not assessed")
    assert "sea.hottest is unknown" in text
    assert "specs/vessels/tern.yaml:48:13" in text


def test_a_mark_is_a_word_beside_the_figure() -> None:
    assumed = result("x", Length(1.0), assumed=True)
    assert tree(writer().block(b.Paragraph(b.Outcome(assumed)))).text_content().endswith("assumed")
    proposed = b.Amount(Length(1.0), "proposed")
    assert tree(writer().block(b.Paragraph(proposed))).text_content().endswith("proposed")


# ---- tables


def table(*rows: tuple[b.Line, ...], series: str = "") -> b.Table:
    heads = (
        b.Column("What"),
        *(b.Column(f"C{n}", True, "", series) for n in range(len(rows[0]) - 1)),
    )
    return b.Table("A table", heads, tuple(b.Row(row) for row in rows))


def test_a_column_in_which_nothing_stands_is_left_out() -> None:
    made = tree(writer().block(table(("a", "", "1"), ("b", " ", ""))))
    assert [head.text_content() for head in made.xpath("//thead//th")] == ["What", "C1"]
    assert cells(made) == [["a", "1"], ["b", ""]]


def test_a_table_of_many_columns_stands_close() -> None:
    nine, ten = (tuple(str(n) for n in range(columns)) for columns in (9, 10))
    for row, close in ((nine, False), (ten, True)):
        made = tree(writer().block(table(row)))
        assert ("close" in made.xpath("//table")[0].get("class").split()) is close


def test_a_table_without_rows_or_with_a_short_row_is_refused() -> None:
    with pytest.raises(ValueError, match="has no rows"):
        b.Table("A table", (b.Column("What"),), ())
    with pytest.raises(ValueError, match="has 1 cells for 2 columns"):
        b.Table("A table", (b.Column("What"), b.Column("C")), (b.Row(("a",)),))


def test_a_table_can_be_read_aloud() -> None:
    heads = (
        b.Column("What"),
        b.Column("Idle", True, "Pressure"),
        b.Column("Rated", True, "Pressure"),
    )
    made = tree(writer().block(b.Table("A table", heads, (b.Row(("a", "1", "2"), "here"),))))
    assert made.xpath("//caption")[0].text_content() == "A table"
    assert [(h.text_content(), h.get("scope")) for h in made.xpath("//thead//th")] == [
        ("What", "col"), ("Pressure", "colgroup"), ("Idle", "col"), ("Rated", "col"),
    ]  # fmt: skip
    assert made.xpath("//th[@scope='colgroup']")[0].get("colspan") == "2"
    assert made.xpath("//tbody//th[@scope='row']")[0].text_content() == "a"
    assert [td.get("data-label") for td in made.xpath("//td")] == [
        "Pressure, Idle",
        "Pressure, Rated",
    ]
    assert made.xpath("//tr[@id='here']")


def test_figures_of_one_series_share_a_unit() -> None:
    small, large = result("s", HeatFlow(300.0)), result("l", HeatFlow(95_000.0))
    row = ("heat", b.Outcome(small), b.Outcome(large))
    shared = cells(tree(writer().block(table(row, series="speeds"))))[0][1]
    apart = cells(tree(writer().block(table(row))))[0][1]
    assert shared.replace("\u00a0", " ").startswith("0.3 kW")
    assert apart.replace("\u00a0", " ").startswith("300 W")


def test_where_all_is_assumed_the_table_says_it_once() -> None:
    rows = tuple(("a", b.Outcome(result(f"r{n}", Length(1.0), assumed=True))) for n in range(3))
    made = tree(writer().block(table(*rows)))
    assert not made.xpath("//td//*[@class='mark']")
    assert "assumed" in made.xpath("//p[@class='table-note']")[0].text_content()


def test_where_most_is_assumed_a_dagger_leads_to_the_word() -> None:
    rows = [("a", b.Outcome(result(f"r{n}", Length(1.0), assumed=True))) for n in range(3)]
    made = tree(writer().block(table(*rows, ("b", b.Outcome(result("f", Length(1.0)))))))
    assert [td.text_content().endswith("†") for td in made.xpath("//td")] == [True] * 3 + [False]
    assert made.xpath("//td//abbr/@title") == ["assumed"] * 3
    assert made.xpath("//p[@class='table-note']")[0].text_content().startswith("† assumed")


def test_where_few_are_assumed_each_says_so() -> None:
    rows = [("a", b.Outcome(result("r", Length(1.0), assumed=True)))]
    made = tree(writer().block(table(*rows, ("b", b.Outcome(result("f", Length(1.0)))))))
    assert [td.text_content().endswith("assumed") for td in made.xpath("//td")] == [True, False]
    assert not made.xpath("//p[@class='table-note']")


def test_why_a_figure_is_missing_stands_once_below() -> None:
    gaps = [("a", b.Outcome(result(f"r{n}", None))) for n in range(3)]
    made = tree(writer().block(table(*gaps)))
    assert [td.text_content() for td in made.xpath("//td")] == ["not assessed"] * 3
    (note,) = made.xpath("//p[@class='table-note']")
    assert "sea.hottest is unknown" in note.text_content()


# ---- other blocks


def test_the_caution_stands_before_what_is_done() -> None:
    caution = b.Caution("danger", ("It is hot.", "Let it cool."))
    made = tree(writer().block(b.Steps((b.Step("Open the cap.", caution), b.Step("Fill up.")))))
    first, second = made.xpath("//ol/li")
    assert first.text_content().index("Let it cool.") < first.text_content().index("Open the cap.")
    assert first.xpath("./div[@class='danger']/p[@class='signal-word']")[0].text == "Danger"
    assert second.text_content() == "Fill up."


def test_facts_that_say_nothing_are_left_out() -> None:
    made = tree(writer().block(b.Facts((("Name", "Tern"), ("HIN", ""), ("Beam", ())))))
    assert [dt.text for dt in made.xpath("//dt")] == ["Name"]


def test_a_working_shows_where_each_input_comes_from() -> None:
    other = result("other", Length(2.0))
    inputs = (
        Input("bore", Length(0.05), SpecOrigin("raw_water[1].bore", PLACE)),
        Input("factor", 0.5, TableOrigin("fitting loss", "exit", "Crane TP-410", "SEEN-2nd")),
        Input("length", Length(2.0), ResultOrigin("other"), assumed=True),
        Input("K", 12.6, MethodOrigin("common practice")),
    )
    own = replace(result("own", Length(3.0)), inputs=inputs, notes=("A remark.",))
    made = tree(writer(own, other).block(b.WorkingEntry(own, (other,))))
    (details,) = made.xpath("//details[@class='working'][@id='own']")
    assert details.find("summary").text_content().startswith("Name of own: 3.00\u00a0m")
    origins = [row[2] for row in cells(details)]
    assert origins[0] == "raw_water[1].borespecs/vessels/tern.yaml:48:13"
    assert origins[1] == (
        "fitting loss; exit; Crane TP-410; read where another page quotes the source"
    )
    assert origins[2] == "Name of other"
    assert origins[3] == "common practice"
    assert cells(details)[2][1].endswith("assumed")
    text = details.text_content()
    assert "a + b" in text
    assert "a handbook" in text
    assert "A remark." in text
    assert details.xpath(".//a/@href") == ["calculations-raw-water.html#other"] * 2


def test_addresses_are_relative_and_quoted() -> None:
    links = PageLinks("a", {"a": "vessels/tern/a.html", "b": "index.html"})
    assert links.href(b.Target("a", "x")) == "#x"
    assert links.href(b.Target("a")) == "a.html"
    assert links.href(b.Target("b", "é 1")) == "../../index.html#%C3%A9%201"
    with pytest.raises(KeyError):
        links.href(b.Target("c"))
