"""Drawings to SVG, with as few runs of Graphviz as possible."""

import functools
import hashlib
import os
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from installgen.drawings.dot import dot_of
from installgen.drawings.graph import Drawing
from installgen.drawings.metrics import FONTS_FOLDER
from installgen.drawings.paper import PaperFit, fit_on_paper
from installgen.drawings.svg import dress
from installgen.errors import InstallgenError

PROCESSES = 2
TIMEOUT_S = 120.0
HOW_TO_INSTALL = (
    "The drawings need Graphviz, and its program `dot` was not found. Install it: "
    "`apt install graphviz` on Debian or Ubuntu, `dnf install graphviz` on Fedora, "
    "`brew install graphviz` on macOS, `winget install graphviz` on Windows; "
    "then open a new terminal and check that `dot -V` answers."
)
FONT_CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>{fonts}</dir>
  <cachedir>{cache}</cachedir>
  <selectfont><rejectfont><glob>*.woff2</glob></rejectfont></selectfont>
</fontconfig>
"""


class LayoutCache(Protocol):
    """Anything that keeps text under a key, in memory or on disk."""

    def get(self, key: str) -> str | None:
        """The text kept under the key, or None."""

    def put(self, key: str, text: str) -> None:
        """Keeps the text under the key."""


@dataclass(frozen=True)
class Rendered:
    """A drawing ready for a page.

    svg: one inline SVG element, on one line
    width_px, height_px: its natural size, at which its smallest text measures 12 px
    paper: how it goes on A4
    cuts_px: heights at which it may be cut for paper [px]
    warnings: what dot complained of
    """

    drawing: Drawing
    svg: str
    width_px: float
    height_px: float
    paper: PaperFit
    cuts_px: tuple[float, ...] = ()
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Layout:
    """What dot wrote for one DOT text."""

    svg: str
    warnings: tuple[str, ...] = ()


def render(
    drawings: Sequence[Drawing],
    cache: LayoutCache | None = None,
    dot: str | None = None,
    timeout_s: float = TIMEOUT_S,
) -> list[Rendered]:
    """Draws all drawings, in their order.

    cache: keeps layouts between runs; only drawings whose DOT changed are laid out again
    dot: the program; found on the path when None
    timeout_s: longest time one run of dot may take [s]
    Raises InstallgenError when dot is missing, fails or takes too long.
    """
    texts = [dot_of(drawing) for drawing in drawings]
    layouts = lay_out(texts, cache, dot, timeout_s)
    return [finished(drawing, layouts[text]) for drawing, text in zip(drawings, texts, strict=True)]


def finished(drawing: Drawing, layout: Layout) -> Rendered:
    """The layout dressed for the page."""
    dressed = dress(layout.svg, drawing)
    return Rendered(
        drawing,
        dressed.text,
        dressed.width_px,
        dressed.height_px,
        fit_on_paper(dressed.width_px, dressed.height_px),
        dressed.cuts_px,
        layout.warnings,
    )


def lay_out(
    texts: Sequence[str], cache: LayoutCache | None, dot: str | None, timeout_s: float
) -> dict[str, Layout]:
    """The layout of each different DOT text, from the cache or from dot."""
    layouts: dict[str, Layout] = {}
    missing: list[str] = []
    if not texts:
        return layouts
    program = find_dot(dot)
    for text in dict.fromkeys(texts):
        kept = cache.get(cache_key(text, program)) if cache is not None else None
        if kept is None:
            missing.append(text)
        else:
            layouts[text] = Layout(kept)
    layouts |= laid_out_by_dot(missing, program, timeout_s)
    if cache is not None:
        for text in missing:
            if not layouts[text].warnings:
                cache.put(cache_key(text, program), layouts[text].svg)
    return layouts


def find_dot(dot: str | None) -> str:
    """The path of dot; raises InstallgenError that says how to install it."""
    program = shutil.which(dot or "dot")
    if program is None:
        raise InstallgenError(HOW_TO_INSTALL)
    return program


def cache_key(text: str, program: str) -> str:
    """A key that changes with the DOT text, the fonts and the version of dot."""
    parts = (text, dot_version(program), fonts_fingerprint())
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


@functools.cache
def dot_version(program: str) -> str:
    """What `dot -V` says."""
    try:
        answer = subprocess.run(
            [program, "-V"], capture_output=True, text=True, check=True, timeout=TIMEOUT_S
        )
    except (OSError, subprocess.SubprocessError) as error:
        raise InstallgenError(f"{program} does not run ({error}). {HOW_TO_INSTALL}") from error
    return (answer.stdout + answer.stderr).strip()


@functools.cache
def fonts_fingerprint() -> str:
    """A hash of the font files with which dot measures text."""
    digest = hashlib.sha256()
    for path in sorted(FONTS_FOLDER.glob("*.ttf")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def laid_out_by_dot(texts: Sequence[str], program: str, timeout_s: float) -> dict[str, Layout]:
    """Lays out the texts in two runs of dot side by side."""
    if not texts:
        return {}
    with tempfile.TemporaryDirectory(prefix="installgen-") as name:
        folder = Path(name)
        environment = dot_environment(folder)
        jobs = [list(texts[start::PROCESSES]) for start in range(min(PROCESSES, len(texts)))]
        with ThreadPoolExecutor(len(jobs)) as pool:
            results = pool.map(
                lambda job: run_batch(
                    job[1], program, folder / str(job[0]), environment, timeout_s
                ),
                enumerate(jobs),
            )
            return {text: layout for result in results for text, layout in result.items()}


def dot_environment(folder: Path) -> dict[str, str]:
    """An environment in which dot knows our fonts and no others, whatever the machine has."""
    configuration, fonts = folder / "fonts.conf", folder / "fontcache"
    fonts.mkdir(exist_ok=True)  # two runs that both made it would now and then complain
    configuration.write_text(
        FONT_CONFIGURATION.format(fonts=FONTS_FOLDER, cache=fonts), encoding="utf-8"
    )
    kept = {key: value for key, value in os.environ.items() if not key.startswith("FONTCONFIG")}
    return kept | {"FONTCONFIG_FILE": str(configuration), "LC_ALL": "C.UTF-8"}


def run_batch(
    texts: Sequence[str], program: str, folder: Path, environment: dict[str, str], timeout_s: float
) -> dict[str, Layout]:
    """Lays out texts in one run; when dot complains, one by one, to know of which drawing."""
    folder.mkdir()
    paths = [folder / f"{number:04d}.gv" for number in range(len(texts))]
    for path, text in zip(paths, texts, strict=True):
        path.write_text(text, encoding="utf-8")
    complaint, failed = run_dot(program, paths, environment, timeout_s)
    if (complaint or failed) and len(texts) > 1:
        layouts: dict[str, Layout] = {}
        for number, text in enumerate(texts):
            layouts |= run_batch([text], program, folder / f"one{number}", environment, timeout_s)
        return layouts
    if failed:
        raise InstallgenError(
            f"dot could not draw {name_in(texts[0])}: {complaint or 'no message'}"
        )
    warnings = tuple(line for line in complaint.splitlines() if line.strip())
    return {
        text: Layout(path.with_name(path.name + ".svg").read_text(encoding="utf-8"), warnings)
        for path, text in zip(paths, texts, strict=True)
    }


def run_dot(
    program: str, paths: Sequence[Path], environment: dict[str, str], timeout_s: float
) -> tuple[str, bool]:
    """One run of dot over files; what it wrote to its error stream, and whether it failed."""
    command = [program, "-Tsvg", "-O", *(path.name for path in paths)]
    try:
        answer = subprocess.run(
            command,
            cwd=paths[0].parent,
            env=environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=timeout_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        names = ", ".join(name_in(path.read_text(encoding="utf-8")) for path in paths)
        raise InstallgenError(f"dot took over {timeout_s:.0f} s to draw {names}") from None
    made = all(path.with_name(path.name + ".svg").exists() for path in paths)
    return answer.stderr.strip(), answer.returncode != 0 or not made


def name_in(text: str) -> str:
    """The drawing's id, as its DOT text gives it."""
    return text.partition('"')[2].partition('"')[0]
