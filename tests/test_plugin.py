"""The plugin hands a generated site to MkDocs, and never damages one already built."""

import json
import logging
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort

from installgen import plugin
from installgen.errors import Position, Problem, SpecErrors
from installgen.manual.build_cache import BuildCache
from installgen.manual.site import NavEntry, Site, SiteFile
from installgen.manual.two_steps import TwoSteps

CONFIGURATION = """
site_name: A yard's manuals
theme:
  name: material
plugins:
  - search
  - installgen
"""
GENERATED = Site(
    files=(
        SiteFile("vessels/index.md", "# Vessels\n\n[A](petrel/index.md)\n"),
        SiteFile("vessels/petrel/index.md", "# Petrel\n\n| a | b |\n|---|--:|\n| 1 | 2 |\n"),
        SiteFile("vessels/petrel/fuel.md", "Text.\n", 'Fuel: "supply" & return'),
        SiteFile("vessels/petrel/aside.md", "# Not in the contents\n"),
        SiteFile("vessels/petrel/route.svg", "<svg xmlns='http://www.w3.org/2000/svg'/>"),
        SiteFile("vessels/petrel/results.json", b"{}"),
    ),
    nav=(
        NavEntry(
            "Petrel",
            "vessels/petrel/index.md",
            (NavEntry("Fuel", "vessels/petrel/fuel.md"),),
        ),
        NavEntry("Vessels", "vessels/index.md"),
    ),
)
BROKEN = SpecErrors(
    [
        Problem(Position("specs/vessels/petrel.yaml", 4, 7), "hull", "nothing", "a length"),
        Problem(Position("specs/vessels/petrel.yaml", 9, 3), "fuel", "a list", "a mapping"),
    ]
)


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A yard's project whose floors below give GENERATED."""
    (tmp_path / "mkdocs.yml").write_text(CONFIGURATION)
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Our yard\n")
    (tmp_path / "docs" / "safety.md").write_text("# Safety\n")
    (tmp_path / "specs" / "vessels").mkdir(parents=True)
    monkeypatch.setattr(plugin, "yard_site", lambda folder, **_: GENERATED)
    return tmp_path


def build_site(yard: Path) -> Path:
    """Build as `mkdocs build` does, in this process."""
    config = load_config(str(yard / "mkdocs.yml"))
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    return yard / "site"


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def fail_with(error: Exception) -> Callable[..., Site]:
    """A `yard_site` that raises."""

    def yard_site(folder: Path, **_: object) -> Site:
        raise error

    return yard_site


def test_generated_files_are_published(yard: Path) -> None:
    site = build_site(yard)
    assert (site / "vessels/petrel/index.html").is_file()
    assert (site / "vessels/petrel/aside.html").is_file()
    assert (site / "vessels/petrel/results.json").read_bytes() == b"{}"
    assert (site / "vessels/petrel/route.svg").read_text().startswith("<svg")
    fuel = (site / "vessels/petrel/fuel.html").read_text("utf-8")
    assert "<title>Fuel: &#34;supply&#34; &amp; return" in fuel


def test_contents_begin_with_the_home_page_and_the_vessels(yard: Path) -> None:
    home = (build_site(yard) / "index.html").read_text("utf-8")
    contents_list = home[home.index("md-nav--primary") :]
    links = re.findall(r'<a href="([^"#]+\.html)" class="md-nav__link', contents_list)
    assert links == ["index.html", "vessels/petrel/index.html", "vessels/index.html", "safety.html"]


