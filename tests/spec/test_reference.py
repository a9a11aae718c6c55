"""The reference page: every field once, examples that the reader takes, links that lead on."""

from __future__ import annotations

import re
from typing import Annotated, Any

import pytest
from pydantic import TypeAdapter

from installgen.spec.entry import Entry
from installgen.spec.examples import AMOUNTS_OF, NAMES_OF
from installgen.spec.reader import read_text
from installgen.spec.reference import example, heading, reference_markdown
from installgen.spec.schema import ROOTS
from installgen.spec.shapes import AmountShape, entries_below, fields_of

PAGE = reference_markdown()
ENTRIES = list(dict.fromkeys(model for root, _ in ROOTS.values() for model in entries_below(root)))
ROOT_TITLES = dict(ROOTS.values())


def section(title: str) -> str:
    """What stands under a heading, down to the next."""
    found = re.search(rf"^##+ {re.escape(title)}\n(.*?)(?=^##|\Z)", PAGE, re.M | re.S)
    assert found, title
    return found[1]


@pytest.mark.parametrize("model", ENTRIES, ids=lambda model: model.__name__)
def test_every_field_has_its_row(model: type[Entry]) -> None:
    rows = section(ROOT_TITLES.get(model, heading(model))).split("\n")
    for field in fields_of(model):
        told = [row for row in rows if row.startswith(f"| `{field.key}` |")]
        assert len(told) == 1, field.key
        cells = re.split(r"(?<!\\)\|", told[0])
        assert len(cells) == 6
        assert cells[4].strip() == ("yes" if field.required else "no")


@pytest.mark.parametrize("model", ENTRIES, ids=lambda model: model.__name__)
def test_the_reader_takes_every_example(model: type[Entry]) -> None:
    for field, info in zip(fields_of(model), model.model_fields.values(), strict=True):
        shown = example(model, field)
        if not shown:
            continue
        kind: Any = info.annotation
        for metadata in info.metadata:
            kind = Annotated[kind, metadata]
        written = read_text(f"{field.key}: {shown}\n", "reference").plain()
        flow = read_text(f"a: {{{field.key}: {shown}, last: one}}\n", "reference").plain()
        assert flow == {"a": {**written, "last": "one"}}, f"{field.key}: {shown}"
        TypeAdapter(kind).validate_python(written[field.key])


def test_links_lead_to_headings() -> None:
    headings = {title.lower().replace(" ", "-") for title in re.findall(r"^#+ (.+)$", PAGE, re.M)}
    links = set(re.findall(r"\]\(#([^)]+)\)", PAGE))
    assert links
    assert links <= headings


def test_no_heading_stands_twice() -> None:
    titles = re.findall(r"^#+ (.+)$", PAGE, re.M)
    assert len(titles) == len(set(titles))


def test_every_example_of_an_entry_fits_a_field_of_it() -> None:
    by_name = {model.__name__: model for model in [*ENTRIES, *(root for root, _ in ROOTS.values())]}
    for name, examples in AMOUNTS_OF.items():
        fields = {field.key: field for field in fields_of(by_name[name])}
        for key, text in examples.items():
            shape = fields[key].shape
            assert isinstance(shape, AmountShape), (name, key)
            shape.kind.parse(text)
    for name in NAMES_OF:
        assert "name" in {field.key for field in fields_of(by_name[name])}, name
