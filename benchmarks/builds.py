"""Two ways to the same site: from specs with our plugin, and from ready files without it."""

import os
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import yaml
from mkdocs.config import load_config

from installgen.manual.site import yard_site
from installgen.plugin import THEME_FOLDER, navigation, set_theme


@dataclass(frozen=True)
class Cost:
    """What one process took."""

    seconds: float
    peak_mb: float


def full_project(project: Path, folder: Path) -> Path:
    """A copy of the project's inputs, so that measuring disturbs nothing."""
    folder.mkdir()
    for name in ("docs", "specs"):
        shutil.copytree(project / name, folder / name)
    shutil.copy(project / "mkdocs.yml", folder)
    return folder


def bare_project(full: Path, folder: Path) -> Path:
    """The files that `full` generates, in a project that uses MkDocs and its theme alone."""
    shutil.copytree(full / "docs", folder / "docs")
    site = yard_site(full / "specs")
    for site_file in site.files:
        path = folder / "docs" / site_file.uri
        path.parent.mkdir(parents=True, exist_ok=True)
        content = site_file.content
        path.write_bytes(content if isinstance(content, bytes) else content.encode())

    config = load_config(str(full / "mkdocs.yml"))
    set_theme(config)
    theme = {key: config.theme[key] for key in ("font", "favicon", "icon", "palette", "features")}
    bare = {
        "site_name": config.site_name,
        "theme": {"name": "material", "custom_dir": str(THEME_FOLDER), **theme},
        "nav": plain(navigation(site, config, full / "specs")),
        "plugins": ["search"],
        "use_directory_urls": False,
        "extra": dict(config.extra),
        "markdown_extensions": list(config.markdown_extensions),
    }
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(bare))
    return folder


def plain(value: object) -> object:
    """The same lists, mappings and texts in Python's own types."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [plain(item) for item in value]
    return str(value)


def built(project: Path) -> Cost:
    """Build a project's site in a process of its own."""
    started = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-m", "mkdocs", "build"],
        cwd=project,
        stderr=subprocess.DEVNULL,
    ) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"`mkdocs build` failed in {project}")
    return Cost(time.perf_counter() - started, usage.ru_maxrss / 1024)
