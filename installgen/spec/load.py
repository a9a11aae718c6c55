"""From the specs folder to resolved vessels, with every mistake of every file in one go."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry, PathKey, written
from installgen.spec.folder import FolderProblem, Kind, SpecFolder
from installgen.spec.nodes import MappingNode, ScalarNode, SequenceNode, node_at
from installgen.spec.owner_texts import owner_texts, text_file
from installgen.spec.photos import photo_files, photo_name
from installgen.spec.problems import problem_at
from installgen.spec.reader import read_bytes, read_file
from installgen.spec.references import sheet_problems, vessel_problems
from installgen.spec.resolve import fit_engine
from installgen.spec.salvage import FITTING, NOTHING_LOST, Lost, Salvaged, salvage
from installgen.spec.standard_merge import built_on, in_use
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.validate import read_entry
from installgen.spec.vessel import Build, FittedEngine, Vessel
from installgen.spec.vessel_spec import EngineEntry, VesselSpec

E = TypeVar("E", EngineSheet, StandardSpec, VesselSpec)


@dataclass(frozen=True)
class _Resolved:
    standard: StandardSpec | None
    engines: tuple[FittedEngine, ...]
    texts: Mapping[str, str]
    photos: Mapping[str, Path]
    problems: list[Problem]


@dataclass
class SpecLibrary:
    """Reads specs from one folder; a file that has not changed is not read again.

    folder: the folder that holds `engines/`, `standards/` and `vessels/`
    read: what was read so far, by the file's name, with the digest of its text
    """

    folder: SpecFolder
    read: dict[str, tuple[str, Entry]] = field(default_factory=dict, repr=False)

    @classmethod
    def at(cls, path: Path) -> SpecLibrary:
        """The library of a folder."""
        return cls(SpecFolder(path))

    def vessel(self, vessel_id: str, standard: str | None = None) -> Vessel:
        """A resolved vessel.

        standard: judge her by this standard instead of her own
        Raises SpecErrors with every mistake of her spec, her sheets and her standard.
        """
        try:
            spec = self._entry("vessels", vessel_id, VesselSpec)
        except SpecErrors as errors:
            told = {problem.position for problem in errors.problems}
            beside = self._beside(vessel_id, standard)
            raise SpecErrors(
                [*errors.problems, *(one for one in beside if one.position not in told)]
            ) from None
        resolved = self._resolve(spec, standard)
        problems = [*_same_id(spec.vessel, vessel_id), *resolved.problems]
        if problems or resolved.standard is None:
            raise SpecErrors(problems)
        files = [
            self.name("vessels", spec.vessel.id),
            *sorted({self.name("engines", entry.sheet) for entry in spec.engines}),
            *(
                self.name("standards", each.standard.id)
                for each in self.standard_chain(resolved.standard.standard.id)
            ),
            *(self.text_name(name) for name in sorted(resolved.texts)),
            *(photo_name(self.pictures, name) for name in sorted(resolved.photos)),
        ]
        return Vessel(
            spec,
            resolved.engines,
            resolved.standard,
            tuple(files),
            resolved.texts,
            resolved.photos,
        )

    def vessels(self, ids: Iterable[str] | None = None) -> list[Vessel]:
        """Several resolved vessels, all of the folder's when no ids are given.

        Raises SpecErrors with the mistakes of all of them together.
        """
        problems: list[Problem] = []
        vessels = []
        if ids is None:
            problems += [
                stray.at(Position(self.folder.root.name, 1, 1)) for stray in self.folder.strays()
            ]
            ids = self.folder.ids("vessels")
        for vessel_id in ids:
            try:
                vessels.append(self.vessel(vessel_id))
            except SpecErrors as errors:
                problems += errors.problems
            except FolderProblem as problem:
                problems.append(problem.at(Position(self.folder.root.name, 1, 1)))
        if problems:
            raise SpecErrors(problems)
        return vessels

    def sheet(self, sheet_id: str) -> EngineSheet:
        """An engine sheet, its own references checked. Raises SpecErrors."""
        try:
            sheet = self._entry("engines", sheet_id, EngineSheet)
        except SpecErrors as errors:
            left = self._salvaged("engines", sheet_id, EngineSheet)
            beside = sheet_problems(left.entry, left.lost) if left is not None else []
            raise SpecErrors([*errors.problems, *beside]) from None
        if problems := [*_same_id(sheet.engine, sheet_id), *sheet_problems(sheet)]:
            raise SpecErrors(problems)
        return sheet

    def standard(self, standard_id: str) -> StandardSpec:
        """A yard's standard, with all that it takes over from those it builds on.

        Raises SpecErrors.
        """
        chain = self.standard_chain(standard_id)
        standard, problems = chain[-1], list[Problem]()
        for own in chain[-2::-1]:
            standard, found = built_on(own, standard)
            problems += found
        standard, found = in_use(standard)
        if problems or found:
            raise SpecErrors([*problems, *found])
        return standard

    def standard_chain(self, standard_id: str) -> list[StandardSpec]:
        """A standard as written, then the one it builds on, and so on. Raises SpecErrors."""
        chain: list[StandardSpec] = []
        ids: list[str] = []
        next_id: str | None = standard_id
        while next_id is not None:
            try:
                own = self._entry("standards", next_id, StandardSpec)
            except FolderProblem as problem:
                if not chain:
                    raise
                place = _place(chain[-1], "builds_on")
                raise SpecErrors([problem.at(place, "builds_on")]) from problem
            if problems := _same_id(own.standard, next_id):
                raise SpecErrors(problems)
            chain.append(own)
            ids.append(next_id)
            next_id = own.builds_on
            if next_id in ids:
                circle = " → ".join([*ids, str(next_id)])
                raise SpecErrors(
                    [
                        problem_at(
                            own,
                            "builds_on",
                            f"a circle of standards ({circle})",
                            "a standard that does not build on itself",
                        )
                    ]
                )
        return chain

    def name(self, kind: Kind, spec_id: str) -> str:
        """How messages and manuals call a file: never with a folder of this machine."""
        return f"{self.folder.root.name}/{kind}/{spec_id}.yaml"

    @property
    def texts(self) -> SpecFolder:
        """The folder whose `text/` owner's manuals are read from."""
        return self.folder

    @property
    def pictures(self) -> SpecFolder:
        """The folder whose `photos/` photographs are read from."""
        return self.folder

    def text_name(self, name: str) -> str:
        """How messages and manuals call a text."""
        return text_file(self.texts, name)

    def tree(self, kind: Kind, spec_id: str, root: MappingNode) -> MappingNode:
        """What a file says; a library of other texts gives another tree."""
        del kind, spec_id
        return root

    def _beside(self, vessel_id: str, standard_id: str | None) -> list[Problem]:
        """Mistakes besides those for which a vessel's own spec cannot be read."""
        left = self._salvaged("vessels", vessel_id, VesselSpec)
        if left is not None:
            return self._resolve(left.entry, standard_id, left.lost).problems
        try:
            path, name = self.folder.path("vessels", vessel_id), self.name("vessels", vessel_id)
            root = self.tree("vessels", vessel_id, read_file(path, name))
        except SpecErrors:
            return []
        problems: list[Problem] = []
        engines = root.get("engines")
        count = len(engines.items) if isinstance(engines, SequenceNode) else 0
        paths: list[tuple[PathKey, ...]] = [("standard",)]
        paths += [("engines", index, "sheet") for index in range(count)]
        for steps in paths:
            node = node_at(root, steps)
            if not isinstance(node, ScalarNode) or node.is_blank:
                continue
            try:
                if steps[0] == "engines":
                    self.sheet(node.text)
                else:
                    self.standard(standard_id or node.text)
            except FolderProblem as problem:
                problems.append(problem.at(node.position, written(steps)))
            except SpecErrors as errors:
                problems += errors.problems
        return problems

    def _salvaged(self, kind: Kind, spec_id: str, model: type[E]) -> Salvaged[E] | None:
        """A file without what cannot be read of it; nothing where it is no mapping at all."""
        path, name = self.folder.path(kind, spec_id), self.name(kind, spec_id)
        try:
            return salvage(model, self.tree(kind, spec_id, read_file(path, name)))
        except SpecErrors:
            return None

    def _resolve(
        self, spec: VesselSpec, standard_id: str | None, lost: Lost = NOTHING_LOST
    ) -> _Resolved:
        """What a spec refers to, as far as it is there, and every mistake of it.

        lost: what could not be read of the spec
        """
        problems: list[Problem] = []
        standard = None
        try:
            if not lost.touches("standard"):
                standard = self.standard(standard_id or spec.standard)
        except FolderProblem as problem:
            problems.append(problem.at(_place(spec, "standard"), "standard"))
        except SpecErrors as errors:
            problems += errors.problems
        engines: list[FittedEngine] = []
        for entry in spec.engines:
            engine = None
            if not any(lost.touches(entry.path_to(key)) for key in FITTING):
                engine = self._fitted(entry, problems)
            if engine is None:
                lost = replace(lost, names=lost.names | {entry.name})
            else:
                engines.append(engine)
        texts, found = owner_texts(self.texts, spec.owners_manual)
        problems += found
        sheets = [engine.sheet for engine in engines]
        photos, found = photo_files(self.pictures, [spec, *sheets])
        problems += found
        problems += vessel_problems(Build(spec, tuple(engines)), lost)
        return _Resolved(standard, tuple(engines), texts, photos, problems)

    def _fitted(self, entry: EngineEntry, problems: list[Problem]) -> FittedEngine | None:
        """An engine with its options taken; its mistakes are added to the others."""
        try:
            engine, found = fit_engine(entry, self.sheet(entry.sheet))
        except FolderProblem as problem:
            problems.append(problem.at(_place(entry, "sheet"), entry.path_to("sheet")))
            return None
        except SpecErrors as errors:
            problems += errors.problems
            return None
        problems += found
        return engine

    def _entry(self, kind: Kind, spec_id: str, model: type[E]) -> E:
        path = self.folder.path(kind, spec_id)
        name = self.name(kind, spec_id)
        data = path.read_bytes() if path.stat().st_size <= 2_000_000 else b""
        digest = hashlib.sha256(data).hexdigest()
        known = self.read.get(name)
        if data and known is not None and known[0] == digest and isinstance(known[1], model):
            return known[1]
        root = read_bytes(data, name) if data else read_file(path, name)
        entry = read_entry(model, self.tree(kind, spec_id, root))
        self.read[name] = (digest, entry)
        return entry


def _place(entry: Entry, name: str) -> Position:
    return entry.where(name) or Position("?", 1, 1)


def _same_id(identity: Entry, file_id: str) -> list[Problem]:
    written_id = getattr(identity, "id")  # noqa: B009 (three kinds of identity have one)
    if written_id == file_id:
        return []
    found = f"the id `{written_id}` in the file `{file_id}.yaml`"
    return [problem_at(identity, "id", found, "the id that the file's name gives", file_id)]
