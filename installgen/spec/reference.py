"""The reference of every field that a spec may have, as a Markdown page made from the models."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from installgen.spec.entry import Entry
from installgen.spec.examples import AMOUNTS, AMOUNTS_OF, NAMES_OF, PLAIN, TEXTS
from installgen.spec.schema import ROOTS, SchemaKind
from installgen.spec.shapes import (
    AmountShape,
    ChoiceShape,
    EitherShape,
    EntryShape,
    FieldShape,
    ListShape,
    MapShape,
    NumberShape,
    Shape,
    TextShape,
    about,
    amounts_in,
    entries_below,
    fields_of,
    models_in,
)
from installgen.units import FieldType, UnitProblem

INTRODUCTION = """\
# Field by field

Every field that a spec may have, made from the program's own models, so that it cannot be out of
date. *Required* means that a spec without it is refused; `unknown` may stand where the table says
so, and is counted. How the parts go together is told in [Writing a spec](writing-a-spec.md).
"""

_NEEDS_QUOTES = re.compile(r"^[-?:,\[\]{}#&*!|>'\"%@` ]|: |:$| #|, ")


@cache
def reference_markdown() -> str:
    """The whole page: three kinds of spec, every entry once, with a table of its fields."""
    return INTRODUCTION + "".join(f"\n{part}" for part in _parts())


def fields_text(kind: SchemaKind) -> str:
    """Every field of one kind of spec as plain text: each entry, where it stands, its fields."""
    root, title = ROOTS[kind]
    parts = [f"{title}\n\n{_plain_fields(root)}"]
    for model in entries_below(root):
        if model is root:
            continue
        head = f"{heading(model)}: {', '.join(_paths(root, model))}"
        parts.append(f"{head}\n  {about(model)}\n\n{_plain_fields(model)}")
    return "\n\n".join(parts)


def _plain_fields(model: type[Entry]) -> str:
    lines = []
    for field in fields_of(model):
        what = re.sub(r"\[([^]]+)\]\(#[^)]*\)", r"\1", _what(field))
        need = " Required." if field.required else ""
        lines.append(f"  {field.key}: {example(model, field) or '…'}\n      {what}{need}")
    return "\n".join(lines)


def heading(model: type[Entry] | type[FieldType]) -> str:
    """The name of an entry or a kind of value in words, such as `Vented loop`."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", model.__name__)
    return words[0] + words[1:].lower()


def example(model: type[Entry], field: FieldShape) -> str:
    """What may stand after a field's key, empty where an entry of its own stands there."""
    if models_in(field.shape):
        return ""
    own = AMOUNTS_OF.get(model.__name__, {}).get(field.key, "")
    if own:
        return own
    if field.key == "name" and isinstance(field.shape, TextShape) and not _told(field):
        return NAMES_OF.get(model.__name__, heading(model))
    if field.key in PLAIN and isinstance(field.shape, ListShape | MapShape):
        return PLAIN[field.key]
    if isinstance(field.shape, AmountShape) and _fits(field.shape, AMOUNTS.get(field.key, "")):
        return AMOUNTS[field.key]
    if isinstance(field.shape, ChoiceShape | AmountShape | NumberShape):
        return _example(field.shape)
    told, text = _told(field), TEXTS.get(field.key, "")
    if isinstance(field.shape, TextShape):
        quoted = f'"{told}"' if _NEEDS_QUOTES.search(told) else told
        return quoted or text
    is_list = text.startswith("[") and isinstance(field.shape, ListShape)
    return text if is_list else _example(field.shape)


def _fits(shape: AmountShape, text: str) -> bool:
    try:
        shape.kind.parse(text)
    except UnitProblem:
        return False
    return True


def _parts() -> Iterator[str]:
    seen: set[type[Entry]] = set()
    for root, title in ROOTS.values():
        yield f"## {title}\n\n{_table(root)}"
        seen.add(root)
        for model in entries_below(root):
            if model in seen:
                continue
            seen.add(model)
            paths = ", ".join(f"`{path}`" for path in _paths(root, model))
            yield f"### {heading(model)}\n\n{_cell(about(model))} At {paths}.\n\n{_table(model)}"
    yield f"## Values with a unit\n\n{_amounts()}"


