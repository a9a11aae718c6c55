"""Calculations: how every result came about, one page a system, linked both ways."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from installgen.analysis.results import Result, SystemName
from installgen.manual.blocks import Block, Heading, Link, Row, Target, WorkingEntry
from installgen.manual.links import calculations_page
from installgen.manual.pages.common import RANGE, case_words, columns, table
from installgen.manual.pages.electrical import case_name
from installgen.manual.vessel_manual import VesselManual

SYSTEMS: tuple[SystemName, ...] = get_args(SystemName)


def calculations_index(m: VesselManual) -> Iterator[Block]:
    """What can be looked up, and how to read it."""
    if not m.book:
        return
    yield m.paragraph("calculations.intro")
    yield m.paragraph("calculations.marks")
    yield from table(
        m.text("calculations.index_caption"),
        columns(m, "system results# assumed# not_assessed#"),
        (_index_row(m, system, results) for system in SYSTEMS if (results := m.results(system))),
    )


def _index_row(m: VesselManual, system: SystemName, results: list[Result]) -> Row:
    link = Link(m.choice("systems", system), Target(calculations_page(system)))
    assumed = sum(result.assumed and result.assessed for result in results)
    missing = sum(not result.assessed for result in results)
    return Row((link, str(len(results)), str(assumed), str(missing)))


def calculations_of(m: VesselManual, system: SystemName) -> Iterator[Block]:
    """Every working of a system, grouped by the case or speed it holds for."""
    results = m.results(system)
    if not results:
        return
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in results:
        groups.setdefault((result.engine if m.several else "", result.case), []).append(result)
    for (engine, case), members in groups.items():
        if len(groups) > 1:
            yield _group_heading(m, engine, case)
        for result in members:
            yield WorkingEntry(result, m.used_by.get(result.id, ()))


def _group_heading(m: VesselManual, engine: str, case: str) -> Heading:
    words = m.text("calculations.always")
    if case:
        words = _case_words(m, case)
    if engine:
        words = f"{m.engine_name(m.vessel.engine(engine))} · {words}"
    return Heading(words, ".".join(part for part in ("group", engine, case) if part))


def _case_words(m: VesselManual, case: str) -> str:
    """A case or a speed as a heading says it."""
    if m.words.knows(f"columns.{case}"):
        return m.text(f"columns.{case}")
    return case_words(case) if case.endswith(RANGE) else case_name(m, case)
