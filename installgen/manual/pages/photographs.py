"""Photographs put beside what they show: below the table with its row, or below its drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from installgen.manual import links
from installgen.manual.blocks import Block, Figure, Line, Link, Page, Photograph, Table, Target
from installgen.manual.bound.codes import WORKED_OUT
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.entry import Entry
from installgen.spec.owner_spec import SafetyItem
from installgen.spec.photo_spec import Photo
from installgen.spec.vessel import entries
from installgen.spec.vessel_spec import (
    Coolant,
    Electrical,
    EngineEntry,
    Exhaust,
    Fuel,
    RawWater,
    VesselCircuit,
    VesselSpec,
)

PAGES: tuple[tuple[type[Entry], str], ...] = (
    (VesselSpec, links.HOME),
    (EngineEntry, links.HOME),
    (SafetyItem, links.EMERGENCIES),
    (RawWater, links.RAW_WATER),
    (Exhaust, links.RAW_WATER),
    (Coolant, links.COOLANT),
    (Fuel, links.FUEL),
    (VesselCircuit, links.LUBRICATION),
    (Electrical, links.DC_POWER),
)
"""Where a system is told of."""


@dataclass(frozen=True)
class Shown:
    """A photograph with the thing that it shows.

    engine: the engine of whose sheet it is
    """

    photo: Photo
    thing: Entry
    engine: str


def with_photographs(m: VesselManual, pages: Sequence[Page]) -> list[Page]:
    """The pages, each photograph on the first one that tells of what it shows."""
    made = {page.id: page for page in pages}
    # The last one first, so that several below one table come in the order of the spec.
    for shown in reversed(list(_photographs(m))):
        page_id, place, target = _place(shown, list(made.values()))
        page = made[page_id]
        block = Photograph(shown.photo.file, shown.photo.caption, _said_of(shown, target))
        made[page_id] = replace(page, blocks=(*page.blocks[:place], block, *page.blocks[place:]))
    return list(made.values())


def _photographs(m: VesselManual) -> Iterator[Shown]:
    roots: list[tuple[Entry, str]] = [(m.vessel.spec, "")]
    roots += [(engine.sheet, engine.name) for engine in m.vessel.engines]
    for root, engine in roots:
        for thing in entries(root):
            for photo in getattr(thing, "photos", ()):
                yield Shown(photo, thing, engine)


def _place(shown: Shown, pages: Sequence[Page]) -> tuple[str, int, Target | None]:
    """The page, before which of its blocks, and the row that tells of the thing."""
    for page in pages:
        if page.id.startswith(WORKED_OUT):
            continue
        for number, block in enumerate(page.blocks):
            for row in block.rows if isinstance(block, Table) else ():
                if _is_about(row.anchor, shown):
                    return page.id, number + 1, Target(page.id, row.anchor)
    known = {page.id for page in pages}
    wanted = next((page for kind, page in PAGES if isinstance(shown.thing, kind)), links.HOME)
    page = next(page for page in pages if page.id == (wanted if wanted in known else links.HOME))
    return page.id, _below_drawing(page.blocks), None


def _is_about(anchor: str, shown: Shown) -> bool:
    name = getattr(shown.thing, "id", None)
    if not name or not anchor:
        return False
    first, *_ = anchor.split(".")
    ends = anchor == name or anchor.endswith(f".{name}")
    return ends and (not shown.engine or first == shown.engine)


def _below_drawing(blocks: Sequence[Block]) -> int:
    drawings = [number for number, block in enumerate(blocks) if isinstance(block, Figure)]
    return drawings[0] + 1 if drawings else len(blocks)


def _said_of(shown: Shown, target: Target | None) -> Line:
    thing = shown.thing
    name = coded(str(getattr(thing, "name", "") or ""), str(getattr(thing, "code", "") or ""))
    if isinstance(thing, EngineEntry | VesselSpec):
        return ""
    return Link(name, target) if target is not None and name else name
