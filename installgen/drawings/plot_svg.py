"""matplotlib's SVG made fit to stand inline in a page that allows no styles in its elements."""

import re
import xml.etree.ElementTree as ET

from installgen.drawings.graph import Drawing
from installgen.drawings.labels import TEXT_SIZE
from installgen.drawings.svg import root_element, shortened

SVG = "{http://www.w3.org/2000/svg}"
XLINK = "{http://www.w3.org/1999/xlink}href"
REFERENCE = re.compile(r"url\(#([^)]*)\)")
FONT_SIZE = re.compile(r"([\d.]+)px")
DROPPED = {"metadata", "title", "style"}
DROPPED_STYLE = {"stroke-linecap", "stroke-linejoin", "font", "font-family"}


def plain_svg(source: ET.Element, drawing: Drawing, width: float, height: float) -> str:
    """The plot as one line of SVG: no style attributes, own ids, ink in the text's colour."""
    root = root_element(drawing, width, height)
    root.extend(plain(child, drawing.id) for child in source if kept(child))
    for parent in list(root.iter()):
        for child in [c for c in parent if c.tag in ("g", "defs") and not len(c)]:
            parent.remove(child)
    return ET.tostring(root, encoding="unicode").replace("\n", " ")


def kept(element: ET.Element) -> bool:
    """Whether a part of matplotlib's SVG is of use."""
    return element.tag.removeprefix(SVG) not in DROPPED


def plain(element: ET.Element, prefix: str) -> ET.Element:
    """An element without namespace and style, its ids prefixed."""
    attributes: dict[str, str] = {}
    for key, value in element.attrib.items():
        if key == "style":
            attributes |= from_style(value)
        elif key == "id":
            attributes["id"] = f"{prefix}--{value}"
        elif key == XLINK:
            attributes["href"] = f"#{prefix}--{value.removeprefix('#')}"
        elif key in ("d", "points", "x", "y", "transform"):
            attributes[key] = shortened(value.replace("\n", " "))
        else:
            attributes[key] = value
    for key, value in attributes.items():
        attributes[key] = REFERENCE.sub(rf"url(#{prefix}--\1)", value)
    if attributes.get("transform", "").startswith("rotate(-0 "):
        del attributes["transform"]
    made = ET.Element(element.tag.removeprefix(SVG), attributes)
    made.text = element.text if element.tag == f"{SVG}text" else None
    made.extend(plain(child, prefix) for child in element if kept(child))
    return made


def from_style(style: str) -> dict[str, str]:
    """A style as attributes; black ink becomes the colour of the text around."""
    found: dict[str, str] = {}
    for declaration in style.split(";"):
        key, _, value = (part.strip() for part in declaration.partition(":"))
        if key == "font" and (size := FONT_SIZE.search(value)):
            if float(size[1]) != TEXT_SIZE:
                found["font-size"] = size[1]
        elif key and key not in DROPPED_STYLE:
            found[key] = "currentColor" if value in ("#000000", "black") else value
    return found
