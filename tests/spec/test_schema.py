"""The schemas that editors use: current, valid, and of one mind with the reader."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, get_args

import pytest
from jsonschema import Draft202012Validator

from installgen.spec.nodes import MappingNode, Node, ScalarNode
from installgen.spec.reader import read_file, read_text
from installgen.spec.schema import ROOTS, SchemaKind, schema, schema_text, write_schemas
from installgen.spec.shapes import about, entries_below, fields_of
from tests.conftest import PROJECT
from tests.spec.spec_cases import FOLDER, read_case

KINDS: tuple[SchemaKind, ...] = get_args(SchemaKind)
SPECS = PROJECT / "specs"
FOLDERS: dict[SchemaKind, str] = {
    "vessel": "vessels",
    "engine": "engines",
    "standard": "standards",
}
DEMO = [(kind, path) for kind in KINDS for path in sorted((SPECS / FOLDERS[kind]).glob("*.yaml"))]

# The plain scalars that YAML 1.2's core schema takes for something other than a text.
NUMBER = re.compile(r"[-+]?([0-9]+|\.[0-9]+|[0-9]+\.[0-9]*)([eE][-+]?[0-9]+)?")
TRUTHS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}


def as_an_editor(node: Node) -> Any:
    """What an editor's YAML 1.2 parser makes of a tree."""
    if isinstance(node, MappingNode):
        return {entry.key.text: as_an_editor(entry.value) for entry in node.entries}
    if not isinstance(node, ScalarNode):
        return [as_an_editor(item) for item in node.items]
    if node.style != "plain":
        return node.text
    if node.text in TRUTHS:
        return TRUTHS[node.text]
    if NUMBER.fullmatch(node.text):
        return float(node.text) if re.search("[.eE]", node.text) else int(node.text)
    return node.text


@pytest.fixture(scope="module", params=KINDS)
def kind(request: pytest.FixtureRequest) -> SchemaKind:
    found: SchemaKind = request.param
    return found


def test_the_committed_file_is_current(kind: SchemaKind) -> None:
    written = (SPECS / "schema" / f"{kind}.json").read_text(encoding="utf-8")
    assert written == schema_text(kind), "run `installgen schema`, or `write_schemas`, again"


def test_writing_makes_the_same_files(tmp_path: Path) -> None:
    files = write_schemas(tmp_path / "schema")
    assert [path.name for path in files] == ["vessel.json", "engine.json", "standard.json"]
    again = write_schemas(tmp_path / "again")
    assert [path.read_bytes() for path in files] == [path.read_bytes() for path in again]


def test_it_is_a_schema_and_says_what_everything_is(kind: SchemaKind) -> None:
    made = json.loads(schema_text(kind))
    Draft202012Validator.check_schema(made)
    assert made["title"]
    for part in (made, *made["$defs"].values()):
        assert part.get("description") or part.get("anyOf"), part
        for name, field in part.get("properties", {}).items():
            assert field["description"], name


def test_every_entry_and_field_is_described(kind: SchemaKind) -> None:
    root, _ = ROOTS[kind]
    for model in entries_below(root):
        assert about(model).endswith("."), model
        for field in fields_of(model):
            assert field.what, (model, field.key)


@pytest.mark.parametrize(("kind", "path"), DEMO, ids=lambda value: getattr(value, "stem", value))
def test_the_demonstration_specs_pass(kind: SchemaKind, path: Path) -> None:
    validator = Draft202012Validator(schema(kind))
    tree = read_file(path)
    for typed in (tree.plain(), as_an_editor(tree)):
        assert [f"{e.json_path}: {e.message}" for e in validator.iter_errors(typed)] == []


REFUSED = (
    "choice-unknown",
    "device-kind-missing",
    "device-kind-unknown",
    "list-for-a-mapping",
    "list-for-a-text",
    "mapping-for-a-list",
    "missing-key",
    "out-of-range",
    "sheet-outside",
    "terminal-with-blanks",
    "two-pieces-in-one-entry",
    "unit-missing",
    "unknown-key",
)


@pytest.mark.parametrize("name", REFUSED)
def test_what_an_editor_can_see_it_refuses(name: str) -> None:
    case = read_case(FOLDER / f"{name}.yaml")
    tree = read_text(case.files["vessels/tern.yaml"], "tern.yaml")
    assert not Draft202012Validator(schema("vessel")).is_valid(as_an_editor(tree))


def test_words_may_stand_where_the_models_let_them() -> None:
    validator = Draft202012Validator(schema("vessel"))
    text = (FOLDER / "base" / "vessels" / "tern.yaml").read_text(encoding="utf-8")
    wire = "electrical: {{system: 12 V, conductors: [{{label: A, from: a.b, to: b.c, {}}}]}}\n"
    for field, valid in (
        ("size: choose, length: unknown", True),
        ("size: unknown", True),
        ("size: 2/0 AWG, length: 1-3/4 in", True),
        ("size: choose, length: choose", False),
    ):
        tree = read_text(text + wire.format(field), "tern.yaml")
        assert validator.is_valid(tree.plain()) is valid, field
