"""What a spec file may hold, what is refused, and where messages point."""

import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec import tree
from installgen.spec.nodes import MappingNode, ScalarNode, SequenceNode, node_at, path_text
from installgen.spec.reader import read_bytes, read_file, read_text

NAME = "specs/vessels/tern.yaml"

LOADERS: list[type] = [yaml.SafeLoader]
if hasattr(yaml, "CSafeLoader"):
    LOADERS.append(yaml.CSafeLoader)


@pytest.fixture(params=LOADERS, ids=lambda loader: loader.__name__)
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both of PyYAML's parsers, since not every machine has libyaml."""
    monkeypatch.setattr(tree, "_Loader", request.param)


def problems_of(text: str | bytes) -> tuple[Problem, ...]:
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(SpecErrors) as raised:
        read_bytes(data, NAME)
    return raised.value.problems


def places(text: str | bytes) -> list[tuple[int, int, str]]:
    """Line, column and what was found, of each problem."""
    return [(one.position.line, one.position.column, one.found) for one in problems_of(text)]


SPEC = """\
# a boat
vessel: {id: tern, name: "Tern 🛥", hin: 'ZZ'}
launched: 2026-05      # no date

electrical:
  conductors:
    - label: S1
      size: 2/0 AWG

    - {label: S2, size: choose}
note: |
  one
  two
"""


@pytest.mark.usefixtures("loader")
class TestTree:
    def test_plain(self) -> None:
        assert read_text(SPEC, NAME).plain() == {
            "vessel": {"id": "tern", "name": "Tern 🛥", "hin": "ZZ"},
            "launched": "2026-05",
            "electrical": {
                "conductors": [
                    {"label": "S1", "size": "2/0 AWG"},
                    {"label": "S2", "size": "choose"},
                ]
            },
            "note": "one\ntwo\n",
        }

    def test_positions_count_from_one_past_comments_blank_lines_and_emoji(self) -> None:
        root = read_text(SPEC, NAME)
        assert root.position_of(("vessel", "hin")) == Position(NAME, 2, 41)
        assert root.position_of(("vessel", "hin"), key=True) == Position(NAME, 2, 36)
        assert root.position_of(("launched",)) == Position(NAME, 3, 11)
        assert root.position_of(("electrical", "conductors", 0)) == Position(NAME, 7, 7)
        assert root.position_of(("electrical", "conductors", 0, "size")) == Position(NAME, 8, 13)
        assert root.position_of(("electrical", "conductors", 1, "size")) == Position(NAME, 10, 25)
        assert root.position_of(()) == Position(NAME, 2, 1)

    def test_a_place_that_is_not_there_is_its_nearest_surrounding(self) -> None:
        root = read_text(SPEC, NAME)
        second = Position(NAME, 10, 7)
        assert root.position_of(("electrical", "conductors", 1)) == second
        assert root.position_of(("electrical", "conductors", 1, "length")) == second
        assert root.position_of(("electrical", "conductors", 9)) == Position(NAME, 7, 5)
        assert node_at(root, ("electrical", "conductors", 1, "length")) is None
        assert node_at(root, ("electrical", "conductors", 9)) is None
        assert node_at(root, ("launched", "year")) is None

    def test_scalars_stay_as_written_with_their_style(self) -> None:
        text = "a: NO\nb: 1:30\nc: 2026-05\nd: 0x1F\ne: ~\nf:\ng: ''\nh: 'NO'\ni: 1_0\nj: .inf\n"
        root = read_text(text, NAME)
        assert root.plain() == {
            "a": "NO",
            "b": "1:30",
            "c": "2026-05",
            "d": "0x1F",
            "e": "~",
            "f": "",
            "g": "",
            "h": "NO",
            "i": "1_0",
            "j": ".inf",
        }
        nodes = {entry.key.text: entry.value for entry in root.entries}
        blank, empty, quoted = nodes["f"], nodes["g"], nodes["h"]
        assert isinstance(blank, ScalarNode)
        assert blank.is_blank
        assert isinstance(empty, ScalarNode)
        assert not empty.is_blank
        assert isinstance(quoted, ScalarNode)
        assert quoted.style == "quoted"

    def test_nodes(self) -> None:
        root = read_text(SPEC, NAME)
        assert isinstance(node_at(root, ("electrical", "conductors")), SequenceNode)
        assert isinstance(root.get("vessel"), MappingNode)
        assert root.get("boat") is None
        note = root.get("note")
        assert isinstance(note, ScalarNode)
        assert note.style == "block"
        assert path_text(("electrical", "conductors", 3, "length")) == (
            "electrical.conductors[3].length"
        )

    def test_byte_order_mark_and_windows_line_ends(self) -> None:
        root = read_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n", NAME)
        assert root.plain() == {"a": "1", "b": "2"}
        assert root.position_of(("a",), key=True) == Position(NAME, 1, 1)

    def test_ten_thousand_characters_are_the_models_business(self) -> None:
        assert read_text(f"name: {'x' * 10_000}\n", NAME).plain() == {"name": "x" * 10_000}

    def test_script_quotes_bars_and_emoji_pass_as_text(self) -> None:
        name = '<script>alert(1)</script> | "it\'s" 😀'
        quoted = name.replace("'", "''")
        assert read_text(f"name: '{quoted}'\n", NAME).plain() == {"name": name}


