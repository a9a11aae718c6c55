"""Every drawing of a vessel, by its id.

Of several engines each has its own, and its name goes before the id: `port.coolant`. Where a
drawing would be crowded it has further sheets, whose ids begin with that of the first one and a
dot: `start-run-stop`, `start-run-stop.preheat`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Drawing
from installgen.drawings.render import LayoutCache, Rendered, render
from installgen.drawings.vessel.connections import connection_plans
from installgen.drawings.vessel.curves import plots_for
from installgen.drawings.vessel.dc_power import dc_power_drawings
from installgen.drawings.vessel.fluids import fluid_drawings
from installgen.drawings.vessel.instruments import instrument_drawings
from installgen.drawings.vessel.raw_water import raw_water_drawings
from installgen.drawings.vessel.returns import returns_drawings
from installgen.drawings.vessel.start_run_stop import start_run_stop_drawings
from installgen.memo import once_for_each


@once_for_each
def drawings_for(analysis: Analysis) -> Mapping[str, Drawing]:
    """Her drawings as graphs, by id; none of a system that she does not have."""
    return {drawing.id: drawing for drawing in _drawings(analysis)}


def plans_for(analysis: Analysis) -> dict[str, Rendered]:
    """Her engines with their connection points, by id; these need no layout."""
    return {plan.drawing.id: plan for plan in connection_plans(analysis)}


def rendered_for(analysis: Analysis, cache: LayoutCache | None = None) -> dict[str, Rendered]:
    """All of them ready for a page, by id.

    cache: keeps layouts from one build to the next
    """
    laid_out = render(list(drawings_for(analysis).values()), cache)
    return {one.drawing.id: one for one in laid_out} | plans_for(analysis) | plots_for(analysis)


def _drawings(analysis: Analysis) -> Iterator[Drawing]:
    yield from raw_water_drawings(analysis)
    yield from fluid_drawings(analysis)
    yield from dc_power_drawings(analysis)
    yield from start_run_stop_drawings(analysis)
    yield from returns_drawings(analysis)
    yield from instrument_drawings(analysis)
