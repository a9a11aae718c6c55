"""Where every text and every box of an SVG stands, measured with the widths of the real font."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

from fontTools.ttLib import TTFont

import installgen

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(installgen.__file__).parent / "theme" / "fonts"
ASCENT, DESCENT = 0.72, 0.22
PAIR = re.compile(r"(-?[\d.]+)[ ,](-?[\d.]+)")


@dataclass(frozen=True)
class Box:
    """A rectangle [px] and what stands in it."""

    left: float
    top: float
    right: float
    bottom: float
    what: str = ""
    owner: str = ""

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def overlaps(self, other: "Box", slack: float = 0.0) -> bool:
        """Whether the two share more than `slack` pixels in both directions."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > slack and down > slack

    def holds(self, other: "Box", slack: float = 0.0) -> bool:
        """Whether the other box lies inside this one."""
        return (
            self.left - slack <= other.left
            and self.top - slack <= other.top
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )


@dataclass(frozen=True)
class Measured:
    """The boxes of one drawing."""

    view: Box
    texts: tuple[Box, ...]
    owners: tuple[Box, ...]
    outlines: dict[str, Box]


@cache
def font(style: str) -> tuple[dict[int, str], dict[str, tuple[int, int]], int]:
    """Character map, advance widths and units per em of one style of our font."""
    loaded = TTFont(FONTS / f"InstallgenSans-{style}.ttf")
    return loaded.getBestCmap(), loaded["hmtx"].metrics, loaded["head"].unitsPerEm


def text_width_px(text: str, size_px: float, bold: bool = False, italic: bool = False) -> float:
    """The sum of the advance widths, without kerning, which only makes text narrower."""
    characters, widths, units = font("Bold" if bold else "Italic" if italic else "Regular")
    total = sum(widths[characters.get(ord(c), ".notdef")][0] for c in text)
    return total * size_px / units


def measure(svg: str) -> Measured:
    """Reads every text and the outline of every node and label."""
    root = ET.fromstring(svg)
    left, top, width, height = (float(part) for part in root.attrib["viewBox"].split())
    size = float(root.attrib["font-size"])
    canvas = root.find(f"{SVG}g")
    assert canvas is not None
    shift = re.findall(r"-?[\d.]+", canvas.attrib["transform"])
    dx, dy = float(shift[0]), float(shift[1])
    texts: list[Box] = []
    owners: list[Box] = []
    outlines: dict[str, Box] = {}
    for group in canvas:
        owner = group.attrib.get("id", "")
        own = [text_box(text, size, owner, dx, dy) for text in group.iter(f"{SVG}text")]
        texts += own
        if not owner or "drawing-heading" in group.attrib.get("class", ""):
            continue
        points = [point for shape in group.iter() for point in shape_points(shape)]
        outline = [Box(x + dx, y + dy, x + dx, y + dy) for x, y in points]
        owners.append(around(own + outline, "", owner))
        walled = not re.search(r"drawing-kind-(note|continues)\b", group.attrib.get("class", ""))
        if outline and walled:
            outlines[owner] = around(outline, "outline", owner)
    return Measured(
        Box(left, top, left + width, top + height), tuple(texts), tuple(owners), outlines
    )


def around(boxes: list[Box], what: str, owner: str) -> Box:
    """The smallest box that holds all of them."""
    return Box(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
        what,
        owner,
    )


def text_box(text: ET.Element, size: float, owner: str, dx: float, dy: float) -> Box:
    """The box of one line of text."""
    x, y = float(text.attrib["x"]) + dx, float(text.attrib["y"]) + dy
    bold, italic = "font-weight" in text.attrib, "font-style" in text.attrib
    width = text_width_px(text.text or "", size, bold, italic)
    return Box(x, y - ASCENT * size, x + width, y + DESCENT * size, text.text or "", owner)


def shape_points(shape: ET.Element) -> list[tuple[float, float]]:
    """The points of an outline; symbols are left out, they lie inside their node."""
    if shape.tag in (f"{SVG}polygon", f"{SVG}polyline"):
        pairs = PAIR.findall(shape.attrib["points"])
    elif (
        shape.tag == f"{SVG}path"
        and shape.attrib.get("d", "").startswith("M")
        and "C" in (shape.attrib["d"])
    ):
        pairs = PAIR.findall(shape.attrib["d"])
    else:
        return []
    return [(float(x), float(y)) for x, y in pairs]


def line_boxes(svg: str) -> list[list[tuple[float, float]]]:
    """Every edge's curve as a chain of points [px]."""
    root = ET.fromstring(svg)
    canvas = root.find(f"{SVG}g")
    assert canvas is not None
    shift = [float(part) for part in re.findall(r"-?[\d.]+", canvas.attrib["transform"])]
    chains = []
    for group in canvas:
        if "drawing-line" not in group.attrib.get("class", "").split():
            continue
        for path in group.iter(f"{SVG}path"):
            points = [(float(x), float(y)) for x, y in PAIR.findall(path.attrib["d"])]
            chains.append([(x + shift[0], y + shift[1]) for x, y in bezier(points)])
        for line in group.iter(f"{SVG}polyline"):
            corners = [(float(x), float(y)) for x, y in PAIR.findall(line.attrib["points"])]
            chains.append([(x + shift[0], y + shift[1]) for x, y in straight(corners)])
    return chains


