"""Names written on the curves of a plot, each where it covers least."""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.metrics import text_width_px

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE_HEIGHT_PX = 14.0
STEP_PX = 3
CLEAR_PX = 2.0
DOUBT_PX = 8.0
COVERED = 10.0
"""What a point of a line under a name weighs, against a pixel of doubt whose name it is."""
THROUGH_PX = 4.0
"""A line that passes a marked point this near goes through it."""
SHARES = tuple(1 - 0.04 * step for step in range(24))
Box = tuple[float, float, float, float]
Point = tuple[float, float]
Points = NDArray[np.float64]


def write_labels(axes: "Axes", names: Sequence[tuple[str, Sequence[Point]]]) -> None:
    """Writes each name beside what it names.

    names: a text with the points of its line, or with the single point it marks [data]
    """
    courses = [between([to_px(axes, point) for point in points]) for _, points in names]
    taken: list[Box] = []
    for number, (text, _) in enumerate(names):
        if not text:
            continue
        others = [course for n, course in enumerate(courses) if n != number]
        taken.append(put_label(axes, text, courses[number], others, taken))


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
    axes: "Axes", text: str, course: list[Point], others: list[list[Point]], taken: list[Box]
) -> Box:
    """Writes a name at the spot and on the side where it covers least; returns its box."""
    frame = axes.get_window_extent()
    room = (frame.x0 + 2, frame.y0 + 2, frame.x1 - 2, frame.y1 - 2)
    width = float(text_width_px(text, TEXT_SIZE))
    own = np.array(course).reshape(-1, 2)
    other = as_points(others)
    strange = as_points([one for one in others if not goes_through(one, course)])
    best = min(
        (
            (cost_of(box, room, own, other, strange, taken), number, box)
            for number, box in enumerate(boxes_near(spots_of(course), width))
        ),
        key=lambda entry: entry[:2],
    )[2]
    left, low, _, _ = best
    at = axes.transData.inverted().transform((left, low + 3))
    axes.annotate(text, xy=(float(at[0]), float(at[1])), ha="left", va="baseline", color="black")
    return best


def as_points(courses: Sequence[list[Point]]) -> Points:
    """All points of several lines."""
    return np.array([point for course in courses for point in course]).reshape(-1, 2)


def goes_through(line: list[Point], course: list[Point]) -> bool:
    """Whether a line passes the single point that is marked; a name near it is in no doubt."""
    if len(course) > 5:
        return False
    x, y = course[0]
    return any(abs(across - x) + abs(up - y) < THROUGH_PX for across, up in line)


def boxes_near(spots: list[Point], width: float) -> list[Box]:
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
            (x - width / 2, y + 14),
            (x - width / 2, y - 14 - LINE_HEIGHT_PX),
            (x + 10, y + 12),
            (x + 10, y - 12 - LINE_HEIGHT_PX),
            (x - 10 - width, y + 12),
            (x - 10 - width, y - 12 - LINE_HEIGHT_PX),
        ):
            found.append((left, low, left + width, low + LINE_HEIGHT_PX))
    return found


def cost_of(
    box: Box, room: Box, course: Points, others: Points, strange: Points, taken: list[Box]
) -> float:
    """What speaks against a name at a place: it covers something, leaves the plot, or stands
    nearer to another line than to its own.

    strange: those of the other lines whose name it might be taken for
    """
    to_own, to_others = distances(box, course), distances(box, others)
    to_strange = distances(box, strange)
    covered = float((to_own < CLEAR_PX).sum() + (to_others < CLEAR_PX).sum())
    on_labels = [one for one in taken if overlaps(box, one)]
    outside = sum(
        max(0.0, excess)
        for excess in (room[0] - box[0], room[1] - box[1], box[2] - room[2], box[3] - room[3])
    )
    doubtful = 0.0
    if to_strange.size:
        doubtful = max(0.0, float(to_own.min() - to_strange.min()) + DOUBT_PX)
    return (
        COVERED * covered
        + 0.3 * float(to_own.min())
        + doubtful
        + 100.0 * len(on_labels)
        + 20.0 * outside
    )


def distances(box: Box, points: Points) -> Points:
    """How far each of the points is from a box [px]."""
    left, low, right, high = box
    across = np.maximum(np.maximum(left - points[:, 0], points[:, 0] - right), 0.0)
    up = np.maximum(np.maximum(low - points[:, 1], points[:, 1] - high), 0.0)
    return np.hypot(across, up)


def overlaps(one: Box, other: Box) -> bool:
    """Whether two names stand on or nearly on each other."""
    return (
        one[0] < other[2] + DOUBT_PX
        and other[0] < one[2] + DOUBT_PX
        and one[1] < other[3] + CLEAR_PX
        and other[1] < one[3] + CLEAR_PX
    )
