"""Names written on the curves of a plot, each where it covers least."""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.metrics import text_width_px

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE_HEIGHT_PX = 14.0
STEP_PX = 3
SHARES = (1.0, 0.9, 0.75, 0.6, 0.45, 0.3, 0.15)
Box = tuple[float, float, float, float]
Point = tuple[float, float]


def write_labels(axes: "Axes", names: Sequence[tuple[str, Sequence[Point]]]) -> None:
    """Writes each name beside what it names.

    names: a text with the points of its line, or with the single point it marks [data]
    """
    courses = [between([to_px(axes, point) for point in points]) for _, points in names]
    obstacles = [point for course in courses for point in course]
    taken: list[Box] = []
    for (text, _), course in zip(names, courses, strict=True):
        taken.append(put_label(axes, text, spots_of(course), obstacles, taken))


def to_px(axes: "Axes", point: Point) -> Point:
    """Where a point of the data stands in the figure [px]."""
    across, up = axes.transData.transform(point)
    return float(across), float(up)


def between(corners: list[Point]) -> list[Point]:
    """Points along straight pieces, close together; around a single point, its rim."""
    if len(corners) == 1:
        x, y = corners[0]
        return [(x + dx, y + dy) for dx, dy in ((0, 0), (4, 0), (-4, 0), (0, 4), (0, -4))]
    points = corners[:1]
    for (x0, y0), (x1, y1) in pairwise(corners):
        steps = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / STEP_PX))
        points += [
            (x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps)
            for step in range(1, steps + 1)
        ]
    return points


def spots_of(course: list[Point]) -> list[Point]:
    """Where along a line its name may stand, the end first."""
    if len(course) <= 5:
        return course[:1]
    return [course[min(len(course) - 1, int(len(course) * share))] for share in SHARES]


def put_label(
    axes: "Axes",
    text: str,
    spots: list[tuple[float, float]],
    obstacles: list[tuple[float, float]],
    taken: list[Box],
) -> Box:
    """Writes a name at the spot and on the side where it covers least; returns its box."""
    frame = axes.get_window_extent()
    room = (frame.x0 + 2, frame.y0 + 2, frame.x1 - 2, frame.y1 - 2)
    width = float(text_width_px(text, TEXT_SIZE))
    best = min(
        (
            (cost_of(box, room, obstacles, taken), number, box)
            for number, box in enumerate(boxes_near(spots, width))
        ),
        key=lambda entry: entry[:2],
    )[2]
    left, low, _, _ = best
    at = axes.transData.inverted().transform((left, low + 3))
    axes.annotate(text, xy=(float(at[0]), float(at[1])), ha="left", va="baseline", color="black")
    return best


def boxes_near(spots: list[tuple[float, float]], width: float) -> list[Box]:
    """Boxes for a name above, below and beside each spot."""
    found: list[Box] = []
    for x, y in spots:
        for left, low in (
            (x - width, y + 5),
            (x - width, y - 5 - LINE_HEIGHT_PX),
            (x - width / 2, y + 7),
            (x - width / 2, y - 7 - LINE_HEIGHT_PX),
            (x + 8, y - LINE_HEIGHT_PX / 2),
            (x - 8 - width, y - LINE_HEIGHT_PX / 2),
            (x + 5, y + 5),
            (x + 5, y - 5 - LINE_HEIGHT_PX),
        ):
            found.append((left, low, left + width, low + LINE_HEIGHT_PX))
    return found


def cost_of(box: Box, room: Box, obstacles: list[tuple[float, float]], taken: list[Box]) -> float:
    """What a label at a place would cover, or by how much it would leave the plot."""
    left, low, right, high = box
    covered = sum(left - 2 < x < right + 2 and low - 2 < y < high + 2 for x, y in obstacles)
    on_labels = sum(
        left < other[2] + 3 and other[0] - 3 < right and low < other[3] and other[1] < high
        for other in taken
    )
    outside = sum(
        max(0.0, excess)
        for excess in (room[0] - left, room[1] - low, right - room[2], high - room[3])
    )
    return covered + 100.0 * on_labels + 20.0 * outside
