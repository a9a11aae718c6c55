"""Earlier revisions of a vessel, kept in the specs folder under `earlier/NAME/`.

Such a folder is a specs folder of its own, as it was when the revision was signed. One that keeps
no sheets, standards or texts is read with today's.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.folder import KINDS, FolderProblem, Kind, SpecFolder, check_id
from installgen.spec.load import SpecLibrary
from installgen.spec.owner_texts import FOLDER
from installgen.spec.problems import problem_at
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import VesselSpec

EARLIER = "earlier"

E = TypeVar("E", EngineSheet, StandardSpec, VesselSpec)


@dataclass
class EarlierLibrary(SpecLibrary):
    """The library of one earlier revision.

    today: the library of the specs folder that it lies in
    """

    today: SpecLibrary = field(kw_only=True)

    def keeps(self, kind: Kind) -> bool:
        """Whether it has files of its own of a kind."""
        return (self.folder.root / kind).is_dir()

    def name(self, kind: Kind, spec_id: str) -> str:
        """How messages call a file: from the specs folder down."""
        if not self.keeps(kind):
            return self.today.name(kind, spec_id)
        root = self.today.folder.root.name
        return f"{root}/{EARLIER}/{self.folder.root.name}/{kind}/{spec_id}.yaml"

    @property
    def texts(self) -> SpecFolder:
        """Its own texts, or today's where it keeps none."""
        return self.folder if (self.folder.root / FOLDER).is_dir() else self.today.texts

    @property
    def pictures(self) -> SpecFolder:
        """Today's: photographs are kept once."""
        return self.today.pictures

    def text_name(self, name: str) -> str:
        """How messages call a text: from the specs folder down."""
        if self.texts is not self.folder:
            return self.today.text_name(name)
        root = self.today.folder.root.name
        return f"{root}/{EARLIER}/{self.folder.root.name}/{FOLDER}/{name}"

    def _entry(self, kind: Kind, spec_id: str, model: type[E]) -> E:
        if not self.keeps(kind):
            return self.today._entry(kind, spec_id, model)
        return super()._entry(kind, spec_id, model)


@dataclass(frozen=True)
class Revision:
    """A vessel as she was, and what her folder keeps of that time besides her own spec."""

    vessel: Vessel
    kept: frozenset[Kind]


def earlier_revisions(library: SpecLibrary, vessel: Vessel) -> tuple[Revision, ...]:
    """Her revisions before this one, the latest first.

    Raises SpecErrors where one cannot be read, or where they lead in a circle.
    """
    found: list[Revision] = []
    seen: set[str] = set()
    while (name := vessel.spec.vessel.earlier) is not None:
        try:
            own = _library(library, name)
            if name in seen:
                raise FolderProblem(f"`{name}`, which leads back to itself", "an earlier revision")
            own.folder.path("vessels", vessel.id)
        except FolderProblem as problem:
            place = vessel.spec.vessel.where("earlier") or Position("?", 1, 1)
            raise SpecErrors([problem.at(place, "vessel.earlier")]) from None
        seen.add(name)
        before = own.vessel(vessel.id)
        if before.spec.vessel.revision == vessel.spec.vessel.revision:
            raise SpecErrors(
                [
                    problem_at(
                        before.spec.vessel,
                        "revision",
                        f"the revision `{vessel.spec.vessel.revision}`, as in the later spec",
                        "the revision that this spec was",
                    )
                ]
            )
        found.append(Revision(before, frozenset(kind for kind in KINDS if own.keeps(kind))))
        vessel = before
    return tuple(found)


def earlier_of_all(
    library: SpecLibrary, vessels: Iterable[Vessel]
) -> dict[str, tuple[Revision, ...]]:
    """The earlier revisions of each vessel, by her id.

    Raises SpecErrors with the mistakes of all of them together.
    """
    found: dict[str, tuple[Revision, ...]] = {}
    problems: list[Problem] = []
    for vessel in vessels:
        try:
            found[vessel.id] = earlier_revisions(library, vessel)
        except SpecErrors as errors:
            problems += errors.problems
    if problems:
        raise SpecErrors(problems)
    return found


def _library(library: SpecLibrary, name: str) -> EarlierLibrary:
    """The library of an earlier folder. FolderProblem where there is none to be read."""
    root = library.folder.root / EARLIER / check_id(name)
    if root.is_symlink() or root.parent.is_symlink():
        raise FolderProblem(f"`{EARLIER}/{name}`, a symbolic link", "a folder of its own")
    if not root.is_dir():
        raise FolderProblem(
            f"the earlier revision `{name}`, which has no folder", f"a folder {EARLIER}/{name}/"
        )
    return EarlierLibrary(SpecFolder(root), library.read, today=library)
