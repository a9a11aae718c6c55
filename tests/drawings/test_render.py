"""Few runs of dot, one clear error when it is missing or fails, layouts kept between runs."""

import shutil
import stat
from pathlib import Path

import pytest

from installgen.drawings.graph import Drawing, Node
from installgen.drawings.kinds import Kind
from installgen.drawings.render import render
from installgen.errors import InstallgenError

DOT = shutil.which("dot") or "dot"


def drawing(number: int, name: str = "Pump") -> Drawing:
    return Drawing(f"d{number}", "Title", "What it shows.", (Node("n", Kind.PUMP, name),))


def program(folder: Path, body: str) -> str:
    """A stand-in for dot that answers `-V` and otherwise does what the body says."""
    path = folder / "dot"
    path.write_text(
        f'#!/bin/sh\nif [ "$1" = -V ]; then echo stand-in; exit 0; fi\n{body}\n', encoding="utf-8"
    )
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


class Shelf:
    """A cache in memory that counts what is put into it."""

    def __init__(self) -> None:
        self.kept: dict[str, str] = {}

    def __len__(self) -> int:
        return len(self.kept)

    def get(self, key: str) -> str | None:
        return self.kept.get(key)

    def put(self, key: str, text: str) -> None:
        self.kept[key] = text


def test_drawings_come_in_their_order() -> None:
    names = [f"Pump {number}" for number in range(7)]
    rendered = render([drawing(number, name) for number, name in enumerate(names)])
    assert [one.drawing.nodes[0].name for one in rendered] == names
    for one, name in zip(rendered, names, strict=True):
        assert f">{name}<" in one.svg


def test_no_drawings_need_no_dot() -> None:
    assert render([], dot="there-is-no-such-program") == []


def test_many_drawings_take_two_runs(tmp_path: Path) -> None:
    log = tmp_path / "log"
    dot = program(tmp_path, f'echo run >> "{log}"; exec "{DOT}" "$@"')
    render([drawing(number, f"Pump {number}") for number in range(20)], dot=dot)
    assert log.read_text(encoding="utf-8").split() == ["run", "run"]


def test_a_kept_layout_is_not_made_again(tmp_path: Path) -> None:
    log = tmp_path / "log"
    dot = program(tmp_path, f'echo run >> "{log}"; exec "{DOT}" "$@"')
    shelf = Shelf()
    first = render([drawing(1), drawing(2, "Strainer")], cache=shelf, dot=dot)
    runs = log.read_text(encoding="utf-8")
    again = render([drawing(1), drawing(2, "Strainer")], cache=shelf, dot=dot)
    assert [one.svg for one in again] == [one.svg for one in first]
    assert log.read_text(encoding="utf-8") == runs
    render([drawing(1), drawing(2, "Cooler")], cache=shelf, dot=dot)
    assert log.read_text(encoding="utf-8") == runs + "run\n"
    assert len(shelf.kept) == 3


def test_a_changed_link_needs_no_new_layout() -> None:
    shelf = Shelf()
    plain, linked = (
        Drawing("d", "T", "D", (Node("n", Kind.PUMP, "Pump", href=href),))
        for href in ("", "a.html")
    )
    render([plain], cache=shelf)
    svg = render([linked], cache=shelf)[0].svg
    assert 'href="a.html"' in svg
    assert len(shelf.kept) == 1


def test_without_dot_the_error_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(InstallgenError, match=r"apt install graphviz.*dot -V") as caught:
        render([drawing(1)])
    assert "\n" not in str(caught.value)


def test_a_slow_dot_is_stopped(tmp_path: Path) -> None:
    dot = program(tmp_path, "exec sleep 20")
    with pytest.raises(InstallgenError, match=r"took over 1 s to draw d1"):
        render([drawing(1)], dot=dot, timeout_s=1)


def test_a_failing_dot_names_the_drawing(tmp_path: Path) -> None:
    dot = program(
        tmp_path,
        f'if grep -q \'"d2"\' *.gv; then echo "Error: no good" >&2; exit 3; fi; exec "{DOT}" "$@"',
    )
    with pytest.raises(InstallgenError, match=r"could not draw d2: Error: no good"):
        render([drawing(number, f"Pump {number}") for number in range(4)], dot=dot)


def test_what_dot_complains_of_reaches_the_right_drawing(tmp_path: Path) -> None:
    dot = program(
        tmp_path,
        f'if grep -q \'"d2"\' *.gv; then echo "Warning: odd" >&2; fi; exec "{DOT}" "$@"',
    )
    shelf = Shelf()
    rendered = render(
        [drawing(number, f"Pump {number}") for number in range(4)], cache=shelf, dot=dot
    )
    assert [one.warnings for one in rendered] == [(), (), ("Warning: odd",), ()]
    assert len(shelf.kept) == 3


def test_nothing_is_left_in_the_temporary_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    render([drawing(1)])
    assert list(tmp_path.iterdir()) == []
