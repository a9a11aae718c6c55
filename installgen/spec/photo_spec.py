"""Photographs beside what they show."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import Field

from installgen.spec.entry import Entry
from installgen.spec.texts import Checked, file_below, one_line

MOST_PHOTOS = 6
PhotoFile: TypeAlias = Annotated[
    str, file_below("photos", "JPEG or PNG", "(?:jpg|jpeg|png)", "brannock/strainer.jpg")
]
"""A JPEG or PNG file in a folder of the specs folder's `photos/`."""


class Photo(Entry):
    """A photograph, shown beside what it shows."""

    file: PhotoFile = Field(
        description="A JPEG or PNG file below `photos/`, such as `brannock/strainer.jpg`."
    )
    caption: Annotated[str, Checked(one_line, 200)] = Field(
        description="What one sees on it, also for those who cannot see it."
    )


Photos: TypeAlias = Annotated[
    list[Photo], Field(max_length=MOST_PHOTOS, description="Photographs of it, as built.")
]
"""Photographs of one thing."""
