"""Ready-made HTML takes the way around Markdown and arrives as it was."""

import pytest
from markdown import Markdown

from installgen.manual.raw_blocks import put_back, set_aside

TABLE = "<div><table><tr><td>a | b</td><td>*c*</td></tr></table></div>"


def through(text: str) -> str:
    """Markdown's HTML of a page whose ready-made blocks go around it."""
    markdown, blocks = set_aside(text)
    return put_back(Markdown(extensions=["md_in_html"]).convert(markdown), blocks)


def test_a_block_comes_back_in_its_place() -> None:
    text = f"# Title\n\nBefore.\n\n{TABLE}\n\n*After*.\n\n{TABLE}\n"
    markdown, blocks = set_aside(text)
    assert blocks == [TABLE, TABLE]
    assert "<td>" not in markdown
    html = through(text)
    assert html.count(TABLE) == 2
    assert html.index("Before.") < html.index(TABLE) < html.index("<em>After</em>")


@pytest.mark.parametrize(
    "text",
    [
        "Text\n<div>a</div>\nmore text",  # part of a paragraph
        "<div>a</div>\n*more*\n",
        '<div markdown="1">*a*</div>',
        "<div>\n\n*a*\n\n</div>",
        "<div>a</div><div>b</div></div>",
        "    <div>a</div>",
        "<span>a</span>",
        f"\ue0000\ue001\n\n{TABLE}",
    ],
)
def test_what_is_no_block_of_its_own_stays(text: str) -> None:
    assert set_aside(text) == (text, [])


def test_markdown_gives_the_same_page() -> None:
    text = f"# Title\n\n{TABLE}\n\nText.\n"
    plain = Markdown(extensions=["md_in_html"]).convert(text)
    assert "".join(through(text).split()) == "".join(plain.split())
