"""Drawings in a document that holds every page: their ids and links made those of the document."""

from __future__ import annotations

import re
from html import escape, unescape
from urllib.parse import unquote

from installgen.manual.blocks import Target
from installgen.manual.links import DocumentLinks

ATTRIBUTE = re.compile(r' (id|href|xlink:href|aria-labelledby)="([^"]*)"')


def relocated(figure: str, links: DocumentLinks) -> str:
    """A figure of a page of a site, as HTML for the same page within one document.

    KeyError where a link leads to a page that is not there.
    """

    def moved(found: re.Match[str]) -> str:
        name, value = found[1], unescape(found[2])
        if name == "id":
            value = links.anchor(value)
        elif name == "aria-labelledby":
            value = " ".join(links.anchor(one) for one in value.split())
        else:
            page, _, fragment = value.partition("#")
            here = page.removesuffix(".html") or links.here
            value = links.href(Target(here, unquote(fragment)))
        return f' {name}="{escape(value)}"'

    return ATTRIBUTE.sub(moved, figure)
