"""Curves as inline SVG: black lines told apart by dashes, labels on the curves, both units."""

import xml.etree.ElementTree as ET
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from io import StringIO
from typing import TYPE_CHECKING, Any

from installgen.drawings.graph import Cell, Drawing, Table
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.metrics import FAMILY, FONTS_FOLDER
from installgen.drawings.paper import fit_on_paper
from installgen.drawings.plot_labels import write_labels
from installgen.drawings.plot_svg import plain_svg
from installgen.drawings.render import Rendered

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import ArrayLike

Conversion = Callable[["ArrayLike"], "ArrayLike"]

DASHES = ("-", (0, (6, 3)), (0, (2, 2)), (0, (9, 3, 2, 3)), (0, (12, 3)), (0, (5, 2, 1, 2, 1, 2)))
LEFT_PX, RIGHT_PX, TOP_PX, BOTTOM_PX = 62.0, 14.0, 14.0, 48.0
OTHER_PX = 46.0
PX_PER_INCH = 72.0
TABLE_ROWS = 6


@dataclass(frozen=True)
class Axis:
    """What an axis measures.

    other_unit: the same quantity in the other system, on the opposite side; empty for none
    other = value * other_per_unit + other_offset
    low, high: its ends; taken from the data when None
    decimals: in the table
    whole: whether it is marked at whole numbers only
    """

    label: str
    unit: str
    other_unit: str = ""
    other_per_unit: float = 1.0
    other_offset: float = 0.0
    low: float | None = None
    high: float | None = None
    decimals: int = 0
    whole: bool = False

    @property
    def title(self) -> str:
        """The axis' name with its unit."""
        return f"{self.label} [{self.unit}]" if self.unit else self.label


@dataclass(frozen=True)
class Curve:
    """A line through points, named on the drawing unless its label is empty.

    dashes: number of its dashes, 0 is none; by its place among the curves when None
    """

    label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    dashes: int | None = None


@dataclass(frozen=True)
class Mark:
    """One marked point, such as an operating point."""

    label: str
    x: float
    y: float


@dataclass(frozen=True)
class Limit:
    """A limit across the plot: at a height, or upright at a place along it."""

    label: str
    value: float
    upright: bool = False


def plot(
    identifier: str,
    title: str,
    description: str,
    x: Axis,
    y: Axis,
    curves: Sequence[Curve],
    marks: Sequence[Mark] = (),
    limits: Sequence[Limit] = (),
    tables: tuple[Table, ...] = (),
    size_px: tuple[float, float] = (520.0, 340.0),
) -> Rendered:
    """Draws curves; the same input always gives the same SVG.

    tables: what the plot says in words; made from the curves when empty
    size_px: natural size; text measures 12 px then
    """
    drawing = Drawing(
        identifier, title, description, (), tables=tables or curves_table(x, y, curves, marks)
    )
    raw = _raw_svg(x, y, tuple(curves), tuple(marks), tuple(limits), size_px)
    svg = plain_svg(ET.fromstring(raw), drawing, *size_px)
    return Rendered(drawing, svg, *size_px, fit_on_paper(*size_px))


@lru_cache(maxsize=200)
def _raw_svg(
    x: Axis,
    y: Axis,
    curves: tuple[Curve, ...],
    marks: tuple[Mark, ...],
    limits: tuple[Limit, ...],
    size_px: tuple[float, float],
) -> str:
    """What matplotlib draws; kept, for a curve seldom changes while somebody writes a spec."""
    import matplotlib as mpl
    from matplotlib import font_manager
    from matplotlib.figure import Figure

    for path in sorted(FONTS_FOLDER.glob("*.ttf")):
        if str(path) not in {entry.fname for entry in font_manager.fontManager.ttflist}:
            font_manager.fontManager.addfont(str(path))
    settings: dict[Any, Any] = {
        "svg.hashsalt": "installgen",
        "svg.fonttype": "none",
        "font.family": FAMILY,
        "font.size": TEXT_SIZE,
        "axes.unicode_minus": True,
        "text.parse_math": False,
        "path.simplify": False,
    }
    with mpl.rc_context(settings):
        figure = Figure(figsize=(size_px[0] / PX_PER_INCH, size_px[1] / PX_PER_INCH), dpi=72)
        figure.patch.set_visible(False)
        right = RIGHT_PX + (OTHER_PX if y.other_unit else 0.0)
        top = TOP_PX + (OTHER_PX if x.other_unit else 0.0)
        width, height = size_px
        axes = figure.add_axes(
            (
                LEFT_PX / width,
                BOTTOM_PX / height,
                (width - LEFT_PX - right) / width,
                (height - BOTTOM_PX - top) / height,
            )
        )
        draw_axes(axes, x, y)
        draw_content(axes, curves, marks, limits)
        axes.set_xlim(x.low, x.high)
        axes.set_ylim(y.low, y.high)
        write_labels(axes, named_lines(axes, curves, marks, limits))
        target = StringIO()
        figure.savefig(target, format="svg", metadata={"Date": None, "Creator": None})
    return target.getvalue()


