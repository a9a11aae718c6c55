"""Text from a spec stays text: in HTML, in attributes, in Markdown headings, on one line."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import html
from markdown import Markdown

from installgen.manual.blocks import AsTyped, Code, Heading, Line, Page, Paragraph, Row, Table
from installgen.manual.blocks import Column as Head
from installgen.manual.html import HtmlWriter
from installgen.manual.html_lines import escaped
from installgen.manual.links import PageLinks
from installgen.manual.markdown import markdown_text, page_markdown
from installgen.manual.site import yard_site
from installgen.manual.words import words
from tests.analysis.specs import edited

HOSTILE = [
    "<script>alert(1)</script>",
    "</div></td></table><script>alert(1)</script>",
    '" onmouseover="alert(1)',
    "' onclick='alert(1)",
    "a | b | c",
    "*bold* _it_ `code` [link](javascript:alert(1)) ![i](x) # h {#id .x} {: onclick=x }",
    "line one\n\n# line two\n\n<script>",
    "&lt;script&gt; &amp; &#60;",
    "{{ config }} {% raw %} ${x}",
    "]]> --> <!-- <![CDATA[",
    "1. item",
    "\u202egnp.exe \x00 \u2028",
    "🚢 é 漢字",
]
MARKDOWN = ("admonition", "attr_list", "def_list", "md_in_html", "toc", "tables")


def writer(first: str = "metric") -> HtmlWriter:
    links = PageLinks("page", {"page": "page.html"})
    return HtmlWriter(links, words(), "us" if first == "us" else "metric")


def shown(text: str) -> str:
    """A text as a reader sees it: on one line, without signs that cannot be seen."""
    kept = "".join(" " if sign.isspace() else sign for sign in text)
    return " ".join("".join(sign for sign in kept if sign not in "\u202e\x00").split())


@pytest.mark.parametrize("text", HOSTILE)
def test_a_line_shows_the_text_and_nothing_else(text: str) -> None:
    line: Line = (text, Code(text), AsTyped(text))
    tree = html.fragment_fromstring(writer().block(Paragraph(line)))
    assert {element.tag for element in tree.iter()} <= {"p", "span", "code", "wbr"}
    assert all(set(element.attrib) <= {"class"} for element in tree.iter())
    assert " ".join(tree.text_content().split()) == shown(text) * 3 or (
        "".join(tree.text_content().split()) == "".join(shown(text).split()) * 3
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_a_table_keeps_its_shape(text: str) -> None:
    table = Table(text, (Head(text), Head(text, True)), (Row((text, text), "row"),))
    made = writer().block(table)
    assert "\n" not in made
    tree = html.fragment_fromstring(made)
    assert len(tree.xpath("//tr")) == 2
    assert len(tree.xpath("//th[@scope='col']")) == 2
    (cell,) = tree.xpath("//td")
    assert set(cell.attrib) == {"class", "data-label"}
    assert " ".join(cell.get("data-label").split()) == shown(text)
    assert not tree.xpath("//script")


@pytest.mark.parametrize("text", HOSTILE)
def test_a_heading_survives_markdown(text: str) -> None:
    page = Page("page", text, (Heading(text, "here"), Paragraph(text)))
    publisher = Markdown(extensions=list(MARKDOWN))
    made = publisher.convert(page_markdown(page, writer(), text))
    tree = html.fragment_fromstring(made, create_parent="main")
    (title,), (heading,) = tree.xpath("//h1"), tree.xpath("//h2")
    for element in (title, heading):
        assert "".join(element.text_content().split()) == "".join(shown(text).split())
        assert not list(element)
    assert heading.get("id") == "here"
    assert not tree.xpath("//script|//a|//img|//em|//strong|//code|//li")


def test_markdown_text_leaves_no_sign_that_means_something() -> None:
    signs = "\\`*_{}[]()#+-.!|<>~=:\"'&^$%@/"
    made = markdown_text(f"a{signs}")
    assert not set(made) & set("\\`*_{}[]!|<>~=\"'^$@")


def test_what_is_escaped_stands_on_one_line() -> None:
    assert escaped("a\n\tb\r\u2028c") == "a  b  c"
    assert escaped("5\u00a0mm") == "5\u00a0mm"


HOSTILE_NAME = '<b onx=1>Br|an*n_o`ck</b> \\"q\\" {#x} 🚢'


def test_a_hostile_spec_makes_a_harmless_site(tmp_path: Path) -> None:
    specs = edited(
        tmp_path,
        {
            "vessels/brannock": [
                ("name: Brannock", f'name: "{HOSTILE_NAME}"'),
                ("type: harbour workboat", 'type: "<img src=x onerror=alert(1)>"'),
                ("name: Fuel tank", 'name: "</td><script>alert(2)</script>"'),
                ("name: Start battery", "name: \"' onfocus='alert(3)\""),
            ]
        },
    )
    for other in ("sallow", "pipit"):
        (specs / "vessels" / f"{other}.yaml").unlink()
    site = yard_site(specs)
    mine = [file for file in site.files if file.uri.startswith("vessels/brannock/")]
    pages = [file for file in mine if file.uri.endswith(".md")]
    assert len(pages) > 10
    publisher = Markdown(extensions=list(MARKDOWN))
    names = 0
    for page in pages:
        assert isinstance(page.content, str)
        publisher.reset()
        tree = html.fragment_fromstring(publisher.convert(page.content), create_parent="main")
        assert not tree.xpath("//script|//img[not(parent::figure[@class='photograph'])]"), page.uri
        for element in tree.iter():
            assert not [name for name in element.attrib if name.startswith("on")], page.uri
        names += "<b onx=1>Br|an*n_o`ck</b>" in tree.xpath("//h1")[0].text_content()
    assert names == len(pages)
