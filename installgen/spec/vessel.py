"""The resolved vessel: her spec, her engines as their options leave them, her yard's standard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from installgen.spec.electrical import Battery, DeviceBase
from installgen.spec.engine_sheet import (
    ConnectionPoint,
    EngineSheet,
    Performance,
    Rating,
)
from installgen.spec.entry import Entry
from installgen.spec.piping import Circuit
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel_spec import EngineEntry, VesselSpec

D = TypeVar("D", bound=DeviceBase)


@dataclass(frozen=True)
class FittedEngine:
    """One engine of the vessel: its sheet holds only what its options leave fitted."""

    entry: EngineEntry
    sheet: EngineSheet
    options: Mapping[str, str]
    rating: Rating | None
    performance: Performance | None

    @property
    def name(self) -> str:
        """What the vessel spec calls this engine."""
        return self.entry.name

    def connection(self, connection_id: str) -> ConnectionPoint:
        """The connection point with this id; KeyError where the engine has none."""
        for point in self.sheet.connections:
            if point.id == connection_id:
                return point
        raise KeyError(connection_id)

    def circuit(self, system: str) -> Circuit | None:
        """The engine's own circuit of a fluid."""
        return next((c for c in self.sheet.circuits if c.system == system), None)


@dataclass(frozen=True)
class Build:
    """A vessel's spec with those of her engines that could be fitted."""

    spec: VesselSpec
    engines: tuple[FittedEngine, ...]

    @property
    def id(self) -> str:
        """Her id, which is also the name of her spec file."""
        return self.spec.vessel.id

    @property
    def name(self) -> str:
        """Her name."""
        return self.spec.vessel.name

    def engine(self, name: str | None = None) -> FittedEngine:
        """The engine of that name; without a name, the only one. KeyError where there is none."""
        if name is None and len(self.engines) == 1:
            return self.engines[0]
        for engine in self.engines:
            if engine.name == name:
                return engine
        raise KeyError(name)

    def devices(self) -> Iterator[tuple[str, DeviceBase, FittedEngine | None]]:
        """Every electrical device as (full id, device, engine it sits on)."""
        if self.spec.electrical is not None:
            for device in self.spec.electrical.devices:
                yield device.id, device, None
        for engine in self.engines:
            for device in engine.sheet.devices:
                yield f"{engine.name}.{device.id}", device, engine

    def engine_of(self, device: DeviceBase, on: FittedEngine | None) -> FittedEngine | None:
        """The engine that a device goes with: the one it is on, the one it names, or the only one.

        Nothing for a device that goes with none in particular.
        """
        if on is not None:
            return on
        if not hasattr(device, "engine"):
            return None
        named = [engine for engine in self.engines if engine.name == device.engine]
        only = self.engines if device.engine is None and len(self.engines) == 1 else ()
        return next(iter((*named, *only)), None)

    def batteries(self) -> list[Battery]:
        """The vessel's batteries."""
        return [d for _, d, _ in self.devices() if isinstance(d, Battery)]


@dataclass(frozen=True)
class Vessel(Build):
    """Everything that is known of one vessel, checked and resolved.

    files: every file that she is resolved from, such as `specs/vessels/tern.yaml`
    texts: the yard's Markdown for her owner's manual, by its name below `text/`
    photos: the file of each photograph, by its name below `photos/`
    """

    standard: StandardSpec
    files: tuple[str, ...]
    texts: Mapping[str, str] = field(default_factory=dict)
    photos: Mapping[str, Path] = field(default_factory=dict)


def entries(value: Any) -> Iterator[Entry]:
    """Every entry inside a value, itself included, in the order of the spec."""
    if isinstance(value, Entry):
        yield value
        for name in type(value).model_fields:
            yield from entries(getattr(value, name))
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from entries(item)
    elif isinstance(value, list | tuple):
        for item in value:
            yield from entries(item)
