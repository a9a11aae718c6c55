"""Photographs beside what they show."""

from __future__ import annotations

import re
from typing import Annotated, TypeAlias

from pydantic import Field

from installgen.spec.entry import Entry
from installgen.spec.texts import Checked, _one_line, _refused

MOST_PHOTOS = 6
PHOTO_FILE = re.compile(r"[a-z0-9-]{1,60}/[a-z0-9-]{1,60}\.(?:jpg|jpeg|png)")


def _photo_file(value: str) -> None:
    if not PHOTO_FILE.fullmatch(value):
        raise _refused(
            f"`{value[:80]}`",
            "a folder and a JPEG or PNG file in it, below `photos/` of the specs folder, in small "
            "letters, digits and hyphens",
            "`brannock/strainer.jpg`",
        )


PhotoFile: TypeAlias = Annotated[str, Checked(_photo_file, 130, f"^{PHOTO_FILE.pattern}$")]
"""A JPEG or PNG file in a folder of the specs folder's `photos/`."""


class Photo(Entry):
    """A photograph, shown beside what it shows."""

    file: PhotoFile = Field(
        description="A JPEG or PNG file below `photos/`, such as `brannock/strainer.jpg`."
    )
    caption: Annotated[str, Checked(_one_line, 200)] = Field(
        description="What one sees on it, also for those who cannot see it."
    )


Photos: TypeAlias = Annotated[
    list[Photo], Field(max_length=MOST_PHOTOS, description="Photographs of it, as built.")
]
"""Photographs of one thing."""