def draw_axes(axes: "Axes", x: Axis, y: Axis) -> None:
    """Axes with their units, the other system opposite."""
    from matplotlib.ticker import MaxNLocator

    axes.patch.set_visible(False)
    axes.grid(visible=True, color="black", alpha=0.18, linewidth=0.6)
    axes.set_axisbelow(True)
    for axis, line in ((x, axes.xaxis), (y, axes.yaxis)):
        if axis.whole:
            line.set_major_locator(MaxNLocator(integer=True))
    axes.set_xlabel(x.title)
    axes.set_ylabel(y.title)
    if x.other_unit:
        other = axes.secondary_xaxis("top", functions=conversions(x))
        other.set_xlabel(f"[{x.other_unit}]")
        other.patch.set_visible(False)
    if y.other_unit:
        other = axes.secondary_yaxis("right", functions=conversions(y))
        other.set_ylabel(f"[{y.other_unit}]")
        other.patch.set_visible(False)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def conversions(axis: Axis) -> tuple[Conversion, Conversion]:
    """To the other unit and back."""
    import numpy as np

    def there(value: "ArrayLike") -> "ArrayLike":
        return np.asarray(value, float) * axis.other_per_unit + axis.other_offset

    def back(value: "ArrayLike") -> "ArrayLike":
        return (np.asarray(value, float) - axis.other_offset) / axis.other_per_unit

    return there, back


def named_lines(
    axes: "Axes", curves: Sequence[Curve], marks: Sequence[Mark], limits: Sequence[Limit]
) -> list[tuple[str, list[tuple[float, float]]]]:
    """Everything that carries a name, the marked points first."""
    names = [(mark.label, [(mark.x, mark.y)]) for mark in marks]
    names += [(curve.label, list(zip(curve.x, curve.y, strict=True))) for curve in curves]
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    for limit in limits:
        upright = [(limit.value, low), (limit.value, high)]
        level = [(left, limit.value), (right, limit.value)]
        names.append((limit.label, upright if limit.upright else level))
    return names


def draw_content(
    axes: "Axes", curves: Sequence[Curve], marks: Sequence[Mark], limits: Sequence[Limit]
) -> None:
    """Curves, marks and limits, all black, told apart by their dashes."""
    for number, curve in enumerate(curves):
        axes.plot(
            curve.x,
            curve.y,
            color="black",
            linewidth=1.8,
            linestyle=DASHES[(number if curve.dashes is None else curve.dashes) % len(DASHES)],
            gid=f"curve{number}",
        )
    for mark in marks:
        axes.plot([mark.x], [mark.y], "o", color="black", markersize=7)
    for limit in limits:
        draw = axes.axvline if limit.upright else axes.axhline
        draw(limit.value, color="black", linewidth=1.0, linestyle=(0, (1, 2)))


def curves_table(
    x: Axis, y: Axis, curves: Sequence[Curve], marks: Sequence[Mark]
) -> tuple[Table, ...]:
    """The curves in figures, a few points of each."""
    rows = []
    for curve in curves:
        step = max(1, (len(curve.x) - 1) // (TABLE_ROWS - 1))
        kept = sorted({*range(0, len(curve.x), step), len(curve.x) - 1})
        rows += [(curve.label, curve.x[number], curve.y[number]) for number in kept]
    rows += [(mark.label, mark.x, mark.y) for mark in marks]
    columns: tuple[str, ...] = ("Line", x.title, y.title)
    if x.other_unit:
        columns += (f"{x.label} [{x.other_unit}]",)
    if y.other_unit:
        columns += (f"{y.label} [{y.other_unit}]",)
    cells = []
    for label, across, up in rows:
        texts = [label, figure_text(across, x), figure_text(up, y)]
        texts += [figure_text(in_other_unit(across, x), x)] if x.other_unit else []
        texts += [figure_text(in_other_unit(up, y), y)] if y.other_unit else []
        cells.append(tuple(Cell(text) for text in texts))
    return (Table("Curves in figures", columns, tuple(cells)),) if cells else ()


def in_other_unit(value: float, axis: Axis) -> float:
    """A value in the other unit."""
    return value * axis.other_per_unit + axis.other_offset


def figure_text(value: float, axis: Axis) -> str:
    """A value as the table prints it."""
    return f"{value:.{axis.decimals}f}".replace("-", "−")