def test_titles_are_text(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    name = '<script>alert("&")</script>'
    hostile = Site(
        (SiteFile("a.md", "Text.\n", name), SiteFile("b.md", "Text.\n")),
        (NavEntry(name, None, (NavEntry(name, "a.md"), NavEntry("b", "b.md"))),),
    )
    monkeypatch.setattr(plugin, "yard_site", lambda folder, **_: hostile)
    for page in build_site(yard).glob("*.html"):
        text = page.read_text("utf-8")
        assert "<script>alert" not in text
        assert "&amp;lt;" not in text
    assert "&lt;script&gt;alert" in text


def test_search_leads_to_rows_and_back_to_their_heading(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = '<table><tr id="s1"><th>S1</th><td>2/0 AWG</td></tr></table>'
    page = f"# Conductors\n\n## Battery\n\nBefore.\n\n{table}\n\nAfterwards.\n"
    site = Site((SiteFile("list.md", page),), (NavEntry("List", "list.md"),))
    monkeypatch.setattr(plugin, "yard_site", lambda folder, **_: site)
    built = build_site(yard)
    assert table in (built / "list.html").read_text("utf-8")
    index = json.loads((built / "search/search_index.json").read_text("utf-8"))
    found = {entry["location"]: entry for entry in index["docs"]}
    assert found["list.html#s1"]["title"] == "S1"
    assert found["list.html#s1"]["text"] == "2/0 AWG"
    assert "Before." in found["list.html#battery"]["text"]
    assert "Afterwards." in found["list.html#battery"]["text"]


def test_a_users_order_of_pages_is_kept(yard: Path) -> None:
    with (yard / "mkdocs.yml").open("a") as file:
        file.write("nav:\n  - Home: index.md\n  - Stay safe: safety.md\n")
    home = (build_site(yard) / "index.html").read_text("utf-8")
    assert "Stay safe" in home
    assert home.index('class="md-nav__link') < home.index("vessels/index.html")


def test_a_broken_spec_leaves_the_built_site_alone(
    yard: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    before = contents(build_site(yard))
    monkeypatch.setattr(plugin, "yard_site", fail_with(BROKEN))
    with caplog.at_level(logging.ERROR, "mkdocs"), pytest.raises(Abort):
        build_site(yard)
    (record,) = caplog.records
    assert "specs/vessels/petrel.yaml:4:7: hull: found nothing" in record.message
    assert "specs/vessels/petrel.yaml:9:3: fuel: found a list" in record.message
    assert contents(yard / "site") == before


def test_a_written_page_never_hides_a_generated_one(
    yard: Path, caplog: pytest.LogCaptureFixture
) -> None:
    before = contents(build_site(yard))
    (yard / "docs/vessels/petrel").mkdir(parents=True)
    (yard / "docs/vessels/petrel/fuel.md").write_text("# Other fuel\n")
    with caplog.at_level(logging.ERROR, "mkdocs"), pytest.raises(Abort):
        build_site(yard)
    assert "vessels/petrel/fuel.md" in caplog.text
    assert contents(yard / "site") == before


def test_another_theme_is_refused(yard: Path, caplog: pytest.LogCaptureFixture) -> None:
    (yard / "mkdocs.yml").write_text(CONFIGURATION.replace("material", "readthedocs"))
    with caplog.at_level(logging.ERROR, "mkdocs"), pytest.raises(Abort):
        build_site(yard)
    assert "name: material" in caplog.text


def test_the_theme_is_laid_under_the_users_own(yard: Path) -> None:
    (yard / "ours" / "partials").mkdir(parents=True)
    (yard / "ours" / "partials" / "copyright.html").write_text("our yard's line")
    text = CONFIGURATION.replace("  name: material", "  name: material\n  custom_dir: ours")
    (yard / "mkdocs.yml").write_text(text)
    home = (build_site(yard) / "index.html").read_text("utf-8")
    assert "our yard's line" in home
    assert "assets/installgen/manual.css" in home


def test_the_offline_plugin_brings_nothing_from_outside(yard: Path) -> None:
    (yard / "mkdocs.yml").write_text(CONFIGURATION.replace("- search", "- search\n  - offline"))
    assert "https://" not in (build_site(yard) / "index.html").read_text("utf-8")


@pytest.mark.parametrize(("stock", "mended"), plugin.MENDED_MARKUP)
def test_the_stock_themes_faults_are_mended(yard: Path, stock: str, mended: str) -> None:
    page = (build_site(yard) / "vessels/petrel/fuel.html").read_text("utf-8")
    assert mended in page
    assert stock not in page.replace(mended, "")


def test_only_what_a_reader_loads_is_published(yard: Path) -> None:
    site = build_site(yard)
    surplus = [name for name in contents(site) if re.search(r"\.(map|ttf|py|csv)$|lunr/", name)]
    assert surplus == []
    assert not (site / "sitemap.xml").exists()


def test_the_fonts_come_with_their_licence(yard: Path) -> None:
    site = build_site(yard)
    assert list(site.glob("fonts/*.woff2"))
    assert "Open Font License" in next(site.glob("fonts/OFL.txt")).read_text("utf-8")


def test_cells_are_aligned_by_class(yard: Path) -> None:
    page = (build_site(yard) / "vessels/petrel/index.html").read_text("utf-8")
    assert '<td class="align-right">2</td>' in page
    assert "style=" not in page


def test_the_cache_makes_again_only_what_changed() -> None:
    cache, made = BuildCache(), []

    def make(name: str) -> str:
        made.append(name)
        return name.upper()

    def run(*names: str) -> list[str]:
        found = [cache.get(name, lambda name=name: make(name)) for name in names]
        cache.forget_unused()
        return found

    assert run("a", "b") == ["A", "B"]
    assert run("a", "c") == ["A", "C"]
    assert made == ["a", "b", "c"]
    run("b")
    assert made == ["a", "b", "c", "b"]


def test_a_failed_build_forgets_nothing() -> None:
    cache = BuildCache()
    cache.get("a", lambda: 1)
    cache.forget_unused()
    with pytest.raises(SpecErrors):
        cache.get("b", lambda: fail_with(BROKEN)(Path()))
    assert cache.get("a", lambda: 2) == 1
    assert cache.get("b", lambda: 3) == 3


def test_a_rebuild_while_serving_gives_the_same_site(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pages that are kept over a rebuild, and those that changed, are as a fresh build's."""
    changed = tuple(
        SiteFile(file.uri, "# Now\n\nOther.\n") if file.uri.endswith("fuel.md") else file
        for file in GENERATED.files
    )
    first = Site(GENERATED.files, GENERATED.nav)
    second = Site(changed, GENERATED.nav)
    third = Site(changed, (*GENERATED.nav[1:], *GENERATED.nav[:1]))
    for site, reused in ((first, 0), (second, 3), (third, 0)):
        monkeypatch.setattr(plugin, "yard_site", lambda folder, site=site, **_: site)
        served, running = rebuild(yard, "served")
        assert len(running.reused) == reused
        kept = dict(running.kept)
        running.kept.clear()
        fresh, _ = rebuild(yard, "fresh")
        assert fresh == served
        running.kept = kept


def test_a_broken_spec_while_serving_keeps_the_pages(
    yard: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    before, _ = rebuild(yard, "served")
    monkeypatch.setattr(plugin, "yard_site", fail_with(BROKEN))
    with caplog.at_level(logging.ERROR, "mkdocs"):
        after, _ = rebuild(yard, "served")
    assert "specs/vessels/petrel.yaml:4:7" in caplog.text
    assert after == before


def test_another_build_is_asked_for_until_nothing_is_left_or_a_spec_is_broken(
    yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were it asked for while a spec is broken, it would fail again and ask again."""
    _, running = rebuild(yard, "served")
    running.again = tmp_path / "again"
    left = frozenset({"petrel"})
    monkeypatch.setattr(TwoSteps, "unfinished", property(lambda steps: left))
    monkeypatch.setattr(plugin, "yard_site", fail_with(BROKEN))
    rebuild(yard, "served")
    assert not running.again.exists()
    monkeypatch.setattr(plugin, "yard_site", lambda folder, **_: GENERATED)
    rebuild(yard, "served")
    assert running.again.read_text("utf-8") == "petrel"
    running.again.unlink()
    left = frozenset()
    rebuild(yard, "served")
    assert not running.again.exists()


def rebuild(yard: Path, folder: str) -> tuple[dict[str, bytes], plugin.InstallgenPlugin]:
    """Build as `serve` does each time; MkDocs keeps the plugin from one time to the next."""
    config = load_config(str(yard / "mkdocs.yml"), site_dir=str(yard / folder))
    config.plugins.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1/")
    running = config.plugins["installgen"]
    assert isinstance(running, plugin.InstallgenPlugin)
    return contents(yard / folder), running


@pytest.mark.xdist_group("serve")
def test_serve_follows_a_spec(tmp_path: Path) -> None:
    project = Path(__file__).parent.parent
    for name in ("docs", "specs"):
        shutil.copytree(project / name, tmp_path / name)
    for vessel in (tmp_path / "specs" / "vessels").glob("*.yaml"):
        if vessel.stem != "pipit":
            vessel.unlink()
    (tmp_path / "docs" / "home.md").write_text("# Home\n")
    (tmp_path / "mkdocs.yml").write_text(CONFIGURATION)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address]
    with subprocess.Popen(command, cwd=tmp_path, stderr=subprocess.DEVNULL) as server:
        try:
            epoch = f"http://{address}/livereload/0/0"
            before = int(wait_for(epoch, lambda text: text.isdigit()))
            sheet = tmp_path / "specs" / "vessels" / "nobody.yaml"
            sheet.write_text("format: [")  # what cannot be read leaves the old pages in place
            time.sleep(2)
            assert fetch(f"http://{address}/home.html")
            sheet.unlink()
            mended = int(wait_for(epoch, lambda text: int(text) > before))
            conductors = f"http://{address}/vessels/pipit/conductors.html"
            assert "Z99" not in fetch(conductors)
            spec = tmp_path / "specs" / "vessels" / "pipit.yaml"
            spec.write_text(spec.read_text("utf-8").replace("label: S1,", "label: Z99,"), "utf-8")
            first = int(wait_for(epoch, lambda text: int(text) > mended))
            assert "Z99" in fetch(conductors)
            # What is wrong with the wiring comes by itself, one build later.
            wait_for(epoch, lambda text: int(text) > first)
            assert "Z99" in fetch(f"http://{address}/vessels/pipit/fault-does-not-crank.html")
        finally:
            server.terminate()


def fetch(url: str) -> str:
    """What a server answers."""
    with urlopen(url, timeout=20) as answer:
        return answer.read().decode()


def wait_for(url: str, good: Callable[[str], bool], patience_s: float = 240) -> str:
    """Ask again until the answer is good."""
    until = time.monotonic() + patience_s
    while time.monotonic() < until:
        try:
            if good(text := fetch(url)):
                return text
        except (URLError, TimeoutError):
            pass
        time.sleep(0.1)
    raise AssertionError(f"{url} did not change in {patience_s} s")
