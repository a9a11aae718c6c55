"""The font covers what a manual prints, and dot measures with it and with no other."""

import re
import subprocess
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from installgen.drawings.dot import dot_of
from installgen.drawings.metrics import FAMILY, FONTS_FOLDER, advances_per_mille, text_width_px
from installgen.drawings.render import dot_environment, render
from tests.drawings import samples

STYLES = ("Regular", "Bold", "Italic")
SIGNS = "°²³×·Ωµμ±≤≥→←↑↓−–—′″½¼¾⅛⅜⅝⅞Δφ≈≠…○▲✗✓☐☑●■ÅÄÖåäöéèçñßøæ"


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("suffix", ["ttf", "woff2"])
def test_each_font_file_has_every_sign_the_manual_prints(style: str, suffix: str) -> None:
    font = TTFont(FONTS_FOLDER / f"InstallgenSans-{style}.{suffix}")
    present = font.getBestCmap()
    ascii_printable = "".join(map(chr, range(0x20, 0x7F)))
    assert [sign for sign in ascii_printable + SIGNS if ord(sign) not in present] == []
    assert font["name"].getDebugName(1) == FAMILY


@pytest.mark.parametrize("style", STYLES)
def test_a_web_font_is_small(style: str) -> None:
    assert (FONTS_FOLDER / f"InstallgenSans-{style}.woff2").stat().st_size < 60_000


def test_the_licence_travels_with_the_font() -> None:
    licence = (FONTS_FOLDER / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "Atkinson Hyperlegible Next Project Authors" in licence
    assert "Reserved Font Name 'Source'" in licence


@pytest.mark.parametrize("style", STYLES)
def test_the_table_of_widths_agrees_with_the_font(style: str) -> None:
    font = TTFont(FONTS_FOLDER / f"InstallgenSans-{style}.ttf")
    scale = 1000 / font["head"].unitsPerEm
    expected = {
        chr(code): round(font["hmtx"][name][0] * scale) for code, name in font.getBestCmap().items()
    }
    assert advances_per_mille(style) == expected


def test_a_width_is_never_less_than_the_signs_need() -> None:
    # 0.648 em for the zero of the parent font, at 100 px.
    assert text_width_px("0", 100) == 65
    assert text_width_px("🔥", 100) > 100
    assert text_width_px("", 12) == 0


def fonts_dot_resolves(folder: Path, text: str) -> set[str]:
    """The font files that dot says it measures with."""
    said = subprocess.run(
        ["dot", "-v", "-Tsvg", "-o", str(folder / "out.svg")],
        input=text,
        env=dot_environment(folder),
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    return set(re.findall(r'fontname: "[^"]*" resolved to: .*', said))


def test_the_cache_of_fonts_is_there_before_two_runs_could_both_make_it(tmp_path: Path) -> None:
    configuration = Path(dot_environment(tmp_path)["FONTCONFIG_FILE"]).read_text("utf-8")
    named = re.search(r"<cachedir>(.*)</cachedir>", configuration)
    assert named is not None
    assert Path(named[1]).is_dir()


def test_dot_resolves_the_family_to_our_files_only(tmp_path: Path) -> None:
    resolved = fonts_dot_resolves(tmp_path, dot_of(samples.grouped()))
    assert resolved
    for line in resolved:
        assert FAMILY in line.partition("resolved to:")[2]


def test_a_font_the_machine_lacks_or_has_does_not_change_the_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawing = samples.coolant()
    usual = render([drawing])[0].svg
    bare = tmp_path / "bare.conf"
    bare.write_text("<?xml version='1.0'?><fontconfig></fontconfig>", encoding="utf-8")
    monkeypatch.setenv("FONTCONFIG_FILE", str(bare))
    monkeypatch.setenv("FONTCONFIG_PATH", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert render([drawing])[0].svg == usual
