"""The vessel's wiring as a network: conductors, links, lengths, sizes, temperatures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from installgen.analysis.dc_lengths import estimated_length_m
from installgen.analysis.results import Missing
from installgen.calc.conductors import (
    ConductorSize as CalcSize,
)
from installgen.calc.conductors import (
    awg,
    metric,
    sae,
)
from installgen.spec.electrical import (
    Battery,
    Conductor,
    Jumper,
    Plug,
)
from installgen.spec.entry import Choose, Entry, known
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Place, VesselCable
from installgen.units import ConductorSize

NO_RESISTANCE_OHM = 1e-6
"""Stands for a contact or joint without resistance where the standard assumes none."""


@dataclass(frozen=True)
class WireEnd:
    """One conductor, with the two nodes it lies between and the engine it sits on."""

    element: str
    wire: Conductor
    start: str
    end: str
    engine: FittedEngine | None


@dataclass(frozen=True)
class DcModel:
    """Turns a vessel into networks.

    sizes: sizes proposed for conductors marked `choose`, by label
    stand_ins: those among them that no stocked size does for, with what none keeps; the largest
        stands in
    unchosen: the fields for want of which nothing could be proposed
    """

    vessel: Vessel
    sizes: Mapping[str, ConductorSize] = field(default_factory=dict)
    stand_ins: Mapping[str, str] = field(default_factory=dict)
    unchosen: tuple[Missing, ...] = ()

    def wires(self) -> list[WireEnd]:
        """Every conductor, the vessel's and the engines'."""
        found = []
        electrical = self.vessel.spec.electrical
        for wire in electrical.conductors if electrical else []:
            found.append(WireEnd(wire.label, wire, wire.from_, wire.to, None))
        for engine in self.vessel.engines:
            for wire in engine.sheet.wires:
                found.append(
                    WireEnd(
                        f"{engine.name}.{wire.label}",
                        wire,
                        self._inner(engine, wire.from_),
                        self._inner(engine, wire.to),
                        engine,
                    )
                )
        return found

    def jumpers(self) -> list[tuple[str, Jumper, str, str]]:
        """The loop-back links that are still in: a vessel's conductor on a pin takes its place."""
        electrical = self.vessel.spec.electrical
        found = [(j.label, j, j.from_, j.to) for j in (electrical.jumpers if electrical else [])]
        used = {
            end
            for wire in (electrical.conductors if electrical else [])
            for end in (wire.from_, wire.to)
        }
        for engine in self.vessel.engines:
            for jumper in engine.sheet.jumpers:
                ends = [f"{engine.name}.{end}" for end in (jumper.from_, jumper.to)]
                if not used & set(ends):
                    found.append((f"{engine.name}.{jumper.label}", jumper, ends[0], ends[1]))
        return found

    def cables(self) -> list[tuple[str, VesselCable, str, str]]:
        """The control cables whose metal leads from a block to the negative side at a station."""
        found = []
        for cable in self.vessel.spec.controls:
            engine = cable.engine or self.vessel.engines[0].name
            if cable.touches:
                parts = (cable.works, "cable", engine, cable.station)
                name = "-".join(part.replace(" ", "-") for part in parts if part)
                found.append((name, cable, f"{engine}.block", cable.touches))
        return found

    def _inner(self, engine: FittedEngine, terminal: str) -> str:
        """A node of the engine's harness; of a plug it is the engine's half."""
        device = terminal.rpartition(".")[0]
        plugs = {d.id for d in engine.sheet.devices if isinstance(d, Plug)}
        half = ":engine" if device in plugs else ""
        return f"{engine.name}.{terminal}{half}"

    def reference(self) -> str | None:
        """The node that voltages count from: the negative of the first battery."""
        for device_id, device, _ in self.vessel.devices():
            if isinstance(device, Battery):
                return f"{device_id}.negative"
        return None

    def length_m(self, end: WireEnd) -> float | None:
        """Length as run or, where the entry leaves it out, estimated from positions [m]."""
        length = known(end.wire.length)
        if length is not None:
            return length.m
        return estimated_length_m(self.vessel, end.wire, end.start, end.end)

    def size_of(self, wire: Conductor) -> ConductorSize | None:
        """The size as written, or as proposed."""
        if isinstance(wire.size, Choose):
            return self.sizes.get(wire.label)
        return known(wire.size)

    def temperature_c(self, wire: Conductor, engine: FittedEngine | None) -> float | None:
        """Conductor temperature for its place: its own rating in an engine space [degC]."""
        place = self.vessel_place(wire.place)
        hot = engine is not None or (place is not None and place.kind == "engine-space")
        if hot:
            insulation = known(wire.insulation)
            return None if insulation is None else insulation.c
        if place is not None:
            own = known(place.temperature)
            if own is not None:
                return own.c
        ambient = self.vessel.standard.assume.ambient
        return None if ambient is None else ambient.c

    def vessel_place(self, place_id: str | None) -> Place | None:
        """The place of that id, or nothing."""
        return next((p for p in self.vessel.spec.places if p.id == place_id), None)

    def assumed_ohm(self, name: str) -> float:
        """A resistance that the standard assumes, or none worth counting [ohm]."""
        value = getattr(self.vessel.standard.assume, name)
        return NO_RESISTANCE_OHM if value is None else max(float(value.ohm), NO_RESISTANCE_OHM)

    def own_or_assumed_ohm(self, entry: Entry, name: str, assumed: str) -> float:
        """A device's own resistance, or the standard's assumption [ohm]."""
        value = known(getattr(entry, name))
        return self.assumed_ohm(assumed) if value is None else float(value.ohm)


def calc_size(size: ConductorSize) -> CalcSize:
    """A spec's conductor size as the calculation takes it."""
    if size.system == "mm2":
        return metric(float(size.designation))
    return awg(size.designation) if size.system == "AWG" else sae(size.designation)
