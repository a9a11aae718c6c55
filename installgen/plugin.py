"""MkDocs plugin: takes the generated site from the floors below and hands it to MkDocs.

Everything that can fail on a spec happens in `on_config`, which runs before MkDocs cleans the
site folder: a broken spec leaves a site that was already built as it was.
"""

import gc
import json
import os
import re
import shutil
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Any, Literal

from jinja2 import Environment
from jinja2.bccache import Bucket, BytecodeCache
from markupsafe import escape
from mkdocs.commands.build import build
from mkdocs.config import config_options, load_config
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException, PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.utils import get_theme_dir
from mkdocs.utils.templates import TemplateContext
from watchdog.observers.polling import PollingObserver

from installgen.beside import second_process
from installgen.collector import collect_seldom
from installgen.errors import InstallgenError
from installgen.manual.build_cache import BuildCache
from installgen.manual.links import CALCULATIONS, READINGS
from installgen.manual.raw_blocks import put_back, set_aside
from installgen.manual.search_text import search_text
from installgen.manual.site import GUIDES, NavEntry, Site, SiteFile, yard_site
from installgen.manual.two_steps import TwoSteps
from installgen.spec.folder import KINDS

log = get_plugin_logger(__name__)

THEME_FOLDER = Path(__file__).parent / "theme"
ASSETS = "assets/installgen"
MARKDOWN_EXTENSIONS = ("admonition", "attr_list", "def_list", "md_in_html")
FEATURES = (
    "navigation.footer",
    "navigation.indexes",
    "navigation.path",
    "navigation.prune",
    "navigation.top",
    "search.highlight",
    "toc.follow",
)
PALETTE = [
    {
        "media": "(prefers-color-scheme: light)",
        "scheme": "default",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "installgen/night", "name": "Switch to dark"},
    },
    {
        "media": "(prefers-color-scheme: dark)",
        "scheme": "slate",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "installgen/day", "name": "Switch to light"},
    },
]
# Files of the theme that a reader of an English site never loads.
UNUSED_THEME_FILES = re.compile(
    r"\.map$|^sitemap\.xml$|^assets/javascripts/lunr/|^assets/images/favicon"
    r"|^fonts/(?!OFL\.txt$).*(?<!\.woff2)$"
)
# Faults of the stock theme's markup: a check box cannot complete automatically (the scripts set
# it where a browser honours it all the same), the search dialog has no name, and two kinds of
# navigation share one.
MENDED_MARKUP = (
    ('id="__drawer" autocomplete="off"', 'id="__drawer"'),
    ('id="__search" autocomplete="off"', 'id="__search"'),
    (
        'data-md-component="search" role="dialog"',
        'data-md-component="search" role="dialog" aria-label="Search"',
    ),
    ('class="md-path" aria-label="Navigation"', 'class="md-path" aria-label="Path to this page"'),
)
CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
    )
)
SPEC_FOLDERS = (*KINDS, "schema", "earlier", "text")
"""What lies below a specs folder and is read, not published."""
PLAIN_TABLE = re.compile(r"<table>.*?</table>", re.DOTALL)
COLUMN_HEAD = re.compile(r"<th(?=[ >])")
CELL_ALIGNMENT = re.compile(r'<(t[hd]) style="text-align: (left|center|right);">')

STOCK_SEPARATOR, SEPARATOR = r"[\s\-]+", r"[\s\-()]+"
"""What parts the words of the search index: the theme's own, and with brackets."""

LOOKS_EVERY_S = 0.2
"""How often it is looked whether a file was saved, while serving; MkDocs does every 0.5 s."""

BACKGROUND = (CALCULATIONS, READINGS, "fault-")
BACKGROUND_BOOST = 0.1
"""Who searches for a code wants the thing itself before each figure, reading and fault of it."""


class InstallgenConfig(Config):
    """What a user can set under `installgen:` in mkdocs.yml."""

    specs_dir = config_options.Dir(default="specs", exists=True)


