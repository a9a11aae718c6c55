"""Documents enclosed, revision and sign-off."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Column, Row, Stack, Table
from installgen.manual.links import HISTORY
from installgen.manual.pages.common import columns, facts, table
from installgen.manual.sheet import tick_columns
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.engine_sheet import SheetDocument


def papers_page(m: VesselManual) -> Iterator[Block]:
    """Always there: somebody signs."""
    sheets = {engine.sheet.engine.id: engine.sheet for engine in m.vessel.engines}
    documents = [(sheet, document) for sheet in sheets.values() for document in sheet.documents]
    if documents:
        yield m.heading("papers.enclosed_heading", "enclosed")
        yield m.paragraph("papers.enclosed_intro")
        tick = tick_columns(m)[0]
        heads = (*columns(m, "title maker document_number date our_steps"), tick)
        yield Table(
            m.text("papers.enclosed_caption"),
            heads,
            tuple(
                Row(
                    (
                        document.title,
                        sheet.engine.maker,
                        document.number,
                        document.date,
                        _steps(m, document),
                        "",
                    )
                )
                for sheet, document in documents
            ),
        )
    yield from _sources(m)
    yield from _signed(m)


def _steps(m: VesselManual, document: SheetDocument) -> Stack:
    """The pages that our steps refer to, by what they tell of."""
    lines = [
        m.text("papers.topic", topic=m.choice("topics", topic), pages=pages)
        for topic, pages in document.pages_for.items()
    ]
    return Stack((*([document.pages] if document.pages else []), *lines))


def _sources(m: VesselManual) -> Iterator[Block]:
    """The sheets and the standard that the manual is made from."""
    sheets = {engine.sheet.engine.id: engine.sheet.engine for engine in m.vessel.engines}
    standard = m.vessel.standard.standard
    yield m.heading("papers.sources_heading", "sources")
    rows = [
        Row((m.say("papers.sheet", model=f"{s.maker} {s.model}"), s.number, s.revision, s.date))
        for s in sheets.values()
    ]
    rows.append(Row((standard.name, "", standard.edition, standard.date)))
    yield from table(
        m.text("papers.sources_caption"), columns(m, "title document_number revision date"), rows
    )


def _signed(m: VesselManual) -> Iterator[Block]:
    """This revision, and a line for each role to sign on."""
    vessel = m.vessel.spec.vessel
    yield m.heading("papers.signed_heading", "sign-off")
    yield from facts(m, ("revision", vessel.revision), ("date", m.field(vessel.date)))
    if m.earlier:
        yield m.paragraph("papers.history", link=m.link("titles.history", HISTORY))
    roles = {role.role: role for role in m.vessel.spec.roles}
    rows = [
        Row((m.choice("roles", name), role.name, role.date, "")) for name, role in roles.items()
    ]
    if "owner" not in roles:
        rows.append(Row((m.text("roles.owner"), m.text("papers.received"), "", "")))
    yield Table(
        m.text("papers.signed_caption"),
        (*columns(m, "role name date"), Column(m.text("papers.signature"), blank=True)),
        tuple(rows),
    )
