"""A manual as one HTML document for paper: emergencies, cover, contents, pages, index of codes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from installgen import __version__
from installgen.drawings.paper import Paper
from installgen.drawings.paper_figure import paper_figure
from installgen.manual import blocks as b
from installgen.manual.bound.codes import CodeEntry, code_index
from installgen.manual.bound.pages import BoundPage, bound_pages, is_emergency, running_title
from installgen.manual.html_lines import escaped
from installgen.manual.links import DocumentLinks
from installgen.manual.made_manual import MadeManual
from installgen.manual.paper.writer import PaperWriter

OPENING = (b.DraftBanner, b.Downloads, b.EmergencyLink, b.Heading, b.Caution, b.Paragraph)
"""What may stand between a page's title and the drawing that opens it."""
MOST_REASONS = 12
"""So many reasons why it is a draft stand on the cover."""


def paper_html(
    made: MadeManual, paper: Paper, report: Callable[[str], None] = lambda text: None
) -> str:
    """The whole document, its style apart.

    paper: the room for a drawing on a page
    report: told the title of each page while it is written
    """
    m = made.source
    opening = {name for page in made.pages if not page.parent for name in opening_drawing(page)}
    figures = {
        name: paper_figure(one, paper, with_tables=name not in made.trees, opening=name in opening)
        for name, one in made.drawings.items()
    }
    pages = list(bound_pages(made, PaperWriter, figures, report))
    first = [one for one in pages if is_emergency(one.page)]
    rest = [one for one in pages if not is_emergency(one.page)]
    title = f"{made.vessel.name} · {m.text('bound.title')}"
    codes = code_index([one.page for one in pages])
    body = [
        *(_chapter(one) for one in first),
        _cover(made),
        _contents(made, pages),
        *(_chapter(one) for one in rest),
        _codes(made, codes, [one.page for one in pages]),
    ]
    return (
        f'<!doctype html><html lang="{escaped(m.words.language)}"><head><meta charset="utf-8">'
        f"<title>{escaped(title)}</title>"
        f'<meta name="author" content="{escaped(_yard(made))}">'
        f'<meta name="description" content="{escaped(running_title(made))}">'
        f'<meta name="generator" content="installgen {escaped(__version__)}">'
        f"</head><body>{_with_running(made, ''.join(body))}</body></html>"
    )


def opening_drawing(page: b.Page) -> tuple[str, ...]:
    """The drawing that follows a page's title with only words between."""
    for block in page.blocks:
        if isinstance(block, b.Figure):
            return (block.drawing,)
        if not isinstance(block, OPENING):
            break
    return ()


def _yard(made: MadeManual) -> str:
    return str(made.vessel.spec.vessel.yard)


def _with_running(made: MadeManual, body: str) -> str:
    """The body with what stands on every page at its beginning, within its first part."""
    running = f'<p class="running-title">{escaped(running_title(made))}</p>'
    if made.source.findings.draft:
        running += f'<p class="running-draft">{escaped(made.source.text("bound.draft"))}</p>'
    end = body.index(">") + 1
    return body[:end] + running + body[end:]


def _chapter(one: BoundPage) -> str:
    kind = "chapter emergency" if is_emergency(one.page) else "chapter"
    if one.page.parent:
        kind += f" below of-{escaped(one.page.parent)}"
    return f'<article class="{kind}">{one.html}</article>'


# ---- cover and contents ---------------------------------------------------------------------


def _cover(made: MadeManual) -> str:
    m, identity = made.source, made.vessel.spec.vessel
    standard = made.vessel.standard.standard
    facts: list[tuple[str, b.Line]] = [
        (m.text("facts.hin"), m.field(identity.hin)),
        (m.text("facts.yard"), m.field(identity.yard)),
        (m.text("facts.builders_number"), m.field(identity.builders_number)),
        (m.text("facts.launched"), m.field(identity.launched)),
        *(
            (m.engine_name(engine), f"{engine.sheet.engine.maker} {engine.sheet.engine.model}")
            for engine in made.vessel.engines
        ),
        (m.text("facts.revision"), b.joined([identity.revision, m.field(identity.date)])),
        (
            m.text("facts.built_to"),
            m.say("this-vessel.standard", name=standard.name, edition=standard.edition),
        ),
    ]
    writer = PaperWriter(DocumentLinks("", frozenset()), m.words, m.first)
    return (
        f'<section class="cover"><p class="vessel-name">{escaped(identity.name)}</p>'
        f'<p class="vessel-type">{escaped(identity.type)}</p>'
        f'<p class="title">{escaped(m.text("bound.title"))}</p>'
        f'<p class="subtitle">{escaped(m.text("bound.subtitle"))}</p>'
        f"{writer.block(b.Facts(tuple(facts)))}{_reasons(made, writer)}"
        f'<p class="made-by">{escaped(m.text("bound.made_by", version=__version__))}</p></section>'
    )


def _reasons(made: MadeManual, writer: PaperWriter) -> str:
    m = made.source
    reasons = m.findings.draft_reasons
    if not reasons:
        return ""
    items = [
        f"{one.text} ({one.place.position})" if one.place and one.place.position else one.text
        for one in reasons[:MOST_REASONS]
    ]
    if len(reasons) > MOST_REASONS:
        items.append(m.text("bound.draft_more", count=str(len(reasons) - MOST_REASONS)))
    heading = escaped(m.text("bound.draft_heading"))
    lines = writer.block(b.Bullets(tuple(items)))
    return f'<div class="reasons"><p><strong>{heading}</strong></p>{lines}</div>'


def _contents(made: MadeManual, pages: Sequence[BoundPage]) -> str:
    m = made.source
    lines = [
        f'<li class="{"below" if one.page.parent else "page"}">'
        f'<a href="#{escaped(one.page.id)}">{escaped(one.page.title)}</a></li>'
        for one in pages
    ]
    lines.append(f'<li class="page"><a href="#codes">{escaped(m.text("bound.codes"))}</a></li>')
    heading = escaped(m.text("bound.contents"))
    return f'<nav class="contents"><h1 id="contents">{heading}</h1><ul>{"".join(lines)}</ul></nav>'


# ---- index ----------------------------------------------------------------------------------


def _codes(made: MadeManual, codes: Sequence[CodeEntry], pages: Sequence[b.Page]) -> str:
    m = made.source
    links = DocumentLinks("", frozenset(page.id for page in pages))
    titles = {page.id: page.title for page in pages}
    rows = "".join(_code(entry, links, titles) for entry in codes)
    heads = "".join(
        f'<th scope="col">{escaped(m.text(f"bound.{key}"))}</th>'
        for key in ("code", "thing", "place")
    )
    return (
        f'<article class="chapter codes"><h1 id="codes">{escaped(m.text("bound.codes"))}</h1>'
        f"<p>{escaped(m.text('bound.codes_intro'))}</p>"
        f'<table class="data"><thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></article>"
        if codes
        else ""
    )


def _code(entry: CodeEntry, links: DocumentLinks, titles: dict[str, str]) -> str:
    places = "<br>".join(
        f'<a class="at-page" href="{links.href(place)}">{escaped(titles[place.page])}</a>'
        for place in entry.places
    )
    return (
        f'<tr><th scope="row"><span class="short-code">{escaped(entry.code)}</span></th>'
        f"<td>{escaped(entry.name)}</td><td>{places}</td></tr>"
    )
