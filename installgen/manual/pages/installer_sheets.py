"""The installer's schedules as sheets: connections, hoses, conductors, cut list, materials."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from installgen.analysis.circuits import LaidLine
from installgen.analysis.cut_list import CutPiece, CutTotal, cut_list, cut_totals
from installgen.analysis.route import Step
from installgen.manual.blocks import (
    Amount,
    Code,
    Line,
    Link,
    Mark,
    Target,
    joined,
)
from installgen.manual.links import CONDUCTORS, CUT_LIST, START_RUN_STOP
from installgen.manual.pages.circuits import end_of_line
from installgen.manual.pages.common import columns, end_line
from installgen.manual.pages.conductors import size_line
from installgen.manual.pages.connections import in_this_vessel, taken_by
from installgen.manual.pages.electrical import Wire, device_page, terminal_line, wires
from installgen.manual.sheet import Sheet, SheetRow
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.electrical import Conductor, Fuse, Plug
from installgen.spec.engine_sheet import Side
from installgen.spec.entry import Choose, known
from installgen.spec.piping import Hose
from installgen.spec.standard_spec import CutAllowance
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.units import Length


def connection_sheet(m: VesselManual) -> Sheet:
    """Every connection point of the engines, side by side of each."""
    rows = []
    for engine in m.vessel.engines:
        taken = taken_by(m, engine)
        for side in get_args(Side):
            for point in engine.sheet.connections:
                if point.side != side:
                    continue
                words = m.choice("sides", side)
                name = m.engine_name(engine)
                where = f"{name} · {words}" if m.several else words
                rows.append(
                    SheetRow(
                        (
                            where,
                            coded(point.name, point.code),
                            point.find,
                            end_line(m, point.end),
                            point.for_,
                            in_this_vessel(m, point, taken.get(point.id, ())),
                            m.field(point.torque),
                            point.sealant,
                        ),
                        {"side": where},
                        f"{engine.name}.{point.id}",
                    )
                )
    heads = columns(m, "side connection find end for in_this_vessel torque_alone# sealant")
    return Sheet("connections", heads, tuple(rows), said_by={"side": 0})


# ---- hoses --------------------------------------------------------------------------------------


def hose_sheet(m: VesselManual) -> Sheet:
    """Every hose that the yard fits."""
    rows = []
    for piece in cut_list(m.vessel, m.book):
        if piece.of == "conductor":
            continue
        system = m.choice("piece-systems", piece.system)
        place = m.place(piece.place)
        rows.append(
            SheetRow(
                (
                    system,
                    Code(piece.label),
                    *_ends(m, piece),
                    _material(m, piece),
                    _size(piece),
                    _length(m, piece),
                    str(piece.clamps or ""),
                    place,
                ),
                {"system": system, "place": place},
                piece.id,
            )
        )
    heads = columns(m, "system label from to hose_kind bore# finished# clamps# runs_through")
    return Sheet("hoses", heads, tuple(rows), said_by={"system": 0, "place": 8})


def _ends(m: VesselManual, piece: CutPiece) -> tuple[Line, Line]:
    """What a hose comes from and goes to."""
    if isinstance(piece.entry, LaidLine):
        circuit = m.analysis.circuits.get(piece.system)
        if circuit is not None:
            start = end_of_line(m, circuit, piece.entry.start)
            return start, end_of_line(m, circuit, piece.entry.end)
    if isinstance(piece.entry, Hose):
        return _neighbours(m, piece.entry)
    if isinstance(piece.entry, ExhaustPiece):
        return _exhaust_neighbours(m, piece.entry)
    return "", ""


def _neighbours(m: VesselManual, hose: Hose) -> tuple[Line, Line]:
    for route in m.analysis.routes.values():
        ways: list[tuple[Sequence[Step], Step | None, Step | None]] = [(route.steps, None, None)]
        ways += [(branch.steps, branch.after, branch.rejoins) for branch in route.branches]
        for steps, leaves, rejoins in ways:
            for place, step in enumerate(steps):
                if hose not in step.entries:
                    continue
                before = _step(steps[place - 1]) if place else _tee(m, leaves)
                last = place + 1 == len(steps)
                return before, _tee(m, rejoins) if last else _step(steps[place + 1])
    return "", ""


def _step(step: Step) -> Line:
    return coded(step.name, step.code)


def _tee(m: VesselManual, after: Step | None) -> Line:
    """The tee of a branch, behind a step of the main route."""
    return m.say("installer.tee_behind", thing=_step(after)) if after is not None else ""


def _exhaust_neighbours(m: VesselManual, piece: ExhaustPiece) -> tuple[Line, Line]:
    for exhaust in m.vessel.spec.exhaust:
        pieces = exhaust.pieces
        if piece in pieces:
            place = pieces.index(piece)
            before = _piece_name(m, pieces[place - 1]) if place else _injection(m, exhaust)
            after = pieces[place + 1] if place + 1 < len(pieces) else None
            return before, _piece_name(m, after)
    return "", ""


def _injection(m: VesselManual, exhaust: Exhaust) -> Line:
    """Where the raw water enters an exhaust, where its route says so."""
    route = m.analysis.routes.get(m.vessel.engine(exhaust.engine).name)
    steps = route.steps if route is not None else ()
    return next((_step(step) for step in steps if step.kind == "exhaust_injection"), "")


def _piece_name(m: VesselManual, piece: ExhaustPiece | None) -> Line:
    if piece is None:
        return ""
    return piece.name or (Code(piece.id) if piece.id else m.choice("exhaust-pieces", piece.kind))


def _size(piece: CutPiece) -> Line:
    """Its bore or conductor size, marked where nobody has written what was fitted."""
    if piece.size is None:
        return Mark("proposed" if piece.proposed else "unknown")
    return Amount(piece.size, "proposed" if piece.proposed else None)


def _length(m: VesselManual, piece: CutPiece) -> Line:
    if piece.finished is not None:
        return Amount(piece.finished)
    entry = piece.entry.line if isinstance(piece.entry, LaidLine) else piece.entry
    return m.field(entry.length) or m.text("phrases.not_given")


# ---- conductors ---------------------------------------------------------------------------------


def conductor_sheet(m: VesselManual) -> Sheet:
    """Every conductor that the yard runs; an engine's own harness comes with it."""
    rows = []
    for wire in wires(m):
        entry = wire.entry
        if wire.engine is not None or not isinstance(entry, Conductor):
            continue
        system = m.choice("systems", _system(m, wire))
        place = m.place(entry.place)
        through = joined([place, *(m.place(name) for name in entry.through or [])])
        rows.append(
            SheetRow(
                (
                    system,
                    Link(Code(entry.label), Target(CONDUCTORS, wire.element)),
                    terminal_line(m, wire.start),
                    terminal_line(m, wire.end),
                    size_line(m, wire, entry),
                    m.field(entry.length)
                    if entry.length is not None
                    else m.text("phrases.not_given"),
                    entry.colour,
                    m.as_written(entry.stud),
                    entry.function,
                    through,
                ),
                {"system": system, "place": place},
                wire.element,
            )
        )
    heads = columns(m, "system label from to size# finished# colour stud# function runs_through")
    return Sheet("conductors", heads, tuple(rows), said_by={"system": 0})


