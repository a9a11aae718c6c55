"""The yard's library: whole, the same every time, and made again only where something changed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from installgen.errors import SpecErrors
from installgen.manual.build_cache import BuildCache
from installgen.manual.site import NavEntry, Site, yard_site
from tests.analysis.specs import SPECS
from tests.manual.manuals import FLEET


@pytest.fixture(scope="module")
def specs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("yard") / "specs"
    shutil.copytree(SPECS, folder)
    return folder


@pytest.fixture(scope="module")
def cache() -> BuildCache:
    return BuildCache()


@pytest.fixture(scope="module")
def site(specs: Path, cache: BuildCache) -> Site:
    made = yard_site(specs, cache=cache, thorough=False)
    cache.forget_unused()
    return made


def listed(entries: tuple[NavEntry, ...]) -> list[str]:
    own = [entry.uri for entry in entries if entry.uri]
    return own + [uri for entry in entries for uri in listed(entry.children)]


def test_every_page_is_in_the_contents_once(site: Site) -> None:
    pages = [file.uri for file in site.files if file.uri.endswith(".md")]
    assert sorted(pages) == sorted(listed(site.nav))
    assert len(set(pages)) == len(pages)


def test_every_vessel_has_her_folder_and_her_line_on_the_first_page(site: Site) -> None:
    home = next(file for file in site.files if file.uri == "index.md")
    for vessel in FLEET:
        assert any(file.uri == f"vessels/{vessel}/index.md" for file in site.files)
        assert f'href="vessels/{vessel}/index.html"' in str(home.content)


def test_nothing_of_the_machine_is_in_the_pages(site: Site, specs: Path) -> None:
    for file in site.files:
        assert str(specs) not in str(file.content), file.uri
        assert str(specs.parent) not in str(file.content), file.uri


def test_what_takes_long_is_left_to_the_build(site: Site) -> None:
    pages = {file.uri: str(file.content) for file in site.files}
    assert "is found when the manual is built" in pages["vessels/brannock/history.md"]
    assert "installgen check pipit" in pages["vessels/pipit/findings.md"]
    assert "--try" not in pages["vessels/pipit/findings.md"]


def test_an_edit_makes_only_its_own_vessel_again(
    site: Site, specs: Path, cache: BuildCache
) -> None:
    told: list[str] = []
    again = yard_site(specs, report=told.append, cache=cache, thorough=False)
    cache.forget_unused()
    assert told == []
    assert again == site
    path = specs / "vessels" / "corrie.yaml"
    path.write_text(
        path.read_text("utf-8").replace("cruise: 1800 rpm", "cruise: 1750 rpm"), "utf-8"
    )
    changed = yard_site(specs, report=told.append, cache=cache, thorough=False)
    assert len(told) == 1
    assert told[0].startswith("Corrie")
    before = {file.uri: file.content for file in site.files}
    differing = {file.uri for file in changed.files if before.get(file.uri) != file.content}
    assert "vessels/corrie/rating.md" in differing
    assert not [uri for uri in differing if "brannock/" in uri or "sallow/" in uri]


def test_every_mistake_of_every_spec_is_raised_together(tmp_path: Path) -> None:
    folder = tmp_path / "specs"
    shutil.copytree(SPECS, folder)
    for vessel in ("brannock", "corrie"):
        path = folder / "vessels" / f"{vessel}.yaml"
        path.write_text(
            path.read_text("utf-8").replace("cruise: 1800 rpm", "cruise: fast"), "utf-8"
        )
    with pytest.raises(SpecErrors) as caught:
        yard_site(folder)
    files = {problem.position.file for problem in caught.value.problems}
    assert files == {"specs/vessels/brannock.yaml", "specs/vessels/corrie.yaml"}
