"""One self-contained HTML file: every page, every drawing and a search, without any request.

Without script the pages stand one after the other under their contents; with it one is shown at a
time. Style and script are the only ones that its content policy lets a browser use.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Sequence
from importlib.resources import files

from installgen import __version__
from installgen.drawings.metrics import FONTS_FOLDER
from installgen.manual import blocks as b
from installgen.manual.bound.codes import CodeEntry, code_index
from installgen.manual.bound.pages import BoundPage, bound_pages, is_emergency, running_title
from installgen.manual.html import HtmlWriter
from installgen.manual.html_lines import escaped
from installgen.manual.links import DocumentLinks
from installgen.manual.made_manual import MadeManual
from installgen.manual.pages.cranking import cranking_panel

THEME = FONTS_FOLDER.parent / "assets" / "installgen"
FONT = re.compile(r'url\("\.\./\.\./fonts/([\w-]+\.woff2)"\)')
NIGHT = re.compile(r'^\[data-md-color-scheme="slate"\] \{\n(.*?)\n\}', re.DOTALL | re.MULTILINE)
CONTENTS, CODES = "contents", "codes"


class ScreenWriter(HtmlWriter):
    """Writes blocks for a file whose head says what every page of a site says.

    Tables to load lie beside the file, not in it.
    """

    def block(self, item: b.Block) -> str:
        """HTML of one block."""
        said = isinstance(item, b.DraftBanner | b.EmergencyLink | b.Downloads)
        return "" if said else super().block(item)


def one_file(made: MadeManual, report: Callable[[str], None] = lambda text: None) -> str:
    """The whole file.

    report: told the title of each page while it is written
    """
    m = made.source
    # There is a book for paper; a telephone has enough to carry.
    figures = made.figures(with_paper=False)
    pages = list(bound_pages(made, ScreenWriter, figures, report))
    codes = code_index([one.page for one in pages])
    leaves = [
        (CONTENTS, m.text("bound.contents"), _contents(made, pages)),
        *((one.page.id, one.page.title, one.html) for one in pages),
        (CODES, m.text("bound.codes"), _codes(made, codes, [one.page for one in pages])),
    ]
    early = _own("early.js")
    late = "\n".join(
        [
            (THEME / "query.js").read_text("utf-8"),
            _own("onefile.js"),
            *((THEME / name).read_text("utf-8") for name in SHARED_SCRIPTS),
        ]
    )
    style = _style()
    title = f"{made.vessel.name} · {m.text('bound.title')}"
    return (
        f'<!doctype html>\n<html lang="{escaped(m.words.language)}">\n<head>\n'
        f'<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_policy(style, early, late)}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="color-scheme" content="light dark">\n'
        f'<meta name="generator" content="installgen {escaped(__version__)}">\n'
        f"<title>{escaped(title)}</title>\n<style>{style}</style>\n<script>{early}</script>\n"
        f'</head>\n<body class="md-typeset">\n{_bar(made, pages)}\n<main>\n{_found(made)}\n'
        f"{_leaves(leaves)}\n</main>\n<script>{late}</script>\n</body>\n</html>\n"
    )


SHARED_SCRIPTS = ("content.js", "drawings.js")


# ---- style, script, policy --------------------------------------------------------------------


def _own(name: str) -> str:
    return (files("installgen.manual.onefile") / name).read_text("utf-8")


def _style() -> str:
    """Our own sheet and the site's, its fonts as data, its night also where no script chooses."""
    site = FONT.sub(_font, (THEME / "manual.css").read_text("utf-8"))
    night = NIGHT.search(site)
    assert night is not None
    dark = (
        "@media screen and (prefers-color-scheme: dark) "
        f"{{ :root:not([data-md-color-scheme]) {{\n{night[1]}\n}} }}\n"
    )
    return f"{_own('onefile.css')}\n{site}\n{dark}"


def _font(found: re.Match[str]) -> str:
    data = base64.b64encode((FONTS_FOLDER / found[1]).read_bytes()).decode("ascii")
    return f'url("data:font/woff2;base64,{data}")'


