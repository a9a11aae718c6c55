"""The installer's set: each sheet as a page, by system and by place, with room to tick and sign."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from installgen.manual.blocks import (
    Block,
    Column,
    Downloads,
    LabelSheet,
    Line,
    Row,
    Table,
)
from installgen.manual.csv_text import csv_text
from installgen.manual.links import CUT_LIST, READINGS
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.fitting_sheets import (
    checklist_sheet,
    commissioning_sheet,
    label_sheet,
    torque_sheet,
)
from installgen.manual.pages.installer_sheets import (
    allowance_id,
    conductor_sheet,
    connection_sheet,
    cut_sheet,
    hose_sheet,
    material_sheet,
)
from installgen.manual.sheet import Sheet, grouped, table_of, tick_columns
from installgen.manual.vessel_manual import VesselManual

DRAFT_PREFIX = "draft-"
"""Before the name of every table of a vessel whose manual is a draft."""


@dataclass(frozen=True)
class SheetPage:
    """A page of the installer's set: its id, its sheets, by what each is grouped."""

    id: str
    sheets: tuple[Callable[[VesselManual], Sheet], ...]
    groups: tuple[str, ...] = ()


SHEET_PAGES = (
    SheetPage("install-connections", (connection_sheet,), ("side",)),
    SheetPage("install-hoses", (hose_sheet,), ("system", "place")),
    SheetPage("install-conductors", (conductor_sheet,), ("system", "place")),
    SheetPage(CUT_LIST, (cut_sheet,), ("kind",)),
    SheetPage("install-materials", (material_sheet,)),
    SheetPage("install-labels", (label_sheet,)),
    SheetPage("install-torques", (torque_sheet,)),
    SheetPage("install-commissioning", (commissioning_sheet, checklist_sheet)),
)


def tables_csv(m: VesselManual) -> dict[str, str]:
    """Every sheet of the installer's set as CSV, by its file's name.

    The name of a draft's file says so, because a table has no place for a banner.
    """
    made: dict[str, str] = {}
    for page in SHEET_PAGES:
        for sheet in (make(m) for make in page.sheets):
            if sheet.rows:
                rows = [(*row.cells, *_blanks(m, sheet)) for row in sheet.rows]
                made[file_name(m, sheet)] = csv_text(heads(m, sheet), rows, m.first)
    return made


def file_name(m: VesselManual, sheet: Sheet) -> str:
    """The name of a sheet's file, such as `hoses.csv`."""
    return f"{DRAFT_PREFIX if m.findings.draft else ''}{sheet.name}.csv"


def heads(m: VesselManual, sheet: Sheet) -> tuple[Column, ...]:
    """All columns of a sheet; a commissioning sheet has room for the reading too."""
    if sheet.name == "commissioning":
        return (*sheet.columns, *_reading_columns(m), *tick_columns(m)[1:])
    return sheet.heads(m)


def _blanks(m: VesselManual, sheet: Sheet) -> tuple[Line, ...]:
    return ("",) * (len(heads(m, sheet)) - len(sheet.columns))


def _reading_columns(m: VesselManual) -> tuple[Column, ...]:
    return tuple(Column(m.text(f"ticks.{key}"), blank=True) for key in ("reading", "instrument"))


def sheet_page(m: VesselManual, page: SheetPage) -> Iterator[Block]:
    """Nothing where none of its sheets has a row."""
    sheets = [sheet for sheet in (make(m) for make in page.sheets) if sheet.rows]
    if not sheets:
        return
    yield m.paragraph(f"{page.id}.intro")
    files = [
        (file_name(m, sheet), m.text("downloads.save", name=file_name(m, sheet)))
        for sheet in sheets
    ]
    yield Downloads(tuple(files))
    if page.id in WARNED:
        yield m.caution("warning", WARNED[page.id])
    if page.id == CUT_LIST:
        yield from _allowances(m)
    if page.id == "install-commissioning" and m.readings:
        yield m.paragraph("install-commissioning.more", link=m.link("titles.readings", READINGS))
    for sheet in sheets:
        yield from _sheet(m, page, sheet)


WARNED: Mapping[str, str] = {
    "install-conductors": "conductors.crimp_caution",
    "install-hoses": "raw-water.hose_caution",
    "install-commissioning": "start-run-stop.moving_caution",
    "install-torques": "install-torques.caution",
}
"""The caution on each page where the work can hurt someone."""


def _sheet(m: VesselManual, page: SheetPage, sheet: Sheet) -> Iterator[Block]:
    if page.groups:
        for number, group in enumerate(page.groups):
            yield from grouped(m, sheet, group, anchors=number == 0)
    elif sheet.name == "labels":
        yield from _labels(m, sheet)
    elif sheet.name == "commissioning":
        blanks = _blanks(m, sheet)
        rows = tuple(Row((*row.cells, *blanks)) for row in sheet.rows)
        yield Table(m.text("captions.commissioning"), heads(m, sheet), rows)
    else:
        yield table_of(m, sheet, sheet.rows, m.text(f"captions.{sheet.name}"))


def _labels(m: VesselManual, sheet: Sheet) -> Iterator[Block]:
    """The labels themselves, to print and cut out, then the list."""
    labels = [
        (row.cells[0], row.cells[1]) for row in sheet.rows for _ in range(int(str(row.cells[2])))
    ]
    yield LabelSheet(tuple(labels))
    yield table_of(m, sheet, sheet.rows, m.text("captions.labels"))


def _allowances(m: VesselManual) -> Iterator[Block]:
    """By what the standard adds, so that anybody can do the sum again."""
    yield from table(
        m.text("cut-list.allowances_caption"),
        columns(m, "cut_kind up_to each_end# slack# waste# because"),
        (
            Row(
                (
                    m.choice("cut-kinds", row.of),
                    m.field(row.up_to),
                    m.field(row.each_end),
                    m.field(row.slack),
                    m.field(row.waste),
                    row.because,
                ),
                allowance_id(m, row),
            )
            for row in m.vessel.standard.cut_allowances
        ),
    )


def installer_page(m: VesselManual) -> Iterator[Block]:
    """What the set holds, and everything that can be saved."""
    made = [
        sheet for page in SHEET_PAGES for sheet in (make(m) for make in page.sheets) if sheet.rows
    ]
    if not made:
        return
    yield m.paragraph("installer.intro")
    yield m.caution("warning", "safety.general")
    yield m.paragraph("installer.print")
    yield _downloads(m, made)


def _downloads(m: VesselManual, sheets: Iterable[Sheet]) -> Downloads:
    names = [file_name(m, sheet) for sheet in sheets]
    return Downloads(tuple((name, m.text("downloads.save", name=name)) for name in names))
