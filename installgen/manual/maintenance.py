"""Maintenance of what is fitted: the tasks of sheet and standard, and parts that are changed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from installgen.manual.blocks import Caution, Line, SignalWord, joined
from installgen.manual.fitted import Fitted, Thing, fitted_engines
from installgen.manual.pages.makers_papers import pages_line
from installgen.manual.vessel_manual import VesselManual, coded, full_stop
from installgen.spec.electrical import Isolator
from installgen.spec.maintenance_spec import INTERVAL, MaintenanceTask, YardTask
from installgen.spec.references import sheet_part_ids

HOURS = re.compile(r"(\d+) h\b")
MONTHS = re.compile(r"(\d+) months?\b")
HOURS_A_MONTH = 25.0
"""To order tasks by how soon they are due: what a workboat runs (the order tells nothing else)."""


Said: TypeAlias = tuple[SignalWord, str]
"""A signal word and the sentence of its caution."""

TURNS: Said = ("danger", "emergency.turning_caution")
OPENS: Said = ("warning", "lay-up.sea_caution")
_CAUTIONS: Mapping[str, Said] = {
    "fuel": ("warning", "operation.diesel_caution"),
    "oil": ("caution", "lay-up.oil_caution"),
    "coolant": ("warning", "operation.scald_caution"),
}
"""The caution before a part of a circuit is changed."""


@dataclass(frozen=True)
class Due:
    """One task: how often, on what, what is done, and the caution that stands before it."""

    every: str
    on: Line
    task: Line
    caution: Caution | None = None
    first: str = ""

    @property
    def soon(self) -> tuple[float, str]:
        """How soon it comes round, for ordering."""
        return soon(self.every), self.every


def soon(every: str) -> float:
    """An interval as hours, whichever comes first; infinite where it states neither."""
    if every == "daily":
        return 0.0
    hours, months = HOURS.search(every), MONTHS.search(every)
    found = [float(hours[1])] if hours else []
    found += [float(months[1]) * HOURS_A_MONTH] if months else []
    return min(found, default=float("inf"))


def dues(m: VesselManual) -> list[Due]:
    """Every task for what is fitted, the soonest first; what states no interval comes last."""
    found = [*_yard_tasks(m)]
    for fitted in fitted_engines(m):
        found += _engine_tasks(fitted)
    found += _changed(m)
    kept = dict.fromkeys(found)
    return sorted(kept, key=lambda due: due.soon)


def interval_known(every: str) -> bool:
    """Whether a text states an interval as this manual orders them."""
    return INTERVAL.fullmatch(every) is not None


def _engine_tasks(fitted: Fitted) -> Iterator[Due]:
    """The engine sheet's tasks; one that is of a part goes with the part."""
    m, sheet = fitted.m, fitted.engine.sheet
    parts = sheet_part_ids(sheet)
    documents = {document.number: document for document in sheet.documents}
    for task in sheet.maintenance:
        if task.of is not None and task.of not in parts:
            continue
        text: list[Line] = [full_stop(task.task)]
        if task.document in documents:
            pages = pages_line(m, documents[task.document], task.pages or "")
            text.append(m.say("maintenance.see", document=pages))
        yield Due(
            task.every,
            m.engine_name(fitted.engine),
            joined(text, " "),
            _caution(task),
            task.first or "",
        )


def _caution(task: MaintenanceTask | YardTask) -> Caution | None:
    if task.signal is None:
        return None
    return Caution(task.signal, (full_stop(task.caution),))


# ---- the yard's own tasks -----------------------------------------------------------------------


def _yard_tasks(m: VesselManual) -> Iterator[Due]:
    """The standard's tasks, one for each such part that is fitted."""
    for task in m.vessel.standard.maintenance:
        for thing in _of(m, task.of):
            text = joined([full_stop(task.task), _place(m, thing.where)], " ")
            yield Due(task.every, thing.name, text, _caution(task))


def _place(m: VesselManual, where: Line) -> Line:
    return m.say("where.line", where=where) if where else ""


