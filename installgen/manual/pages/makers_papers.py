"""The engine maker's own documents: which pages of them our steps refer to."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.manual.blocks import Block, Line, Paragraph, joined
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.engine_sheet import SheetDocument
from installgen.spec.maintenance_spec import Topic
from installgen.spec.vessel import FittedEngine


def makers_pages(m: VesselManual, engine: FittedEngine, topic: Topic) -> Iterator[Block]:
    """A paragraph that leads to the engine maker's pages on a topic, where there are any."""
    named: list[Line] = [
        pages_line(m, document, document.pages_for[topic])
        for document in engine.sheet.documents
        if topic in document.pages_for
    ]
    if named:
        yield Paragraph(m.say("papers.maker_too", documents=joined(named, "; ")))


def pages_line(m: VesselManual, document: SheetDocument, pages: str) -> Line:
    """A document with pages of it."""
    key = "papers.page_of" if pages.isdigit() else "papers.pages_of"
    return m.say(key, document=document_line(document), pages=pages)


def document_line(document: SheetDocument) -> Line:
    """Title, number and date of a document."""
    return joined([document.title, document.number, document.date])
