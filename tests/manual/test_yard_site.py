"""The yard's library: whole, the same every time, and made again only where something changed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from installgen.errors import SpecErrors
from installgen.manual.build_cache import BuildCache
from installgen.manual.site import NavEntry, Site, yard_site
from installgen.manual.two_steps import TwoSteps
from tests.analysis.specs import SPECS
from tests.manual.manuals import FLEET


@pytest.fixture(scope="module")
def specs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("yard") / "specs"
    shutil.copytree(SPECS, folder)
    (folder / "vessels" / "sallow.yaml").unlink()  # she takes longest and shows nothing more here
    return folder


@pytest.fixture(scope="module")
def cache() -> BuildCache:
    return BuildCache()


@pytest.fixture(scope="module")
def steps() -> TwoSteps:
    return TwoSteps()


@pytest.fixture(scope="module")
def site(specs: Path, cache: BuildCache, steps: TwoSteps) -> Site:
    made = yard_site(specs, cache=cache, thorough=False, steps=steps)
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
    for vessel in {*FLEET} - {"sallow"}:
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


def test_an_edit_makes_its_own_vessel_again_in_two_steps(
    site: Site, specs: Path, cache: BuildCache, steps: TwoSteps
) -> None:
    """First all but what takes longest, which stays as it was, then the site of a fresh build."""
    told: list[str] = []

    def made() -> Site:
        site = yard_site(specs, report=told.append, cache=cache, thorough=False, steps=steps)
        cache.forget_unused()
        return site

    assert made() == site
    assert told == []
    assert not steps.unfinished
    path = specs / "vessels" / "corrie.yaml"
    path.write_text(
        path.read_text("utf-8")
        .replace("cruise: 1800 rpm", "cruise: 1750 rpm")
        .replace("label: E1, from", "label: E01, from"),
        "utf-8",
    )
    early = made()
    assert len(told) == 1
    assert told[0].startswith("Corrie")
    assert steps.unfinished == {"corrie"}
    differing = changed(site, early)
    assert {"vessels/corrie/rating.md", "vessels/corrie/conductors.md"} <= differing
    assert not [uri for uri in differing if "brannock/" in uri or "pipit/" in uri]
    assert not [uri for uri in differing if "corrie/fault-" in uri or "compare" in uri]

    whole = made()
    assert len(told) == 1
    assert not steps.unfinished
    late = changed(early, whole)
    assert {"vessels/corrie/fault-does-not-crank.md", "compare-brannock-corrie.md"} <= late
    assert all("corrie" in uri for uri in late)
    assert whole == yard_site(specs, thorough=False)


def changed(before: Site, after: Site) -> set[str]:
    """Files that are other than before."""
    known = {file.uri: file.content for file in before.files}
    return {file.uri for file in after.files if known.get(file.uri) != file.content}


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
