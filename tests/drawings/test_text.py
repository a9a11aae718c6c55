"""Text from a spec is cleaned, cut, wrapped and escaped before it is drawn."""

from hypothesis import given
from hypothesis import strategies as st

from installgen.drawings.text import clean, cut, escaped, label_text, wrap


def test_white_space_control_and_direction_signs_go() -> None:
    assert clean("  two\nlines\tand\x07bell ") == "two lines andbell"
    assert clean("a\u202eb\u2066c\u200bd\ufeff") == "abcd"
    assert clean("\ud800x") == "x"


def test_a_long_text_ends_in_an_ellipsis() -> None:
    assert cut("x" * 10, 10) == "x" * 10
    assert cut("x" * 11, 10) == "x" * 9 + "…"


def test_words_wrap_and_what_is_left_over_is_marked() -> None:
    assert wrap("one two three four", lambda line: len(line) <= 9, 3) == (
        "one two",
        "three",
        "four",
    )
    assert wrap("one two three four", lambda line: len(line) <= 9, 2) == ("one two", "three…")
    assert wrap("abcdefghij", lambda line: len(line) <= 4, 3) == ("abcd", "efgh", "ij")
    assert wrap("", lambda line: True, 2) == ()


def test_a_number_stays_with_its_unit() -> None:
    assert wrap("drop 3.1 %, 3 % allowed", lambda line: len(line) <= 12, 3) == (
        "drop 3.1 %,",
        "3 % allowed",
    )
    found = wrap("in 2.5 mm² wire", lambda line: len(line) <= 7, 3)
    assert found == ("in", "2.5 mm²", "wire")


@given(st.text(max_size=300), st.integers(2, 20), st.integers(1, 4))
def test_no_line_is_longer_than_allowed(text: str, width: int, most: int) -> None:
    lines = wrap(text, lambda line: len(line) <= width, most)
    assert len(lines) <= most
    assert all(0 < len(line) <= width for line in lines)


def test_markup_is_escaped() -> None:
    assert escaped("<b>\"'&") == "&lt;b&gt;&quot;&#x27;&amp;"
    assert label_text("\\N <") == "\\\\N &lt;"
