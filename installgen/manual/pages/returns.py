"""What takes a starter's current when a main negative comes loose."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_returns import LooseNegative, Return
from installgen.manual.blocks import Block, Code, Line, Link, Row, Target
from installgen.manual.links import CONDUCTORS
from installgen.manual.pages.common import columns, table
from installgen.manual.pages.reading_words import with_working
from installgen.manual.vessel_manual import VesselManual
from installgen.units import Current


def return_blocks(m: VesselManual) -> Iterator[Block]:
    """A caution, a drawing and a table for each main negative that has other ways beside it.

    One that has none is told in a sentence.
    """
    dc = m.analysis.dc
    if dc is None or not dc.loose:
        return
    yield m.heading("returns.heading", "loose-negative")
    loose = [one for one in dc.loose if one.returns]
    if loose:
        yield m.caution("warning", "returns.caution", "returns.work")
        yield from m.figure("returns")
        yield from table(
            m.text("returns.caption"),
            columns(m, "loose_negative return_way carried_before# would_carry# ampacity#"),
            (_row(m, one, way) for one in loose for way in one.returns),
        )
    for one in dc.loose:
        if not one.returns:
            yield m.paragraph("returns.alone", label=_label(one), engine=_engine(m, one))


def _row(m: VesselManual, loose: LooseNegative, way: Return) -> Row:
    told = m.say(
        "returns.loose",
        label=_label(loose),
        engine=_engine(m, loose),
        before=_before(m, loose, loose.before_a),
    )
    carried = _before(m, loose, abs(way.before_a))
    if way.before_a < 0.0:
        carried = m.say("returns.other_way", before=carried)
    then, may = m.outcome(loose.current_id(way)), m.outcome(ampacity_id(way.element))
    return Row((told, _way(way), carried, then, may))


def _before(m: VesselManual, loose: LooseNegative, current_a: float) -> Line:
    """A current of the case in which everything is whole."""
    return with_working(m, loose.case.case, m.field(Current(current_a)))


def _label(loose: LooseNegative) -> Line:
    return Link(Code(loose.main.wire.label), Target(CONDUCTORS, loose.main.element))


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