def _paths(root: type[Entry], wanted: type[Entry]) -> list[str]:
    """Where an entry may stand, the first four places; `…` stands for a name of one's own."""
    found: list[str] = []

    def walk(model: type[Entry], path: str, above: tuple[type[Entry], ...]) -> None:
        for field in fields_of(model):
            here = f"{path}.{field.key}" if path else field.key
            if isinstance(field.shape, MapShape):
                here += ".…"
            elif isinstance(field.shape, ListShape):
                here += "[]"
            for inner in models_in(field.shape):
                if inner is wanted:
                    found.append(here)
                elif inner not in above:
                    walk(inner, here, (*above, inner))

    walk(root, "", (root,))
    shortest = sorted(dict.fromkeys(found), key=lambda path: (path.count("."), found.index(path)))
    return shortest[:4]


def _table(model: type[Entry]) -> str:
    rows = ["| field | what | example | required |", "|---|---|---|---|"]
    for field in fields_of(model):
        shown = example(model, field)
        written = f"`{field.key}: {shown}`" if shown else f"`{field.key}:` …"
        need = "yes" if field.required else "no"
        rows.append(f"| `{field.key}` | {_cell(_what(field))} | {_cell(written)} | {need} |")
    return "\n".join(rows) + "\n"


def _amounts() -> str:
    kinds = {
        one.kind
        for root, _ in ROOTS.values()
        for model in entries_below(root)
        for field in fields_of(model)
        for one in amounts_in(field.shape)
    }
    rows = ["| value | written as |", "|---|---|"]
    rows += [
        f"| {heading(kind)} | {_cell(kind.expected())} |" for kind in sorted(kinds, key=heading)
    ]
    return "\n".join(rows) + "\n"


def _what(field: FieldShape) -> str:
    parts = [field.what, _takes(field.shape)]
    if field.default:
        parts.append(f"Left out: `{field.default}`.")
    if field.words:
        parts.append(" or ".join(f"`{word}`" for word in field.words) + " may stand here.")
    return " ".join(part for part in parts if part)


def _takes(shape: Shape) -> str:
    """What a shape takes, as a sentence; empty where the description says it."""
    if isinstance(shape, ChoiceShape):
        words = [f"`{word}`" for word in shape.words]
        return "" if len(words) == 1 else f"One of {', '.join(words)}."
    if isinstance(shape, AmountShape):
        takes = f"[{heading(shape.kind)}](#values-with-a-unit)"
        return f"{takes}, {shape.sign}." if shape.sign else f"{takes}."
    if isinstance(shape, NumberShape):
        whole = "A whole number" if shape.whole else "A number"
        least = "" if shape.least is None else f", {shape.least:g} or more"
        return f"{whole}{least}, without a unit."
    if isinstance(shape, EntryShape):
        return f"See {_links(shape)}."
    if isinstance(shape, ListShape):
        if isinstance(shape.item, EntryShape):
            return f"A list: {_links(shape.item)}."
        return f"A list. {_takes(shape.item)}".strip()
    if isinstance(shape, MapShape):
        inner = shape.value
        return f"By names of your own: {_links(inner)}." if isinstance(inner, EntryShape) else ""
    return ""


def _links(shape: EntryShape) -> str:
    return ", ".join(
        f"[{heading(model)}](#{heading(model).lower().replace(' ', '-')})" for model in shape.models
    )


def _told(field: FieldShape) -> str:
    """An example that the description gives: what stands after `such as`."""
    match = re.search(r"such as `([^`]+)`|such as ([0-9]{4}-[0-9-]+)", field.what)
    return (match[1] or match[2]) if match else ""


def _example(shape: Shape) -> str:
    if isinstance(shape, ChoiceShape):
        return shape.words[0]
    if isinstance(shape, AmountShape):
        return shape.kind.EXAMPLES[0]
    if isinstance(shape, NumberShape):
        return f"{max(shape.least or 0, 1):g}"
    if isinstance(shape, ListShape):
        inner = _example(shape.item)
        return f"[{inner}]" if inner else ""
    if isinstance(shape, EitherShape):
        return _example(shape.shapes[0])
    return ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("<", "&lt;").replace("\n", " ")
