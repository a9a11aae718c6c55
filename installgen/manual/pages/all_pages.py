"""The pages of a vessel's manual, in the order in which they are bound."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from installgen.analysis.results import SystemName
from installgen.manual import links
from installgen.manual.blocks import Block, DraftBanner, EmergencyLink, Page, Target
from installgen.manual.pages.air import air_page
from installgen.manual.pages.attention import ATTENTION
from installgen.manual.pages.bleeding import bleeding_page
from installgen.manual.pages.calculations import SYSTEMS, calculations_index, calculations_of
from installgen.manual.pages.conductors import conductors_page
from installgen.manual.pages.connections import connections_page
from installgen.manual.pages.coolant import coolant_page
from installgen.manual.pages.dc_power import dc_power_page
from installgen.manual.pages.driveline import driveline_page
from installgen.manual.pages.emergencies import emergencies_page
from installgen.manual.pages.fault_finding import fault_finding_page, symptom_pages
from installgen.manual.pages.findings import findings_page
from installgen.manual.pages.fluids import fluids_page
from installgen.manual.pages.fuel import fuel_page
from installgen.manual.pages.history import history_page
from installgen.manual.pages.installer import SHEET_PAGES, installer_page, sheet_page
from installgen.manual.pages.lay_up import lay_up_page
from installgen.manual.pages.lubrication import lubrication_page
from installgen.manual.pages.maintenance import maintenance_page
from installgen.manual.pages.not_assessed import not_assessed_page
from installgen.manual.pages.operation import operation_page
from installgen.manual.pages.owner import owner_page
from installgen.manual.pages.papers import papers_page
from installgen.manual.pages.parts import parts_page
from installgen.manual.pages.photographs import with_photographs
from installgen.manual.pages.rating import rating_page
from installgen.manual.pages.raw_water import raw_water_page
from installgen.manual.pages.readings import reading_pages, readings_page
from installgen.manual.pages.start_run_stop import start_run_stop_page
from installgen.manual.pages.this_vessel import this_vessel_page
from installgen.manual.vessel_manual import VesselManual


@dataclass(frozen=True)
class PageKind:
    """One kind of page; it has no blocks where the vessel has nothing to say there."""

    id: str
    blocks: Callable[[VesselManual], Iterable[Block]]
    system: SystemName | None = None


KINDS = (
    PageKind(links.EMERGENCIES, emergencies_page),
    PageKind(links.STARTING, operation_page),
    PageKind(links.BLEEDING, bleeding_page),
    PageKind(links.MAINTENANCE, maintenance_page),
    PageKind(links.LAY_UP, lay_up_page),
    PageKind(links.OWNER, owner_page),
    PageKind(links.PAPERS, papers_page),
    PageKind(links.RATING, rating_page, "rating"),
    PageKind(links.CONNECTIONS, connections_page),
    PageKind(links.RAW_WATER, raw_water_page, "raw-water"),
    PageKind(links.COOLANT, coolant_page, "coolant"),
    PageKind(links.LUBRICATION, lubrication_page, "oil"),
    PageKind(links.FUEL, fuel_page, "fuel"),
    PageKind(links.AIR, air_page, "air"),
    PageKind(links.DC_POWER, dc_power_page, "dc-power"),
    PageKind(links.START_RUN_STOP, start_run_stop_page, "start-run-stop"),
    PageKind(links.FAULTS, fault_finding_page, "start-run-stop"),
    PageKind(links.READINGS, readings_page, "start-run-stop"),
    PageKind(links.CONDUCTORS, conductors_page),
    PageKind(links.FLUIDS, fluids_page),
    PageKind(links.DRIVELINE, driveline_page, "driveline"),
    PageKind(links.PARTS, parts_page),
    PageKind(links.INSTALLER, installer_page),
    PageKind(links.CALCULATIONS, calculations_index),
    PageKind(links.NOT_ASSESSED, not_assessed_page),
    PageKind(links.FINDINGS, findings_page),
)


LATE = (links.FAULTS, links.HISTORY)
"""Pages that take longest: what can be wrong with the wiring, and what changed since before."""


def vessel_pages(
    m: VesselManual, made: Mapping[str, Sequence[Page]] = MappingProxyType({})
) -> tuple[Page, ...]:
    """Every page that this vessel has, the first one first.

    made: pages by kind that are there already
    """
    pages = list(system_pages(m, made))
    pages += made[links.HISTORY] if links.HISTORY in made else _history(m, pages)
    first = Page(links.HOME, m.vessel.name, tuple(this_vessel_page(m, pages)))
    count = len(m.findings.draft_reasons)
    banner = (DraftBanner(Target(links.HOME, ATTENTION), count),) if count else ()
    return tuple(
        Page(
            page.id, page.title, (*banner, *_way_out(page), *page.blocks), page.system, page.parent
        )
        for page in with_photographs(m, (first, *pages))
    )


def system_pages(
    m: VesselManual, made: Mapping[str, Sequence[Page]] = MappingProxyType({})
) -> tuple[Page, ...]:
    """Her pages but the first one and that of her revisions.

    made: pages by kind that are there already
    """
    pages: list[Page] = []
    for kind in KINDS:
        pages += made[kind.id] if kind.id in made else _of_kind(m, kind)
    return tuple(pages)


def early_pages(m: VesselManual) -> dict[str, Sequence[Page]]:
    """Those of her pages, by kind, that can be made before the faults of her wiring are known."""
    return {kind.id: _of_kind(m, kind) for kind in KINDS if kind.id not in LATE}


def _of_kind(m: VesselManual, kind: PageKind) -> list[Page]:
    """A page with those below it."""
    pages: list[Page] = []
    if blocks := tuple(kind.blocks(m)):
        pages.append(Page(kind.id, _title(m, kind), blocks, kind.system))
    if kind.id == links.FAULTS:
        pages += symptom_pages(m)
    if kind.id == links.READINGS:
        pages += reading_pages(m)
    if kind.id == links.INSTALLER:
        pages += _sheets(m)
    if kind.id == links.CALCULATIONS:
        pages += _calculations(m)
    return pages


def _history(m: VesselManual, pages: Sequence[Page]) -> list[Page]:
    blocks = tuple(history_page(m, pages))
    return [Page(links.HISTORY, m.text(f"titles.{links.HISTORY}"), blocks)] if blocks else []


def late_pages(pages: Iterable[Page]) -> dict[str, list[Page]]:
    """Those of a vessel's pages, by kind, that `early_pages` leaves out."""
    return {kind: [p for p in pages if kind in (p.id, p.parent)] for kind in LATE}


