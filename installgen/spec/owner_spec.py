"""The owner's manual beside the engine: the yard's own texts, safety equipment."""

from __future__ import annotations

from typing import Annotated, Literal, Self, TypeAlias

from pydantic import Field, model_validator

from installgen.spec.entry import Entry
from installgen.spec.photo_spec import Photos
from installgen.spec.piping import refuse
from installgen.spec.texts import Code, DateText, Find, Name, Title, file_below

HeadingName: TypeAlias = Literal[
    "introduction",
    "craft-data",
    "persons",
    "loading",
    "engine",
    "hull-openings",
    "bilge",
    "stability",
    "fuel",
    "gas",
    "fire-fighting",
    "electrical",
    "shore-power",
    "handling",
    "noise-and-exhaust",
    "waste",
    "other",
]
"""Headings of an owner's manual, in the order in which ISO 10240 asks for them."""

TextFile: TypeAlias = Annotated[
    str, file_below("text", "Markdown", "md", "quenby-slip/handling.md")
]
"""A Markdown file in a folder of the specs folder's `text/`."""


class OwnerHeading(Entry):
    """What stands under one heading: a text of the yard, or why it does not apply."""

    heading: HeadingName = Field(description="Which heading.")
    text: TextFile | None = Field(
        None, description="A Markdown file below `text/`, such as `quenby-slip/handling.md`."
    )
    not_applicable: str = Field("", description="Why the heading does not apply to her.")
    role: Literal["builder", "installer", "electrician", "checker", "surveyor", "owner"] | None = (
        Field(None, description="Role of who says that it does not apply.")
    )
    date: DateText | None = Field(None, description="When that was said.")

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.text is None) == (not self.not_applicable):
            both = "both `text` and `not_applicable`" if self.text else "neither of them"
            refuse(both, "a `text`, or `not_applicable` with its reason")
        if self.not_applicable and (self.role is None or self.date is None):
            refuse("`not_applicable` without `role` and `date`", "who says so, and when")
        return self


class SafetyItem(Entry):
    """A piece of safety equipment that the emergency pages send somebody to."""

    kind: Literal[
        "fire-extinguisher",
        "fixed-extinguisher",
        "fire-port",
        "fire-blanket",
        "bilge-pump",
        "hand-bilge-pump",
    ] = Field(description="What it is.")
    name: Title = ""
    code: Code = ""
    place: Name | None = Field(None, description="The space it is in (see `places`).")
    find: Find = ""
    photos: Photos = []
    how: str = Field("", description="How it is worked, as an instruction.")


class OwnersManual(Entry):
    """The owner's manual beside the engine and its systems."""

    headings: list[OwnerHeading] = Field(
        [], description="Headings that the tool cannot fill from what is fitted."
    )
    equipment: list[SafetyItem] = Field([], description="Safety equipment aboard.")
