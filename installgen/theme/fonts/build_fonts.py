"""Builds the font files of this folder from their two open-licensed parents.

Run by hand only when a parent font changes:

    python build_fonts.py FOLDER_OF_PARENT_TTF_FILES

The letters are Atkinson Hyperlegible Next. It lacks signs that an installation manual needs
(arrows, primes, eighths, Greek, tick boxes); those are copied from Source Sans 3, scaled to the
same capital height. The result carries a name of its own, because both licences ask that a
changed font not be taken for its parent, and because a name nobody else uses cannot silently
resolve to some other font of the machine.
"""

import sys
from pathlib import Path

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FAMILY = "Installgen Sans"
VERSION = "Version 1.000"
STYLES = {
    "Regular": ("AtkinsonHyperlegibleNext_400Regular.ttf", "SourceSans3_400Regular.ttf"),
    "Bold": ("AtkinsonHyperlegibleNext_700Bold.ttf", "SourceSans3_700Bold.ttf"),
    "Italic": (
        "AtkinsonHyperlegibleNext_400Regular_Italic.ttf",
        "SourceSans3_400Regular_Italic.ttf",
    ),
}
BORROWED = "→←↑↓↔′″φαβγηρλσθωµ⅛⅜⅝⅞⅓⅔●○■□▲△▼◆✓✗☐☑▶◀⁰⁴⁵⁶⁷⁸⁹⁻₀₁₂₃₄"
KEPT_RANGES = ((0x20, 0x7E), (0xA0, 0x17F), (0x2010, 0x2030), (0x2070, 0x209C), (0x20A0, 0x20BF))
KEPT_SIGNS = BORROWED + "ΔΩΩμπ×·−±≤≥≈≠√∞⁄½¼¾°²³¹…€™"


def copy_glyphs(font: TTFont, donor: TTFont, characters: str) -> None:
    """Copies the outlines of characters that font lacks from donor."""
    present = font.getBestCmap()
    donor_cmap, donor_glyphs = donor.getBestCmap(), donor.getGlyphSet()
    scale = font["OS/2"].sCapHeight / donor["OS/2"].sCapHeight
    order = font.getGlyphOrder()
    for character in characters:
        code = ord(character)
        if code in present:
            continue
        name = f"uni{code:04X}"
        record = DecomposingRecordingPen(donor_glyphs)
        donor_glyphs[donor_cmap[code]].draw(record)
        pen = TTGlyphPen(None)
        record.replay(TransformPen(pen, (scale, 0, 0, scale, 0, 0)))
        bounds = BoundsPen(None)
        record.replay(TransformPen(bounds, (scale, 0, 0, scale, 0, 0)))
        order.append(name)
        font["glyf"].glyphs[name] = pen.glyph()
        advance = round(donor["hmtx"][donor_cmap[code]][0] * scale)
        font["hmtx"].metrics[name] = (advance, round(bounds.bounds[0]))
        for table in font["cmap"].tables:
            if table.isUnicode():
                table.cmap[code] = name
    font.setGlyphOrder(order)
    font["glyf"].setGlyphOrder(order)
    font["maxp"].numGlyphs = len(order)


def rename(font: TTFont, style: str) -> None:
    """Gives the font our family name and keeps both parents' copyright lines."""
    table = font["name"]
    copyright_line = (
        "Copyright 2020-2024 The Atkinson Hyperlegible Next Project Authors "
        "(https://github.com/googlefonts/atkinson-hyperlegible-next). "
        "Signs: Copyright 2010-2024 Adobe (http://www.adobe.com/)."
    )
    table.names = []
    values = {
        0: copyright_line,
        1: FAMILY,
        2: style,
        3: f"1.000;{FAMILY.replace(' ', '')}-{style}",
        4: f"{FAMILY} {style}",
        5: VERSION,
        6: f"{FAMILY.replace(' ', '')}-{style}",
        13: "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
        14: "https://openfontlicense.org",
    }
    for number, value in values.items():
        table.setName(value, number, 3, 1, 0x409)


def write_advances(paths: dict[str, Path], target: Path) -> None:
    """Tabulates how wide each sign is, for whoever lays out text without reading a font."""
    widths: dict[int, dict[str, int]] = {}
    for style, path in paths.items():
        font = TTFont(path)
        share = 1000 / font["head"].unitsPerEm
        for code, name in font.getBestCmap().items():
            advance = round(font["hmtx"][name][0] * share)
            widths.setdefault(code, {})[style] = advance
    lines = ["codepoint,regular_per_mille,bold_per_mille,italic_per_mille"]
    for code in sorted(widths):
        lines.append(f"{code:04X}," + ",".join(str(widths[code][style]) for style in STYLES))
    target.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main(folder: Path) -> None:
    """Writes one TTF and one WOFF2 a style beside this file."""
    here = Path(__file__).parent
    for style, (letters, signs) in STYLES.items():
        font = TTFont(folder / letters, recalcTimestamp=False)
        copy_glyphs(font, TTFont(folder / signs), BORROWED)
        rename(font, style)
        if "STAT" in font:
            del font["STAT"]
        options = Options()
        options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
        options.name_IDs = ["*"]
        options.notdef_outline = True
        options.recalc_timestamp = False
        subsetter = Subsetter(options)
        codes = {code for low, high in KEPT_RANGES for code in range(low, high + 1)}
        subsetter.populate(unicodes=codes | {ord(sign) for sign in KEPT_SIGNS})
        subsetter.subset(font)
        path = here / f"InstallgenSans-{style}.ttf"
        font.save(path)
        font.flavor = "woff2"
        font.save(path.with_suffix(".woff2"))
    paths = {style: here / f"InstallgenSans-{style}.ttf" for style in STYLES}
    write_advances(paths, here / "advances.csv")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
