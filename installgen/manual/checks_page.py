"""A page of the yard: every named check as the code describes it, and which rules ask for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from installgen.findings.registry import Check, checks
from installgen.manual.blocks import (
    Block,
    Heading,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Stack,
    Target,
)
from installgen.manual.links import CHECKS, standard_page_id
from installgen.manual.pages.common import typed
from installgen.manual.words import Words
from installgen.manual.yard_pages import rule_anchor, yard_table
from installgen.spec.standard_spec import StandardSpec


def checks_page(standards: Sequence[StandardSpec], words: Words) -> Page:
    """Every named check as the code describes it, with the limits that the standards give it."""
    known = sorted(checks().values(), key=lambda check: (check.system, check.name))
    blocks: list[Block] = [Paragraph(words.say("checks.intro", count=str(len(known))))]
    for system, members in groupby(known, key=lambda check: check.system):
        title = words.text(f"systems-of-checks.{system}")
        blocks.append(Heading(title, f"checks.{system}"))
        blocks += yard_table(
            words,
            words.text("checks.caption", system=title),
            "check asks limit classes in_use",
            [_check(check, standards, words) for check in members],
        )
    return Page(CHECKS, words.text("checks.title"), tuple(blocks))


def _check(check: Check, standards: Sequence[StandardSpec], words: Words) -> Row:
    about: Line = typed(check.summary)
    if check.details:
        about = Stack((about, *(typed(" ".join(p.split())) for p in check.details.split("\n\n"))))
    return Row(
        (
            check.name,
            about,
            words.text("checks.no_limit") if check.limit is None else check.takes,
            ", ".join(check.circuits),
            Stack(tuple(_uses(check, standards, words))),
        ),
        check.name,
    )


def _uses(check: Check, standards: Sequence[StandardSpec], words: Words) -> Iterator[Line]:
    for standard in standards:
        for rule in standard.rules:
            if rule.check == check.name:
                parts = [standard.standard.id, rule.circuit, rule.limit or "", rule.severity]
                anchor = rule_anchor(rule.check, rule.circuit)
                text = ", ".join(part for part in parts if part)
                yield Link(text, Target(standard_page_id(standard.standard.id), anchor))
