"""Photographs made fit to be published: upright, of a sensible size, without any metadata.

A camera writes where and when a picture was taken into its file; none of that may be published.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from installgen.errors import Problem, SpecErrors
from installgen.spec.photo_spec import Photo
from installgen.spec.problems import problem_at
from installgen.spec.vessel import Vessel, entries

LONGEST_PX = 1600
MOST_PIXELS = 60_000_000
"""More than any telephone takes; a file that unpacks to more is a mistake or an attack."""

QUALITY = 85
HARMLESS = {"APP0", "APP14"}
"""Segments of a JPEG file that tell nothing but how its colours are stored."""


@dataclass(frozen=True)
class Picture:
    """A photograph ready to be published.

    media: its kind, `image/jpeg` or `image/png`
    width_px, height_px: its size [px]
    """

    data: bytes
    media: str
    width_px: int
    height_px: int

    @property
    def inline(self) -> str:
        """The picture as an address that needs no file."""
        return f"data:{self.media};base64,{base64.b64encode(self.data).decode('ascii')}"


def pictures_of(vessel: Vessel) -> Mapping[str, Picture]:
    """Each photograph of her specs, by its name below `photos/`.

    Raises SpecErrors with every file that is no picture or too large.
    """
    named: dict[str, Photo] = {}
    for root in (vessel.spec, *(engine.sheet for engine in vessel.engines)):
        for entry in entries(root):
            if isinstance(entry, Photo):
                named.setdefault(entry.file, entry)
    made: dict[str, Picture] = {}
    problems: list[Problem] = []
    for name, entry in sorted(named.items()):
        try:
            made[name] = picture(vessel.photos[name], entry)
        except SpecErrors as errors:
            problems += errors.problems
    if problems:
        raise SpecErrors(problems)
    return made


def picture(path: Path, entry: Photo) -> Picture:
    """One photograph, turned upright, made smaller where it is large, its metadata left behind.

    A picture that is fit already keeps its bytes, so that publishing it again changes nothing.
    Raises SpecErrors at the entry.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    kind = "PNG" if path.suffix == ".png" else "JPEG"
    data = path.read_bytes()
    try:
        with Image.open(BytesIO(data), formats=(kind,)) as opened:
            width, height = opened.size
            if width * height > MOST_PIXELS:
                found = f"`{entry.file}`, {width} by {height} pixels"
                expected = f"at most {MOST_PIXELS // 1_000_000} million pixels"
                raise SpecErrors([problem_at(entry, "file", found, expected)])
            opened.load()
            if kind == "JPEG" and max(width, height) <= LONGEST_PX and _is_bare(opened, data):
                return Picture(data, "image/jpeg", width, height)
            upright = ImageOps.exif_transpose(opened)
            upright.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
            # On a sheet of its own: what the file said besides its pixels is not copied.
            bare = Image.new("RGB", upright.size, "white")
            whole = upright.convert("RGBA")
            bare.paste(whole, mask=whole)
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError) as error:
        found = f"`{entry.file}`, which cannot be read as a picture"
        raise SpecErrors([problem_at(entry, "file", found, f"a whole {kind} file")]) from error
    out = BytesIO()
    if kind == "PNG":
        bare.save(out, "PNG", optimize=True)
    else:
        bare.save(out, "JPEG", quality=QUALITY)
    return Picture(out.getvalue(), f"image/{kind.lower()}", *bare.size)


def _is_bare(opened: object, data: bytes) -> bool:
    """Whether a JPEG file holds one picture and nothing that tells of anything else."""
    segments = {name for name, _ in getattr(opened, "applist", [("?", b"")])}
    one_picture = data.count(b"\xff\xd8") == 1 and data.endswith(b"\xff\xd9")
    return segments <= HARMLESS and one_picture
