"""The README, the help and the commands say the same."""

from __future__ import annotations

import re
import shlex

import click
import pytest

from installgen.cli import main
from tests.conftest import PROJECT

README = (PROJECT / "README.md").read_text("utf-8")
EPILOG = main.epilog or ""
ROWS = re.findall(r"^\| `installgen ([^`]+)` \|", README, re.M)
TOLD = [
    *re.findall(r"`installgen ([^`…]+)`", README),
    *re.findall(r"^  installgen (.+?)   +\S", EPILOG, re.M),
]


def test_every_command_has_its_row_and_its_line_of_help() -> None:
    assert {row.split()[0] for row in ROWS} == set(main.commands)
    assert len(ROWS) == len(main.commands)
    told = {line.split()[0] for line in re.findall(r"^  installgen (.+)$", EPILOG, re.M)}
    assert told == set(main.commands) - {"schema"}


@pytest.mark.parametrize("line", TOLD)
def test_what_is_told_can_be_typed(line: str) -> None:
    name, *words = shlex.split(line)
    command: click.Command = main.commands[name]
    if isinstance(command, click.Group):
        command = command.commands[words.pop(0)]
    assert command.make_context(name, words, resilient_parsing=False).params


def test_its_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (PROJECT / target).exists(), target
