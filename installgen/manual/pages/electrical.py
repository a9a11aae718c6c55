"""What the electrical pages share: devices, terminals and cases as people read them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeVar

from installgen.analysis.cases import STATE_WORDS, DcCase, cases, station_cases
from installgen.analysis.results import Result
from installgen.manual.blocks import Line, Link, Outcome, Stack, Target, joined
from installgen.manual.links import DC_POWER, START_RUN_STOP
from installgen.manual.vessel_manual import VesselManual, coded, sentence
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Bus,
    Conductor,
    DeviceBase,
    Diode,
    Fuse,
    Isolator,
    Jumper,
    Load,
)
from installgen.spec.vessel import FittedEngine

DeviceT = TypeVar("DeviceT", bound=DeviceBase)

ON_DC_POWER = (Alternator, Battery, Bus, Diode, Fuse, Isolator, Load)


def device_page(device: DeviceBase) -> str:
    """The page on which a device is described."""
    return DC_POWER if isinstance(device, ON_DC_POWER) else START_RUN_STOP


def devices_of(
    m: VesselManual, *kinds: type[DeviceT]
) -> Iterator[tuple[str, DeviceT, FittedEngine | None]]:
    """The devices of these kinds: id, device, the engine it sits on."""
    for device_id, (device, engine) in m.devices.items():
        if isinstance(device, kinds):
            yield device_id, device, engine


def named(m: VesselManual, device: DeviceBase, engine: FittedEngine | None) -> Line:
    """A device's code and name, with its engine's where there are several."""
    if engine is not None and m.several:
        name = m.text("phrases.of_engine", thing=device.title, engine=m.engine_name(engine).lower())
        return coded(name, device.code)
    return coded(device.title, device.code)


def finding(device: DeviceBase) -> Line:
    """A sentence to find a device by, and what to know of it."""
    return joined([device.find, device.notes], " ")


def device_line(m: VesselManual, device_id: str) -> Line:
    """A device's code and name, linked to where it is described."""
    device, engine = m.devices[device_id]
    return Link(named(m, device, engine), Target(device_page(device), device_id))


def terminal_line(m: VesselManual, terminal: str) -> Line:
    """A terminal by the device it is on: `K1 Start relay · 86`."""
    device_id, _, name = terminal.rpartition(".")
    if device_id in m.devices:
        return (device_line(m, device_id), f" · {name}")
    for engine in m.vessel.engines:
        if terminal == f"{engine.name}.block":
            return m.text("phrases.block_of", engine=m.engine_name(engine))
    return terminal


def device_place(m: VesselManual, device: DeviceBase, engine: FittedEngine | None) -> Line:
    """Where a device is: on an engine, or in a space aboard."""
    if engine is None:
        return m.place(device.place)
    if m.several:
        return m.text("phrases.on_named_engine", name=m.engine_name(engine).lower())
    return m.text("phrases.on_engine")


@dataclass(frozen=True)
class Wire:
    """A conductor or a link with the full names of its ends.

    element: its name in the analysis
    """

    element: str
    entry: Conductor | Jumper
    start: str
    end: str
    engine: FittedEngine | None


def wires(m: VesselManual) -> Iterator[Wire]:
    """Every conductor: the vessel's, then each engine's."""
    electrical = m.vessel.spec.electrical
    for own in electrical.conductors if electrical else []:
        yield Wire(own.label, own, own.from_, own.to, None)
    for engine in m.vessel.engines:
        for entry in engine.sheet.wires:
            yield _on_engine(entry, engine)


def jumpers(m: VesselManual) -> Iterator[Wire]:
    """Every loop-back link: the vessel's, then each engine's."""
    electrical = m.vessel.spec.electrical
    for own in electrical.jumpers if electrical else []:
        yield Wire(own.label, own, own.from_, own.to, None)
    for engine in m.vessel.engines:
        for entry in engine.sheet.jumpers:
            yield _on_engine(entry, engine)


def _on_engine(entry: Conductor | Jumper, engine: FittedEngine) -> Wire:
    prefix = f"{engine.name}."
    return Wire(prefix + entry.label, entry, prefix + entry.from_, prefix + entry.to, engine)


@dataclass(frozen=True)
class CaseGroup:
    """Cases that belong in one table: one engine's sequence, or several engines together."""

    name: str
    cases: tuple[DcCase, ...]
    titles: tuple[str, ...]


def case_groups(m: VesselManual) -> list[CaseGroup]:
    """The cases of the vessel, so that a table has no more columns than it must."""
    if m.vessel.spec.electrical is None:
        return []
    every = cases(m.vessel)
    if not m.several:
        return [CaseGroup("", tuple(every), tuple(_title(case) for case in every))]
    keyed = list(zip(_busy(every), every, strict=True))
    groups = []
    for busy, run in groupby(keyed, key=lambda item: item[0]):
        members = tuple(case for _, case in run)
        if len(busy) == 1:
            engine = m.vessel.engine(busy[0])
            titles = tuple(_title(case, engine.name) for case in members)
            groups.append(CaseGroup(m.engine_name(engine), members, titles))
        else:
            titles = tuple(sentence(case.name) for case in members)
            groups.append(CaseGroup(m.text("electrical.together"), members, titles))
    return groups


def _busy(every: Sequence[DcCase]) -> list[tuple[str, ...]]:
    """For each case the engines that are not off; where all are, those of the case that follows."""
    found: list[tuple[str, ...]] = []
    following: tuple[str, ...] = ()
    for case in reversed(every):
        names = tuple(name for name, state in case.states if state.state != "off")
        following = (names if len(names) == 1 else ("", "")) if names else following
        found.append(following or (case.states[0][0],))
    return found[::-1]


def _title(case: DcCase, engine: str = "") -> str:
    """A case as the heading of a column."""
    states = dict(case.states)
    state = states[engine] if engine else next(iter(states.values()))
    usual = case.id.rpartition(".")[2] == state.key and state.state in STATE_WORDS
    return sentence(state.words if usual else case.name)


def case_name(m: VesselManual, case_id: str) -> str:
    """What a case is called."""
    names = {case.id: case.name for case in (*cases(m.vessel), *station_cases(m.vessel))}
    return sentence(names.get(case_id, case_id))


def worst_case(m: VesselManual, result: Result | None) -> Line:
    """A result, and under it the case it is found in."""
    if result is None:
        return ""
    return Stack((Outcome(result), case_name(m, result.case) if result.assessed else ""))


def case_results(m: VesselManual, device_id: str, ending: str) -> list[Result]:
    """The results on a device, one for each case in which it has such a figure."""
    return [r for r in m.book.about(device_id) if r.case and r.id.endswith(ending)]


def least(results: Sequence[Result]) -> Result | None:
    """The result with the smallest value; one without a value comes before all."""
    return min(results, key=_size, default=None)


def greatest(results: Sequence[Result]) -> Result | None:
    """The result with the largest value; one without a value comes before all."""
    return max(results, key=lambda r: (r.value is None, _size(r)), default=None)


def _size(result: Result) -> float:
    if result.value is None:
        return float("-inf")
    return float(getattr(result.value, "value", 0.0))