def _policy(style: str, *scripts: str) -> str:
    """Nothing may be asked for or run but what the file itself carries."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {' '.join(map(_digest, scripts))}",
            f"style-src {_digest(style)}",
            "img-src data:",
            "font-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )


def _digest(text: str) -> str:
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
    return f"'sha256-{digest}'"


# ---- parts ------------------------------------------------------------------------------------


def _bar(made: MadeManual, pages: Sequence[BoundPage]) -> str:
    """What stays in sight: contents, emergencies, search, and that it is a draft."""
    m = made.source
    urgent = next((one.page for one in pages if is_emergency(one.page)), None)
    links = [f'<a href="#{CONTENTS}">{escaped(m.text("bound.contents"))}</a>']
    if urgent is not None:
        links.append(
            f'<a class="emergency" href="#{escaped(urgent.id)}">{escaped(urgent.title)}</a>'
        )
    find = escaped(m.text("bound.find"))
    box = f'<input type="search" id="find" placeholder="{find}" aria-label="{find}" hidden>'
    label = escaped(m.text("bound.bar"))
    bar = f'<nav class="bar" aria-label="{label}">{"".join(links)}{box}</nav>'
    banners = [block for block in pages[0].page.blocks if isinstance(block, b.DraftBanner)]
    writer = HtmlWriter(
        DocumentLinks("", frozenset(one.page.id for one in pages)), m.words, m.first
    )
    return bar + "".join(f'\n<div class="bar-draft">{writer.block(one)}</div>' for one in banners)


def _found(made: MadeManual) -> str:
    m = made.source
    said = "".join(
        f' data-{key}="{escaped(m.text(f"bound.found_{key}"))}"' for key in ("none", "some", "many")
    )
    label = escaped(m.text("bound.found"))
    return (
        f'<section class="found" id="found" aria-label="{label}"{said} hidden>'
        '<p role="status"></p><ol></ol></section>'
    )


def _contents(made: MadeManual, pages: Sequence[BoundPage]) -> str:
    m, identity = made.source, made.vessel.spec.vessel
    lines = [
        f'<li class="{_kind(one)}"><a href="#{escaped(one.page.id)}">'
        f"{escaped(one.page.title)}</a></li>"
        for one in pages
    ]
    lines.append(f'<li><a href="#{CODES}">{escaped(m.text("bound.codes"))}</a></li>')
    heading = escaped(m.text("bound.contents"))
    links = DocumentLinks(CONTENTS, frozenset(one.page.id for one in pages))
    writer = HtmlWriter(links, m.words, m.first, m.book)
    panel = writer.blocks(cranking_panel(m, lead=True, short=True))
    return (
        f'<div class="cover"><h1 class="vessel-name" id="{CONTENTS}">{escaped(identity.name)}</h1>'
        f"<p>{escaped(identity.type)} · {escaped(m.text('bound.title'))}</p>"
        f'<p class="running">{escaped(running_title(made))}</p></div>{panel}'
        f'<nav class="contents" aria-label="{heading}"><ul>{"".join(lines)}</ul></nav>'
    )


def _kind(one: BoundPage) -> str:
    if is_emergency(one.page):
        return "emergency"
    return "below" if one.page.parent else "page"


def _leaves(leaves: Sequence[tuple[str, str, str]]) -> str:
    """Every page in an element of its own, with ways to its neighbours."""
    made = []
    for place, (page_id, _, html) in enumerate(leaves):
        turns = []
        if place > 0:
            before, title, _ = leaves[place - 1]
            turns.append(f'<a href="#{escaped(before)}" rel="prev">← {escaped(title)}</a>')
        if place + 1 < len(leaves):
            after, title, _ = leaves[place + 1]
            turns.append(f'<a href="#{escaped(after)}" rel="next">{escaped(title)} →</a>')
        made.append(
            f'<article class="leaf" data-page="{escaped(page_id)}"><div class="installgen">{html}'
            f'</div><div class="turn">{"".join(turns)}</div></article>'
        )
    return "\n".join(made)


def _codes(made: MadeManual, codes: Sequence[CodeEntry], pages: Sequence[b.Page]) -> str:
    m = made.source
    head = f'<h1 id="{CODES}">{escaped(m.text("bound.codes"))}</h1>'
    if not codes:
        return f"{head}<p>{escaped(m.text('bound.no_codes'))}</p>"
    titles = {page.id: page.title for page in pages}
    columns = tuple(b.Column(m.text(f"bound.{key}")) for key in ("code", "thing", "place"))
    rows = tuple(
        b.Row(
            (
                b.Code(entry.code),
                entry.name,
                b.Stack(tuple(b.Link(titles[place.page], place) for place in entry.places)),
            )
        )
        for entry in codes
    )
    writer = HtmlWriter(DocumentLinks(CODES, frozenset(titles)), m.words, m.first)
    table = writer.block(b.Table(m.text("bound.codes_intro"), columns, rows))
    return f"{head}{table}"
