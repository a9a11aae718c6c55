"""What takes a starter's current when a main negative comes loose."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_returns import LooseNegative, Return
from installgen.manual.blocks import Block, Code, Line, Link, Row, Target
from installgen.manual.links import CONDUCTORS
from installgen.manual.pages.common import columns, table
from installgen.manual.vessel_manual import VesselManual


def return_blocks(m: VesselManual) -> Iterator[Block]:
    """A caution, a drawing and a table for each main negative that has other ways beside it."""
    dc = m.analysis.dc
    loose = [one for one in (dc.loose if dc is not None else ()) if one.returns]
    if not loose:
        return
    yield m.heading("returns.heading", "returns")
    yield m.caution("warning", "returns.caution", "returns.work")
    yield from m.figure("returns")
    yield from table(
        m.text("returns.caption"),
        columns(m, "loose_negative return_way would_carry# ampacity#"),
        (_row(m, one, way) for one in loose for way in one.returns),
    )


def _row(m: VesselManual, loose: LooseNegative, way: Return) -> Row:
    label = m.say("returns.loose", label=Code(loose.main.wire.label), engine=_engine(m, loose))
    return Row(
        (label, _way(way), m.outcome(loose.current_id(way)), m.outcome(ampacity_id(way.element)))
    )


def _engine(m: VesselManual, loose: LooseNegative) -> str:
    return (
        m.engine_name(m.vessel.engine(loose.engine)).lower()
        if m.several
        else m.text("returns.engine")
    )


def _way(way: Return) -> Line:
    if way.wire is None:
        return way.label
    return Link(Code(way.label), Target(CONDUCTORS, way.element))