def _system(m: VesselManual, wire: Wire) -> str:
    """The system of a conductor: start, run, stop where an end of it is such a device."""
    for terminal in (wire.start, wire.end):
        device = m.devices.get(terminal.rpartition(".")[0])
        if device is not None and device_page(device[0]) == START_RUN_STOP:
            return "start-run-stop"
        if device is not None and isinstance(device[0], Plug):
            return "start-run-stop"
    return "dc-power"


# ---- what is cut and bought ---------------------------------------------------------------------


def cut_sheet(m: VesselManual) -> Sheet:
    """Finished and cut length of everything that is cut."""
    rows = []
    for piece in cut_list(m.vessel, m.book):
        kind = m.choice("cut-kinds", piece.of)
        rows.append(
            SheetRow(
                (
                    kind,
                    Code(piece.label),
                    _material(m, piece),
                    _size(piece),
                    _length(m, piece),
                    _by_rule(m, piece.cut, piece) or _no_cut(m, piece),
                    m.place(piece.place),
                ),
                {"kind": kind},
                piece.id,
            )
        )
    heads = columns(m, "cut_kind label material size# finished# cut# runs_through")
    return Sheet("cut-list", heads, tuple(rows), said_by={"kind": 0})


def allowance_id(m: VesselManual, row: CutAllowance) -> str:
    """Where the pages show what the standard adds to a kind of piece."""
    rows = m.vessel.standard.cut_allowances
    return f"allowance-{next(n for n, one in enumerate(rows, start=1) if one is row)}"


def _by_rule(m: VesselManual, length: Length | None, piece: CutPiece) -> Line:
    """A length that is computed, linked to the figures that it is computed with."""
    if length is None:
        return ""
    if piece.allowance is None:
        return Amount(length)
    return Link(Amount(length), Target(CUT_LIST, allowance_id(m, piece.allowance)))


