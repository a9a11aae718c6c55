"""Bad input through the command line and the build: a message, no traceback, the site as it was."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, PluginError

from installgen.cli import main
from tests.spec.spec_cases import FOLDER

TERN = (FOLDER / "base/vessels/tern.yaml").read_text("utf-8")
WIRED = (
    TERN
    + """\
electrical:
  system: 12 V
  devices:
    - {id: bank, kind: battery, voltage: 12 V, capacity: 110 Ah}
    - {id: lamp, kind: load, current: 2 A}
  conductors:
    - {label: L1, from: bank.positive, to: lamp.positive, length: 1 m, size: 2.5 mm²}
"""
)
ROUND = """\
raw_water:
  - route:
      - engine
      - hose: {bore: 25 mm, length: 1 m}
      - engine
"""
ALIASES = "a: &a [x]\nb: [" + "*a," * 1_700_000 + "]\n"
DOUBLING = "a: &a [x, x]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20)
)

BAD: dict[str, tuple[str | bytes, str]] = {
    "empty": ("", "an empty file"),
    "not YAML": ("{{{{: ]", "vessels/tern.yaml:1:"),
    "a list for a mapping": ("- a\n- b\n", "found a list"),
    "tabs": (TERN + "sea:\n\tcoldest: 4 °C\n", "a tab"),
    "unknown unit": (WIRED.replace("length: 1 m", "length: 3 parsec"), "`parsec` is not known"),
    "decimal comma": (WIRED.replace("length: 1 m", "length: 1,5 m"), "write `1.5 m`"),
    "NO": (TERN + "units: {first: NO}\n", "found `NO`"),
    "1:30": (WIRED.replace("length: 1 m", "length: 1:30"), "a clock time"),
    "negative length": (WIRED.replace("length: 1 m", "length: -1 m"), "above zero"),
    "zero current": (WIRED.replace("current: 2 A", "current: 0 A"), "above zero"),
    "to itself": (WIRED.replace("to: lamp.pos", "to: bank.pos"), "to itself"),
    "a terminal nobody has": (WIRED.replace("to: lamp.pos", "to: lamp.pus"), "lamp.positive"),
    "a route that loops": (TERN + ROUND, "where the water has been already"),
    "another file's id": (TERN.replace("id: tern", "id: gull"), "write `tern`"),
    "name over two lines": (TERN.replace("name: Tern", 'name: "a\\nb"'), "one line"),
    "10,000 characters": (TERN.replace("name: Tern", f"name: {'x' * 10_000}"), "at most 120"),
    "a sheet outside": (TERN.replace("sheet: garrow", "sheet: ../../etc/passwd"), "a short name"),
    "a standard outside": (TERN.replace("standard: yard", "standard: ../yard"), "a short name"),
    "5 MB of aliases": (ALIASES, "at most 1000000 bytes"),
    "doubling aliases": (DOUBLING, "the alias `*a`"),
    "bytes": (b"\x00\xff\xfe", "not UTF-8"),
}


@pytest.mark.parametrize("name", BAD)
def test_every_command_says_it_without_a_traceback(name: str, tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(FOLDER / "base", specs)
    text, told = BAD[name]
    (specs / "vessels/tern.yaml").write_bytes(text if isinstance(text, bytes) else text.encode())
    for command in (["check"], ["results", "tern"], ["working", "tern", "x"]):
        found = CliRunner().invoke(main, ["--specs", str(specs), *command])
        assert found.exit_code == 2
        assert told in found.stderr
        assert found.stderr.startswith("specs/vessels/tern.yaml:")
        assert not found.stdout
        assert isinstance(found.exception, SystemExit)


@pytest.mark.parametrize("name", ["script", "bars and quotes"])
def test_odd_names_are_names(name: str, tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(FOLDER / "base", specs)
    odd = {"script": "<script>alert(1)</script>", "bars and quotes": '| "q" \N{GRINNING FACE}'}[
        name
    ]
    text = TERN.replace("name: Tern", f"name: '{odd}'")
    (specs / "vessels/tern.yaml").write_text(text, "utf-8")
    assert CliRunner().invoke(main, ["--specs", str(specs), "check"]).exit_code == 0


def test_a_built_site_stays_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Yard\ntheme: {name: material}\nplugins: [search, installgen]\n", "utf-8"
    )
    shutil.copytree(FOLDER / "base", tmp_path / "specs")
    _build(tmp_path)
    before = _files(tmp_path / "site")
    assert before
    for text, _ in BAD.values():
        data = text if isinstance(text, bytes) else text.encode()
        (tmp_path / "specs/vessels/tern.yaml").write_bytes(data)
        with pytest.raises((Abort, PluginError)):
            _build(tmp_path)
    assert _files(tmp_path / "site") == before


def _build(project: Path) -> None:
    config = load_config(str(project / "mkdocs.yml"))
    config.plugins.on_startup(command="build", dirty=False)
    build(config)


def _files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }
