"""Reads the text of a spec file into a tree with positions; YAML's surprises are refused here."""

import os
from pathlib import Path

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode
from installgen.spec.text_checks import LARGEST_BYTES, check_text, decode
from installgen.spec.tree import build

__all__ = [
    "MappingNode",
    "Node",
    "ScalarNode",
    "SequenceNode",
    "read_bytes",
    "read_file",
    "read_text",
]


def read_file(path: Path, name: str | None = None) -> MappingNode:
    """The tree of a file.

    name: how messages call the file, as the user named it; else the path itself
    Raises SpecErrors with every problem found.
    """
    name = name or path.as_posix()
    try:
        with path.open("rb") as file:
            if (size := os.fstat(file.fileno()).st_size) > LARGEST_BYTES:
                raise _refused(name, f"a file of {size} bytes", f"at most {LARGEST_BYTES} bytes")
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise _refused(name, f"a file that cannot be read ({reason})", "a spec file") from error
    return read_bytes(data, name)


def read_bytes(data: bytes, name: str) -> MappingNode:
    """The tree of a file's contents; `name` is how messages call the file. Raises SpecErrors."""
    if len(data) > LARGEST_BYTES:
        raise _refused(name, f"a file of {len(data)} bytes", f"at most {LARGEST_BYTES} bytes")
    return read_text(decode(data, name), name)


def read_text(text: str, name: str) -> MappingNode:
    """The tree of a text; `name` is how messages call the file. Raises SpecErrors."""
    if len(text) > LARGEST_BYTES:
        raise _refused(name, f"a text of {len(text)} characters", f"at most {LARGEST_BYTES}")
    problems = check_text(text, name)
    if problems:
        raise SpecErrors(problems)
    return build(text, name)


def _refused(name: str, found: str, expected: str) -> SpecErrors:
    return SpecErrors([Problem(Position(name, 1, 1), "", found, expected)])