def _way_out(page: Page) -> tuple[EmergencyLink, ...]:
    """The way to the emergencies, on every page but their own."""
    if page.id == links.EMERGENCIES:
        return ()
    return (EmergencyLink(Target(links.EMERGENCIES)),)


def _title(m: VesselManual, kind: PageKind) -> str:
    """A page's title; where it may hold several things, of those that are there."""
    parts: list[str] = []
    if kind.id == links.RAW_WATER:
        parts += ["titles.raw-water"] if m.analysis.routes else []
        parts += ["titles.exhaust"] if m.vessel.spec.exhaust else []
        parts = parts or ["openings.heading"]
    elif kind.id == links.DRIVELINE:
        entries = [engine.entry for engine in m.vessel.engines]
        sheets = [engine.sheet for engine in m.vessel.engines]
        parts += ["titles.driveline"] if any(e.gear or e.propeller for e in entries) else []
        controls = m.vessel.spec.controls or any(sheet.controls for sheet in sheets)
        parts += ["driveline.controls_heading"] if controls else []
        parts += ["driveline.belts_heading"] if any(sheet.belts for sheet in sheets) else []
    return m.listed(*parts) if parts else m.text(f"titles.{kind.id}")


def _sheets(m: VesselManual) -> list[Page]:
    pages = []
    for page in SHEET_PAGES:
        if blocks := tuple(sheet_page(m, page)):
            title = m.text(f"titles.{page.id}")
            pages.append(Page(page.id, title, blocks, parent=links.INSTALLER))
    return pages


def _calculations(m: VesselManual) -> list[Page]:
    pages = []
    for system in SYSTEMS:
        if blocks := tuple(calculations_of(m, system)):
            title = m.text("titles.calculations-of", system=m.choice("systems", system))
            page_id = links.calculations_page(system)
            pages.append(Page(page_id, title, blocks, system, links.CALCULATIONS))
    return pages