def _of(m: VesselManual, kind: str) -> Iterator[Thing]:
    """The parts of a kind that are fitted."""
    for fitted in fitted_engines(m):
        yield from _of_engine(fitted, kind)
    first = fitted_engines(m)[0]
    if kind == "battery":
        yield from first.batteries
    elif kind == "isolator":
        for device_id, (device, _) in m.devices.items():
            if isinstance(device, Isolator):
                yield first.device(device_id, device)
    elif kind == "hull-opening":
        for opening in m.vessel.spec.openings:
            name = coded(opening.name or opening.use, opening.code)
            yield Thing(name, first.where(opening.place, opening.find))
    elif kind in ("fire-extinguisher", "bilge-pump"):
        for item in m.vessel.spec.owners_manual.equipment:
            if kind in item.kind or (kind == "fire-extinguisher" and "extinguisher" in item.kind):
                name = coded(item.name or m.choice("equipment", item.kind), item.code)
                yield Thing(name, first.where(item.place, item.find))


_PIECES = {"seacock": "seacock", "strainer": "strainer", "vented-loop": "vented_loop"}


def _of_engine(fitted: Fitted, kind: str) -> Iterator[Thing]:
    """The parts of a kind that belong to one engine."""
    m = fitted.m
    if kind in _PIECES:
        yield from fitted.pieces(_PIECES[kind])
    elif kind == "shaft-seal":
        yield from fitted.seals
    elif kind == "exhaust-hose" and fitted.exhaust is not None:
        if any(piece.kind in ("hose", "riser") for piece in fitted.exhaust.pieces):
            yield Thing(_of_several(fitted, m.text("maintenance.exhaust_hoses")), "")
    elif kind in ("fuel-tank", "water-separator"):
        yield from fitted.parts("fuel", "tank" if kind == "fuel-tank" else kind)
    elif kind == "gear" and fitted.engine.entry.gear is not None:
        yield Thing(_of_several(fitted, m.text("columns.gear")), "")
    elif kind == "control-cable":
        for works in dict.fromkeys(cable.works for cable in m.vessel.spec.controls):
            if fitted.cables(works):
                name = m.text("maintenance.cable", works=m.choice("cables", works).lower())
                yield Thing(_of_several(fitted, name), "")


def _of_several(fitted: Fitted, name: str) -> str:
    """A part's name, with its engine's where there are several."""
    m = fitted.m
    if not m.several:
        return name
    return m.text("phrases.of_engine", thing=name, engine=m.engine_name(fitted.engine).lower())


# ---- parts that are changed ---------------------------------------------------------------------


def _changed(m: VesselManual) -> Iterator[Due]:
    """Filters, belts and coolers whose sheet or spec says how often they are changed or cleaned."""
    for circuit in m.analysis.circuits.values():
        for part in circuit.parts:
            entry = part.part
            if entry.change_every:
                on = m.engine_name(part.engine) if part.engine else m.place(entry.place)
                name = coded(entry.title, entry.code)
                caution = _CAUTIONS.get(circuit.system)
                yield _change(m, entry.change_every, name, on, entry.part_number, caution)
    for engine in m.vessel.engines:
        name = m.engine_name(engine)
        for belt in engine.sheet.belts:
            if belt.change_every:
                title = belt.name or belt.id
                yield _change(m, belt.change_every, title, name, belt.part_number, TURNS)
        water = engine.sheet.raw_water
        for cooler in water.coolers if water is not None else []:
            if cooler.clean_every:
                text = m.say("maintenance.clean", part=coded(cooler.name, cooler.code))
                yield Due(cooler.clean_every, name, text, _said(m, OPENS))


def _change(
    m: VesselManual, every: str, part: Line, on: str, number: str, caution: Said | None
) -> Due:
    text: list[Line] = [m.say("maintenance.change", part=part)]
    if number:
        text.append(m.say("maintenance.number", number=number))
    return Due(every, on, joined(text, " "), None if caution is None else _said(m, caution))


def _said(m: VesselManual, caution: Said) -> Caution:
    word, key = caution
    return Caution(word, (m.say(key),))
