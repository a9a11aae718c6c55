"""Pages of the yard: the list of its vessels, and the published tables behind the figures."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from importlib.resources import files

from installgen.manual.blocks import (
    Amount,
    Column,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Stack,
    Table,
    Target,
    Verdict,
)
from installgen.manual.vessel_book import VesselBook
from installgen.manual.words import Words

HOME = "index"
TABLES = "tables"


def index_page(fleet: Sequence[VesselBook], words: Words) -> Page:
    """Every vessel with what is open on her."""
    rows = tuple(
        Row(
            (
                Link(book.name, Target(vessel_target(book.id))),
                book.type,
                Stack(tuple(_counted(book.engines))),
                "" if book.system is None else Amount(book.system),
                book.revision,
                _state(book, words),
                str(book.gaps) if book.gaps else "",
            ),
            book.id,
        )
        for book in fleet
    )
    heads = _columns(words, "vessel type engines dc_system revision state not_assessed#")
    # A yard that has written no vessel yet has no table either.
    tables = (Table(words.text("yard.caption"), heads, rows),) if rows else ()
    return Page(HOME, words.text("yard.title"), (Paragraph(words.say("yard.intro")), *tables))


def vessel_target(vessel_id: str) -> str:
    """What the yard's pages call a vessel's first page; no page of the yard is called so."""
    return f"vessels/{vessel_id}"


def tables_page(words: Words) -> Page:
    """Every published table that the package carries: title, source, how sure it is."""
    rows = tuple(
        _table_row(
            name.removesuffix(".csv"), (files("installgen.tables") / name).read_text("utf-8"), words
        )
        for name in sorted(entry.name for entry in files("installgen.tables").iterdir())
        if name.endswith(".csv")
    )
    table = Table(
        words.text("yard.tables_caption"),
        _columns(words, "table source certainty rows# notes"),
        rows,
    )
    return Page(
        TABLES, words.text("yard.tables_title"), (Paragraph(words.say("yard.tables_intro")), table)
    )


def _table_row(name: str, text: str, words: Words) -> Row:
    """A table by the comments on its top; rows that differ in source or certainty say so."""
    lines = text.splitlines()
    head = [line.lstrip("# ").partition(": ") for line in lines if line.startswith("#")]
    said = {key: [value for k, _, value in head if k == key] for key, _, _ in head}
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    marks = Counter(row.get("mark") or said["mark"][0] for row in rows)
    sources = dict.fromkeys([*said["source"], *(row.get("source") or "" for row in rows)])
    certainty = [
        words.text(f"table-marks.{mark}") + (f" ({count})" if len(marks) > 1 else "")
        for mark, count in marks.most_common()
    ]
    return Row(
        (
            said["title"][0],
            Stack(tuple(source for source in sources if source)),
            Stack(tuple(certainty)),
            str(len(rows)),
            Stack(tuple(said.get("note", ()))),
        ),
        name,
    )


def _state(book: VesselBook, words: Words) -> Line:
    """Whether her manual may be handed over, and how many must-rules stand against it."""
    state = words.text("yard.draft" if book.draft else "yard.ready")
    if not book.failing:
        return (Verdict("pass"), " ", state) if not book.draft else state
    return Stack(
        (
            (Verdict("fail"), " ", state),
            words.text("yard.failing", count=str(book.failing)),
        )
    )


def _counted(engines: Sequence[str]) -> list[str]:
    return [name if count == 1 else f"{count} × {name}" for name, count in Counter(engines).items()]


def _columns(words: Words, keys: str) -> tuple[Column, ...]:
    return tuple(
        Column(words.text(f"columns.{key.removesuffix('#')}"), key.endswith("#"))
        for key in keys.split()
    )


def yard_table(words: Words, caption: str, keys: str, rows: Iterable[Row]) -> Iterator[Table]:
    """A table, if it has rows; `value#` is a column of figures."""
    made = tuple(rows)
    if made:
        yield Table(caption, _columns(words, keys), made)


def rule_name(check: str, circuit: str) -> str:
    """A rule as a person reads it: `Circuit drop, critical`."""
    name = check.replace("-", " ")
    name = name[:1].upper() + name[1:]
    return f"{name}, {circuit}" if circuit else name


def rule_anchor(check: str, circuit: str) -> str:
    """Where a rule stands on a page."""
    return f"rule.{check}.{circuit}" if circuit else f"rule.{check}"
