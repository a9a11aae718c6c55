"""A page of the yard for each standard: every limit, what it rests on and where it is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.findings.finding import SEVERITIES
from installgen.findings.registry import Check, checks
from installgen.manual.blocks import (
    Amount,
    AsTyped,
    Block,
    Heading,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Stack,
    Target,
    is_empty,
    joined,
)
from installgen.manual.links import CHECKS, standard_page_id
from installgen.manual.pages.common import typed
from installgen.manual.words import Words
from installgen.manual.yard_pages import rule_anchor, rule_name, yard_table
from installgen.spec.entry import Entry, Unknown, yaml_key
from installgen.spec.standard_spec import Rule, StandardSpec
from installgen.units import ConductorSize, Quantity, ThreadSize


def standard_page(standard: StandardSpec, words: Words) -> Page:
    """Everything that a standard says, with the file and line of each entry."""
    identity = standard.standard
    intro = words.say(
        "standard.intro",
        name=identity.name,
        yard=identity.yard,
        edition=identity.edition,
        date=identity.date,
        file=AsTyped(f"standards/{identity.id}.yaml"),
    )
    blocks: list[Block] = [Paragraph(intro)]
    if standard.builds_on is not None:
        base = AsTyped(standard.builds_on)
        blocks.append(Paragraph(words.say("standard.builds_on", base=base)))
    if standard.exemption_roles:
        roles = ", ".join(words.text(f"roles.{role}") for role in standard.exemption_roles)
        blocks.append(Paragraph(words.say("standard.exemption_roles", roles=roles)))
    for heading, anchor, tables in (
        ("rules", "rules", _rules(standard, words)),
        ("stock", "stock", _stock(standard, words)),
        ("assume", "assumed", _assumptions(standard, words)),
        ("others", "others", _others(standard, words)),
    ):
        made = list(tables)
        if made:
            blocks += [Heading(words.text(f"standard.{heading}_heading"), anchor), *made]
    title = words.text("standard.title", name=identity.name)
    return Page(standard_page_id(identity.id), title, tuple(blocks))


def _rules(standard: StandardSpec, words: Words) -> Iterator[Block]:
    known = checks()
    for severity in SEVERITIES:
        rules = [rule for rule in standard.rules if rule.severity == severity]
        yield from yard_table(
            words,
            words.text(f"standard.rules_{severity}", count=str(len(rules))),
            "rule asks limit because written_in",
            (_rule(rule, known.get(rule.check), words) for rule in rules),
        )
    yield from yard_table(
        words,
        words.text("standard.required_caption"),
        "field severity because written_in",
        (
            Row(
                (
                    AsTyped(item.item),
                    words.text(f"severities.{item.severity}"),
                    item.because,
                    _where(item, "item"),
                )
            )
            for item in standard.required
        ),
    )


def _rule(rule: Rule, check: Check | None, words: Words) -> Row:
    name = rule_name(rule.check, rule.circuit)
    linked: Line = Link(name, Target(CHECKS, rule.check)) if check is not None else name
    near: Line = ""
    if rule.near is not None:
        near = words.say("standard.near", share=Amount(rule.near))
    never = words.text("standard.never_exempt") if rule.exemption == "never" else ""
    return Row(
        (
            linked,
            typed(check.summary) if check is not None else "",
            Stack((rule.limit or "", near)),
            Stack((rule.because[:1].upper() + rule.because[1:], never)),
            _where(rule, "limit" if rule.limit is not None else "check"),
        ),
        rule_anchor(rule.check, rule.circuit),
    )


def _stock(standard: StandardSpec, words: Words) -> Iterator[Block]:
    stock = standard.stock
    yield from yard_table(
        words,
        words.text("standard.cables_caption"),
        "size insulation strands lugs written_in",
        (
            Row(
                (
                    Amount(cable.size),
                    Amount(cable.insulation),
                    cable.strands,
                    _amounts(cable.studs),
                    _where(cable, "size"),
                )
            )
            for cable in stock.cables
        ),
    )
    yield from yard_table(
        words,
        words.text("standard.fuses_caption"),
        "type ratings breaks voltage holds_of_rating opens_within written_in",
        (
            Row(
                (
                    family.type,
                    _amounts(family.ratings),
                    _field(family.interrupting),
                    _field(family.voltage),
                    _field(family.holds),
                    Stack(tuple(_entry(point) for point in family.curve or [])),
                    _where(family, "type"),
                )
            )
            for family in stock.fuses
        ),
    )
    yield from yard_table(
        words,
        words.text("standard.hoses_caption"),
        "type bores written_in",
        (Row((hose.kind, _amounts(hose.bores), _where(hose, "kind"))) for hose in stock.hoses),
    )


def _assumptions(standard: StandardSpec, words: Words) -> Iterator[Block]:
    yield Paragraph(words.say("standard.assume_intro"))
    rows = []
    for name, info in type(standard.assume).model_fields.items():
        value = getattr(standard.assume, name)
        if value is None:
            continue
        rows.append(
            Row(
                (
                    name.replace("_", " ").capitalize(),
                    info.description or "",
                    Stack(tuple(_entry(point) for point in value))
                    if isinstance(value, list)
                    else _field(value),
                    _where(standard.assume, name),
                )
            )
        )
    yield from yard_table(
        words, words.text("standard.assume_caption"), "what notes value# written_in", rows
    )


def _others(standard: StandardSpec, words: Words) -> Iterator[Block]:
    limits = [
        Row((words.text(f"standard.{name}"), _field(value), _where(standard, name)))
        for name, value in (
            ("fuse_load", standard.fuse_load),
            ("fuse_ampacity", standard.fuse_ampacity),
        )
        if value is not None
    ]
    limits += [
        Row(
            (
                words.text(f"standard.smallest_{way}"),
                _amounts(sizes),
                _where(standard, "smallest_conductor"),
            )
        )
        for way, sizes in standard.smallest_conductor.items()
    ]
    yield from yard_table(
        words, words.text("standard.limits_caption"), "what value written_in", limits
    )
    yield from yard_table(
        words,
        words.text("standard.colours_caption"),
        "function colour source written_in",
        (Row((c.function, c.colour, c.source, _where(c, "colour"))) for c in standard.colours),
    )
    yield from yard_table(
        words,
        words.text("standard.labels_caption"),
        "what value longest written_in",
        (
            Row(
                (
                    form.of,
                    ", ".join(form.parts),
                    str(form.longest) if form.longest is not None else "",
                    _where(form, "parts"),
                )
            )
            for form in standard.labels
        ),
    )
    yield from yard_table(
        words,
        words.text("standard.torques_caption"),
        "thread what torque source written_in",
        (
            Row((Amount(t.thread), t.on, Amount(t.torque), t.source, _where(t, "torque")))
            for t in standard.torques
        ),
    )
    yield from yard_table(
        words,
        words.text("standard.checklist_caption"),
        "step system role because written_in",
        (
            Row(
                (
                    item.step,
                    item.system,
                    "" if item.role is None else words.text(f"roles.{item.role}"),
                    item.because,
                    _where(item, "step"),
                )
            )
            for item in standard.checklist
        ),
    )


def _entry(entry: object) -> Line:
    """An entry with several figures on one line: `charge 25 %, cell 2.01 V`."""
    if not isinstance(entry, Entry):
        return str(entry)
    parts: list[Line] = []
    for name in type(entry).model_fields:
        line = _field(getattr(entry, name))
        if not is_empty(line):
            parts.append((f"{yaml_key(type(entry), name).replace('_', ' ')} ", line))
    return joined(parts)


def _field(value: object) -> Line:
    if value is None:
        return ""
    if isinstance(value, Entry):
        return _entry(value)
    if isinstance(value, Quantity | ConductorSize | ThreadSize):
        return Amount(value)
    return AsTyped(str(value)) if isinstance(value, Unknown) else str(value)


def _amounts(values: Sequence[Quantity | ConductorSize]) -> Line:
    return joined([Amount(value) for value in values])


def _where(entry: Entry, name: str) -> Line:
    """The standard and the line that says it: this one's, or that of one it builds on."""
    position = entry.where(name) or entry.where()
    if position is None:
        return ""
    file = position.file.rpartition("/")[2].removesuffix(".yaml")
    return AsTyped(f"{file}:{position.line}")