class CompiledTemplates(BytecodeCache):
    """Spares the rebuilds of a `serve` compiling the theme's templates again."""

    def __init__(self) -> None:
        self.compiled: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket, if its template was compiled before and is the same."""
        if bucket.key in self.compiled:
            bucket.bytecode_from_string(self.compiled[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template that was just compiled."""
        self.compiled[bucket.key] = bucket.bytecode_to_string()


@dataclass(frozen=True)
class KeptPage:
    """A page as the build before wrote it: its text, title, HTML and part of the index."""

    markdown: str
    title: str | None
    output: str
    entries: tuple[Any, ...]


class InstallgenPlugin(BasePlugin[InstallgenConfig]):
    """Publishes the library of every vessel in the specs folder, in a theme that works offline."""

    def __init__(self) -> None:
        self.cache = BuildCache()
        self.templates = CompiledTemplates()
        self.serving = False
        self.steps: TwoSteps | None = None
        self.again: Path | None = None
        self.broken = False
        self.site = Site(files=(), nav=())
        self.given: Site | None = None
        self.generated: set[str] = set()
        self.blocks: dict[str, list[str]] = {}
        self.content = ""
        self.indexed_before = 0
        self.frame: object = None
        self.kept: dict[str, KeptPage] = {}
        self.reused: set[str] = set()
        self.markdown: dict[str, str] = {}
        self.entries: dict[str, tuple[Any, ...]] = {}

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Being defined, keeps this object, and so its cache, over the rebuilds of a `serve`."""
        collect_seldom()
        self.serving = command == "serve"
        self.steps = TwoSteps(second_process()) if self.serving else None

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Compute the whole site, then tell MkDocs its navigation, theme and what to watch."""
        set_theme(config)
        specs_folder = Path(self.config.specs_dir)
        config.watch.append(str(specs_folder))
        try:
            self.site = self.given or yard_site(
                specs_folder,
                report=report,
                cache=self.cache,
                thorough=not self.serving,
                steps=self.steps,
            )
        except InstallgenError as error:
            message = f"The specs were not built:\n{error}"
            if not (self.serving and self.site.files):
                raise PluginError(message) from error
            # Were this raised, MkDocs would answer no request until the spec is mended.
            log.error(f"{message}\nThe pages stay as they were.")
            self.broken = True
        else:
            self.cache.forget_unused()
            self.broken = False
        self.site = with_own_guides(self.site, Path(config.docs_dir))
        self.generated = {site_file.uri for site_file in self.site.files}
        refuse_hidden_files(self.site, Path(config.docs_dir))
        config.nav = navigation(self.site, config, Path(self.config.specs_dir))
        # Under `serve` MkDocs writes a script into each page that reloads it.
        config.extra["installgen_policy"] = "" if self.serving else CONTENT_SECURITY_POLICY
        self.reused.clear()
        if (frame := around_a_page(config)) != self.frame:
            self.frame, self.kept = frame, {}
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add what was generated; drop the specs, and what the theme brings and nobody loads."""
        free_bracketed_words(config)
        specs = spec_folders(Path(self.config.specs_dir), Path(config.docs_dir))
        for file in list(files):
            if UNUSED_THEME_FILES.search(file.src_uri) or file.src_uri.startswith(specs):
                files.remove(file)
        listed = set(uris(self.site.nav))
        for site_file in self.site.files:
            files.append(generated_file(site_file, config, listed))
        return files

    def on_page_markdown(
        self, markdown: str, page: Page, config: MkDocsConfig, files: Files
    ) -> str:
        """Keep a generated page's ready-made HTML, or the whole page, away from Markdown."""
        uri = page.file.src_uri
        if uri not in self.generated:
            return markdown
        if self.is_kept(uri, markdown):
            page.render = lambda config, files: None  # type: ignore[method-assign]
            page.content, page.title = "", self.kept[uri].title
            page.meta.update(template="kept.html", search={"exclude": True})
            self.reused.add(uri)
            return ""
        if Path(uri).stem.startswith(BACKGROUND):
            page.meta["search"] = {"boost": BACKGROUND_BOOST}
        self.markdown[uri] = markdown
        markdown, self.blocks[uri] = set_aside(markdown)
        return markdown

    def is_kept(self, uri: str, markdown: str) -> bool:
        """Whether the build before made the page from the same text, and so the same page."""
        return uri in self.kept and self.kept[uri].markdown == markdown

    def on_page_content(self, html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Let a Markdown table pan in its own box, its cells aligned without inline styles."""
        html = PLAIN_TABLE.sub(panned_table, html)
        return put_back(html, self.blocks.pop(page.file.src_uri, []))

    def on_env(self, env: Environment, config: MkDocsConfig, files: Files) -> Environment:
        """Use again the templates that an earlier build compiled."""
        env.bytecode_cache = self.templates
        return env

    @event_priority(50)
    def _before_indexing(
        self, /, context: TemplateContext, page: Page, config: MkDocsConfig, **_: object
    ) -> TemplateContext:
        """Show the search plugin a page's words; it takes them from the page's content."""
        self.content = page.content or ""
        page.content = search_text(self.content)
        self.indexed_before = len(index_entries(config))
        return context

    @event_priority(-50)
    def _after_indexing(
        self, /, context: TemplateContext, page: Page, config: MkDocsConfig, **_: object
    ) -> TemplateContext:
        """Give the page its content back, and the index what it had of a page that is kept."""
        page.content = self.content
        uri, entries = page.file.src_uri, index_entries(config)
        if uri in self.reused:
            entries += self.kept[uri].entries
        self.entries[uri] = tuple(entries[self.indexed_before :])
        return context

    on_page_context = CombinedEvent(_before_indexing, _after_indexing)

    def on_post_page(self, output: str, page: Page, config: MkDocsConfig) -> str:
        """Mend the stock theme's markup where no template block reaches it."""
        uri = page.file.src_uri
        if uri in self.reused:
            return self.kept[uri].output
        for stock, mended in MENDED_MARKUP:
            output = output.replace(stock, mended)
        if self.serving and uri in self.markdown:
            self.kept[uri] = KeptPage(
                self.markdown.pop(uri), page.title, output, self.entries.pop(uri)
            )
        return output

    def on_post_build(self, config: MkDocsConfig) -> None:
        """Lay the search index down as a script too: a page opened as a file cannot fetch it."""
        index = Path(config.site_dir, "search", "search_index.json")
        if index.is_file():
            script = f"var __index = {index.read_text('utf-8')}"
            index.with_suffix(".js").write_text(script, "utf-8")
        if self.serving:
            # The vessels that are kept are many objects, and each rebuild would walk them again.
            gc.freeze()
            self.build_again_if_unfinished()

    def on_serve(
        self, server: LiveReloadServer, /, *, config: MkDocsConfig, builder: Callable[..., Any]
    ) -> LiveReloadServer:
        """Look oftener than MkDocs does whether a file was saved, and at what this plugin asks."""
        watched = []
        for path in filter(None, (config.docs_dir, config.config_file_path, *config.theme.dirs)):
            with suppress(KeyError):  # the theme is watched where that was asked for
                server.unwatch(path)
                watched.append(path)
        server.observer = PollingObserver(timeout=LOOKS_EVERY_S)
        self.again = Path(mkdtemp(prefix="installgen-"), "again")
        for path in (*watched, str(self.again.parent)):
            server.watch(path)
        return server

    def build_again_if_unfinished(self) -> None:
        """Ask for another build, for what this one left as it was."""
        unfinished = self.steps.unfinished if self.steps else frozenset()
        if unfinished and self.again and not self.broken:
            names = ", ".join(sorted(unfinished))
            log.info(f"Faults, revisions and comparisons follow: {names}")
            self.again.write_text(names, "utf-8")

    def on_shutdown(self) -> None:
        """Leave nothing behind."""
        if self.again:
            shutil.rmtree(self.again.parent, ignore_errors=True)


def build_site(site: Site, name: str, specs_folder: Path, folder: Path) -> None:
    """Publish a site that is made already, apart from any mkdocs.yml.

    folder: where it is written; what was there before is gone
    Raises InstallgenError where MkDocs complains of anything.
    """
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    with TemporaryDirectory(prefix="installgen-") as work:
        docs = Path(work, "docs")
        docs.mkdir()
        try:
            config = load_config(
                BytesIO(b"{}"),
                config_file_path=str(Path(work, "mkdocs.yml")),
                site_name=name,
                docs_dir=str(docs),
                site_dir=str(folder),
                theme={"name": "material"},
                plugins=["search", {"installgen": {"specs_dir": str(specs_folder.absolute())}}],
                strict=True,
            )
            plugin = config.plugins["installgen"]
            assert isinstance(plugin, InstallgenPlugin)
            plugin.given = site
            build(config)
        except MkDocsException as error:
            raise InstallgenError(f"the site was not built: {error}") from error


def around_a_page(config: MkDocsConfig) -> object:
    """Everything besides its own text that a generated page is made from."""
    folders = [Path(folder) for folder in (str(THEME_FOLDER), config.theme.custom_dir) if folder]
    files = [path for folder in folders for path in folder.rglob("*") if path.is_file()]
    stamps = [(str(path), path.stat().st_mtime_ns) for path in sorted(files)]
    settings = Path(config.config_file_path)
    return repr(config.nav), settings.read_text("utf-8") if settings.is_file() else "", stamps


def index_entries(config: MkDocsConfig) -> list[Any]:
    """What the search plugin has indexed so far; nothing where it is not used."""
    index = getattr(config.plugins.get("material/search"), "search_index", None)
    return index.entries if index is not None else []


def free_bracketed_words(config: MkDocsConfig) -> None:
    """Let the search find a value in brackets, unless the yard set what parts its words.

    The search plugin takes the theme's own separator while the configuration is read, so this is
    for later.
    """
    index = getattr(config.plugins.get("material/search"), "search_index", None)
    if index is not None and index.config["separator"] == STOCK_SEPARATOR:
        index.config["separator"] = SEPARATOR


def panned_table(table: re.Match[str]) -> str:
    """A plain table as the theme's tables are: in a box that the keyboard reaches."""
    body = CELL_ALIGNMENT.sub(r'<\1 class="align-\2">', table[0].removeprefix("<table>"))
    body = COLUMN_HEAD.sub('<th scope="col"', body)
    return f'<div class="table-scroll" tabindex="0"><table class="data">{body}</div>'


def report(message: str) -> None:
    """Say what is being worked on, where somebody is looking."""
    if sys.stderr.isatty():
        log.info(message)
    else:
        log.debug(message)


def set_theme(config: MkDocsConfig) -> None:
    """Lay this package's theme over Material, below a `custom_dir` of the user."""
    theme = config.theme
    if theme.name != "material":
        raise PluginError("installgen needs `theme: {name: material}` in mkdocs.yml")
    theme.dirs.insert(theme.dirs.index(get_theme_dir("material")), str(THEME_FOLDER))
    theme["font"] = False
    theme["favicon"] = f"{ASSETS}/mark.svg"
    theme["icon"] = {"logo": "installgen/mark", **(theme["icon"] or {})}
    if not theme.get("palette"):
        theme["palette"] = PALETTE
    theme["features"] = [*theme["features"], *(f for f in FEATURES if f not in theme["features"])]
    if not config.site_url:
        # Both are of use only to a web server, and hold a date or addresses from its root.
        theme.static_templates -= {"sitemap.xml", "404.html"}
    config.use_directory_urls = False
    config.extra["generator"] = False
    local_scripts = [s for s in config.extra.get("polyfills", []) if "://" not in str(s)]
    own_scripts = [f"{ASSETS}/{name}.js" for name in ("query", "iframe-worker", "search")]
    config.extra["polyfills"] = [*own_scripts, *local_scripts]
    for extension in MARKDOWN_EXTENSIONS:
        if extension not in config.markdown_extensions:
            config.markdown_extensions.append(extension)


def refuse_hidden_files(site: Site, docs_folder: Path) -> None:
    """A hand-written file never takes the place of a generated one."""
    hidden = [f.uri for f in site.files if (docs_folder / f.uri).exists()]
    if hidden:
        raise PluginError(f"Generated too, so rename in the docs folder: {', '.join(hidden)}")


def with_own_guides(site: Site, docs_folder: Path) -> Site:
    """The site without the guides that the yard has put its own in the place of."""
    own = {name for name in GUIDES if (docs_folder / name).exists()}
    return replace(
        site,
        files=tuple(file for file in site.files if file.uri not in own),
        nav=tuple(entry for entry in site.nav if entry.uri not in own),
    )


def spec_folders(specs: Path, docs_folder: Path) -> tuple[str, ...]:
    """Where the specs are below the docs folder, if they are; a yard may have no other folder."""
    try:
        inside = specs.resolve().relative_to(docs_folder.resolve()).as_posix()
    except ValueError:
        return ()
    start = "" if inside == "." else f"{inside}/"
    return tuple(f"{start}{folder}/" for folder in SPEC_FOLDERS)


def navigation(site: Site, config: MkDocsConfig, specs: Path) -> list[Any]:
    """The home page, then what was generated, then the other hand-written pages."""
    docs = Path(config.docs_dir)
    unwanted = spec_folders(specs, docs)
    written = config.nav
    if written is None:
        written = [uri for uri in written_pages(docs) if not uri.startswith(unwanted)]
    home = [entry for entry in written[:1] if entry == "index.md" or entry_uri(entry) == "index.md"]
    return [*home, *(nav_item(entry) for entry in site.nav), *written[len(home) :]]


def entry_uri(entry: object) -> object:
    """The page that one line of a mkdocs.yml navigation points to, if it is one."""
    return next(iter(entry.values())) if isinstance(entry, dict) else entry


def written_pages(docs_folder: Path) -> list[str]:
    """Hand-written pages when mkdocs.yml does not order them: the home page first, then by name."""
    found = sorted(path.relative_to(docs_folder).as_posix() for path in docs_folder.rglob("*.md"))
    return sorted(found, key=lambda uri: uri != "index.md")


def nav_item(entry: NavEntry) -> dict[str, Any]:
    """One entry in the form of a mkdocs.yml navigation.

    The theme's templates print a title as it is; escaping gives markup, which the few places that
    do escape leave alone.
    """
    title = escape(entry.title)
    if not entry.children:
        return {title: entry.uri}
    own_page = [entry.uri] if entry.uri else []
    return {title: [*own_page, *(nav_item(child) for child in entry.children)]}


def uris(entries: tuple[NavEntry, ...]) -> list[str]:
    """Every page that the entries list."""
    own = [entry.uri for entry in entries if entry.uri]
    return own + [uri for entry in entries for uri in uris(entry.children)]


def generated_file(site_file: SiteFile, config: MkDocsConfig, listed: set[str]) -> File:
    """A generated file in MkDocs's form, its title in front matter."""
    content, is_page = site_file.content, site_file.uri.endswith(".md")
    if is_page and site_file.title and isinstance(content, str):
        content = f"---\ntitle: {json.dumps(escape(site_file.title))}\n---\n{content}"
    aside = is_page and site_file.uri not in listed
    inclusion = InclusionLevel.NOT_IN_NAV if aside else InclusionLevel.UNDEFINED
    return File.generated(config, site_file.uri, content=content, inclusion=inclusion)
