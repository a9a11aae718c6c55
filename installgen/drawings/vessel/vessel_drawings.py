"""Every drawing of a vessel, by its id."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.analyse import Analysis
from installgen.drawings.graph import Drawing
from installgen.drawings.render import LayoutCache, Rendered, render
from installgen.drawings.vessel.fluids import fluid_drawings
from installgen.drawings.vessel.raw_water import raw_water_drawings
from installgen.drawings.vessel.start_run_stop import start_run_stop_drawings


def drawings_for(analysis: Analysis) -> dict[str, Drawing]:
    """Her drawings, by id; none of a system that she does not have."""
    return {drawing.id: drawing for drawing in _drawings(analysis)}


def _drawings(analysis: Analysis) -> Iterator[Drawing]:
    yield from raw_water_drawings(analysis)
    yield from fluid_drawings(analysis)
    yield from start_run_stop_drawings(analysis)


def rendered_for(analysis: Analysis, cache: LayoutCache | None = None) -> dict[str, Rendered]:
    """Her drawings laid out, by id."""
    rendered = render(list(drawings_for(analysis).values()), cache)
    return {one.drawing.id: one for one in rendered}
