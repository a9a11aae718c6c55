"""This vessel: who she is, what needs attention, what the manual holds, what is not fitted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.manual.blocks import (
    AsTyped,
    Block,
    Bullets,
    Caution,
    Heading,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Target,
    joined,
)
from installgen.manual.links import COOLANT, FUEL
from installgen.manual.pages.attention import attention
from installgen.manual.pages.common import columns, facts, table
from installgen.manual.pages.cranking import cranking_panel
from installgen.manual.vessel_manual import VesselManual, full_stop
from installgen.manual.ways import isolator_lines
from installgen.spec.vessel import FittedEngine


def this_vessel_page(m: VesselManual, others: Sequence[Page]) -> Iterator[Block]:
    """Always there.

    others: every other page that she has
    """
    yield from cranking_panel(m, lead=True)
    yield from _identity(m)
    yield m.caution("warning", "safety.general", more=isolator_lines(m))
    sheets = {engine.sheet.engine.id: engine.sheet for engine in m.vessel.engines}
    for sheet in sheets.values():
        if sheet.cautions:
            maker = m.say("this-vessel.maker_says", maker=sheet.engine.maker)
            yield Caution("caution", (maker, *sheet.cautions))
    yield from attention(m)
    yield m.heading("this-vessel.engines_heading", "engines")
    yield from _engines(m)
    yield m.heading("this-vessel.pages_heading", "pages")
    yield Bullets(tuple(_page_line(m, page) for page in others if not page.parent))
    yield from _not_fitted(m, {page.id for page in others})
    yield from _papers(m)


def _identity(m: VesselManual) -> Iterator[Block]:
    vessel = m.vessel.spec.vessel
    standard = m.vessel.standard.standard
    for note in m.vessel.spec.notes:
        yield Paragraph(note)
    yield from facts(
        m,
        ("type", vessel.type),
        ("hin", m.field(vessel.hin)),
        ("yard", m.field(vessel.yard)),
        ("builders_number", m.field(vessel.builders_number)),
        ("launched", m.field(vessel.launched)),
        ("length", m.field(vessel.length)),
        ("beam", m.field(vessel.beam)),
        ("displacement", m.field(vessel.displacement)),
        ("revision", joined([vessel.revision, m.field(vessel.date)])),
        ("built_to", m.say("this-vessel.standard", name=standard.name, edition=standard.edition)),
        ("units", m.choice("unit-systems", m.first)),
    )


def _page_line(m: VesselManual, page: Page) -> Line:
    """A page with what is on it: its headings, or a fixed sentence where it has none."""
    link = Link(page.title, Target(page.id))
    headings = [b.text for b in page.blocks if isinstance(b, Heading) and b.level == 2]
    if headings:
        return (link, ": ", ", ".join(text[:1].lower() + text[1:] for text in headings))
    key = f"page-lines.{page.id}"
    return (link, ": ", m.say(key)) if m.words.knows(key) else link


# ---- engines ------------------------------------------------------------------------------------


def _engines(m: VesselManual) -> Iterator[Block]:
    yield from table(
        m.text("this-vessel.engines_caption"),
        columns(m, "engine maker_model serial built rating gear sheet"),
        (_engine(m, engine) for engine in m.vessel.engines),
    )
    for engine in m.vessel.engines:
        yield from table(
            m.caption("this-vessel.options_caption", engine),
            columns(m, "option choice notes"),
            (
                Row((offer.name, choice.name, choice.notes))
                for name, taken in engine.options.items()
                for offer in [engine.sheet.options[name]]
                for choice in [offer.choices[taken]]
            ),
        )
        yield from table(
            m.caption("this-vessel.overrides_caption", engine),
            columns(m, "field value because"),
            (Row((AsTyped(o.path), o.value, o.because)) for o in engine.entry.overrides),
        )


def _engine(m: VesselManual, engine: FittedEngine) -> Row:
    sheet, gear = engine.sheet.engine, engine.entry.gear
    return Row(
        (
            m.engine_name(engine),
            f"{sheet.maker} {sheet.model}",
            m.field(engine.entry.serial),
            m.field(engine.entry.built),
            engine.rating.name if engine.rating else "",
            " ".join(part for part in (gear.maker, gear.model) if part) if gear else "",
            m.say(
                "this-vessel.sheet", number=sheet.number, revision=sheet.revision, date=sheet.date
            ),
        ),
        f"{engine.name}.identity",
    )


# ---- what is not there, papers ------------------------------------------------------------------


def _not_fitted(m: VesselManual, pages: set[str]) -> Iterator[Block]:
    """One line for each system that the spec says is not there, or of which it says nothing."""
    lines: list[Line] = []
    declared: set[str] = set()
    for entry in m.vessel.spec.not_fitted:
        declared.add(entry.system)
        name = m.choice("system-names", entry.system)
        lines.append(m.say("this-vessel.not_fitted", system=name, because=full_stop(entry.because)))
    missing = {
        "raw-water": not m.analysis.routes,
        "exhaust": not m.vessel.spec.exhaust,
        "coolant": COOLANT not in pages,
        "fuel": FUEL not in pages,
        "driveline": not any(e.entry.gear or e.entry.propeller for e in m.vessel.engines),
        "electrical": m.vessel.spec.electrical is None,
    }
    for system, gone in missing.items():
        if gone and system not in declared:
            lines.append(m.say("this-vessel.not_written", system=m.choice("system-names", system)))
    if lines:
        yield m.heading("this-vessel.not_fitted_heading", "not-fitted")
        yield Bullets(tuple(lines))


def _papers(m: VesselManual) -> Iterator[Block]:
    sheets = {engine.sheet.engine.id: engine.sheet for engine in m.vessel.engines}
    documents = [
        Row((document.title, document.number, document.date, document.pages, sheet.engine.maker))
        for sheet in sheets.values()
        for document in sheet.documents
    ]
    roles = [
        Row((m.choice("roles", role.role), role.name, role.date)) for role in m.vessel.spec.roles
    ]
    readings = [
        Row((r.of, r.value, r.case or "", r.instrument, r.by, r.date, r.loading))
        for r in m.vessel.spec.readings
    ]
    if documents:
        yield m.heading("this-vessel.documents_heading", "documents")
    yield from table(
        m.text("this-vessel.documents_caption"),
        columns(m, "title document_number date pages maker"),
        documents,
    )
    if readings:
        yield m.heading("this-vessel.readings_heading", "readings")
    yield from table(
        m.text("this-vessel.readings_caption"),
        columns(m, "reading_of value# case instrument by date loading"),
        readings,
    )
    if roles:
        yield m.heading("this-vessel.roles_heading", "roles")
    yield from table(m.text("this-vessel.roles_caption"), columns(m, "role name date"), roles)