def bezier(points: list[tuple[float, float]], steps: int = 12) -> list[tuple[float, float]]:
    """Points along a chain of cubic curves."""
    chain = [points[0]]
    for start in range(0, len(points) - 3, 3):
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = points[start : start + 4]
        for step in range(1, steps + 1):
            t = step / steps
            a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
            chain.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    return chain


def straight(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Points along straight pieces, two pixels apart."""
    chain = []
    for (x0, y0), (x1, y1) in pairwise(corners):
        steps = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / 2))
        chain += [(x0 + (x1 - x0) * n / steps, y0 + (y1 - y0) * n / steps) for n in range(steps)]
    return [*chain, corners[-1]]


def names_on_curves(svg: str) -> list[tuple[str, str]]:
    """The names in a plot that a curve runs through, each with that curve's id."""
    root = ET.fromstring(svg)
    boxes = []
    for text in root.iter(f"{SVG}text"):
        if "transform" not in text.attrib:
            words = text.text or ""
            width, y = text_width_px(words, 12), float(text.attrib["y"])
            anchor = text.attrib.get("text-anchor", "start")
            left = float(text.attrib["x"]) - width * {"start": 0, "middle": 0.5, "end": 1}[anchor]
            boxes.append(Box(left, y - 9, left + width, y + 3, words))
    (frame,) = root.iter(f"{SVG}clipPath")
    shown = {key: float(value) for key, value in frame[0].attrib.items()}
    found = []
    for group in root.iter(f"{SVG}g"):
        if "--curve" in group.attrib.get("id", ""):
            for path in group.iter(f"{SVG}path"):
                corners = [tuple(map(float, pair)) for pair in PAIR.findall(path.attrib["d"])]
                for x, y in straight(corners):
                    if not (
                        0 <= x - shown["x"] <= shown["width"]
                        and 0 <= y - shown["y"] <= shown["height"]
                    ):
                        continue
                    found += [
                        (box.what, group.attrib["id"])
                        for box in boxes
                        if box.left < x < box.right and box.top < y < box.bottom
                    ]
    return list(dict.fromkeys(found))


def faults(svg: str) -> list[str]:
    """Everything that makes the drawing hard to read; empty when it is well laid out."""
    measured = measure(svg)
    found = [
        f"{text.what!r} stands outside the drawing"
        for text in measured.texts
        if not measured.view.holds(text)
    ]
    for one, other in combinations(measured.texts, 2):
        if one.overlaps(other, slack=0.5):
            found.append(f"{one.what!r} of {one.owner} lies on {other.what!r} of {other.owner}")
    for text in measured.texts:
        outline = measured.outlines.get(text.owner)
        if outline and not outline.left + 1 <= text.left <= text.right <= outline.right - 1:
            found.append(f"{text.what!r} crosses the outline of {text.owner}")
        found += [
            f"{text.what!r} of {text.owner} lies on {owner.owner}"
            for owner in measured.owners
            if owner.owner != text.owner and owner.overlaps(text, slack=0.5)
        ]
    for one, other in combinations(measured.owners, 2):
        if one.overlaps(other, slack=0.5):
            found.append(f"{one.owner} lies on {other.owner}")
    held = {owner.owner for owner in measured.owners}
    for chain in line_boxes(svg):
        for text in measured.texts:
            if text.owner not in held:
                continue
            inner = Box(text.left + 1, text.top + 1, text.right - 1, text.bottom - 1)
            if any(inner.left < x < inner.right and inner.top < y < inner.bottom for x, y in chain):
                found.append(f"a line runs through {text.what!r} of {text.owner}")
    return found


def shared_runs(svg: str) -> list[str]:
    """Pieces of two different lines that lie on each other though they join no common thing."""
    root = ET.fromstring(svg)
    canvas = root.find(f"{SVG}g")
    assert canvas is not None
    runs = []
    for group in canvas:
        if "drawing-line" not in group.attrib.get("class", "").split():
            continue
        for line in group.iter(f"{SVG}polyline"):
            corners = [(float(x), float(y)) for x, y in PAIR.findall(line.attrib["points"])]
            ends = frozenset((corners[0], corners[-1]))
            runs += [(ends, one, other) for one, other in pairwise(corners)]
    found = []
    for (ends, a, b), (other_ends, c, d) in combinations(runs, 2):
        if not ends & other_ends and overlap(a, b, c, d) > 3:
            found.append(f"{a}-{b} lies on {c}-{d}")
    return found


def overlap(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> float:
    """How long two level or upright pieces run in the same place [px]."""
    for along, across in ((0, 1), (1, 0)):
        if abs(a[across] - b[across]) < 0.1 and abs(c[across] - d[across]) < 0.1:
            if abs(a[across] - c[across]) > 2.5:
                continue
            low = max(min(a[along], b[along]), min(c[along], d[along]))
            high = min(max(a[along], b[along]), max(c[along], d[along]))
            return high - low
    return 0.0
