"""History: what changed from one revision of the vessel to the next, and which pages to swap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.findings.compare import compare
from installgen.manual import links
from installgen.manual.blocks import (
    Block,
    Folded,
    Line,
    Link,
    Page,
    Row,
    Stack,
    Target,
    joined,
)
from installgen.manual.difference_tables import Sides, build_tables, finding_tables, result_blocks
from installgen.manual.page_text import PageChange, PageTexts, page_changes
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.folder import Kind

MOST_LINES = 12
"""So many lines of a page that changed are listed; of more their number is told."""


def history_page(m: VesselManual, pages: Sequence[Page]) -> Iterator[Block]:
    """Nothing where her spec names no earlier revision.

    pages: every other page of this revision but the first
    """
    if not m.earlier:
        return
    yield m.paragraph("history.intro")
    yield from table(
        m.text("history.revisions_caption"),
        columns(m, "revision date signed standard sheet"),
        [_revision(m, m), *(_revision(m, earlier.manual) for earlier in m.earlier)],
    )
    after = PageTexts(m, pages, m.drawn)
    for earlier in m.earlier:
        before = PageTexts(earlier.manual, earlier.pages, earlier.manual.drawn, earlier.lines)
        yield from _step(m, before, after, earlier.kept)
        after = before


def _revision(m: VesselManual, of: VesselManual) -> Row:
    """One revision: when, who signed what, what it was judged and computed with."""
    spec = of.vessel.spec
    standard = of.vessel.standard.standard
    sheets = {engine.sheet.engine.id: engine.sheet.engine for engine in of.vessel.engines}
    return Row(
        (
            spec.vessel.revision,
            m.field(spec.vessel.date),
            Stack(tuple(_signed(m, of))),
            m.say("this-vessel.standard", name=standard.name, edition=standard.edition),
            Stack(
                tuple(
                    m.say(
                        "this-vessel.sheet",
                        number=sheet.number,
                        revision=sheet.revision,
                        date=sheet.date,
                    )
                    for sheet in sheets.values()
                )
            ),
        ),
        f"revision.{spec.vessel.revision}",
    )


def _signed(m: VesselManual, of: VesselManual) -> Iterator[Line]:
    for role in of.vessel.spec.roles:
        name: Line = (m.choice("roles", role.role), f": {role.name}" if role.name else "")
        yield joined([name, role.date])


def _step(
    m: VesselManual, first: PageTexts, second: PageTexts, own: frozenset[Kind]
) -> Iterator[Block]:
    """From one revision to the next: first the pages to swap, then what changed."""
    before, later = first.manual, second.manual
    revisions = before.vessel.spec.vessel.revision, later.vessel.spec.vessel.revision
    anchor = f"change.{revisions[0]}.{revisions[1]}"
    yield m.heading_text("history.step", anchor, first=revisions[0], second=revisions[1])
    kept = {"engines", "standards"} - own
    if kept:
        what = m.listed(*(f"history.today_{kind}" for kind in sorted(kept)))
        yield m.paragraph("history.as_today", what=what)
    found = compare(before.analysis, later.analysis, findings=(before.findings, later.findings))
    sides = Sides(
        m.text("history.side", revision=revisions[0]),
        m.text("history.side", revision=revisions[1]),
        m.words,
    )
    if m.thorough:
        yield from _swaps(m, first, second)
    else:
        yield m.paragraph("history.swaps_left_out")
    build = [d for d in found.build if d.path not in KNOWN and d.path[0] != "roles"]
    yield from build_tables(build, sides)
    yield from finding_tables(found.findings, sides)
    yield from result_blocks(found.results, None, sides)


KNOWN = {("vessel", "revision"), ("vessel", "date")}
"""What the table of revisions says already."""


def _swaps(m: VesselManual, first: PageTexts, second: PageTexts) -> Iterator[Block]:
    """The binder's pages that are to be swapped, put in or taken out.

    The first page and this one are always swapped: they carry the revision.
    """
    changes, later = page_changes(first, second), second.manual
    always = [
        PageChange(links.HOME, later.vessel.name, "changed"),
        PageChange(links.HISTORY, m.text(f"titles.{links.HISTORY}"), "changed"),
    ]
    rows = []
    for change in [*always, *changes]:
        there = later is m and change.kind != "gone"
        name: Line = Link(change.title, Target(change.id)) if there else change.title
        rows.append(Row((name, m.text(f"history.{change.kind}"), _what_is_new(m, change))))
    yield from table(m.text("history.swap_caption"), columns(m, "page do_with new_on_it"), rows)


def _what_is_new(m: VesselManual, change: PageChange) -> Line:
    if change.id in (links.HOME, links.HISTORY):
        return m.text("history.revision_on_it")
    lines = [f"− {line}" for line in change.gone] + [f"+ {line}" for line in change.new]
    parts: list[Line] = []
    if lines:
        count = m.text("history.lines", gone=str(len(change.gone)), new=str(len(change.new)))
        parts.append(Folded(count, tuple(lines)) if len(lines) <= MOST_LINES else count)
    if change.drawings:
        parts.append(m.text("history.drawings", count=str(len(change.drawings))))
    return Stack(tuple(parts))