UNREADABLE: list[tuple[str | bytes, list[tuple[int, int, str]]]] = [
    ("", [(1, 1, "an empty file")]),
    (" \n\n", [(1, 1, "an empty file")]),
    (b"", [(1, 1, "an empty file")]),
    ("# nothing\n", [(1, 1, "a file that holds only comments")]),
    ("- a\n- b\n", [(1, 1, "a list")]),
    ("just text\n", [(1, 1, "a text")]),
    ("a:1\n", [(1, 1, "a text")]),
    ("a: 1\n---\nb: 2\n", [(2, 1, "a second document (“---”)")]),
    (b"a: caf\xe9\n", [(1, 7, "the byte 0xe9, which is not UTF-8")]),
    (b"b: 1\na: \xc3\xa4\xff\n", [(2, 5, "the byte 0xff, which is not UTF-8")]),
    ("a: 1\n".encode("utf-16"), [(1, 1, "a file in UTF-16")]),
    ("a: \x1b[31m\n", [(1, 4, "the character U+001B, which cannot be seen")]),
    ("a: x\x00\n", [(1, 5, "the character U+0000, which cannot be seen")]),
    (
        "a: x\u202ey\n",
        [(1, 5, "the character U+202E (right-to-left override), which cannot be seen")],
    ),
    ("a: 1\u2028b: 2\n", [(1, 5, "the character U+2028 (line separator), which cannot be seen")]),
    ("a: 1\rb: 2\r", [(1, 5, "the character U+000D, which cannot be seen"),
                       (1, 10, "the character U+000D, which cannot be seen")]),
    ('a: "\\u202e"\n',
     [(1, 4, "the character U+202E (right-to-left override), written as an escape")]),
    ('a: "\\x07"\n', [(1, 4, "the character U+0007, written as an escape")]),
    ("a:\n\tb: 1\n", [(2, 1, "a tab at the start of the line")]),
    ("a:\n  b: 1\n  \tc: 2\n\td: 3\n", [(3, 3, "a tab at the start of the line"),
                                       (4, 1, "a tab at the start of the line")]),
    ("a: 1\nb: 2\na: 3\na: 4\n", [(3, 1, "the key `a` again (the first stands in line 1)"),
                                (4, 1, "the key `a` again (the first stands in line 1)")]),
    ("a: {x: 1, x: 2}\n", [(1, 11, "the key `x` again (the first stands in line 1)")]),
    ("a: &x 1\nb: *x\nc: !!str 1\nd: !!python/object/apply:os.system [x]\n",
     [(1, 4, "the anchor `&x`"), (2, 4, "the alias `*x`"), (3, 4, "the tag `!!str`"),
      (4, 4, "the tag `!!python/object/apply:os.system`")]),
    ("a: &x {b: 1}\n<<: *x\n", [(1, 4, "the anchor `&x`"), (2, 5, "the alias `*x`")]),
    ("? [a]\n: b\n", [(1, 3, "a list as a key")]),
    ("{{ name }}\n", [(1, 2, "a mapping as a key")]),
    ("a: {b:1}\n", [(1, 5, "`b:1`, a colon without a space after it")]),
    ("a: 1\n  - b\n", [(1, 4, "`1 - b`, one text over 2 lines")]),
    ("a: b\n  c\n\n  d\n", [(1, 4, "`b c d`, one text over 4 lines")]),
    ("a: b: c\n", [(1, 5, "a colon that cannot stand here")]),
    ("a: 1\n  b: 2\n",
     [(2, 3, "a line indented by 2 spaces, below `a: 1` in line 1, which has its value already")]),
    ("a: 1\nb\nc: 2\n", [(2, 1, "a line without a colon")]),
    ("a: [1, 2\nb: 3\n",
     [(1, 4, "a list that begins with `[` and is not closed, or lacks a comma")]),
    ("a: {x: 1\nb: 2\n",
     [(1, 4, "a mapping that begins with `{` and is not closed, or lacks a comma")]),
    ("a: 'x\nb: 1\n", [(1, 4, "a quotation mark that is not closed")]),
    ("a: 'it's'\n", [(1, 8, "a line or a text that does not fit what stands before it")]),
    ("a:\n  b: 1\n c: 2\n", [(3, 2, "a line indented by 1 space, like no line above")]),
    ("a:\n  - b: 1\n - b: 2\n", [(3, 2, "a line indented by 1 space, like no line above")]),
    ("- a\nb: 1\n", [(2, 1, "something other than an item in a list")]),
    ("a: - b\n", [(1, 4, "`-` where no list item can stand")]),
    ("a: * b\n", [(1, 4, "`*` or `&` at the start of a value")]),
    ("a: @b\n", [(1, 4, "`@` at the start of a value or key")]),
    ("a: `b`\n", [(1, 4, "``` at the start of a value or key")]),
    ("a: }\n", [(1, 4, "`}` where a value should stand")]),
    ("a: |x\n y\n", [(1, 5, "something after `|` or `>`")]),
]  # fmt: skip


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(("text", "expected"), UNREADABLE, ids=lambda each: repr(each)[:40])
def test_unreadable(text: str | bytes, expected: list[tuple[int, int, str]]) -> None:
    assert places(text) == expected
    for problem in problems_of(text):
        assert problem.position.file == NAME
        assert problem.expected


