"""The search index holds a page's words, apart, and leads to rows and workings."""

import pytest

from installgen.manual.search_text import search_text


@pytest.mark.parametrize(
    ("html", "text"),
    [
        ("<dl><dt>Vessel</dt><dd>Petrel</dd></dl>", " Vessel Petrel "),
        ("<td>one<br>two</td><td>three</td>", " one two three "),
        ("<p class='x'>a <b>bo</b>ld word</p>", "<p>a bold word</p>"),
        ('<h2 class="x" id="tables" tabindex="0">T</h2>', '<h2 id="tables">T</h2>'),
        ("<pre class='x'><code>a</code></pre>", "<pre><code>a</code></pre>"),
        ("a<svg viewBox='0 0 1 1'><text>b</text></svg>c", "a c"),
        ("&lt;script&gt;", "&lt;script&gt;"),
        ("<param>a</param>", " a "),
    ],
)
def test_words_stay_and_tags_go(html: str, text: str) -> None:
    assert search_text(html) == text


def test_a_row_with_an_id_is_an_entry() -> None:
    html = '<tr class="x" id="s1"><th scope="row"><a href="#x">S1</a></th><td>2/0 AWG</td></tr>'
    assert search_text(html) == '<index-entry><h6 id="s1">S1</h6> 2/0 AWG </index-entry>'


def test_a_row_without_a_name_is_no_entry() -> None:
    assert search_text('<tr id="s1"><td></td><td>a</td></tr>') == " a "


def test_of_a_working_only_the_name_is_an_entry() -> None:
    html = '<details class="working" id="w"><summary>Drop</summary><p>0.2 V</p></details>after'
    assert search_text(html) == '<index-entry><h6 id="w">Drop</h6></index-entry>after'
