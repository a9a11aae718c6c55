"""The reference of every field that a spec may have, as a Markdown page made from the models."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from installgen.spec.entry import Entry
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

# Texts as a person may write them, where the description has no example of its own.
TEXTS = {
    "anchor": "bracket on the injection pump",
    "because": "measured at the sea trial",
    "builders_number": '"127"',
    "builds_on": "yard-basic",
    "built": "2026-02",
    "by": "electrician",
    "caption": '"The strainer with its lid off"',
    "caution": "The stud stays live with the key off.",
    "cautions": "[Never turn the isolator off while the engine runs.]",
    "change_every": "250 h or 12 months",
    "check": "circuit-drop",
    "circuit": "critical",
    "clean_every": "1000 h or 24 months",
    "colour": "red",
    "contacts": '["1", "2"]',
    "cooler": "heat-exchanger",
    "core": "TV-44121",
    "date": "2026-05-14",
    "default": "fitted",
    "document": "TB-684-1",
    "drives": "[coolant pump, alternator]",
    "earlier": "tern-b",
    "edition": '"7"',
    "end": "M5 ball joint",
    "engine": "port",
    "find": '"Port side, under the sole plate."',
    "flange": "four M10 studs on a 152 mm circle",
    "flywheel": "11-1/2",
    "for": "raw water from the strainer",
    "from": "raw-water-inlet",
    "function": "battery positive",
    "how": '"Pull the pin, aim at the foot of the fire."',
    "hin": "ZZ-QSL04127E626",
    "housing": '"3"',
    "id": "intake-seacock",
    "impeller": "TV-50117",
    "inhibitor": "as the engine maker lists",
    "instrument": '"multimeter, no. 4"',
    "item": "lay_up.coldest",
    "kind": "hard-wall",
    "label": "J1",
    "launched": "2026-05",
    "leave_out": "[16 AWG]",
    "limit": "3 %",
    "loading": '"full fuel, two crew"',
    "maker": "Hesper Gear Company",
    "measures": "oil pressure",
    "model": "HG-220",
    "name": "Raw-water seacock",
    "not_applicable": "No gas is carried aboard.",
    "notes": '"Turn it once a month."',
    "number": "TS-684",
    "of": "start-bank.positive",
    "oil_grade": "SAE 40",
    "open_when": "thermostats open",
    "pages": '"41-44"',
    "part_number": "TV-61004",
    "pattern": "early-pattern",
    "plug": "wooden plug on a lanyard",
    "product": "Tolvane Long Life",
    "pulls_to": "lower speed",
    "pump": "raw-water-pump",
    "rating": "heavy-duty",
    "reading": "200 kPa gauge",
    "reason": "owner asked for it",
    "rejoins": "hose-3",
    "reserved_for": "a neutral switch",
    "revision": "B",
    "role": "checker",
    "runs": "while the engine runs",
    "sealant": "new copper washers",
    "seals": "[TV-44125 cover gasket]",
    "section": "8 ribs",
    "sensed_by": "oil-switch",
    "serial": '"674-20881"',
    "setting": "138 pulses a turn",
    "sheet": "tolvane-six",
    "source": "yard practice",
    "standard": "quenby-slip",
    "station": "lower",
    "stations": "[lower, upper]",
    "step": "Check the level of the coolant.",
    "system": "raw-water",
    "task": "Change the engine oil.",
    "tell_by": "The cover is held by one clamp ring.",
    "tension": "by its spring tensioner",
    "through": "[bulkhead-aft]",
    "title": "Operator's book",
    "to": "raw-water-outlet",
    "until": "2027-03-31",
    "use": "Full load for 8 of every 12 hours",
    "value": "12.7 V",
    "what_to_do": "Stop the engine at once.",
    "yard": "Quenby Slip",
}

# Values that fit the field better than the first example of their kind.
AMOUNTS = {
    "ambient": "35 °C",
    "beam": "3.9 m",
    "bore": "38 mm",
    "capacity": "110 Ah",
    "cca": "900 A",
    "coldest": "4 °C",
    "cranking_current": "410 A",
    "exhaust_temperature": "448 °C",
    "freezes": "-36 °C",
    "from_source": "150 mm",
    "hottest": "26 °C",
    "hose_roughness": "0.05 mm",
    "idle": "650 rpm",
    "injection_height": "200 mm",
    "inrush": "2.5:1",
    "insulation": "105 °C",
    "ports": "50 mm",
    "rpm_per_volt": "19 rpm",
    "shaft": "50 mm",
    "short_circuit": "3600 A",
    "size": "38 mm",
    "stroke": "142 mm",
    "stud": "10 mm",
    "temperature": "50 °C",
    "thread": "3/4 NPT",
    "travel": "76 mm",
    "weakest_temperature": "-5 °C",
    "x": "3.2 m",
    "y": "-0.4 m",
    "z": "-450 mm",
}

# Mappings and lists of one's own names.
PLAIN = {
    "between": '["86", "85"]',
    "fitted_when": "{fuel-cooler: fitted}",
    "on_in": "[ignition-on, running]",
    "closed_in": "[ignition-on, cranking]",
    "options": "{fuel-cooler: omitted}",
    "pages_for": "{starting: 12-14, bleeding: 26-28}",
    "pins": '{"1": battery feed, "2": negative}',
    "position_in": "{ignition-on: run, cranking: start}",
    "positions": "{off: [], run: [[battery, ignition]]}",
    "smallest_conductor": "{open: [16 AWG, 1 mm²]}",
    "unused": '{"12": an exhaust-temperature switch}',
}

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
        lines.append(f"  {field.key}: {example(field) or '…'}\n      {what}{need}")
    return "\n".join(lines)


def heading(model: type[Entry] | type[FieldType]) -> str:
    """The name of an entry or a kind of value in words, such as `Vented loop`."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", model.__name__)
    return words[0] + words[1:].lower()


def example(field: FieldShape) -> str:
    """What may stand after a field's key, empty where an entry of its own stands there."""
    if models_in(field.shape):
        return ""
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
        shown = example(field)
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
