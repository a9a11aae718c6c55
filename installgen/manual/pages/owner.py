"""The owner's manual under the headings that ISO 10240 asks for, none of them silently missing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from installgen.findings.owner_headings import HeadingState, owner_headings
from installgen.manual import links
from installgen.manual.blocks import (
    Block,
    Bullets,
    Caution,
    Heading,
    Line,
    Link,
    Row,
    Target,
    joined,
)
from installgen.manual.maintenance import dues
from installgen.manual.pages.common import columns, facts, table
from installgen.manual.vessel_manual import VesselManual, coded, full_stop
from installgen.manual.yard_text import yard_blocks
from installgen.spec.owner_spec import HeadingName, OwnerHeading


def owner_page(m: VesselManual) -> Iterator[Block]:
    """Always there: a heading that nobody has filled says so."""
    yield m.paragraph("owner.intro")
    for state in owner_headings(m.vessel):
        yield Heading(m.text(f"owner-headings.{state.name}"), state.name)
        if state.generated:
            yield from _GENERATED[state.name](m)
        if state.entry is not None:
            yield from _written(m, state, state.entry)
        if state.missing:
            yield Caution("notice", (m.say("owner.missing"),))


def _written(m: VesselManual, state: HeadingState, entry: OwnerHeading) -> Iterator[Block]:
    if entry.text is not None:
        yield from yard_blocks(m.vessel.texts[entry.text], state.name)
    else:
        role = m.choice("roles", entry.role) if entry.role else ""
        yield m.paragraph(
            "owner.not_applicable",
            because=full_stop(entry.not_applicable),
            role=role,
            date=entry.date or "",
        )


# ---- what is generated --------------------------------------------------------------------------


def _craft_data(m: VesselManual) -> Iterator[Block]:
    hull = m.vessel.spec.vessel
    yield from facts(
        m,
        ("hin", m.field(hull.hin)),
        ("type", hull.type),
        ("yard", m.field(hull.yard)),
        ("length", m.field(hull.length)),
        ("beam", m.field(hull.beam)),
        ("displacement", m.field(hull.displacement)),
        ("loading", m.vessel.spec.waterline.loading if m.vessel.spec.waterline else ""),
    )


def _pages(*pages: str) -> Callable[[VesselManual], Iterator[Block]]:
    """Where in this manual it stands."""

    def blocks(m: VesselManual) -> Iterator[Block]:
        yield Bullets(tuple(_page(m, page) for page in pages if _there(m, page)))

    return blocks


def _page(m: VesselManual, page: str) -> Line:
    return Link(m.text(f"titles.{page}"), Target(page))


def _there(m: VesselManual, page: str) -> bool:
    """Whether her manual has such a page."""
    needs: Mapping[str, bool] = {
        links.RAW_WATER: bool(m.analysis.routes or m.analysis.openings or m.vessel.spec.exhaust),
        links.FUEL: "fuel" in m.analysis.circuits,
        links.DC_POWER: bool(m.devices),
        links.START_RUN_STOP: bool(m.devices),
        links.CONDUCTORS: m.vessel.spec.electrical is not None,
        links.MAINTENANCE: bool(dues(m)),
    }
    return needs.get(page, True)


def _openings(m: VesselManual) -> Iterator[Block]:
    yield m.paragraph("owner.openings")
    yield Bullets(
        (
            m.link("emergency.flooding", links.EMERGENCIES, "flooding"),
            *([m.link("openings.heading", links.RAW_WATER, links.OPENINGS)] if _listed(m) else []),
        )
    )


def _listed(m: VesselManual) -> bool:
    """Whether the register of openings has a row."""
    return any(result.subject.startswith("opening.") for result in m.book.values())


def _equipment(*kinds: str) -> Callable[[VesselManual], Iterator[Block]]:
    """Safety equipment of these kinds, and where the steps are that use it."""

    def blocks(m: VesselManual) -> Iterator[Block]:
        yield from table(
            m.text("owner.equipment_caption"),
            columns(m, "what place find how"),
            (
                Row(
                    (
                        coded(item.name or m.choice("equipment", item.kind), item.code),
                        m.place(item.place),
                        item.find,
                        item.how,
                    )
                )
                for item in m.vessel.spec.owners_manual.equipment
                if item.kind in kinds
            ),
        )
        section = "flooding" if "bilge-pump" in kinds else "fire"
        yield m.paragraph(
            "owner.see", link=m.link(f"emergency.{section}", links.EMERGENCIES, section)
        )

    return blocks


def _fuel(m: VesselManual) -> Iterator[Block]:
    yield m.paragraph("fuel.fire_caution")
    where: list[Line] = [m.link("emergency.fire", links.EMERGENCIES, "fire")]
    where += [_page(m, links.FUEL)] if _there(m, links.FUEL) else []
    yield m.paragraph("owner.see", link=joined(where))


def _electrical(m: VesselManual) -> Iterator[Block]:
    yield m.paragraph("owner.electrical")
    yield from _pages(links.DC_POWER, links.START_RUN_STOP, links.CONDUCTORS)(m)


_GENERATED: Mapping[HeadingName, Callable[[VesselManual], Iterator[Block]]] = {
    "craft-data": _craft_data,
    "engine": _pages(links.EMERGENCIES, links.STARTING, links.MAINTENANCE, links.LAY_UP),
    "hull-openings": _openings,
    "bilge": _equipment("bilge-pump", "hand-bilge-pump"),
    "fuel": _fuel,
    "fire-fighting": _equipment(
        "fire-extinguisher", "fixed-extinguisher", "fire-port", "fire-blanket"
    ),
    "electrical": _electrical,
}