@pytest.mark.usefixtures("loader")
def test_backslash_in_double_quotes() -> None:
    (problem,) = problems_of('a: "C:\\new"\nb: "\\q"\n')
    assert problem.position.line == 2  # libyaml and PyYAML differ by a column
    assert problem.found == "a backslash in a text in double quotation marks"


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
def test_deep_nesting_is_refused_at_once(opening: str) -> None:
    start = time.perf_counter()
    (problem,) = problems_of(opening * 100_000)
    assert "levels" in problem.found
    assert time.perf_counter() - start < 5


def test_five_megabytes_of_aliases_are_refused_at_once() -> None:
    bomb = b"a: &a [x, x]\n" + b"".join(b"k%d: *a\n" % number for number in range(600_000))
    assert len(bomb) > 5_000_000
    start = time.perf_counter()
    assert places(bomb) == [(1, 1, f"a file of {len(bomb)} bytes")]
    within_size = bomb[:900_000]
    assert places(within_size)[1] == (2, 5, "the alias `*a`")
    assert time.perf_counter() - start < 2


def test_a_billion_laughs_are_never_expanded() -> None:
    lines = ['a0: &a0 ["ha"]']
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]
    start = time.perf_counter()
    assert places("\n".join(lines))[0] == (1, 5, "the anchor `&a0`")
    assert time.perf_counter() - start < 1


def test_too_many_nodes_and_too_many_problems() -> None:
    many = "".join(f"k{number}: 1\n" for number in range(60_000))
    assert places(many)[-1][2] == "more than 100000 keys and values"
    assert len(problems_of("a: &x 1\n" * 1000)) == 20
    assert len(problems_of("\x07" * 1000)) == 20


def test_messages_read_as_sentences() -> None:
    assert str(problems_of("a: 1\nb: 2\na: 3\n")[0]) == (
        f"{NAME}:3:1: found the key `a` again (the first stands in line 1); expected each key once"
    )


def test_files(tmp_path: Path) -> None:
    path = tmp_path / "tern.yaml"
    path.write_text(SPEC, encoding="utf-8")
    assert read_file(path, NAME).position_of(("launched",)) == Position(NAME, 3, 11)
    assert read_file(path).position.file == path.as_posix()
    path.write_bytes(b"a: 1 # " + b"x" * 1_000_000)
    with pytest.raises(SpecErrors, match="a file of 1000007 bytes; expected at most 1000000"):
        read_file(path, NAME)
    with pytest.raises(SpecErrors, match="cannot be read \\(no such file or directory\\)"):
        read_file(tmp_path / "none.yaml", NAME)
    with pytest.raises(SpecErrors, match="cannot be read \\(is a directory\\)"):
        read_file(tmp_path, NAME)


YAML_SIGNS = st.text(alphabet="ab1 :-,[]{}'\"#&*!|>%@`\n\t\\?~é😀", max_size=60)


@given(YAML_SIGNS)
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    read, told = None, ""
    try:
        read = read_text(text, NAME).plain()
    except SpecErrors as errors:
        told = str(errors)
    assert isinstance(read, dict) or told.startswith(f"{NAME}:")


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused_in_words(data: bytes) -> None:
    read, told = None, ""
    try:
        read = read_bytes(data, NAME).plain()
    except SpecErrors as errors:
        told = str(errors)
    assert isinstance(read, dict) or told.startswith(f"{NAME}:")


KEYS = st.text(alphabet="abcdefgh-", min_size=1, max_size=8)
TREES = st.recursive(
    st.text(alphabet="abc NO1:30é😀'\"|", max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=20,
)


@given(st.dictionaries(KEYS, TREES, min_size=1, max_size=5))
def test_what_yaml_writes_with_quotes_comes_back(tree: dict[str, object]) -> None:
    text = yaml.safe_dump(tree, allow_unicode=True, default_style='"', width=10_000)
    text = text.replace('!!null "null"', '""')
    assert read_text(text, NAME).plain() == tree
