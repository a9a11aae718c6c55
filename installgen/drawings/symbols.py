"""The pictograms of `symbols.svg`, one a kind of node."""

import functools
import xml.etree.ElementTree as ET
from pathlib import Path

from installgen.drawings.kinds import Kind

SIZE = 24
SVG = "{http://www.w3.org/2000/svg}"
WITHOUT_SYMBOL = {Kind.NOTE}


@functools.cache
def symbols() -> dict[str, ET.Element]:
    """Every pictogram by the value of its kind."""
    root = ET.parse(Path(__file__).with_suffix(".svg")).getroot()
    return {group.attrib["id"]: group for group in root.iter(f"{SVG}g")}


def symbol(kind: Kind, left: str, top: str) -> ET.Element:
    """The pictogram of a kind, moved to a place of the drawing and following the text's colour."""
    drawn = ET.Element(
        "g",
        {
            "class": "drawing-symbol",
            "transform": f"translate({left} {top})",
            "fill": "none",
            "stroke": "currentColor",
            "stroke-width": "1.5",
        },
    )
    for part in symbols()[kind.value]:
        copy = ET.SubElement(drawn, part.tag.removeprefix(SVG), part.attrib)
        if copy.attrib.pop("class", "") == "solid":
            copy.attrib.update({"fill": "currentColor", "stroke": "none"})
    return drawn