def _material(m: VesselManual, piece: CutPiece) -> Line:
    if piece.of == "conductor":
        return piece.material
    return m.choice("hoses", piece.material) if piece.material else Mark("unknown")


def _no_cut(m: VesselManual, piece: CutPiece) -> Line:
    """Why there is no cut length."""
    if piece.finished is None:
        return m.text("cut-list.no_length")
    if piece.of == "conductor" and piece.size is None:
        return m.text("cut-list.no_size")
    return m.text("cut-list.no_allowance")


def material_sheet(m: VesselManual) -> Sheet:
    """What is taken from stock or bought: by the metre, then lugs, fuses and clamps by count."""
    pieces = cut_list(m.vessel, m.book)
    rows = [*_by_metre(m, cut_totals(m.vessel, pieces)), *_lugs(m), *_fuses(m), *_clamps(m, pieces)]
    heads = columns(m, "item material size# count# together# bought# in_stock used_for")
    return Sheet("materials", heads, tuple(rows))


def _by_metre(m: VesselManual, totals: Sequence[CutTotal]) -> Iterator[SheetRow]:
    for total in totals:
        first = total.pieces[0]
        kind = m.choice("cut-kinds", total.of)
        missing = m.text("cut-list.incomplete") if total.length is None else ""
        yield SheetRow(
            (
                kind,
                _material(m, first),
                _size(first),
                str(len(total.pieces)),
                _by_rule(m, total.length, first) or missing,
                _by_rule(m, total.bought, first),
                m.text("stock.kept" if total.kept else "stock.not_kept"),
                ", ".join(piece.label for piece in total.pieces),
            ),
            {},
        )


def _lugs(m: VesselManual) -> Iterator[SheetRow]:
    """Lugs by conductor size and stud, against the studs that the yard keeps lugs for."""
    found: dict[tuple[object, object], list[str]] = {}
    for piece in cut_list(m.vessel, m.book):
        if isinstance(piece.entry, Conductor) and known(piece.entry.stud) is not None:
            found.setdefault((piece.size, piece.entry.stud), []).append(piece.label)
    for (size, stud), labels in found.items():
        kept = any(
            row.size == size and any(abs(one.m - stud.m) < 5e-5 for one in row.studs)  # type: ignore[attr-defined]
            for row in m.vessel.standard.stock.cables
        )
        yield SheetRow(
            (
                m.text("materials.lug"),
                m.say("materials.for_stud", stud=m.as_written(stud)),
                Amount(size) if size is not None else Mark("unknown"),  # type: ignore[arg-type]
                str(2 * len(labels)),
                "",
                "",
                m.text("stock.kept" if kept else "stock.not_kept"),
                ", ".join(labels),
            ),
            {},
        )


def _fuses(m: VesselManual) -> Iterator[SheetRow]:
    """Fuses and breakers of the vessel by type and rating."""
    found: dict[tuple[str, str, object], list[tuple[str, Fuse]]] = {}
    for device_id, (device, engine) in m.devices.items():
        if engine is None and isinstance(device, Fuse):
            key = (device.kind, device.type, device.rating)
            found.setdefault(key, []).append((device.code or device_id, device))
    for (kind, fuse_type, rating), devices in found.items():
        value = None if isinstance(rating, Choose) else known(devices[0][1].rating)
        kept = any(
            row.type == fuse_type and any(one == value for one in row.ratings)
            for row in m.vessel.standard.stock.fuses
        )
        yield SheetRow(
            (
                m.choice("device-kinds", kind),
                fuse_type,
                m.field(rating),
                str(len(devices)),
                "",
                "",
                m.text("stock.kept" if kept else "stock.not_kept"),
                ", ".join(code for code, _ in devices),
            ),
            {},
        )


def _clamps(m: VesselManual, pieces: Sequence[CutPiece]) -> Iterator[SheetRow]:
    """Hose clamps by the bore of their hoses."""
    found: dict[object, list[CutPiece]] = {}
    for piece in pieces:
        if piece.clamps:
            found.setdefault(piece.size, []).append(piece)
    for group in found.values():
        yield SheetRow(
            (
                m.text("materials.clamp"),
                m.text("materials.for_hose"),
                _size(group[0]),
                str(sum(piece.clamps for piece in group)),
                "",
                "",
                "",
                ", ".join(piece.label for piece in group),
            ),
            {},
        )
