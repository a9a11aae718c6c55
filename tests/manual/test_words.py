"""The catalogue of fixed sentences: complete, used, and the only place where sentences stand."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

import installgen.manual
from installgen.analysis.results import SystemName
from installgen.manual.blocks import MarkKind, SignalWord, VerdictKind
from installgen.manual.pages.common import without_case
from installgen.manual.words import BadCatalogue, Words, gaps, words
from installgen.spec.engine_sheet import Side
from installgen.tables.loader import Mark

FOLDER = Path(installgen.manual.__file__).parent
CATALOGUE = words().sentences


def sources() -> Iterator[ast.Module]:
    for path in sorted(FOLDER.rglob("*.py")):
        yield ast.parse(path.read_text("utf-8"))


def texts() -> set[str]:
    """Every text in the code, those within f-strings in part."""
    found = set()
    for tree in sources():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return found


def test_every_key_in_the_code_is_in_the_catalogue() -> None:
    keys = {
        node.args[0].value
        for tree in sources()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("say", "text", "paragraph", "heading", "heading_of", "caption")
        and node.args
        and isinstance(node.args[0], ast.Constant)
        and isinstance(node.args[0].value, str)
    }
    assert len(keys) > 150
    assert sorted(keys - set(CATALOGUE)) == []


def test_no_sentence_is_left_that_nothing_says() -> None:
    """A key is used as it is, as the end of one, in a list of columns, or by a list of words."""
    said = texts()
    parts = {word.removesuffix("#") for text in said for word in text.split()}
    groups = {key.partition(".")[0] for key in CATALOGUE} & said
    unused = {
        key
        for key in CATALOGUE
        if key not in said
        and key.partition(".")[2] not in parts
        and key.partition(".")[0] not in groups
        and not any(text.endswith(".") and key.startswith(text) for text in said)
    }
    assert sorted(unused) == []


@pytest.mark.parametrize(
    ("group", "kinds"),
    [
        ("signal-words", get_args(SignalWord)),
        ("verdicts", get_args(VerdictKind)),
        ("marks", get_args(MarkKind)),
        ("table-marks", [str(mark) for mark in Mark]),
        ("systems", get_args(SystemName)),
        ("sides", get_args(Side)),
    ],
)
def test_every_word_of_a_list_is_there(group: str, kinds: list[str]) -> None:
    for kind in kinds:
        assert words().knows(f"{group}.{kind}")


def test_sentences_are_short_and_end_as_sentences_do() -> None:
    for key, sentence in CATALOGUE.items():
        assert len(sentence) < 8 or sentence == sentence.strip(), key
        assert "  " not in sentence, key
        assert len(sentence) < 330, key
        assert not re.search(r"\d\s?(mm|kPa|psi|°C|°F)", sentence), f"{key} holds a figure"


def test_gaps_are_filled_and_nothing_else_is_taken() -> None:
    made = Words("xx", {"a.b": "from {one} to {two}."})
    assert made.say("a.b", one="A", two="B") == ("from ", "A", " to ", "B", ".")
    assert made.text("a.b", one="{two}", two="B") == "from {two} to B."
    with pytest.raises(BadCatalogue, match=r"words/xx.toml: a.b has the gaps \['one', 'two'\]"):
        made.say("a.b", one="A")
    with pytest.raises(BadCatalogue, match=r"a\.c is missing"):
        made.text("a.c")


def test_a_sentence_without_gaps_is_one_piece() -> None:
    assert gaps("plain text") == [("plain text", "")]


def test_pages_hold_no_sentences_of_their_own() -> None:
    """What a page's code says besides docstrings is keys, ids and signs, no running words."""
    for path in sorted((FOLDER / "pages").glob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        docs = {
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in docs:
                running = re.search(r"\b(the|is|are|of|not|and|a|to be) \w", f" {node.value}")
                columns = re.fullmatch(r"[\w# ]+", node.value)
                assert not running or columns, f"{path.name}:{node.lineno}: {node.value!r}"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (
            "Highest coolant temperature, hottest sea, at idle",
            "Highest coolant temperature, hottest sea",
        ),
        ("Flow at idle", "Flow"),
        ("Pressure at joint 3, idle", "Pressure at joint 3"),
    ],
)
def test_a_row_loses_the_case_that_its_column_says(name: str, said: str) -> None:
    assert without_case(name, "idle") == said
