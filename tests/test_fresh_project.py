"""Somebody else's project: nothing but mkdocs.yml and specs, built strictly, guide and all."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config

from installgen.manual.site import GUIDES, guide
from tests.conftest import PROJECT
from tests.spec.spec_cases import FOLDER

README = (PROJECT / "README.md").read_text("utf-8")


def _built(project: Path) -> Path:
    config = load_config(str(project / "mkdocs.yml"), strict=True)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    return project / "site"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    (settings,) = re.findall(r"^```yaml\n(site_name: .*?)^```", README, re.M | re.S)
    (tmp_path / "mkdocs.yml").write_text(settings, "utf-8")
    shutil.copytree(FOLDER / "base", tmp_path / "specs")
    return tmp_path


def test_the_settings_of_the_readme_build_a_site_with_the_guide(project: Path) -> None:
    site = _built(project)
    for name in GUIDES:
        assert (site / name).with_suffix(".html").is_file()
    reference = (site / "reference.html").read_text("utf-8")
    assert 'href="writing-a-spec.html"' in reference
    assert (site / "vessels/tern/index.html").is_file()


def test_specs_are_not_published(project: Path) -> None:
    (project / "specs/text").mkdir()
    (project / "specs/text/warranty.md").write_text("# Warranty\n", "utf-8")
    site = _built(project)
    assert not [path for path in site.rglob("*") if path.suffix == ".yaml"]
    assert not (site / "text").exists()


def test_a_yards_own_guide_takes_the_place_of_ours(project: Path) -> None:
    (project / "docs").mkdir()
    (project / "docs/methods.md").write_text("# How we do it\n", "utf-8")
    settings = re.sub("docs_dir: .*", "", (project / "mkdocs.yml").read_text("utf-8"))
    (project / "mkdocs.yml").write_text(settings, "utf-8")
    site = _built(project)
    assert "How we do it" in (site / "methods.html").read_text("utf-8")
    assert (site / "writing-a-spec.html").is_file()


@pytest.mark.parametrize("name", GUIDES)
def test_the_guide_of_the_checkout_is_the_one_that_comes_with_the_program(name: str) -> None:
    assert (PROJECT / "docs" / name).read_text("utf-8") == guide(name)
